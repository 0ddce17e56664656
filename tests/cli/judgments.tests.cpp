// What is said where something does not hold, and what the tables of a report say of it, worked out by hand.
#include <algorithm>

#include "lang/diagnostics/fixes.hpp"
#include "lang/diagnostics/render.hpp"
#include "runtime/library/sprue.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/holds.hpp"
#include "tests/support/readers.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::string messages(const std::string& program) {
  return Checked(program).messages();
}

/// Rows of the CSV table of the name, without its head.
std::vector<std::vector<std::string>> table(const std::string& csv, const std::string& name) {
  std::vector<std::vector<std::string>> rows;
  bool inside = false;
  for (const auto& row : csv_rows(csv)) {
    if (row.size() < 2)
      inside = row.size() == 1 && row[0] == name;
    else if (inside)
      rows.push_back(row);
  }
  if (!rows.empty()) rows.erase(rows.begin());
  return rows;
}

/// The chart of the balance that these payments make.
Run balance_chart(const std::string& payments) {
  return run_on(
      "currency EUR \"Euro\" to 2 places\nreport in EUR\nledger cash: money dated { in earned, out spent }\n"
      "kind sale { amount: money, due: date\n  post cash.earned = amount on due }\n"
      "kind bill { amount: money, due: date\n  post cash.spent = amount on due }\n"
      "kind whole { headline total: money = cash.total }\nwhole w\n" +
          payments,
      {"report", "--section", "cash", "--format", "svg", "--chart", "cash_balance"});
}

}  // namespace

TEST_CASE("a failed comparison says its sides as they are written, and the gap in percent of the right one",
          "[cli][judgments][by_hand]") {
  for (const std::string condition : {"3 = 4", "3 > 4", "3 >= 4"}) {
    INFO(condition);
    const std::string said = messages("expect " + condition + " \"c\"\n");
    CHECK(has(said, "left is 3.000000, right is 4.000000"));
    CHECK(has(said, "left minus right is -1.000000 (-25.00%)"));
  }
  CHECK(has(messages("expect 5 < 4 \"c\"\n"), "left minus right is 1.000000 (+25.00%)"));
  CHECK(has(messages("expect -3 > -2 \"c\"\n"), "left minus right is -1.000000 (-50.00%)"));
  CHECK(has(messages("kind k { a: ratio = 9\n  require a < 6 \"small\" }\nk x\n"),
            "left minus right is 3.000000 (+50.00%)"));
}

TEST_CASE("the sides of comparisons behind `and` are shares where their field is one", "[cli][judgments][by_hand]") {
  const std::string text = messages(
      "show k.share in percent\nkind k { share: ratio, most: ratio = 1 }\nk a { share: 0.125 }\n"
      "expect a.most > 0 and a.share >= 50% \"half\"\n");
  INFO(text);
  CHECK(has(text, "left is 12.5 %, right is 50.0 %"));
}

TEST_CASE("the first screen shows a tolerance with its limit, and a condition of several as it is written",
          "[cli][judgments][by_hand]") {
  const std::string program =
      "kind k { a: ratio = 3, headline h: ratio = 8 * a }\nk x\naudience brief { headlines, expectations }\n"
      "expect x.h = 23 +- 1.5 \"near\"\nexpect x.h > 20 and x.a < 2 \"both\"\n";
  const std::string brief = run_on(program, {"report"}).out;
  INFO(brief);
  CHECK(has(brief, "24.000000  = 23.000000 +- 1.5"));
  CHECK(has(brief, "x.h > 20 and x.a < 2"));
  CHECK(has(run_on(program, {"report", "--all"}).out, "x.h = 23 +- 1.5"));
}

TEST_CASE("a redacted first screen does not show the condition of an expectation without a text",
          "[cli][judgments][by_hand]") {
  const Run run = run_on(
      "kind k { a: ratio = 3, headline h: ratio = 8 * a }\nk x\naudience brief { headlines, expectations }\n"
      "expect x.a < 4.0817\n",
      {"report", "--redact"});
  INFO(run.out << run.err);
  CHECK(has(run.out, "withheld"));
  CHECK_FALSE(has(run.out, "4.0817"));
}

