// The machine against the oracle on random graphs, bit for bit; and what the plan leaves out.
#include "runtime/machine/machine.hpp"

#include <cstring>
#include <random>

#include "lang/graph/builder.hpp"
#include "runtime/machine/faults.hpp"
#include "tests/catch.hpp"
#include "tests/machine/oracle.hpp"

using namespace sprue;
using sprue::testing::oracle;

namespace {

std::uint64_t bits(double value) {
  if (std::isnan(value)) return 0x7FF8000000000000ULL;
  std::uint64_t out = 0;
  std::memcpy(&out, &value, sizeof out);
  return out;
}

/// Every operation over random earlier nodes, written without the builder so that nothing is folded or shared.
Graph random_graph(std::mt19937& random, std::size_t size) {
  Graph graph;
  const auto real = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); };
  const auto pick = [&](std::size_t n) { return static_cast<GraphId>(std::uniform_int_distribution<std::size_t>(0, n - 1)(random)); };
  for (int i = 0; i < 4; ++i) {
    graph.inputs.push_back(i == 3 ? 0 : real(-3, 9));
    graph.nodes.push_back({Op::input, static_cast<GraphId>(i), 0, 0});
    graph.constants.push_back(i == 0 ? 0 : real(-2, 20000));
    graph.nodes.push_back({Op::constant, static_cast<GraphId>(i), 0, 0});
  }
  constexpr int operations = static_cast<int>(Op::lowest_date) + 1;
  while (graph.size() < size) {
    const auto op = static_cast<Op>(std::uniform_int_distribution<int>(2, operations - 1)(random));
    GraphNode node{op, 0, 0, 0};
    // Operands near the end would make the oracle's recursion explode: prefer early ones.
    const auto operand = [&] { return std::bernoulli_distribution(0.35)(random) ? pick(graph.size()) : pick(std::min<std::size_t>(graph.size(), 12)); };
    if (info(op).operands < 0) {
      node.a = static_cast<GraphId>(graph.operands.size());
      node.b = 2 * (1 + pick(5));
      for (GraphId i = 0; i < node.b; ++i) graph.operands.push_back(pick(std::min<std::size_t>(graph.size(), 12)));
    } else {
      node.a = operand();
      if (info(op).operands > 1) node.b = operand();
      if (info(op).operands > 2) node.c = operand();
    }
    graph.nodes.push_back(node);
  }
  return graph;
}

}  // namespace

TEST_CASE("the machine agrees with the oracle bit for bit on random graphs", "[machine][property]") {
  std::mt19937 random(20261125);
  for (int round = 0; round < 250; ++round) {
    const Graph graph = random_graph(random, 12 + static_cast<std::size_t>(round) % 60);
    std::vector<GraphId> outputs;
    for (GraphId id = static_cast<GraphId>(graph.size()); id-- > 0 && outputs.size() < 5;) outputs.push_back(id);
    std::vector<std::uint32_t> varying;
    for (std::uint32_t i = 0; i < graph.inputs.size(); ++i) {
      if (std::bernoulli_distribution(0.5)(random)) varying.push_back(i);
    }
    const std::size_t lanes = std::vector<std::size_t>{1, 2, 7, 255, 256, 257, 1000}[static_cast<std::size_t>(round) % 7];
    std::vector<std::vector<double>> values;
    for (std::size_t v = 0; v < varying.size(); ++v) {
      std::vector<double> lane(lanes);
      for (double& value : lane) value = std::bernoulli_distribution(0.1)(random) ? 0 : std::uniform_real_distribution<double>(-5, 900)(random);
      values.push_back(std::move(lane));
    }
    std::vector<LaneInput> inputs;
    for (std::size_t v = 0; v < varying.size(); ++v) inputs.push_back({varying[v], values[v]});
    const Plan plan(graph, outputs, varying);
    const std::vector<double> wide = evaluate_lanes(graph, plan, inputs, lanes, 256);
    const std::vector<double> narrow = evaluate_lanes(graph, plan, inputs, lanes, 64);
    for (std::size_t lane = 0; lane < lanes; lane += lanes > 10 ? 97 : 1) {
      std::vector<double> stated = graph.inputs;
      for (std::size_t v = 0; v < varying.size(); ++v) stated[varying[v]] = values[v][lane];
      for (std::size_t o = 0; o < outputs.size(); ++o) {
        CAPTURE(round, lane, o);
        const double expected = oracle(graph, stated, outputs[o]);
        REQUIRE(bits(wide[o * lanes + lane]) == bits(expected));
        REQUIRE(bits(narrow[o * lanes + lane]) == bits(expected));
      }
    }
    const std::vector<double> all = evaluate_all(graph);
    for (const GraphId id : outputs) REQUIRE(bits(all[id]) == bits(oracle(graph, graph.inputs, id)));
  }
}

