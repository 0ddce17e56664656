// The cost graph: a flat array of scalar operations in topological order, and what hangs on it. Knows numbers and
// places; knows nothing of kinds, units of people or the trade. Money is in the report currency, quantities in base
// units, dates in whole days since 1970-01-01, flags are 0 or 1.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

namespace sprue {

using GraphId = std::uint32_t;
inline constexpr GraphId no_node = 0xFFFFFFFFU;

/// X(name, operands): operands 0 (leaf), 1 (a), 2 (a, b), 3 (a, b, c), or -1 (a list: `a` is the first index in
/// Graph::operands, `b` the count).
#define SPRUE_OPS(X)                             \
  X(constant, 0) /* data: Graph::constants[a] */ \
  X(input, 0)    /* Graph::inputs[a] */          \
  X(add, 2)                                      \
  X(subtract, 2)                                 \
  X(multiply, 2) X(divide, 2) X(negate, 1) X(minimum, 2) X(maximum, 2) X(absolute, 1) X(ceiling, 1) X(floor, 1)     \
      X(round, 1) /* snapped to the whole number within 1e-9 (relative) first; round is half away from 0 */         \
      X(square_root, 1) X(exponential, 1) X(logarithm, 1) X(logarithm10, 1) X(power, 2) X(less, 2) X(less_equal, 2) \
          X(equal, 2) X(near_less, 2) X(near_less_equal, 2)                                                         \
              X(near_equal, 2) /* with the 1e-9 relative tolerance of expectations */                               \
      X(logical_and, 2) X(logical_or, 2) X(logical_not, 1) X(select, 3) /* a != 0 ? b : c */                        \
      X(months_after, 2) /* day a moved by b whole calendar months, clamped to the month's end */          \
      X(lowest, -1) /* operands d0 v0 d1 v1 … : the least running sum over dates in order, at most 0; equal dates \
                       count as one step */                                                                         \
      X(lowest_date,                                                                                                \
        -1) /* the first date at which `lowest` is reached, the first date of all where it is 0; sums within 1e-9 of
               the largest until then count as equal */ /* end */

enum class Op : std::uint8_t {
#define SPRUE_OP(name, operands) name,
  SPRUE_OPS(SPRUE_OP)
#undef SPRUE_OP
};

struct OpInfo {
  std::string_view name;
  int operands;
};
const OpInfo& info(Op op);

struct GraphNode {
  Op op{};
  GraphId a = 0;
  GraphId b = 0;
  GraphId c = 0;
};

/// Operands always have smaller ids than the node that uses them.
struct Graph {
  std::vector<GraphNode> nodes;
  std::vector<double> constants;
  std::vector<double> inputs;     // the stated value of each input
  std::vector<GraphId> operands;  // of list operations

  std::size_t size() const { return nodes.size(); }
};

/// Calls `visit` with the id of each operand of a node, in order.
template <class Visit>
void for_each_operand(const Graph& graph, const GraphNode& node, Visit&& visit) {
  const int operands = info(node.op).operands;
  if (operands < 0) {
    for (GraphId i = 0; i < node.b; ++i) visit(graph.operands[node.a + i]);
    return;
  }
  if (operands > 0) visit(node.a);
  if (operands > 1) visit(node.b);
  if (operands > 2) visit(node.c);
}

}  // namespace sprue