TEST_CASE("points are shown from their zero, dates as dates", "[cli][judgments][by_hand]") {
  const std::string text =
      "unit K: temperature\nunit degC = 1 K zero 273.15 K\nshow temperature to 1 places\n"
      "kind k { headline melt: point of temperature = 230 degC, headline day: date = 2026-02-28, headline good: flag = "
      "yes }\nk x\n";
  CHECK(lines_of(text) == "x.day = 2026-02-28\nx.good = yes\nx.melt = 230.0 degC\n");
  CHECK(has(messages(text + "expect x.melt > 240 degC \"hot\"\n"), "left is 230.0 degC, right is 240.0 degC"));
}

TEST_CASE("only what a figure needs can be at fault, and only the first cause is told", "[cli][judgments][by_hand]") {
  const std::string kinds =
      "kind k { n: ratio, headline h: ratio = if n > 0 then 10 / n else 0, twice: ratio = 2 * h }\n";
  CHECK(messages(kinds + "k x { n: 0 }\n").empty());
  // One division by zero, whatever is made of it.
  const Checked faulty(std::string(
      "kind k { n: ratio, a: ratio = 10 / n, b: ratio = a + 1, headline h: ratio = 2 * b }\nk x { n: 0 }\n"));
  CHECK(faulty.diagnostics.error_count() == 1);
  CHECK(has(faulty.messages(), "division by zero"));
}

TEST_CASE("defaults of 0 and 1 are left alone, others are assumed", "[cli][judgments][by_hand]") {
  const Run run = run_on(
      "kind k { a: ratio = 0, b: ratio = 1, c: ratio = 0.5, d: ratio = 2, e: ratio, f: ratio = 3\n"
      "  headline h: ratio = a + b + c + d + e + f }\nk x { e: 1, f: 4 from quote \"Q\" }\n",
      {"report", "--section", "sources", "--format", "csv"});
  CHECK(table(run.out, "sources_of_facts") ==
        std::vector<std::vector<std::string>>{
            {"quote", "1"}, {"assumed", "2"}, {"none stated", "1"}, {"left at 0 or 1", "2"}, {"Total", "6"}});
}

TEST_CASE("a given value stands against its model in percent of the model", "[cli][judgments][by_hand]") {
  const Run run =
      run_on("kind k { n: ratio = 2, h: ratio = 4 * n, headline top: ratio = h }\nk x { h: 10 }\nk y { h: 6 }\n",
             {"report", "--section", "given_and_modelled", "--format", "csv"});
  CHECK(table(run.out, "given_and_modelled") ==
        std::vector<std::vector<std::string>>{{"x.h", "10.000000", "8.000000", "25.0"},
                                              {"y.h", "6.000000", "8.000000", "-25.0"}});
}

TEST_CASE("a ledger by item: the largest first, in whatever direction; by month: what goes out is less",
          "[cli][judgments][by_hand]") {
  const std::string text =
      "currency EUR \"Euro\" to 2 places\nreport in EUR\nledger cash: money dated { in earned, out spent }\n"
      "kind sale { amount: money, due: date\n  post cash.earned = amount on due }\n"
      "kind bill { amount: money, due: date\n  post cash.spent = amount on due }\n"
      "kind whole { headline total: money = cash.total }\nwhole w\n"
      "bill a { amount: 30 EUR, due: 2026-01-31 }\nsale b { amount: 100 EUR, due: 2026-02-01 }\n"
      "bill c { amount: 200 EUR, due: 2026-02-28 }\n";
  const std::string csv = run_on(text, {"report", "--section", "cash", "--format", "csv"}).out;
  CHECK(table(csv, "cash_by_item") == std::vector<std::vector<std::string>>{
                                          {"c", "-200.00"}, {"b", "100.00"}, {"a", "-30.00"}, {"Total", "-130.00"}});
  CHECK(table(csv, "cash_by_month") ==
        std::vector<std::vector<std::string>>{{"2026-01", "0.00", "-30.00", "-30.00", "-30.00"},
                                              {"2026-02", "100.00", "-200.00", "-100.00", "-130.00"},
                                              {"Total", "100.00", "-230.00", "-130.00", "-130.00"}});
  const std::string lines = lines_of(text);
  for (const char* const line :
       {"cash.items.a = -30.00 EUR\n", "cash.items.b = 100.00 EUR\n", "cash.months.2026-02.spent = 200.00 EUR\n",
        "cash.spent = 230.00 EUR\n", "cash.total = -130.00 EUR\n"}) {
    INFO(line);
    CHECK(has(lines, line));
  }
}

