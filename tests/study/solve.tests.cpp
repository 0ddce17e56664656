// Solutions: rounding is no turn, what really turns twice does, and the value is that of a calculation by other means.
#include <fmt/format.h>
#include <cmath>

#include "runtime/study/crossings.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

/// A condition on one input x, stated as 5.
struct Asked {
  explicit Asked(const std::string& condition)
      : checked(
            "kind k { x: ratio = 5, headline h: ratio = x }\nk one\nfunction cubed(x: ratio): ratio = x * x * x\n"
            "expect " +
            condition + " \"c\"\n") {
    INFO(checked.messages());
    REQUIRE(checked.program.sound);
  }
  Crossings crossings(double low, double high, bool whole = false) const {
    return find_crossings(checked.evaluation, checked.evaluation.lowered.expectations.at(0), 0, {low, high, whole});
  }
  Checked checked;
};

const std::string annuities =
    "use std.labor\nuse std.currencies\nreport in USD\n"
    "kind annuity { rate: ratio, years: ratio, pay: money, headline now: money = pay / capital_recovery(rate, years) "
    "}\n"
    "annuity even { rate: 5%, years: 7, pay: 10_000 USD }\nannuity other { rate: 5%, years: 7, pay: 13_256 USD }\n"
    "built_machine mill { capital: 100_000 USD, interest: 8%, years: 10, maintenance: 5%, hours: 4_000 h }\n"
    "kind ask { headline rate: money/time, m: one machine }\nask a { m: mill, rate: mill.rate }\n";

/// The rows of the table of solutions: what it does, the value, the other.
struct Row {
  std::string turn;
  double value = 0;
  double other = 0;
};
std::vector<Row> solve(const std::string& text, const std::string& input, const std::string& condition,
                       std::vector<std::string> more = {}) {
  const TemporaryFolder folder;
  folder.file("a.sprue", text);
  std::vector<std::string> arguments{"solve", "a.sprue", "--for", input, "--until", condition, "--format", "csv"};
  arguments.insert(arguments.end(), more.begin(), more.end());
  const Run run = run_in(folder.path(), arguments);
  INFO(run.out << run.err);
  CHECK(run.code == 0);
  std::vector<Row> rows;
  std::size_t at = run.out.find("\r\n", run.out.find("\r\n") + 2) + 2;
  while (at < run.out.size()) {
    const std::string line = run.out.substr(at, run.out.find("\r\n", at) - at);
    const std::size_t first = line.find(',');
    const std::size_t second = line.find(',', first + 1);
    rows.push_back({line.substr(0, first), std::stod(line.substr(first + 1)), std::stod(line.substr(second + 1))});
    at += line.size() + 2;
  }
  return rows;
}

}  // namespace

// The rates were found by bisection in decimal arithmetic of 60 digits, from the textbook's factors: the present value
// of 1 a year is (1 - (1 + i)^-n) / i, the yearly payment that pays back 1 is its reciprocal.
TEST_CASE("the rate of an annuity is that of decimal arithmetic, and one turn", "[study][solve]") {
  const double rate_of_six = 0.04009265799599705686702330;    // 60,000 is worth 7 times 10,000
  const double rate_of_other = 0.13422197369892095164892845;  // 13,256 a year is worth as much as 10,000 at 5%
  const double rate_of_mill = 0.08144165646436566281699860;   // 100,000 over 10 years, 5% upkeep, 4,000 h: 5 an hour
  for (const auto& [input, condition, turn, root] :
       {std::tuple{"even.rate", "even.now <= 60_000 USD", "holds from", rate_of_six},
        {"even.rate", "even.now >= 60_000 USD", "holds up to", rate_of_six},
        {"even.rate", "even.now = 60_000 USD", "holds at", rate_of_six},
        {"other.rate", "even.now = other.now", "holds at", rate_of_other},
        {"other.rate", "even.now >= other.now", "holds from", rate_of_other},
        {"mill.interest", "a.rate >= 5 USD/h", "holds from", rate_of_mill},
        {"mill.interest", "a.rate = 5 USD/h", "holds at", rate_of_mill}}) {
    INFO(condition);
    const std::vector<Row> rows = solve(annuities, input, condition);
    REQUIRE(rows.size() == 1);
    CHECK(rows[0].turn == turn);
    // Every digit, in CSV; the rounding errors of the program's own formula are some 1e-15 of the value.
    CHECK(std::fabs(rows[0].value / root - 1) < 2e-14);
    CHECK(std::fabs(rows[0].other / root - 1) < 1e-7);
  }
}

