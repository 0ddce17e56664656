// What a plan leaves out, does once, and keeps.
#include "runtime/machine/plan.hpp"

#include <vector>

#include "runtime/machine/machine.hpp"
#include "runtime/machine/schedule.hpp"
#include "tests/catch.hpp"
#include "tests/machine/sketch.hpp"

using namespace sprue;
using sprue::testing::Sketch;

namespace {

PlanCounters count(const Sketch& sketch, const std::vector<GraphId>& outputs,
                   const std::vector<std::uint32_t>& varying) {
  return Plan(sketch.graph, outputs, varying).counters();
}

}  // namespace

TEST_CASE("nodes no output needs are left out", "[machine][plan]") {
  Sketch sketch;
  const GraphId x = sketch.input(1);
  const GraphId wanted = sketch.make(Op::negate, x);
  GraphId unwanted = x;
  for (int i = 0; i < 10; ++i) unwanted = sketch.make(Op::add, unwanted, wanted);

  const PlanCounters counters = count(sketch, {wanted}, {0});
  CHECK(counters.nodes == 12);
  CHECK(counters.live == 2);
  CHECK(counters.hoisted == 0);
  CHECK(counters.instructions == 1);
}

TEST_CASE("nodes that depend on no varying input are evaluated once, before any lane", "[machine][plan]") {
  Sketch sketch;
  const GraphId x = sketch.input(3);
  const GraphId y = sketch.input(4);
  const GraphId square = sketch.make(Op::multiply, y, y);
  const GraphId root = sketch.make(Op::square_root, square);
  const GraphId moving = sketch.make(Op::multiply, x, root);

  CHECK(count(sketch, {moving}, {0}) == PlanCounters{5, 5, 3, 1, 0});
  CHECK(count(sketch, {moving}, {1}) == PlanCounters{5, 5, 1, 3, 2});
  CHECK(count(sketch, {moving}, {0, 1}) == PlanCounters{5, 5, 0, 3, 2});
  CHECK(count(sketch, {moving}, {}) == PlanCounters{5, 5, 5, 0, 0});

  // Whatever becomes of the graph, the plan has the values.
  const std::vector<GraphId> outputs{moving};
  const std::vector<std::uint32_t> varying{0};
  const Plan plan(sketch.graph, outputs, varying);
  sketch.graph = {};
  const std::vector<double> lanes{1, 2, 3};
  CHECK(evaluate(plan, {3, {{0, lanes}}}).values == std::vector<double>{4, 8, 12});
}

TEST_CASE("blocks are counted", "[machine][plan]") {
  Sketch sketch;
  const std::vector<GraphId> outputs{sketch.make(Op::negate, sketch.input(3))};
  const std::vector<std::uint32_t> varying{0};
  const Plan plan(sketch.graph, outputs, varying);
  const std::vector<double> lanes(257, 1.0);
  CHECK(evaluate(plan, {257, {{0, lanes}}}, {256, 1}).blocks == 2);
  CHECK(evaluate(plan, {257, {{0, lanes}}}, {512, 1}).blocks == 1);
}

TEST_CASE("a long chain needs two registers", "[machine][plan]") {
  Sketch sketch;
  GraphId at = sketch.input(1);
  for (int i = 0; i < 1000; ++i) at = sketch.make(Op::add, at, sketch.constant(i));
  const PlanCounters counters = count(sketch, {at}, {0});
  CHECK(counters.instructions == 1000);
  CHECK(counters.registers == 2);
}

TEST_CASE("an output is written where it belongs and takes no register", "[machine][plan]") {
  Sketch sketch;
  const GraphId x = sketch.input(1);
  CHECK(count(sketch, {sketch.make(Op::exponential, x)}, {0}).registers == 0);
}

TEST_CASE("sums written after all their terms still need few registers", "[machine][plan]") {
  // Two totals over a hundred parts, each part's two amounts resting on a shared figure, as in ledgers.
  Sketch sketch;
  const GraphId x = sketch.input(1);
  std::vector<GraphId> first;
  std::vector<GraphId> second;
  for (int i = 0; i < 100; ++i) {
    const GraphId shared = sketch.make(Op::multiply, x, sketch.constant(i));
    first.push_back(sketch.make(Op::exponential, shared));
    second.push_back(sketch.make(Op::square_root, shared));
  }
  std::vector<GraphId> totals;
  for (const std::vector<GraphId>& terms : {first, second}) {
    GraphId total = terms[0];
    for (std::size_t i = 1; i < terms.size(); ++i) total = sketch.make(Op::add, total, terms[i]);
    totals.push_back(total);
  }
  const PlanCounters counters = count(sketch, totals, {0});
  CHECK(counters.instructions == 498);
  CHECK(counters.registers <= 6);
}

TEST_CASE("a schedule has each value once and after what it depends on", "[machine][plan]") {
  Dependencies dependencies;
  std::uint32_t state = 1;
  for (std::uint32_t i = 0; i < 500; ++i) {
    for (std::uint32_t k = 0; i > 0 && k < i % 4; ++k) {
      state = state * 1664525U + 1013904223U;
      dependencies.of.push_back((state >> 8U) % i);
    }
    dependencies.first.push_back(static_cast<std::uint32_t>(dependencies.of.size()));
  }
  std::vector<bool> kept(500, false);
  kept[499] = kept[250] = true;
  const std::vector<std::uint32_t> order = schedule(dependencies, kept);
  REQUIRE(order.size() == 500);
  std::vector<bool> done(500, false);
  for (const std::uint32_t value : order) {
    REQUIRE(!done[value]);
    for (const std::uint32_t operand : dependencies[value]) REQUIRE(done[operand]);
    done[value] = true;
  }
}
