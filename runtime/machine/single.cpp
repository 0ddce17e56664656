// The loop over the nodes.
#include "runtime/machine/single.hpp"

#include "lang/graph/arithmetic_operations.hpp"
#include "runtime/machine/lowest.hpp"

namespace sprue {
namespace {

/// The scratch space is reused from list to list.
Lowest lowest_of(const Graph& graph, const GraphNode& node, std::span<const double> values,
                 std::vector<DatedAmount>& steps) {
  steps.clear();
  for (GraphId i = 0; i + 1 < node.b; i += 2) {
    const GraphId* const pair = &graph.operands[node.a + i];
    steps.push_back({values[pair[0]], values[pair[1]], i});
  }
  return lowest(steps);
}

template <class Wanted>
void evaluate_nodes(const Graph& graph, double* const values, const Wanted& wanted) {
  std::vector<DatedAmount> steps;
  const std::span<const double> all{values, graph.size()};
  const GraphNode* const nodes = graph.nodes.data();
  const auto step = [&]<Op op>(const GraphNode& node) {
    if constexpr (op == Op::constant) {
      return graph.constants[node.a];
    } else if constexpr (op == Op::input) {
      return graph.inputs[node.a];
    } else if constexpr (op == Op::lowest) {
      return lowest_of(graph, node, all, steps).sum;
    } else if constexpr (op == Op::lowest_date) {
      return lowest_of(graph, node, all, steps).date;
    } else {
      constexpr int operands = arithmetic::operand_count(op);
      return arithmetic::operate<op>(values[node.a], operands > 1 ? values[node.b] : 0.0,
                                     operands > 2 ? values[node.c] : 0.0);
    }
  };
  for (std::size_t id = 0; id < graph.size(); ++id) {
    if (!wanted(id)) continue;
    const GraphNode& node = nodes[id];
    switch (node.op) {
#define SPRUE_OP(name, operands)                           \
  case Op::name:                                           \
    values[id] = step.template operator()<Op::name>(node); \
    break;
      SPRUE_OPS(SPRUE_OP)
#undef SPRUE_OP
    }
  }
}

}  // namespace

void evaluate_wanted(const Graph& graph, std::span<const std::uint8_t> wanted, std::span<double> values) {
  evaluate_nodes(graph, values.data(), [wanted](std::size_t id) { return wanted[id] != 0; });
}

std::vector<double> evaluate_all(const Graph& graph) {
  std::vector<double> values(graph.size());
  evaluate_nodes(graph, values.data(), [](std::size_t) { return true; });
  return values;
}

std::vector<double> evaluate_once(const Graph& graph, std::span<const GraphId> outputs) {
  const std::vector<double> values = evaluate_all(graph);
  std::vector<double> results;
  results.reserve(outputs.size());
  for (const GraphId output : outputs) results.push_back(values[output]);
  return results;
}

}  // namespace sprue
