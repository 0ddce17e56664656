// Evaluates a cost graph over many lanes, in blocks that stay in cache: one operation over a whole block at a time. Knows
// operations and numbers; knows nothing of what they mean.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "lang/graph/graph.hpp"

namespace sprue {

/// The value of every node for the stated inputs: one lane, nothing left out.
std::vector<double> evaluate_all(const Graph& graph);

/// What of a graph must be done for some outputs, and what of it once only because no varying input reaches it.
class Plan {
 public:
  Plan(const Graph& graph, std::span<const GraphId> outputs, std::span<const std::uint32_t> varying_inputs);

  struct Counters {
    std::size_t nodes = 0;       // in the graph
    std::size_t live = 0;        // needed for the outputs
    std::size_t invariant = 0;   // of the live ones, evaluated once
    std::size_t registers = 0;   // blocks of lanes held at the same time
  };
  const Counters& counters() const { return counters_; }

  struct Step {
    GraphId node;
    std::uint32_t target;        // register
  };
  const std::vector<GraphId>& invariants() const { return invariants_; }
  const std::vector<Step>& steps() const { return steps_; }
  bool varies(GraphId node) const { return register_of_[node] != none_; }
  std::uint32_t register_of(GraphId node) const { return register_of_[node]; }
  const std::vector<GraphId>& outputs() const { return outputs_; }

 private:
  static constexpr std::uint32_t none_ = 0xFFFFFFFFU;
  std::vector<GraphId> outputs_;
  std::vector<GraphId> invariants_;
  std::vector<Step> steps_;
  std::vector<std::uint32_t> register_of_;   // of varying live nodes, while they are needed
  Counters counters_;
};

/// Values of one input in every lane.
struct LaneInput {
  std::uint32_t input = 0;            // index into Graph::inputs
  std::span<const double> values;     // one a lane
};

/// The outputs of a plan over all lanes: output-major, `lanes` values each. The plan must have been made with exactly the
/// inputs that vary here. The result does not depend on `block`.
std::vector<double> evaluate_lanes(const Graph& graph, const Plan& plan, std::span<const LaneInput> varying, std::size_t lanes, std::size_t block = 512);

/// Least running sum of (date, value) pairs in order of date; or the first date it is reached at. See graph.hpp.
double lowest_of(std::vector<std::pair<double, double>>& steps, bool date);

}  // namespace sprue
