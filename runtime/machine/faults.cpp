// One pass backward for demand, one forward for faults.
#include "runtime/machine/faults.hpp"

#include <cmath>

namespace sprue {

std::vector<bool> demand(const Graph& graph, std::span<const double> values, std::span<const GraphId> outputs) {
  std::vector<bool> demanded(graph.size(), false);
  for (const GraphId id : outputs) demanded[id] = true;
  for (GraphId id = static_cast<GraphId>(graph.size()); id-- > 0;) {
    if (!demanded[id]) continue;
    const GraphNode& node = graph.nodes[id];
    if (node.op == Op::select) {
      demanded[node.a] = true;
      demanded[values[node.a] != 0 ? node.b : node.c] = true;
    } else if (node.op == Op::logical_and || node.op == Op::logical_or) {
      demanded[node.a] = true;
      if ((values[node.a] != 0) == (node.op == Op::logical_and)) demanded[node.b] = true;
    } else {
      for_each_operand(graph, node, [&](GraphId operand) { demanded[operand] = true; });
    }
  }
  return demanded;
}

std::vector<GraphId> faults_of(const Graph& graph, std::span<const double> values, const std::vector<bool>& demanded) {
  std::vector<GraphId> faults;
  for (GraphId id = 0; id < graph.size(); ++id) {
    if (!demanded[id] || std::isfinite(values[id])) continue;
    bool finite = true;
    const GraphNode& node = graph.nodes[id];
    if (node.op == Op::select) continue;  // only passes on what its branch is
    for_each_operand(graph, node, [&](GraphId operand) { finite = finite && std::isfinite(values[operand]); });
    if (finite) faults.push_back(id);
  }
  return faults;
}

}  // namespace sprue
