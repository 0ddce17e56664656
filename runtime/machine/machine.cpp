// Spreads the blocks over threads.
#include "runtime/machine/machine.hpp"

#include <algorithm>
#include <stdexcept>

#include "runtime/machine/parallel_for.hpp"
#include "runtime/machine/worker.hpp"

namespace sprue {
namespace {

std::vector<const double*> find_inputs(const Plan& plan, const Lanes& lanes) {
  std::vector<const double*> given;  // by input
  for (const LaneInput& varying : lanes.varying) {
    if (varying.input >= given.size()) given.resize(std::size_t{varying.input} + 1, nullptr);
    if (varying.values.size() == lanes.count) given[varying.input] = varying.values.data();
  }
  std::vector<const double*> inputs;
  inputs.reserve(plan.inputs().size());
  for (const std::uint32_t input : plan.inputs()) {
    if (lanes.count > 0 && (input >= given.size() || given[input] == nullptr)) {
      throw std::invalid_argument("a varying input without a value for each lane");
    }
    inputs.push_back(lanes.count > 0 ? given[input] : nullptr);
  }
  return inputs;
}

}  // namespace

Results evaluate(const Plan& plan, const Lanes& lanes, const MachineOptions& options) {
  const std::size_t block = std::max<std::size_t>(options.block, 1);
  const std::vector<const double*> inputs = find_inputs(plan, lanes);
  Results results;
  results.lanes = lanes.count;
  results.blocks = (lanes.count + block - 1) / block;
  results.values.resize(plan.outputs().size() * lanes.count);
  parallel_for_stretches(results.blocks, options.threads, [&](std::size_t first_block, std::size_t after) {
    Worker worker(plan, inputs, results.values.data(), lanes.count, std::min(block, lanes.count));
    for (std::size_t i = first_block; i < after; ++i) {
      worker.run(i * block, std::min(block, lanes.count - i * block));
    }
  });
  return results;
}

}  // namespace sprue
