// Many trials of one scenario: each input that has a range takes a value, the graph gives the figures.
#pragma once

#include <functional>
#include <vector>

#include "runtime/machine/plan.hpp"
#include "runtime/study/sampler.hpp"

namespace sprue {

/// Values of the outputs for a stretch of trials.
struct Samples {
  std::uint64_t first = 0;
  std::uint64_t count = 0;
  std::vector<std::vector<double>> values;  // by output, by trial
  std::vector<std::uint8_t> sound;          // by trial: all requirements hold and all values are finite numbers
};

struct SimulationCounters {
  PlanCounters plan;
  std::uint64_t blocks = 0;
};

/// What is simulated. `mixed` takes one input from the second sample; `second` takes all of them.
struct Draw {
  bool second = false;
  std::size_t mixed = static_cast<std::size_t>(-1);
};

class Simulation {
 public:
  Simulation(const Evaluation& evaluation, const Sampler& sampler, std::vector<GraphId> outputs);

  /// `done` hears how many trials are over, now and then, from any thread; `threads` 0 is as many as the machine has.
  Samples run(std::uint64_t first, std::uint64_t count, const Draw& draw = {}, unsigned threads = 0,
              const std::function<void(std::uint64_t)>& done = {}) const;

  SimulationCounters counters(std::uint64_t trials) const;

 private:
  const Sampler& sampler_;
  std::vector<GraphId> outputs_;
  std::size_t figures_;  // of the outputs; the others are requirements
  Plan plan_;
  std::vector<std::size_t> rows_;  // by input of the plan: index into the sampler's inputs
};

}  // namespace sprue
