// Studies at the places where two things meet: one input changed twice, one end of a range, one trial in two parts.
#include <cmath>
#include <sstream>

#include "runtime/cli/project.hpp"
#include "runtime/study/shapley.hpp"
#include "runtime/study/shard.hpp"
#include "runtime/study/simulation.hpp"
#include "runtime/study/statistics.hpp"
#include "runtime/study/walk.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/holds.hpp"
#include "tests/support/readers.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// Cells of the CSV row that begins with the name.
std::vector<std::string> row(const std::string& csv, const std::string& name) {
  for (const auto& cells : csv_rows(csv)) {
    if (!cells.empty() && cells[0] == name) return cells;
  }
  FAIL("no row " << name << " in\n" << csv);
  return {};
}

/// The bar of each change of the first headline, by the change's path.
std::map<std::string, double> walked(const std::string& before_text, const std::string& after_text) {
  const Checked before(before_text);
  const Checked after(after_text);
  INFO(before.messages() << after.messages());
  REQUIRE(before.evaluation.sound);
  REQUIRE(after.evaluation.sound);
  const Pieces before_pieces = pieces_of(before.program, before.sources, none);
  const Pieces after_pieces = pieces_of(after.program, after.sources, none);
  const Changes changes = changes_between(before_pieces, after_pieces);
  const Walk walk = sprue::walk(changes, headline_keys(after.program, after.evaluation.lowered), project_loader({}));
  REQUIRE(walk.found);
  std::map<std::string, double> bars;
  for (std::size_t g = 0; g < walk.groups.size(); ++g)
    bars[changes.list[walk.groups[g][0]].path] = walk.bars[0][g].value;
  return bars;
}

}  // namespace

TEST_CASE("two changes that set one input share it, whichever is written first", "[study][exact][by_hand]") {
  // b is like a. Changed: a's price from 2 to 5, and b gets a price of its own, 7.
  // Nothing 2 + 2 = 4; a alone 5 + 5 = 10; b alone 2 + 7 = 9; both 5 + 7 = 12.
  // a: ((10 - 4) + (12 - 9)) / 2 = 4.5; b: ((9 - 4) + (12 - 10)) / 2 = 3.5.
  const std::string kinds =
      "kind item { price: ratio, count: ratio = 1 }\n"
      "kind total { headline sum: ratio = sum(i.price * i.count for i in all item) }\ntotal t\n";
  for (const bool copy_first : {true, false}) {
    const auto text = [&](const std::string& a, const std::string& b) { return kinds + (copy_first ? b + a : a + b); };
    const auto bars = walked(text("item a { price: 2 }\n", "item b like a { count: 1 }\n"),
                             text("item a { price: 5 }\n", "item b like a { count: 1, price: 7 }\n"));
    INFO(copy_first);
    REQUIRE(bars.size() == 2);
    CHECK(bars.at("a.price") == Approx(4.5));
    CHECK(bars.at("b.price") == Approx(3.5));
  }
}

TEST_CASE("parts of programs that differ in one end of one range are not joined", "[study][exact][by_hand]") {
  const TemporaryFolder folder;
  const auto program = [](const std::string& range) {
    return "kind k { a: ratio, headline h: ratio = a }\nk one { a: 2 within " + range + " }\n";
  };
  folder.file("a.sprue", program("1 .. 3"));
  REQUIRE(run_in(folder.path(), {"simulate", "a.sprue", "--trials", "10", "--shard", "1/1", "--out", "part"}).code ==
          0);
  const auto gathered = [&](const std::string& range) {
    folder.file("a.sprue", program(range));
    return run_in(folder.path(), {"simulate", "a.sprue", "--trials", "10", "--gather", "part"}).code;
  };
  CHECK(gathered("1 .. 3") == 0);
  for (const char* const other : {"1 .. 4", "0 .. 3", "1 .. 3 as uniform"}) {
    INFO(other);
    CHECK(gathered(other) == 2);
  }
}

