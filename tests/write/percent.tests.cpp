// Ratios that are shares: percentages for people, plain numbers for programs.
#include "runtime/study/headlines.hpp"
#include "runtime/view/columns.hpp"
#include "runtime/view/report.hpp"
#include "runtime/write/write.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// A margin of (8 - 4.505) / 8 = 0.436875, and of (8 - 5) / 8 = 0.375 in the scenario: 6.1875 points less.
const std::string text =
    "countable unit\ncurrency EUR to 2 places\nreport in EUR\nshow money/unit to 4 places\nshow ratio to 4 places\n"
    "kind base { cost: money/unit, price: money/unit = 8 EUR/unit\n"
    "  headline margin \"Margin\": ratio = (price - cost) / price\n  headline factor \"Factor\": ratio = price / cost "
    "}\n"
    "kind shop is base { }\n"
    "show base.margin in percent\n"
    "listing shops for s in all shop { margin = s.margin, twice = 2 * s.margin }\n"
    "shop a { cost: 4.505 EUR/unit }\n"
    "scenario dear { a.cost: 5 EUR/unit }\n"
    "expect a.margin >= 50% \"half\"\n";

}  // namespace

TEST_CASE("a share is a percentage for people, of derived kinds too, and a plain number for programs",
          "[write][percent]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", text);
  const auto report = [&](const std::string& format) {
    return run_in(folder.path(), {"report", "a.sprue", "--all-scenarios", "--format", format}).out;
  };
  const std::string people = report("text");
  CHECK(has(people, "Margin  43.7 %\n"));
  CHECK(has(people, "Factor  1.7758\n"));
  CHECK_FALSE(has(people, "0.4369"));
  // The scenario's change: 37.5 less 43.6875 is -6.1875 points, not a percentage of a percentage.
  CHECK(has(people, "43.7    37.5  -6.2 points"));
  CHECK(has(people, "margin [%]"));
  CHECK(has(report("markdown"), "margin (%)"));
  CHECK(has(report("html"), "43.7 %"));
  CHECK(has(report("csv"), "Margin,0.4369,"));
  CHECK(has(report("csv"), "0.4369,0.3750,-0.0619"));
  CHECK(has(report("json"), "0.436875"));
  CHECK_FALSE(has(report("csv"), "43.7"));
  CHECK_FALSE(has(report("json"), "43.7"));
  const std::string lines = run_in(folder.path(), {"report", "a.sprue", "--format", "lines"}).out;
  CHECK(has(lines, "a.margin = 0.4369\n"));
  // What a formula makes of it is its own.
  CHECK(has(lines, "shops.a.twice = 0.8738\n"));
  CHECK(has(people, "0.8738"));
}

TEST_CASE("a share is a percentage in what is explained, judged, swept, solved and compared", "[cli][percent]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", text);
  CHECK(has(run_in(folder.path(), {"explain", "a.sprue", "a.margin"}).out, "a.margin = 43.7 %\n"));
  const std::string said = run_in(folder.path(), {"check", "a.sprue"}).err;
  CHECK(has(said, "left is 43.7 %, right is 50.0 %"));
  CHECK(has(said, "left minus right is -6.3 points"));
  const std::string sweep =
      run_in(folder.path(), {"sweep", "a.sprue", "--vary", "a.cost=4,5", "--figure", "a.margin"}).out;
  CHECK(has(sweep, "[%]"));
  CHECK(has(sweep, "50.0"));
  CHECK(
      has(run_in(folder.path(), {"sweep", "a.sprue", "--vary", "a.cost=4,5", "--figure", "a.margin", "--format", "csv"})
              .out,
          "0.5000"));
  const std::string compared = run_in(folder.path(), {"compare", "a.sprue", "#dear"}).out;
  CHECK(has(compared, "-6.2 points"));
  CHECK(has(run_in(folder.path(), {"compare", "a.sprue", "#dear", "--format", "csv"}).out, "-0.0619"));
}

TEST_CASE("the file that uses a module says how its shares are shown, and the nearest kind decides",
          "[checker][percent]") {
  const TemporaryFolder folder;
  folder.file("kinds.sprue",
              "kind base { headline a \"A\": ratio = 0.12345 }\nkind near is base { }\nshow base.a in percent\nshow "
              "near.a in percent to 3 places\n");
  folder.file("one.sprue", "use \"kinds.sprue\"\nbase x\n");
  folder.file("two.sprue", "use \"kinds.sprue\"\nshow base.a in percent to 2 places\nbase x\n");
  folder.file("three.sprue", "use \"kinds.sprue\"\nshow base.a in percent to 2 places\nnear x\n");
  const auto shown = [&](const std::string& file) { return run_in(folder.path(), {"report", file}).out; };
  CHECK(has(shown("one.sprue"), "12.3 %"));
  CHECK(has(shown("two.sprue"), "12.35 %"));
  CHECK(has(shown("three.sprue"), "12.345 %"));
}