TEST_CASE("days between versions count as they are shown, whole", "[cli][judgments][by_hand]") {
  const Run run = run_on(
      "unit s: time\nunit h = 3600 s\nkind k { wait: time, headline day: date = 2026-01-01 + wait }\nk x { wait: 1 h "
      "}\n"
      "scenario late { x.wait: 47 h }\n",
      {"report", "--scenario", "base", "--scenario", "late", "--section", "scenarios", "--format", "csv"});
  INFO(run.out);
  CHECK(has(run.out, "day,2026-01-01,2026-01-02,1,,day"));
}

TEST_CASE("a figure met again deeper than it was opened is opened further", "[cli][judgments][by_hand]") {
  // `a` is first met at the last level shown, then nearer to the top: there it is opened.
  const Run run =
      run_on("kind k { n: ratio = 5, a: ratio = 2 * n, b: ratio = 3 * a, headline h: ratio = b + a }\nk x\n",
             {"explain", "x.h", "--depth", "2"});
  INFO(run.out);
  CHECK(run.code == 0);
  CHECK(has(run.out, "x.n = 5.000000"));
}

TEST_CASE("of fixes that touch, one is applied; of those apart, all; of proposals, none",
          "[checker][fixes][judgments][by_hand]") {
  Sources sources;
  const SourceId source = sources.add("a", "abcdef");
  const auto fixed = [&](const std::vector<std::pair<Span, bool>>& spans) {
    Diagnostics diagnostics;
    for (const auto& [span, sure] : spans) {
      Diagnostic& diagnostic = diagnostics.report(Code::unknown_name, span, "x");
      if (sure)
        mend(diagnostic, span, "-");
      else
        propose(diagnostic, span, "-");
    }
    return mended(diagnostics, sources, source).text;
  };
  CHECK(fixed({{{0, 1, source}, true}, {{3, 4, source}, true}}) == "-bc-ef");
  CHECK(fixed({{{3, 4, source}, true}, {{0, 1, source}, true}}) == "-bc-ef");
  CHECK(fixed({{{0, 2, source}, true}, {{2, 4, source}, true}}) == "-cdef");
  CHECK(fixed({{{0, 1, source}, false}, {{3, 4, source}, true}}) == "abc-ef");
}

TEST_CASE("carets stand under a mark at the end of a very long line", "[checker][judgments][by_hand]") {
  Sources sources;
  const std::string line = std::string(300, 'a') + "MARK" + std::string(20, 'b');
  const SourceId source = sources.add("a", line + "\r\nnext\n");
  Diagnostics diagnostics;
  diagnostics.report(Code::unknown_name, {300, 304, source}, "x");
  const std::string text = render(diagnostics, sources, {});
  const std::size_t shown = text.find(" 1 | ");
  const std::size_t next = text.find('\n', shown) + 1;
  const std::string first = text.substr(shown, next - shown - 1);
  const std::string second = text.substr(next, text.find('\n', next) - next);
  CHECK(first.find('\r') == std::string::npos);
  CHECK(first.find("MARK") == second.find("^^^^"));
  CHECK(second.find("^^^^^") == std::string::npos);
  CHECK(text.find("a:1:301: ") == 0);
  CHECK(sources.line(source, 1) == line);
  CHECK(sources.line(source, 2) == "next");
}