TEST_CASE("an amount as published leads back to the rate as published", "[study][solve]") {
  // An annuity of 10,000 for 7 years at 5% is worth 57,863.73 (present value tables: 5.7864 a unit, 7 periods).
  const std::vector<Row> rows = solve(annuities, "even.rate", "even.now >= 57_863.73 USD");
  REQUIRE(rows.size() == 1);
  CHECK(rows[0].turn == "holds up to");
  CHECK(rows[0].value == Approx(0.05).epsilon(1e-6));
}

TEST_CASE("JSON has the value with every digit", "[study][solve]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", annuities);
  const Run run = run_in(folder.path(), {"solve", "a.sprue", "--for", "even.rate", "--until", "even.now <= 60_000 USD",
                                         "--format", "json"});
  const std::string before = "[\"holds from\", ";
  REQUIRE(run.out.find(before) != std::string::npos);
  CHECK(std::fabs(std::stod(run.out.substr(run.out.find(before) + before.size())) / 0.0400926579959970568 - 1) < 2e-14);
  // A price is a number with its unit, in the currency that it is stated in.
  folder.file("b.sprue",
              "currency EUR to 2 places\ncurrency USD to 2 places\nreport in EUR\nexchange 1 USD = 0.5 EUR\nshow money "
              "to 2 places\nkind k { price: money = 8 USD, headline h: money = price * 3 }\nk one\n");
  const Run price = run_in(
      folder.path(), {"solve", "b.sprue", "--for", "one.price", "--until", "one.h >= 10 EUR", "--format", "json"});
  CHECK(price.out.find(R"({"id": "value", "title": "one.price", "unit": "USD"})") != std::string::npos);
  CHECK(std::stod(price.out.substr(price.out.find(before) + before.size())) == Approx(20.0 / 3).epsilon(1e-15));
}

TEST_CASE("rounding errors are no turns where a function is flat, nor in a condition without sides", "[study][solve]") {
  // (x - 2)^3 multiplied out: rises everywhere, and within 1e-5 of 2 is nothing but rounding.
  const Crossings flat = Asked("cubed(one.x) - 6 * one.x * one.x + 12 * one.x - 8 >= 0").crossings(0.5, 5);
  REQUIRE(flat.found.size() == 1);
  CHECK(flat.found[0].becomes_true);
  CHECK_FALSE(flat.found[0].at_point);
  CHECK(flat.found[0].after == Approx(2).margin(1e-4));
  CHECK(flat.found[0].before <= flat.found[0].after);
  // Two comparisons in one have no sides.
  const Crossings both = Asked("1 / one.x * 3 <= 0.7 and one.x <= 100").crossings(0.01, 50);
  REQUIRE(both.found.size() == 1);
  CHECK(both.found[0].after == Approx(30.0 / 7).epsilon(1e-8));
}

TEST_CASE("what turns and turns back is told twice, at one value alone as one", "[study][solve]") {
  // It holds from 2 to 2.00001, a stretch of 1e-5.
  const Crossings twice = Asked("(one.x - 2) * (2.00001 - one.x) >= 0").crossings(1.99, 2.01);
  REQUIRE(twice.found.size() == 2);
  CHECK(twice.found[0].after == Approx(2).epsilon(1e-12));
  CHECK(twice.found[1].before == Approx(2.00001).epsilon(1e-12));
  // A step is equal to its value over its whole length.
  const Crossings step = Asked("ceil(one.x) = 3").crossings(0, 5);
  REQUIRE(step.found.size() == 2);
  CHECK(step.found[0].after == Approx(2).epsilon(1e-8));
  CHECK(step.found[1].before == Approx(3).epsilon(1e-8));
  CHECK_FALSE(step.found[0].at_point);
  // A line meets a value once, and a parabola twice.
  const Crossings line = Asked("7 * one.x = 3").crossings(0, 5);
  REQUIRE(line.found.size() == 1);
  CHECK(line.found[0].at_point);
  CHECK(line.found[0].becomes_true);
  CHECK(line.found[0].point == Approx(3.0 / 7).epsilon(1e-15));
  CHECK(Asked("one.x * one.x - 5 * one.x + 6 = 0.7").crossings(0.1, 9).found.size() == 2);
  // What jumps over a value never equals it.
  CHECK(Asked("ceil(one.x) = 2.5").crossings(0.1, 9).found.empty());
  CHECK(Asked("one.x = 3 +- 0.5").crossings(0.1, 9).found.size() == 2);
}

TEST_CASE("whole things turn between neighbors, however large they are", "[study][solve]") {
  const Crossings one = Asked("one.x = 30_000_000").crossings(1, 1e10, true);
  REQUIRE(one.found.size() == 2);
  CHECK(one.found[0].before == 29'999'999);
  CHECK(one.found[0].after == 30'000'000);
  CHECK(one.found[1].before == 30'000'000);
  CHECK(one.found[1].after == 30'000'001);
}
