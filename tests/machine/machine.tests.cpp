// The machine computes in every lane what the oracle computes, bit for bit, whatever the lanes, blocks and threads.
#include "runtime/machine/machine.hpp"

#include <stdexcept>
#include <vector>

#include "tests/catch.hpp"
#include "tests/machine/bits.hpp"
#include "tests/machine/oracle.hpp"
#include "tests/machine/random_graph.hpp"
#include "tests/machine/sketch.hpp"

using namespace sprue;
using sprue::testing::Oracle;
using sprue::testing::Random;
using sprue::testing::random_graph;
using sprue::testing::same_bits;
using sprue::testing::Sketch;

namespace {

constexpr std::size_t most_lanes = 1000;

/// A random graph with some outputs, some inputs that vary, and what the oracle says of them in the first `most_lanes`
/// lanes.
struct Case {
  Graph graph;
  std::vector<GraphId> outputs;
  std::vector<std::uint32_t> varying;
  std::vector<std::vector<double>> values;    // of each varying input
  std::vector<std::vector<double>> expected;  // of each output

  explicit Case(std::uint64_t seed) {
    Random random(seed);
    graph = random_graph(random, 4 + random.below(60));
    const auto size = static_cast<std::uint32_t>(graph.size());
    for (std::uint32_t i = 0; i < 4; ++i) outputs.push_back(i < 2 && i < size ? size - 1 - i : random.below(size));
    const std::uint32_t out_of_eight = random.below(9);
    for (std::uint32_t i = 0; i < graph.inputs.size(); ++i) {
      if (random.below(8) < out_of_eight) varying.push_back(i);
    }
    for (std::size_t i = 0; i < varying.size(); ++i) {
      std::vector<double>& lanes = values.emplace_back();
      for (std::size_t lane = 0; lane < most_lanes; ++lane) lanes.push_back(random.number());
    }
    expected.resize(outputs.size());
    std::vector<double> inputs = graph.inputs;
    for (std::size_t lane = 0; lane < most_lanes; ++lane) {
      for (std::size_t i = 0; i < varying.size(); ++i) inputs[varying[i]] = values[i][lane];
      const Oracle oracle(graph, inputs);
      for (std::size_t i = 0; i < outputs.size(); ++i) expected[i].push_back(oracle(outputs[i]));
    }
  }

  Lanes lanes(std::size_t count) const {
    Lanes result{count, {}};
    for (std::size_t i = varying.size(); i-- > 0;) {
      result.varying.push_back({varying[i], std::span(values[i]).first(count)});
    }
    return result;
  }

  bool agrees(const Results& results, std::size_t count) const {
    bool same = results.lanes == count;
    for (std::size_t i = 0; i < outputs.size(); ++i) {
      for (std::size_t lane = 0; lane < count; ++lane) same = same && same_bits(results[i][lane], expected[i][lane]);
    }
    return same;
  }
};

}  // namespace

TEST_CASE("the machine agrees with the oracle bit for bit on random graphs", "[machine][property]") {
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    const Case random(seed);
    const Plan plan(random.graph, random.outputs, random.varying);
    for (const std::size_t lanes : {1, 2, 7, 255, 256, 257, 1000}) {
      for (const std::size_t block : {256, 512}) {
        INFO("seed " << seed << ", " << lanes << " lanes in blocks of " << block);
        REQUIRE(random.agrees(evaluate(plan, random.lanes(lanes), {block, 1}), lanes));
      }
    }
  }
}

TEST_CASE("neither the size of a block nor the number of threads changes a bit", "[machine][property]") {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    const Case random(seed);
    const Plan plan(random.graph, random.outputs, random.varying);
    for (const std::size_t block : {1, 3, 64, 4096}) {
      for (const unsigned threads : {0U, 1U, 2U, 3U, 50U}) {
        INFO("seed " << seed << ", blocks of " << block << " on " << threads << " threads");
        REQUIRE(random.agrees(evaluate(plan, random.lanes(most_lanes), {block, threads}), most_lanes));
      }
    }
  }
}

TEST_CASE("one lane at the stated inputs agrees with the oracle at every node", "[machine][property]") {
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    Random random(seed);
    const Graph graph = random_graph(random, 80);
    const Oracle oracle(graph, graph.inputs);
    const std::vector<double> all = evaluate_all(graph);
    REQUIRE(all.size() == graph.size());
    const std::vector<GraphId> outputs{79, 40, 79, 0};
    const std::vector<double> some = evaluate_once(graph, outputs);
    for (GraphId id = 0; id < graph.size(); ++id) {
      INFO("seed " << seed << ", node " << id << ", " << info(graph.nodes[id].op).name);
      REQUIRE(same_bits(all[id], oracle(id)));
    }
    for (std::size_t i = 0; i < outputs.size(); ++i) REQUIRE(same_bits(some[i], all[outputs[i]]));
  }
}

TEST_CASE("an output may be an input, a constant, another output's operand, or asked for twice", "[machine]") {
  Sketch sketch;
  const GraphId x = sketch.input(2);
  const GraphId ten = sketch.constant(10);
  const GraphId product = sketch.make(Op::multiply, x, ten);
  const GraphId sum = sketch.make(Op::add, product, x);
  const std::vector<GraphId> outputs{sum, x, ten, product, sum};
  const std::vector<std::uint32_t> varying{0};
  const std::vector<double> values{1, 2, 3};
  const Results results = evaluate(Plan(sketch.graph, outputs, varying), {3, {{0, values}}});
  const auto row = [&](std::size_t i) { return std::vector<double>(results[i].begin(), results[i].end()); };
  CHECK(row(0) == std::vector<double>{11, 22, 33});
  CHECK(row(1) == std::vector<double>{1, 2, 3});
  CHECK(row(2) == std::vector<double>{10, 10, 10});
  CHECK(row(3) == std::vector<double>{10, 20, 30});
  CHECK(row(4) == row(0));
}

TEST_CASE("inputs that no output needs may stay away from the lanes, others not", "[machine]") {
  Sketch sketch;
  const GraphId x = sketch.input(2);
  sketch.make(Op::negate, sketch.input(3));
  const std::vector<GraphId> outputs{sketch.make(Op::absolute, x)};
  const std::vector<std::uint32_t> varying{0, 1};
  const Plan plan(sketch.graph, outputs, varying);
  const std::vector<double> values{-1, 4};
  CHECK(evaluate(plan, {2, {{0, values}}})[0][0] == 1);
  CHECK_THROWS_AS(evaluate(plan, {2, {{1, values}}}), std::invalid_argument);
  CHECK_THROWS_AS(evaluate(plan, {3, {{0, values}}}), std::invalid_argument);
}

TEST_CASE("no lanes give no values", "[machine]") {
  Sketch sketch;
  const std::vector<GraphId> outputs{sketch.input(2)};
  const std::vector<std::uint32_t> varying{0};
  const Results results = evaluate(Plan(sketch.graph, outputs, varying), {});
  CHECK(results.blocks == 0);
  CHECK(results[0].empty());
}
