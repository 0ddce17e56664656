// The oracle: the plainest evaluator one can write. It recurses from a node to the leaves, at one lane, shares nothing
// and remembers nothing, so its time grows with the tree a node unfolds to: for small graphs only.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>
#include <utility>
#include <vector>

#include "lang/graph/arithmetic.hpp"
#include "lang/graph/graph.hpp"

namespace sprue::testing {

class Oracle {
 public:
  /// `inputs` has a value for each of the graph's inputs.
  Oracle(const Graph& graph, std::span<const double> inputs) : graph_(graph), inputs_(inputs) {}

  double operator()(GraphId id) const {
    const GraphNode& node = graph_.nodes[id];
    const int operands = info(node.op).operands;
    const double a = operands > 0 ? (*this)(node.a) : 0;
    const double b = operands > 1 ? (*this)(node.b) : 0;
    const double c = operands > 2 ? (*this)(node.c) : 0;
    const auto flag = [](bool holds) { return holds ? 1.0 : 0.0; };
    switch (node.op) {
      case Op::constant:
        return graph_.constants[node.a];
      case Op::input:
        return inputs_[node.a];
      case Op::add:
        return a + b;
      case Op::subtract:
        return a - b;
      case Op::multiply:
        return a * b;
      case Op::divide:
        return a / b;
      case Op::negate:
        return -a;
      case Op::minimum:
        return arithmetic::minimum(a, b);
      case Op::maximum:
        return arithmetic::maximum(a, b);
      case Op::absolute:
        return std::fabs(a);
      case Op::ceiling:
        return arithmetic::ceiling(a);
      case Op::floor:
        return arithmetic::floor(a);
      case Op::round:
        return arithmetic::round(a);
      case Op::square_root:
        return std::sqrt(a);
      case Op::exponential:
        return arithmetic::exponential(a);
      case Op::logarithm:
        return arithmetic::logarithm(a);
      case Op::logarithm10:
        return arithmetic::logarithm10(a);
      case Op::power:
        return arithmetic::power(a, b);
      case Op::less:
        return flag(a < b);
      case Op::less_equal:
        return flag(a <= b);
      case Op::equal:
        return flag(a == b);
      case Op::near_less:
        return flag(arithmetic::near_less(a, b));
      case Op::near_less_equal:
        return flag(arithmetic::near_less_equal(a, b));
      case Op::near_equal:
        return flag(arithmetic::near_equal(a, b));
      case Op::logical_and:
        return flag(a != 0 && b != 0);
      case Op::logical_or:
        return flag(a != 0 || b != 0);
      case Op::logical_not:
        return flag(a == 0);
      case Op::select:
        return a != 0 ? b : c;
      case Op::months_after:
        return arithmetic::months_after(a, b);
      case Op::lowest:
        return lowest(node).first;
      case Op::lowest_date:
        return lowest(node).second;
    }
    return 0;
  }

 private:
  /// The least running sum and its date.
  std::pair<double, double> lowest(const GraphNode& node) const {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    std::vector<std::pair<double, double>> steps;
    for (GraphId i = 0; i + 1 < node.b; i += 2) {
      steps.emplace_back((*this)(graph_.operands[node.a + i]), (*this)(graph_.operands[node.a + i + 1]));
      if (std::isnan(steps.back().first)) return {nan, nan};
    }
    if (steps.empty()) return {0, 0};
    std::stable_sort(steps.begin(), steps.end(), [](const auto& x, const auto& y) { return x.first < y.first; });
    double sum = 0;
    double least = 0;
    double date = steps.front().first;
    double at_date = 0;
    double largest = 0;
    for (std::size_t i = 0; i < steps.size(); ++i) {
      sum += steps[i].second;
      if (std::fabs(sum) > largest) largest = std::fabs(sum);
      const bool day_ends = i + 1 == steps.size() || steps[i + 1].first != steps[i].first;
      if (!day_ends) continue;
      if (sum < least) least = sum;
      if (at_date - sum <= 1e-9 * largest || std::isnan(at_date - sum)) continue;  // the same, but for rounding
      at_date = sum;
      date = steps[i].first;
    }
    if (std::isnan(sum)) return {nan, nan};
    return {least, date};
  }

  const Graph& graph_;
  std::span<const double> inputs_;
};

}  // namespace sprue::testing
