// The oracle: the plainest evaluator one can write. It recurses from an output to its inputs, shares nothing and batches nothing.
#pragma once

#include <cmath>
#include <map>
#include <vector>

#include "lang/graph/arithmetic.hpp"
#include "lang/graph/graph.hpp"

namespace sprue::testing {

inline double oracle(const Graph& graph, const std::vector<double>& inputs, GraphId id) {
  const GraphNode& node = graph.nodes[id];
  const auto of = [&](GraphId operand) { return oracle(graph, inputs, operand); };
  switch (node.op) {
    case Op::constant: return graph.constants[node.a];
    case Op::input: return inputs[node.a];
    case Op::add: return of(node.a) + of(node.b);
    case Op::subtract: return of(node.a) - of(node.b);
    case Op::multiply: return of(node.a) * of(node.b);
    case Op::divide: return of(node.a) / of(node.b);
    case Op::negate: return -of(node.a);
    case Op::minimum: {
      const double a = of(node.a);
      const double b = of(node.b);
      return b < a ? b : a;
    }
    case Op::maximum: {
      const double a = of(node.a);
      const double b = of(node.b);
      return a < b ? b : a;
    }
    case Op::absolute: return std::fabs(of(node.a));
    case Op::ceiling: return arithmetic::ceiling(of(node.a));
    case Op::floor: return arithmetic::floor(of(node.a));
    case Op::round: return arithmetic::round(of(node.a));
    case Op::square_root: return std::sqrt(of(node.a));
    case Op::exponential: return arithmetic::exponential(of(node.a));
    case Op::logarithm: return arithmetic::logarithm(of(node.a));
    case Op::logarithm10: return arithmetic::logarithm10(of(node.a));
    case Op::power: return arithmetic::power(of(node.a), of(node.b));
    case Op::less: return of(node.a) < of(node.b) ? 1 : 0;
    case Op::less_equal: return of(node.a) <= of(node.b) ? 1 : 0;
    case Op::equal: return of(node.a) == of(node.b) ? 1 : 0;
    case Op::near_less: return arithmetic::near_less(of(node.a), of(node.b)) ? 1 : 0;
    case Op::near_less_equal: return arithmetic::near_less_equal(of(node.a), of(node.b)) ? 1 : 0;
    case Op::near_equal: return arithmetic::near_equal(of(node.a), of(node.b)) ? 1 : 0;
    case Op::logical_and: return of(node.a) != 0 && of(node.b) != 0 ? 1 : 0;
    case Op::logical_or: return of(node.a) != 0 || of(node.b) != 0 ? 1 : 0;
    case Op::logical_not: return of(node.a) == 0 ? 1 : 0;
    case Op::select: return of(node.a) != 0 ? of(node.b) : of(node.c);
    case Op::months_after: return arithmetic::months_after(of(node.a), of(node.b));
    case Op::lowest:
    case Op::lowest_date: {
      const auto before = [](double a, double b) { return a < b || (std::isnan(b) && !std::isnan(a)); };
      std::map<double, std::vector<double>, decltype(before)> days(before);
      for (GraphId i = 0; i + 1 < node.b; i += 2) days[of(graph.operands[node.a + i])].push_back(of(graph.operands[node.a + i + 1]));
      double sum = 0;
      double least = 0;
      double at = days.empty() ? 0 : days.begin()->first;
      for (const auto& [day, values] : days) {
        for (const double value : values) sum += value;
        if (sum < least) {
          least = sum;
          at = day;
        }
      }
      return node.op == Op::lowest ? least : at;
    }
  }
  return 0;
}

}  // namespace sprue::testing
