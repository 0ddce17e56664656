// Evaluates a cost graph: at its stated inputs, or by a plan over many lanes, in blocks that stay in the cache.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "runtime/machine/plan.hpp"
#include "runtime/machine/single.hpp"

namespace sprue {

/// The values of one varying input, lane by lane.
struct LaneInput {
  std::uint32_t input = 0;  // index into Graph::inputs
  std::span<const double> values;
};

struct Lanes {
  std::size_t count = 0;
  std::vector<LaneInput> varying;
};

/// Neither changes a result.
struct MachineOptions {
  std::size_t block = 512;  // lanes at a time
  unsigned threads = 1;     // 0: as many as the machine has
};

/// A row of lanes for each output.
struct Results {
  std::size_t lanes = 0;
  std::size_t blocks = 0;
  std::vector<double> values;

  std::span<const double> operator[](std::size_t output) const {
    return std::span(values).subspan(output * lanes, lanes);
  }
};

/// `lanes` must give all inputs the plan was made to vary and which an output needs, each with a value a lane.
Results evaluate(const Plan& plan, const Lanes& lanes, const MachineOptions& options = {});

}  // namespace sprue
