// Slopes against finite differences: every operation by itself, and the inputs of a whole program.
#include <cmath>

#include "runtime/machine/gradient.hpp"
#include "runtime/machine/machine.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/study/lanes.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;

namespace {

/// One op over inputs.
struct Single {
  Graph graph;
  GraphId output = 0;

  Single(Op op, std::vector<double> inputs) {
    for (std::uint32_t i = 0; i < inputs.size(); ++i) graph.nodes.push_back({Op::input, i, 0, 0});
    graph.inputs = std::move(inputs);
    output = static_cast<GraphId>(graph.nodes.size());
    if (info(op).operands < 0) {
      for (GraphId i = 0; i < output; ++i) graph.operands.push_back(i);
      graph.nodes.push_back({op, 0, output, 0});
    } else {
      graph.nodes.push_back({op, 0, 1, 2});
    }
  }
  double at(std::size_t input, double value) const {
    Graph other = graph;
    other.inputs[input] = value;
    return evaluate_all(other)[output];
  }
};

}  // namespace

TEST_CASE("the slope of every smooth operation is that of a small step", "[machine][gradient]") {
  const std::vector<std::vector<double>> places{{1.7, 0.6, 2.3}, {0.4, 2.9, -1.1}, {3.1, 1.5, 0.2}};
  for (const Op op :
       {Op::add, Op::subtract, Op::multiply, Op::divide, Op::negate, Op::minimum, Op::maximum, Op::absolute,
        Op::square_root, Op::exponential, Op::logarithm, Op::logarithm10, Op::power, Op::select}) {
    for (const auto& place : places) {
      const Single single(op, place);
      const Gradient found = gradient(single.graph, evaluate_all(single.graph), single.output);
      for (std::size_t i = 0; i < static_cast<std::size_t>(info(op).operands); ++i) {
        INFO(info(op).name << " operand " << i << " at " << place[0] << ", " << place[1] << ", " << place[2]);
        const double step = 1e-6;
        const double difference = (single.at(i, place[i] + step) - single.at(i, place[i] - step)) / (2 * step);
        CHECK(found.slope[i] == Approx(difference).epsilon(1e-7).margin(1e-8));
      }
      CHECK(found.in_steps[0] == (op == Op::select ? 1 : 0));
    }
  }
}

TEST_CASE("rounding and comparisons are level and flagged", "[machine][gradient]") {
  for (const Op op : {Op::ceiling, Op::floor, Op::round, Op::less, Op::near_less_equal, Op::logical_and}) {
    const Single single(op, {1.4, 2.2});
    const Gradient found = gradient(single.graph, evaluate_all(single.graph), single.output);
    INFO(info(op).name);
    CHECK(found.slope[0] == 0);
    CHECK(found.in_steps[0] == 1);
  }
}

TEST_CASE("the lowest sum answers to what comes before it", "[machine][gradient]") {
  // Dates 1, 2, 3 with -5, -4, +20: lowest -9 after two.
  const Single single(Op::lowest, {1, -5, 2, -4, 3, 20});
  const Gradient found = gradient(single.graph, evaluate_all(single.graph), single.output);
  CHECK(found.slope == std::vector<double>{0, 1, 0, 1, 0, 0});
  CHECK(found.in_steps == std::vector<std::uint8_t>{1, 0, 1, 0, 1, 0});
}

TEST_CASE("slopes of a whole program agree with small steps of each input that has no jumps", "[machine][gradient]") {
  const testing::Checked checked(testing::source_dir() / "scenarios/herb_mill/herb_mill.sprue");
  const Evaluation& evaluation = checked.evaluation;
  for (std::size_t h = 0; h < 3; ++h) {
    const GraphId figure = evaluation.lowered.headlines[h].node;
    const double value = evaluation.value(figure);
    const Gradient found = gradient(evaluation.lowered.graph, evaluation.values, figure);
    std::vector<Lane> lanes;
    std::vector<std::uint32_t> inputs;
    for (std::uint32_t i = 0; i < found.slope.size(); ++i) {
      const double stated = evaluation.lowered.graph.inputs[i];
      if (stated == 0 || found.in_steps[i] != 0 || found.slope[i] == 0) continue;
      inputs.push_back(i);
      lanes.push_back({{i, stated * (1 + 1e-5)}});
      lanes.push_back({{i, stated * (1 - 1e-5)}});
    }
    const auto results = evaluate_lanes(evaluation, {&figure, 1}, lanes);
    std::size_t compared = 0;
    for (std::size_t k = 0; k < inputs.size(); ++k) {
      if (!results[2 * k] || !results[2 * k + 1]) continue;
      INFO(input_path(checked.program, evaluation.lowered, evaluation.lowered.inputs[inputs[k]]));
      const double difference = ((*results[2 * k])[0] - (*results[2 * k + 1])[0]) / 2e-5 / value;
      const double elasticity = found.slope[inputs[k]] * evaluation.lowered.graph.inputs[inputs[k]] / value;
      CHECK(elasticity == Approx(difference).epsilon(1e-4).margin(1e-7));
      ++compared;
    }
    CHECK(compared > 20);
  }
}
