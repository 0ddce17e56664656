// Liveness: dead nodes fall away, invariant ones are set apart, registers are used again when their last reader has read.
#include <algorithm>

#include "runtime/machine/machine.hpp"

namespace sprue {

Plan::Plan(const Graph& graph, std::span<const GraphId> outputs, std::span<const std::uint32_t> varying_inputs)
    : outputs_(outputs.begin(), outputs.end()), register_of_(graph.size(), none_) {
  const std::size_t size = graph.size();
  std::vector<bool> live(size, false);
  std::vector<bool> varies(size, false);
  std::vector<bool> input_varies(graph.inputs.size(), false);
  for (const std::uint32_t input : varying_inputs) input_varies[input] = true;
  for (const GraphId id : outputs_) live[id] = true;
  for (GraphId id = static_cast<GraphId>(size); id-- > 0;) {
    if (live[id]) for_each_operand(graph, graph.nodes[id], [&](GraphId operand) { live[operand] = true; });
  }
  std::vector<GraphId> last_use(size, 0);
  for (GraphId id = 0; id < size; ++id) {
    if (!live[id]) continue;
    ++counters_.live;
    const GraphNode& node = graph.nodes[id];
    bool any = node.op == Op::input && input_varies[node.a];
    for_each_operand(graph, node, [&](GraphId operand) {
      any = any || varies[operand];
      last_use[operand] = id;
    });
    varies[id] = any;
    if (!any) invariants_.push_back(id);
  }
  for (const GraphId id : outputs_) last_use[id] = static_cast<GraphId>(size);
  std::vector<std::uint32_t> free;
  std::uint32_t registers = 0;
  for (GraphId id = 0; id < size; ++id) {
    if (!live[id] || !varies[id]) continue;
    // The target is taken before the operands are given back: a kernel never reads what it writes.
    std::uint32_t target = registers;
    if (free.empty()) {
      ++registers;
    } else {
      target = free.back();
      free.pop_back();
    }
    register_of_[id] = target;
    steps_.push_back({id, target});
    std::vector<GraphId> done;
    for_each_operand(graph, graph.nodes[id], [&](GraphId operand) {
      if (varies[operand] && last_use[operand] == id && std::find(done.begin(), done.end(), operand) == done.end()) done.push_back(operand);
    });
    for (const GraphId operand : done) free.push_back(register_of_[operand]);
  }
  counters_.nodes = size;
  counters_.invariant = invariants_.size();
  counters_.registers = registers;
}

}  // namespace sprue
