// Each op's local derivatives. The order of accumulation is that of the nodes, so results are the same everywhere.
#include "runtime/machine/gradient.hpp"

#include <algorithm>
#include <cmath>

#include "lang/graph/arithmetic.hpp"
#include "runtime/machine/lowest.hpp"

namespace sprue {
namespace {

class Sweep {
 public:
  Sweep(const Graph& graph, std::span<const double> values)
      : graph_(graph), values_(values), slope_(graph.size(), 0), jumps_(graph.size(), 0) {}

  Gradient run(GraphId output) {
    Gradient out;
    out.slope.assign(graph_.inputs.size(), 0);
    out.in_steps.assign(graph_.inputs.size(), 0);
    slope_[output] = 1;
    for (std::size_t i = std::size_t{output} + 1; i-- > 0;) {
      const auto id = static_cast<GraphId>(i);
      if (slope_[id] == 0 && jumps_[id] == 0) continue;
      const GraphNode& node = graph_.nodes[id];
      if (node.op == Op::input) {
        out.slope[node.a] += slope_[id];
        out.in_steps[node.a] |= jumps_[id];
      } else if (node.op != Op::constant) {
        back(id, node);
      }
    }
    return out;
  }

 private:
  void add(GraphId operand, double slope) { slope_[operand] += slope; }
  void jump(GraphId operand) { jumps_[operand] = 1; }

  void back(GraphId id, const GraphNode& node) {
    const double s = slope_[id];
    const double a = info(node.op).operands > 0 ? values_[node.a] : 0;
    const double b = info(node.op).operands > 1 ? values_[node.b] : 0;
    if (jumps_[id] != 0) for_each_operand(graph_, node, [&](GraphId operand) { jump(operand); });
    switch (node.op) {
      case Op::add:
        add(node.a, s);
        add(node.b, s);
        break;
      case Op::subtract:
        add(node.a, s);
        add(node.b, -s);
        break;
      case Op::multiply:
        add(node.a, s * b);
        add(node.b, s * a);
        break;
      case Op::divide:
        add(node.a, s / b);
        add(node.b, -s * a / (b * b));
        break;
      case Op::negate:
        add(node.a, -s);
        break;
      case Op::minimum:
        decided(node, b < a, a < b, s);
        break;
      case Op::maximum:
        decided(node, a < b, b < a, s);
        break;
      case Op::absolute:
        add(node.a, a < 0 ? -s : s);
        break;
      case Op::square_root:
        add(node.a, s / (2 * values_[id]));
        break;
      case Op::exponential:
        add(node.a, s * values_[id]);
        break;
      case Op::logarithm:
        add(node.a, s / a);
        break;
      case Op::logarithm10:
        add(node.a, s / (a * arithmetic::logarithm(10)));
        break;
      case Op::power:
        add(node.a, s * b * arithmetic::power(a, b - 1));
        if (a > 0) add(node.b, s * values_[id] * arithmetic::logarithm(a));
        break;
      case Op::select:
        add(a != 0 ? node.b : node.c, s);
        if (b != values_[node.c]) jump(node.a);
        break;
      case Op::months_after:
        add(node.a, s);
        jump(node.b);
        break;
      case Op::lowest:
        lowest_amounts(node, s);
        break;
      case Op::lowest_date:
        for_each_operand(graph_, node, [&](GraphId operand) { jump(operand); });
        break;
      default:  // rounding, comparisons, flags: level between their jumps
        for_each_operand(graph_, node, [&](GraphId operand) { jump(operand); });
    }
  }

  /// The lesser or greater of two; both by half at a tie, as a step to either side has it in the mean.
  void decided(const GraphNode& node, bool by_b, bool by_a, double s) {
    if (!by_b) add(node.a, by_a ? s : s / 2);
    if (!by_a) add(node.b, by_b ? s : s / 2);
  }

  /// Every amount up to the day on which the lowest sum is reached counts whole; when it is paid decides by jumps.
  void lowest_amounts(const GraphNode& node, double s) {
    std::vector<DatedAmount> steps;
    for (GraphId i = 0; i + 1 < node.b; i += 2) {
      const GraphId* const pair = &graph_.operands[node.a + i];
      steps.push_back({values_[pair[0]], values_[pair[1]], i});
      jump(pair[0]);
    }
    const Lowest found = lowest(steps);
    if (!(found.sum < 0)) return;
    for (GraphId i = 0; i + 1 < node.b; i += 2) {
      const GraphId* const pair = &graph_.operands[node.a + i];
      if (values_[pair[0]] <= found.date) add(pair[1], s);
    }
  }

  const Graph& graph_;
  std::span<const double> values_;
  std::vector<double> slope_;
  std::vector<std::uint8_t> jumps_;
};

}  // namespace

Gradient gradient(const Graph& graph, std::span<const double> values, GraphId output) {
  return Sweep(graph, values).run(output);
}

}  // namespace sprue
