// The least running sum over dated amounts, in one lane and in many.
#include <cmath>
#include <limits>
#include <vector>

#include "runtime/machine/machine.hpp"
#include "tests/catch.hpp"
#include "tests/machine/sketch.hpp"

using namespace sprue;
using sprue::testing::Sketch;

namespace {

struct Step {
  double date;
  double amount;
};

/// Evaluated at one lane.
struct Lowest {
  double sum;
  double date;
};
Lowest lowest_of(const std::vector<Step>& steps) {
  Sketch sketch;
  std::vector<GraphId> operands;
  for (const Step& step : steps) {
    operands.push_back(sketch.input(step.date));
    operands.push_back(sketch.input(step.amount));
  }
  sketch.graph.operands = operands;
  const GraphId sum = sketch.make(Op::lowest, 0, static_cast<GraphId>(operands.size()));
  const GraphId date = sketch.make(Op::lowest_date, 0, static_cast<GraphId>(operands.size()));
  const std::vector<GraphId> outputs{sum, date};
  const std::vector<double> values = evaluate_once(sketch.graph, outputs);
  return {values[0], values[1]};
}

}  // namespace

TEST_CASE("amounts run up in the order of their dates, not as written", "[machine][lowest]") {
  const Lowest lowest = lowest_of({{30, 500}, {10, -100}, {20, -250}, {40, -100}});
  CHECK(lowest.sum == -350);
  CHECK(lowest.date == 20);
}

TEST_CASE("what falls on one day is one step", "[machine][lowest]") {
  const Lowest lowest = lowest_of({{10, -100}, {20, -900}, {20, 850}});
  CHECK(lowest.sum == -150);
  CHECK(lowest.date == 20);
}

TEST_CASE("the first of equal lows counts", "[machine][lowest]") {
  CHECK(lowest_of({{1, -5}, {2, 5}, {3, -5}}).date == 1);
}

TEST_CASE("lows that are equal but for rounding are equal", "[machine][lowest]") {
  // By hand: 0.30 paid, received back, paid again in two parts: -0.30 on days 1 and 3. In doubles the second is lower.
  REQUIRE(0.1 + 0.2 > 0.3);
  CHECK(lowest_of({{1, -0.3}, {2, 0.3}, {3, -0.1}, {3, -0.2}}).date == 1);
  // Nothing is left of 0.30 on day 3, so the balance is never below zero.
  CHECK(lowest_of({{1, 0.3}, {2, -0.1}, {3, -0.2}}).date == 1);
  // What comes back of a large sum is no more exact than the sum: 1234567.10 in doubles.
  CHECK(lowest_of({{1, -0.3}, {2, 1234567.1}, {3, -1234567.1}}).date == 1);
  // A cent is no rounding.
  CHECK(lowest_of({{1, -0.3}, {2, 0.3}, {3, -0.31}}).date == 3);
  CHECK(lowest_of({{1, -1e6}, {2, 1}, {3, -1.01}}).date == 3);
}

TEST_CASE("lanes decide ties as one lane does", "[machine][lowest]") {
  Sketch sketch;
  const GraphId first = sketch.constant(-0.3);
  const GraphId back = sketch.constant(0.3);
  const GraphId part = sketch.constant(-0.1);
  const GraphId rest = sketch.input(-0.2);
  const GraphId last = sketch.input(3);
  const auto list = [&](GraphId day) {
    return sketch.list(Op::lowest_date,
                       {sketch.constant(1), first, sketch.constant(2), back, sketch.constant(3), part, day, rest});
  };
  const std::vector<GraphId> outputs{list(sketch.constant(3)), list(last)};
  const std::vector<std::uint32_t> varying{0, 1};
  const std::vector<double> paid{-0.2, -0.19, -0.21};  // leaves -0.30, -0.29, -0.31
  const std::vector<double> days{3, 3, 3};
  const Results results = evaluate(Plan(sketch.graph, outputs, varying), {3, {{0, paid}, {1, days}}});
  for (std::size_t i = 0; i < 2; ++i)
    CHECK(std::vector<double>(results[i].begin(), results[i].end()) == std::vector<double>{1, 1, 3});
}

TEST_CASE("a sum that never falls below zero is lowest at its beginning", "[machine][lowest]") {
  const Lowest lowest = lowest_of({{30, 1}, {10, 5}, {20, -5}});
  CHECK(lowest.sum == 0);
  CHECK(lowest.date == 10);
  CHECK(lowest_of({}).sum == 0);
  CHECK(lowest_of({}).date == 0);
}

TEST_CASE("a date or an amount that is no number leaves none", "[machine][lowest]") {
  const double not_a_number = std::numeric_limits<double>::quiet_NaN();
  CHECK(std::isnan(lowest_of({{10, -1}, {not_a_number, 1}}).sum));
  CHECK(std::isnan(lowest_of({{10, -1}, {not_a_number, 1}}).date));
  CHECK(std::isnan(lowest_of({{10, -1}, {20, not_a_number}}).sum));
  CHECK(std::isnan(lowest_of({{10, not_a_number}}).date));
}

TEST_CASE("each lane has its own order of dates", "[machine][lowest]") {
  Sketch sketch;
  const GraphId paid = sketch.input(10);
  const GraphId cost = sketch.constant(-100);
  const GraphId earned = sketch.constant(20);
  const GraphId income = sketch.constant(300);
  const GraphId later = sketch.constant(30);
  const std::vector<GraphId> outputs{sketch.list(Op::lowest, {paid, cost, earned, income, later, cost}),
                                     sketch.list(Op::lowest_date, {paid, cost, earned, income, later, cost})};
  const std::vector<std::uint32_t> varying{0};
  const std::vector<double> days{10, 20, 25, 40, 10};
  const Results results = evaluate(Plan(sketch.graph, outputs, varying), {5, {{0, days}}});
  CHECK(std::vector<double>(results[0].begin(), results[0].end()) == std::vector<double>{-100, 0, 0, 0, -100});
  CHECK(std::vector<double>(results[1].begin(), results[1].end()) == std::vector<double>{10, 20, 20, 20, 10});
}

TEST_CASE("lanes with the same dates differ in their amounts", "[machine][lowest]") {
  Sketch sketch;
  const GraphId cost = sketch.input(-100);
  const GraphId monday = sketch.constant(10);
  const GraphId tuesday = sketch.constant(11);
  const GraphId friday = sketch.constant(14);
  const GraphId income = sketch.constant(150);
  const GraphId fee = sketch.constant(-1);
  const std::vector<GraphId> outputs{
      sketch.list(Op::lowest, {friday, cost, monday, fee, tuesday, cost, tuesday, income}),
      sketch.list(Op::lowest_date, {friday, cost, monday, fee, tuesday, cost, tuesday, income})};
  const std::vector<std::uint32_t> varying{0};
  const std::vector<double> costs{-100, -50, -200};
  const Results results = evaluate(Plan(sketch.graph, outputs, varying), {3, {{0, costs}}});
  CHECK(std::vector<double>(results[0].begin(), results[0].end()) == std::vector<double>{-51, -1, -251});
  CHECK(std::vector<double>(results[1].begin(), results[1].end()) == std::vector<double>{14, 10, 14});
}
