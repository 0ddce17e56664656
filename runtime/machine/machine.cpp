// Blocks of lanes through the plan's steps. Each operation is a plain loop that the compiler can turn into vector code; an
// operand that does not vary is read as one number.
#include "runtime/machine/machine.hpp"

#include <algorithm>
#include <cmath>

#include "lang/graph/builder.hpp"

namespace sprue {
namespace {

struct Operand {
  const double* block = nullptr;   // null: the same in every lane
  double value = 0;
};

template <class F> void each(double* out, std::size_t n, Operand a, F f) {
  for (std::size_t i = 0; i < n; ++i) out[i] = f(a.block[i]);
}

template <class F> void each(double* out, std::size_t n, Operand a, Operand b, F f) {
  if (a.block != nullptr && b.block != nullptr) {
    for (std::size_t i = 0; i < n; ++i) out[i] = f(a.block[i], b.block[i]);
  } else if (a.block != nullptr) {
    for (std::size_t i = 0; i < n; ++i) out[i] = f(a.block[i], b.value);
  } else {
    for (std::size_t i = 0; i < n; ++i) out[i] = f(a.value, b.block[i]);
  }
}

void choose(double* out, std::size_t n, Operand a, Operand b, Operand c) {
  const auto at = [](const Operand& operand, std::size_t i) { return operand.block != nullptr ? operand.block[i] : operand.value; };
  for (std::size_t i = 0; i < n; ++i) out[i] = at(a, i) != 0 ? at(b, i) : at(c, i);
}

void run(Op op, double* out, std::size_t n, Operand a, Operand b, Operand c) {
  switch (op) {
    case Op::add: return each(out, n, a, b, [](double x, double y) { return x + y; });
    case Op::subtract: return each(out, n, a, b, [](double x, double y) { return x - y; });
    case Op::multiply: return each(out, n, a, b, [](double x, double y) { return x * y; });
    case Op::divide: return each(out, n, a, b, [](double x, double y) { return x / y; });
    case Op::minimum: return each(out, n, a, b, [](double x, double y) { return y < x ? y : x; });
    case Op::maximum: return each(out, n, a, b, [](double x, double y) { return x < y ? y : x; });
    case Op::less: return each(out, n, a, b, [](double x, double y) { return x < y ? 1.0 : 0.0; });
    case Op::less_equal: return each(out, n, a, b, [](double x, double y) { return x <= y ? 1.0 : 0.0; });
    case Op::equal: return each(out, n, a, b, [](double x, double y) { return x == y ? 1.0 : 0.0; });
    case Op::negate: return each(out, n, a, [](double x) { return -x; });
    case Op::absolute: return each(out, n, a, [](double x) { return std::fabs(x); });
    case Op::square_root: return each(out, n, a, [](double x) { return std::sqrt(x); });
    case Op::select: return choose(out, n, a, b, c);
    default: break;
  }
  if (info(op).operands == 1) return each(out, n, a, [op](double x) { return apply(op, x, 0, 0); });
  each(out, n, a, b, [op](double x, double y) { return apply(op, x, y, 0); });
}

/// One scalar node from values held by node id.
double scalar(const Graph& graph, const GraphNode& node, const std::vector<double>& values) {
  switch (node.op) {
    case Op::constant: return graph.constants[node.a];
    case Op::input: return graph.inputs[node.a];
    case Op::lowest:
    case Op::lowest_date: {
      std::vector<std::pair<double, double>> steps;
      for (GraphId i = 0; i + 1 < node.b; i += 2) steps.emplace_back(values[graph.operands[node.a + i]], values[graph.operands[node.a + i + 1]]);
      return lowest_of(steps, node.op == Op::lowest_date);
    }
    default: return apply(node.op, values[node.a], values[node.b], values[node.c]);
  }
}

}  // namespace

double lowest_of(std::vector<std::pair<double, double>>& steps, bool date) {
  // What has no date comes last, as one day, so that the order is an order.
  const auto before = [](double a, double b) { return a < b || (std::isnan(b) && !std::isnan(a)); };
  std::stable_sort(steps.begin(), steps.end(), [&](const auto& a, const auto& b) { return before(a.first, b.first); });
  double sum = 0;
  double least = 0;
  double at = steps.empty() ? 0 : steps.front().first;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    sum += steps[i].second;
    const bool day_goes_on = i + 1 < steps.size() && !before(steps[i].first, steps[i + 1].first);
    if (day_goes_on || !(sum < least)) continue;
    least = sum;
    at = steps[i].first;
  }
  return date ? at : least;
}

std::vector<double> evaluate_all(const Graph& graph) {
  std::vector<double> values(graph.size());
  for (GraphId id = 0; id < graph.size(); ++id) values[id] = scalar(graph, graph.nodes[id], values);
  return values;
}

std::vector<double> evaluate_lanes(const Graph& graph, const Plan& plan, std::span<const LaneInput> varying, std::size_t lanes, std::size_t block) {
  std::vector<double> once(graph.size(), 0);
  for (const GraphId id : plan.invariants()) once[id] = scalar(graph, graph.nodes[id], once);
  std::vector<const double*> lanes_of(graph.inputs.size(), nullptr);
  for (const LaneInput& input : varying) lanes_of[input.input] = input.values.data();
  std::vector<double> registers(plan.counters().registers * block);
  const auto block_of = [&](GraphId id) { return registers.data() + plan.register_of(id) * block; };
  const auto operand = [&](GraphId id) { return plan.varies(id) ? Operand{block_of(id), 0} : Operand{nullptr, once[id]}; };
  const std::vector<GraphId>& outputs = plan.outputs();
  std::vector<double> results(outputs.size() * lanes);
  std::vector<std::pair<double, double>> pairs;
  for (std::size_t begin = 0; begin < lanes; begin += block) {
    const std::size_t n = std::min(block, lanes - begin);
    for (const Plan::Step& step : plan.steps()) {
      const GraphNode& node = graph.nodes[step.node];
      double* const out = registers.data() + step.target * block;
      if (node.op == Op::input) {
        std::copy_n(lanes_of[node.a] + begin, n, out);
      } else if (node.op == Op::lowest || node.op == Op::lowest_date) {
        for (std::size_t i = 0; i < n; ++i) {
          pairs.clear();
          const auto at = [&](GraphId id) { return plan.varies(id) ? block_of(id)[i] : once[id]; };
          for (GraphId k = 0; k + 1 < node.b; k += 2) pairs.emplace_back(at(graph.operands[node.a + k]), at(graph.operands[node.a + k + 1]));
          out[i] = lowest_of(pairs, node.op == Op::lowest_date);
        }
      } else {
        const int operands = info(node.op).operands;
        run(node.op, out, n, operand(node.a), operands > 1 ? operand(node.b) : Operand{}, operands > 2 ? operand(node.c) : Operand{});
      }
    }
    for (std::size_t o = 0; o < outputs.size(); ++o) {
      const Operand value = operand(outputs[o]);
      double* const to = results.data() + o * lanes + begin;
      if (value.block != nullptr) {
        std::copy_n(value.block, n, to);
      } else {
        std::fill_n(to, n, value.value);
      }
    }
  }
  return results;
}

}  // namespace sprue