TEST_CASE("a plan leaves out what no output needs and evaluates once what does not vary", "[machine]") {
  GraphBuilder builder;
  const GraphId x = builder.input(3);
  const GraphId y = builder.input(4);
  const GraphId fixed = builder.make(Op::multiply, y, builder.make(Op::add, y, builder.constant(1)));
  const GraphId moving = builder.make(Op::multiply, x, fixed);
  builder.make(Op::exponential, moving);  // nobody asks for it
  const Graph graph = builder.graph();
  const std::vector<GraphId> outputs{moving};
  const std::vector<std::uint32_t> varying{0};
  const Plan plan(graph, outputs, varying);
  CHECK(plan.counters().nodes == 7);
  CHECK(plan.counters().live == 6);
  CHECK(plan.counters().invariant == 4);
  CHECK(plan.counters().registers == 2);
  const std::vector<double> lanes{1, 2, 3};
  const std::vector<LaneInput> inputs{{0, lanes}};
  CHECK(evaluate_lanes(graph, plan, inputs, 3) == std::vector<double>{20, 40, 60});
}

TEST_CASE("registers are used again, so a long chain needs few", "[machine]") {
  GraphBuilder builder;
  const GraphId x = builder.input(1);
  GraphId at = x;
  for (int i = 1; i <= 1000; ++i) at = builder.make(Op::add, at, builder.constant(i));
  const std::vector<GraphId> outputs{at};
  const std::vector<std::uint32_t> varying{0};
  CHECK(Plan(builder.graph(), outputs, varying).counters().registers == 2);
}

TEST_CASE("the builder folds constants, shares equal nodes and spreads marks", "[machine][graph]") {
  GraphBuilder builder;
  const GraphId x = builder.input(2);
  CHECK(builder.make(Op::add, builder.constant(1), builder.constant(2)) == builder.constant(3));
  CHECK(builder.make(Op::multiply, x, builder.constant(1)) == x);
  CHECK(builder.make(Op::add, x, x) == builder.make(Op::add, x, x));
  CHECK(builder.select(builder.constant(1), x, builder.constant(9)) == x);
  const GraphId unknown = builder.input(0, mark_incomplete);
  CHECK(builder.marks(builder.make(Op::add, x, unknown)) == mark_incomplete);
  CHECK(builder.marks(builder.make(Op::add, x, builder.incomplete_zero())) == mark_incomplete);
  // 1/0 is left to be found at evaluation.
  CHECK_FALSE(builder.is_constant(builder.make(Op::divide, builder.constant(1), builder.constant(0))));
}

TEST_CASE("a fault counts only where something asked for depends on it", "[machine]") {
  GraphBuilder builder;
  const GraphId zero = builder.input(0);
  const GraphId one = builder.input(1);
  const GraphId bad = builder.make(Op::divide, one, zero);
  const GraphId guarded = builder.select(builder.make(Op::equal, zero, builder.constant(0)), one, bad);
  const Graph graph = builder.graph();
  const std::vector<double> values = evaluate_all(graph);
  const auto faults = [&](GraphId output) {
    const std::vector<GraphId> outputs{output};
    return faults_of(graph, values, demand(graph, values, outputs));
  };
  CHECK(faults(guarded).empty());
  CHECK(faults(bad) == std::vector<GraphId>{bad});
}