TEST_CASE("the chart of a balance marks the first of its lowest points", "[cli][judgments][by_hand]") {
  const Run run = balance_chart(
      "bill a { amount: 10 EUR, due: 2026-01-01 }\nsale b { amount: 6 EUR, due: 2026-01-02 }\n"
      "bill c { amount: 6 EUR, due: 2026-01-03 }\n");
  INFO(run.out << run.err);
  CHECK(has(run.out, "Lowest: -10.00 EUR on 2026-01-01"));
}

TEST_CASE("a balance that is never below zero has no lowest point to fund", "[cli][judgments][by_hand]") {
  const Run run = balance_chart(
      "sale a { amount: 10 EUR, due: 2026-01-01 }\nbill b { amount: 10 EUR, due: 2026-01-02 }\n"
      "sale c { amount: 6 EUR, due: 2026-01-03 }\n");
  INFO(run.out << run.err);
  CHECK(has(run.out, "<svg"));
  CHECK_FALSE(has(run.out, "Lowest:"));
}

TEST_CASE("odds are of the trials that give a sound program", "[cli][study][by_hand]") {
  // Even between -1 and 1: half of the trials have no square root; of the others half lie below 0.5.
  const Run run = run_on(
      "kind k { a: ratio, headline root: ratio = sqrt(a) }\nk o { a: 0.5 within -1 .. 1 as uniform }\n"
      "expect o.a < 0.5 \"small\"\n",
      {"simulate", "--trials", "4096", "--scheme", "sobol", "--format", "csv"});
  INFO(run.out << run.err);
  CHECK(has(run.out, "\nsmall,o.a < 0.5,50.00,"));
}

TEST_CASE("private columns and the ends of ranges are withheld, the rest is shown", "[cli][judgments][by_hand]") {
  const std::string text =
      "kind k { a: ratio, b: ratio, headline h: ratio = a * b }\nk x { a: 2 within 1 .. 4, b: 7.5 }\n"
      "listing all \"All\" for i in all k { open \"Open\" = i.a, private secret \"Secret\" = i.b }\n";
  const auto csv = [&](std::vector<std::string> more) {
    std::vector<std::string> all{"report", "--section", "all", "--section", "drivers", "--format", "csv"};
    all.insert(all.end(), more.begin(), more.end());
    return run_on(text, all).out;
  };
  using Rows = std::vector<std::vector<std::string>>;
  CHECK(table(csv({}), "all") == Rows{{"x", "2.000000", "7.500000"}});
  CHECK(table(csv({"--redact"}), "all") == Rows{{"x", "2.000000", "withheld"}});
  CHECK(table(csv({}), "drivers_h") == Rows{{"x.a", "1.000000", "4.000000", "7.500000", "30.000000", "22.500000"}});
  const Rows withheld = table(csv({"--redact"}), "drivers_h");
  REQUIRE(withheld.size() == 1);
  CHECK(withheld[0][1] == "withheld");
  CHECK(withheld[0][2] == "withheld");
}

TEST_CASE("an incomplete figure is told as such, a path that is none is refused", "[library][judgments][by_hand]") {
  // As a program that includes the library asks.
  const auto evaluation =
      api::Program::from_text(
          "a.sprue", "kind k { a: ratio, headline h: ratio = 2 * a }\nk x { a: unknown within 1 .. 3 }\nk y { a: 5 }\n")
          .evaluate();
  CHECK(evaluation.figure("x.h").state == api::Figure::State::incomplete);
  CHECK(evaluation.figure("y.h").state == api::Figure::State::known);
  CHECK_THROWS(evaluation.figure("x.g"));
  CHECK_THROWS(evaluation.figure("a.h"));
}
