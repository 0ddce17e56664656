// Drivers: what a step of each input really does, worked out by hand.
#include <fmt/format.h>
#include <cmath>
#include <map>

#include "runtime/study/facts.hpp"
#include "runtime/study/responses.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

// Cost: 250 x 8 / 100% + 9 crates x 50 + 0 + 40 = 2,490. Ready on 2026-07-20.
const std::string shop =
    "use std.units\nuse std.currencies\nreport in EUR\ncountable crate\nshow crate to 0 places\nshow money/crate to 2 "
    "places\nexchange 1 USD = 0.5 EUR\n"
    "kind order {\n  volume: unit, price: money/unit, per_crate: money/crate, crate_size: unit/crate, multiple: crate\n"
    "  good: ratio, start: date, wait: time, idle: money, rush: flag, steps: table of unit to money\n"
    "  weights: series of ratio\n"
    "  headline cost: money = volume * price / good + ceil(volume / crate_size, multiple) * per_crate + idle + "
    "steps(volume) * sum(weights) + (if rush then 1 EUR else 0 EUR)\n"
    "  headline ready: date = start + wait\n"
    "  require good > 0 and good <= 1 \"a share\"\n  require multiple >= 1 crate \"whole crates\"\n}\n"
    "order o {\n  volume: 250 unit\n  price: 16 USD/unit from quote \"Q-1\" on 2026-01-01\n  per_crate: 50 EUR/crate\n"
    "  crate_size: 30 unit/crate\n  multiple: 1 crate\n  good: 100%\n  start: 2026-01-01\n"
    "  wait: 200 day within 190 .. 230\n  idle: 0 EUR\n  rush: no\n"
    "  steps: table [0 unit: 40 EUR, 1_000 unit: 30 EUR]\n  weights: [50%, 50%]\n}\n";

Run drivers(const std::string& text, std::vector<std::string> more) {
  const TemporaryFolder folder;
  folder.file("a.sprue", text);
  more.insert(more.begin(), {"drivers", "a.sprue"});
  return run_in(folder.path(), more);
}

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("a step of each input changes the figure by what it is worth, worked out by hand", "[study][drivers]") {
  const Run run = drivers(shop, {"--figure", "o.cost", "--format", "csv"});
  INFO(run.out << run.err);
  REQUIRE(run.code == 0);
  // Two crates at a time: 10 instead of 9. Never less than one. A whole 1% of 250 units is 3, at 8 EUR; the crates stay
  // 9 for 247 and 253. 2,000 / 0.99 - 2,000 = 20.2020…; more than 100% is good of nothing. 1% of 2,000, and of 450.
  CHECK(has(run.out,
            "responses_o.cost\r\ninput,stated,step,less [EUR],more [EUR],less_percent,more_percent,source\r\n"
            "o.multiple,1 crate,1 crate,not possible,50,not possible,"));
  CHECK(has(run.out, "o.volume,250 unit,3 unit,-24,24,"));
  CHECK(has(run.out, "o.good,1.0000,1%,20.2020202020"));
  CHECK(has(run.out, ",not possible,"));
  CHECK(has(run.out, "\"quote \"\"Q-1\"\" on 2026-01-01\""));
  for (const char* const path : {"exchange.USD", "o.price"}) {
    const std::size_t at = run.out.find(fmt::format("{},", path));
    REQUIRE(at != std::string::npos);
    double less = 0;
    double more = 0;
    const std::size_t numbers = run.out.find("1%,", at) + 3;
    REQUIRE(std::sscanf(run.out.c_str() + numbers, "%lf,%lf", &less, &more) == 2);
    CHECK(less == Approx(-20).epsilon(1e-12));
    CHECK(more == Approx(20).epsilon(1e-12));
  }
  CHECK(has(run.out, "o.per_crate,50.00 EUR/crate,1%,-4.5,4.5,"));
  // 250 / 29.7 and 250 / 30.3 are 9 crates, too; when it starts costs nothing.
  CHECK_FALSE(has(run.out, "o.crate_size"));
  CHECK_FALSE(has(run.out, "o.start"));
  // By size.
  CHECK(run.out.find("o.volume") < run.out.find("o.good"));
  CHECK(run.out.find("o.good") < run.out.find("o.price"));
}