TEST_CASE("parts cover every trial once, the first ones the one more", "[study][exact][by_hand]") {
  // 11 trials in 4 parts: 3, 3, 3, 2.
  const std::uint64_t first[] = {0, 3, 6, 9};
  const std::uint64_t count[] = {3, 3, 3, 2};
  for (std::uint64_t i = 0; i < 4; ++i) {
    const Stretch stretch = stretch_of(11, i + 1, 4);
    CHECK(stretch.first == first[i]);
    CHECK(stretch.count == count[i]);
  }
  CHECK(stretch_of(2, 3, 3).count == 0);
}

TEST_CASE("the odds of an expectation and their error, worked out from the trials written", "[study][exact][by_hand]") {
  // Of the trials kept, those below 4.5: the share p, its standard error the root of p (1 - p) / n.
  const TemporaryFolder folder;
  folder.file(
      "a.sprue",
      "kind k { a: ratio = 5 within 0 .. 10 as uniform, headline h: ratio = a\n  require a < 8 \"below eight\" }\n"
      "k one\nexpect one.h < 4.5 \"low\"\n");
  const Run run =
      run_in(folder.path(), {"simulate", "a.sprue", "--trials", "500", "--samples", "s.csv", "--format", "csv"});
  INFO(run.out << run.err);
  REQUIRE(run.code == 0);
  double kept = 0;
  double low = 0;
  const auto samples = csv_rows(read(folder.path() / "s.csv"));
  std::size_t column = 0;
  while (samples[0][column].find("one.h") == std::string::npos) ++column;
  for (std::size_t i = 1; i < samples.size(); ++i) {
    if (samples[i][column].empty()) continue;  // not below eight
    ++kept;
    low += std::stod(samples[i][column]) < 4.5 ? 1 : 0;
  }
  REQUIRE(kept > 300);
  REQUIRE(kept < 500);
  const double p = low / kept;
  const auto odds = row(run.out, "low");
  CHECK(std::stod(odds[2]) == Approx(100 * p).margin(0.006));
  CHECK(std::stod(odds[3]) == Approx(100 * std::sqrt(p * (1 - p) / kept)).margin(0.006));
}

TEST_CASE("the error of an estimated share is that of the mean of its pairs", "[study][exact][by_hand]") {
  // Two players, three pairs of orders. The first player's step, alone and after the other, halved and added up in each
  // pair: 1, 2 and 6. Mean 3, squares 4 + 1 + 9 = 14, error sqrt(14 / 2 / 3).
  std::vector<std::vector<std::uint32_t>> orders;
  std::vector<std::vector<double>> steps;
  for (const double mean : {1.0, 2.0, 6.0}) {
    orders.push_back({0, 1});
    steps.push_back({0, mean, 10});
    orders.push_back({1, 0});
    steps.push_back({0, 10 - mean, 10});
  }
  const auto estimates = shapley_estimates(orders, steps);
  CHECK(estimates[0].value == Approx(3));
  CHECK(estimates[1].value == Approx(7));
  CHECK(estimates[0].error == Approx(std::sqrt(14.0 / 2 / 3)));
  CHECK(estimates[1].error == Approx(std::sqrt(14.0 / 2 / 3)));
}

TEST_CASE("moments and quantiles of five numbers by hand", "[study][exact][by_hand]") {
  // 2 4 4 6 9: mean 5, squares 9 + 1 + 1 + 1 + 16 = 28, deviation sqrt(28 / 4).
  const std::vector<double> values{2, 4, 4, 6, 9};
  const Moments moments = moments_of(values);
  CHECK(moments.mean == Approx(5));
  CHECK(moments.deviation == Approx(std::sqrt(7.0)));
  CHECK(moments.mean_error == Approx(std::sqrt(7.0 / 5)));
  CHECK(quantile_of_sorted(values, 0) == 2);
  CHECK(quantile_of_sorted(values, 0.5) == 4);
  CHECK(quantile_of_sorted(values, 0.875) == Approx(7.5));
  CHECK(quantile_of_sorted(values, 1) == 9);
}

