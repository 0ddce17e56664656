// One lane, every node.
#include "runtime/machine/machine.hpp"

#include <algorithm>
#include <cmath>

#include "lang/graph/builder.hpp"

namespace sprue {
namespace {
double lowest(const Graph& graph, const GraphNode& node, const std::vector<double>& values, bool date) {
  std::vector<std::pair<double, double>> steps;
  for (GraphId i = 0; i + 1 < node.b; i += 2) steps.emplace_back(values[graph.operands[node.a + i]], values[graph.operands[node.a + i + 1]]);
  std::stable_sort(steps.begin(), steps.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  double sum = 0;
  double least = 0;
  double at = steps.empty() ? 0 : steps[0].first;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    sum += steps[i].second;
    if (i + 1 < steps.size() && steps[i + 1].first == steps[i].first) continue;
    if (sum < least) {
      least = sum;
      at = steps[i].first;
    }
  }
  return date ? at : least;
}
}  // namespace

std::vector<double> evaluate_all(const Graph& graph) {
  std::vector<double> values(graph.size());
  for (GraphId id = 0; id < graph.size(); ++id) {
    const GraphNode& node = graph.nodes[id];
    switch (node.op) {
      case Op::constant: values[id] = graph.constants[node.a]; break;
      case Op::input: values[id] = graph.inputs[node.a]; break;
      case Op::lowest:
      case Op::lowest_date: values[id] = lowest(graph, node, values, node.op == Op::lowest_date); break;
      default: values[id] = apply(node.op, values[node.a], values[node.b], values[node.c]);
    }
  }
  return values;
}

}  // namespace sprue