TEST_CASE("a date changes by days", "[study][drivers]") {
  const Run run = drivers(shop, {"--figure", "o.ready", "--format", "csv"});
  INFO(run.out << run.err);
  CHECK(has(run.out,
            "responses_o.ready\r\ninput,stated,step,less [day],more [day],source\r\no.wait,200.0 day,1%,-2,2,\r\n"
            "o.start,2026-01-01,1 day,-1,1,\r\n"));
  // 190 and 230 days after 2026-01-01.
  CHECK(has(run.out, "o.wait,190.0 day,230.0 day,2026-07-10,2026-08-19,40.0\r\n"));
}

TEST_CASE("drivers say what is held still, and list the library's defaults when asked", "[study][drivers]") {
  const Run run = drivers(shop, {"--figure", "o.cost"});
  INFO(run.out << run.err);
  CHECK(has(run.out, "Held still: 1 table, 1 series, 1 choice or flag, 1 input that is stated as 0."));
  const std::string work =
      "use std.labor\nuse std.currencies\nreport in EUR\nlabor_rate w { rate: 7 EUR/h }\n"
      "kind ask { headline paid: money/time, of: one labor_rate }\nask a { of: w, paid: w.paid }\n";
  const Run stated = drivers(work, {"--format", "csv", "--figure", "w.paid"});
  INFO(stated.out << stated.err);
  CHECK(has(stated.out, "w.rate,7.00 EUR/h,1%,"));
  CHECK_FALSE(has(stated.out, "w.efficiency"));
  CHECK(
      has(drivers(work, {"--figure", "w.paid"}).out, "Held still: 1 default of the library (shown with --defaults)."));
  const Run all = drivers(work, {"--format", "csv", "--figure", "w.paid", "--defaults"});
  CHECK(has(all.out, "w.efficiency,"));
  CHECK_FALSE(has(drivers(work, {"--figure", "w.paid", "--defaults"}).out, "default of the library"));
}

TEST_CASE("whole numbers known before evaluation are held still, and counted as such", "[study][drivers]") {
  const std::string text = "kind k { a: whole = 2, b: ratio = 3, headline h: ratio = a * b }\nk o { a: 5, b: 7 }\n";
  const std::string shown = drivers(text, {}).out;
  CHECK(has(shown, "Held still: 1 whole number that decides how much is evaluated."));
  CHECK(has(shown, "o.b"));
  CHECK_FALSE(has(shown, "o.a "));
}

TEST_CASE("for a sum of products the change is the slope times the step, to both sides", "[study][drivers]") {
  std::string text =
      "kind t { x: ratio, f: ratio }\nkind all_of { headline h: ratio = sum(e.x * e.f for e in all t) + 3 }\n";
  for (int i = 0; i < 600; ++i)
    text += fmt::format("t t{} {{ x: {}.{}, f: {} }}\n", i, 1 + i * 7 % 50, 1 + i % 9, i % 3 == 0 ? -1 - i : 1 + i);
  text += "all_of a\n";
  const Checked checked(text);
  REQUIRE(checked.evaluation.sound);
  const GraphId figure = checked.evaluation.lowered.headlines.at(0).node;
  const double stated = checked.evaluation.value(figure);
  const Responses responses = responses_of(checked.program, checked.evaluation, {&figure, 1}, false);
  REQUIRE(responses.tried.size() == 1200);  // more than are evaluated at a time
  std::map<std::string, double> stated_at;
  for (std::uint32_t i = 0; i < checked.evaluation.lowered.inputs.size(); ++i)
    stated_at[input_path(checked.program, checked.evaluation.lowered, checked.evaluation.lowered.inputs[i])] =
        checked.evaluation.lowered.graph.inputs[i];
  for (const Response& response : responses.tried) {
    const InputOrigin& origin = checked.evaluation.lowered.inputs[response.input];
    const double x = checked.evaluation.lowered.graph.inputs[response.input];
    const std::string path = input_path(checked.program, checked.evaluation.lowered, origin);
    const double other = stated_at.at(path.substr(0, path.find('.')) + (path.ends_with(".x") ? ".f" : ".x"));
    REQUIRE(response.less.has_value());
    REQUIRE(response.more.has_value());
    CHECK((*response.more)[0] - stated == Approx(0.01 * std::fabs(x) * other).epsilon(1e-7));
    CHECK((*response.less)[0] - stated == Approx(-0.01 * std::fabs(x) * other).epsilon(1e-7));
  }
}