TEST_CASE("each end of a range gives its own figure, and a swing is the gap between the two",
          "[study][exact][by_hand]") {
  // 100 / a: 50 at 2, 25 at 4, 10 at 10.
  const Run run = run_on("kind k { a: ratio = 4 within 2 .. 10, headline h: ratio = 100 / a }\nk one\n",
                         {"drivers", "--format", "csv"});
  INFO(run.out);
  CHECK(has(run.out, "one.a,2.000000,10.000000,50.000000,10.000000,40.000000\r\n"));
}

TEST_CASE("a swept value that breaks a requirement shows nothing", "[study][exact][by_hand]") {
  const Run run = run_on("kind k { a: ratio = 4, headline h: ratio = 2 * a\n  require a <= 5 \"not more\" }\nk one\n",
                         {"sweep", "--vary", "one.a=4,5,6", "--format", "csv"});
  CHECK(has(run.out, "4.000000,8.000000\r\n5.000000,10.000000\r\n6.000000,not possible\r\n"));
}

TEST_CASE("a sweep in steps has both its ends", "[study][exact][by_hand]") {
  const std::string program = "kind k { a: ratio = 4, headline h: ratio = 2 * a }\nk one\n";
  CHECK(has(run_on(program, {"sweep", "--vary", "one.a=1..3 in 3", "--format", "csv"}).out,
            "1.000000,2.000000\r\n2.000000,4.000000\r\n3.000000,6.000000\r\n"));
  CHECK(has(run_on(program, {"sweep", "--vary", "one.a=1..100 in 3 log", "--format", "csv"}).out,
            "1.000000,2.000000\r\n10.000000,20.000000\r\n100.000000,200.000000\r\n"));
}

TEST_CASE("where no range is declared a solution is sought from a hundredth to a hundred times",
          "[study][exact][by_hand]") {
  const std::string program = "kind k { a: ratio = 4, headline h: ratio = 2 * a }\nk one\n";
  const auto code = [&](const std::string& until) {
    return run_on(program, {"solve", "--for", "one.a", "--until", until}).code;
  };
  CHECK(code("one.h < 0.1") == 0);   // at 0.05; the search begins at 0.04
  CHECK(code("one.h > 790") == 0);   // at 395; it ends at 400
  CHECK(code("one.h < 0.07") == 1);  // at 0.035
  CHECK(code("one.h > 810") == 1);   // at 405
}

TEST_CASE("distributions of facts: what is counted is whole, what is open is even, pert leans on its middle",
          "[study][exact][by_hand]") {
  const auto distribution = [](const std::string& type, const std::string& fact) {
    const Checked checked("countable pc\nkind k { a: " + type + ", headline h: " + type + " = a }\nk one { a: " + fact +
                          " }\n");
    REQUIRE(checked.evaluation.sound);
    return sampled_inputs(checked.program, checked.evaluation).at(0);
  };
  CHECK(distribution("pc", "5 pc within 1 .. 9").whole);
  CHECK_FALSE(distribution("ratio", "5 within 1 .. 9").whole);
  CHECK(distribution("ratio", "unknown within 1 .. 9").distribution.shape == Shape::uniform);
  CHECK(distribution("ratio", "5 within 1 .. 9").distribution.shape == Shape::triangular);
  // 2, 3 and 10: (2 + 4 x 3 + 10) / 6 = 4, the triangle's 5.
  CHECK(mean_of(distribution("ratio", "3 within 2 .. 10 as pert").distribution) == Approx(4));
  CHECK(mean_of(distribution("ratio", "3 within 2 .. 10").distribution) == Approx(5));
  const Checked counted(
      std::string("countable pc\nkind k { a: pc = 5 pc within 1 .. 9, headline h: pc = a }\nk one\n"));
  const Sampler sampler(sampled_inputs(counted.program, counted.evaluation), 1, Scheme::random, 100);
  std::vector<double> values(100);
  sampler.row(0, 0, values.size(), values.data());
  for (const double value : values) CHECK(value == std::round(value));
}
