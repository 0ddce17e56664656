// A date is a calendar day, wherever dates are made: fields, ledgers and listings agree about it.
#include "lang/graph/arithmetic.hpp"
#include "runtime/study/lanes.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"

using namespace sprue;
using sprue::testing::Checked;

namespace {

const std::string words =
    "unit s: time\nunit day = 86400 s\nunit h = 3600 s\ncurrency EUR \"Euro\" to 2 places\nreport in EUR\n";

double day(long year, unsigned month, unsigned of_month) {
  return static_cast<double>(arithmetic::days_from_civil(year, month, of_month));
}

void all_hold(const std::string& text) {
  const Checked checked(words + text);
  INFO(text << checked.messages());
  CHECK(checked.evaluation.sound);
  REQUIRE_FALSE(checked.evaluation.expectations_hold.empty());
  for (const bool holds : checked.evaluation.expectations_hold) CHECK(holds);
}

}  // namespace

TEST_CASE("a time added to a date gives the day that contains it", "[language][days]") {
  all_hold("expect 2026-01-15 + 0.5 day = 2026-01-15 \"noon\"\n");
  all_hold(
      "expect 2026-01-15 + 23.99 h = 2026-01-15 and 2026-01-15 + 24 h = 2026-01-16 \"midnight is the next day\"\n");
  all_hold("expect 2026-01-15 - 1 h = 2026-01-14 and 0.25 day + 2026-01-15 = 2026-01-15 \"before midnight\"\n");
  all_hold("expect 2026-03-01 - 0.5 day - 2026-01-15 = 44 day \"February 28 is 44 days after January 15\"\n");
  all_hold("expect months_after(2026-01-31 + 0.5 day, 1) = 2026-02-28 \"and months go from there\"\n");
  // 10 days in tenths, missed by a hair in doubles.
  all_hold("expect 2026-01-15 + 100 * (0.1 day) = 2026-01-25 \"rounding loses no day\"\n");
}

TEST_CASE("dates that print alike are equal, by name and across fields", "[language][days]") {
  const std::string text = words +
                           "kind k { start: date, wait: time, headline ready: date = start + wait, headline late: flag "
                           "= ready > 2026-03-05, headline same: flag = ready = 2026-03-05 }\n"
                           "k a { start: 2026-01-05, wait: 59.75 day }\n";
  const Checked checked(text);
  CHECK(checked.figure("a.ready") == day(2026, 3, 5));
  CHECK(checked.figure("a.late") == 0);
  CHECK(checked.figure("a.same") == 1);
}

TEST_CASE("what a ledger has by a day is what fields say of that day", "[language][days]") {
  const std::string text =
      words +
      "ledger cash \"Cash\": money dated { out spent }\n"
      "kind item { price: money, start: date, lead: time, due: date = start + lead\n"
      "  post cash.spent = price on due }\n"
      "kind whole { at: date = 2026-03-05\n"
      "  headline paid: money = cash.out_through(at), headline before: money = cash.out_before(at)\n"
      "  headline due: money = sum(if i.due <= at then i.price else 0 money for i in all item) }\n"
      "item a { price: 100 EUR, start: 2026-01-05, lead: 59.5 day }\n"
      "item b { price: 10 EUR, start: 2026-01-05, lead: 60.5 day }\n"
      "whole w\n";
  const Checked checked(text);
  CHECK(checked.figure("w.paid") == 100);
  CHECK(checked.figure("w.due") == 100);
  CHECK(checked.figure("w.before") == 0);
}

TEST_CASE("the middle of an unknown date is a day, and so is every date of a study", "[language][days]") {
  const Checked checked(words +
                        "kind k { on: date, headline day: date = on, headline after: date = on + 1 day }\n"
                        "k a { on: unknown within 2026-01-01 .. 2026-01-04 }\n");
  CHECK(checked.figure("a.day") == day(2026, 1, 2));
  CHECK(checked.figure("a.after") == day(2026, 1, 3));
  REQUIRE(checked.evaluation.lowered.headlines.size() == 2);
  const auto& headlines = checked.evaluation.lowered.headlines;
  const std::vector<GraphId> outputs{headlines[0].node, headlines[1].node};
  const std::vector<Lane> lanes{{{0, day(2026, 1, 2) + 0.75}}, {{0, day(2026, 1, 3)}}};
  const auto results = evaluate_lanes(checked.evaluation, outputs, lanes);
  CHECK(results[0].value() == std::vector<double>{day(2026, 1, 2), day(2026, 1, 3)});
  CHECK(results[1].value() == std::vector<double>{day(2026, 1, 3), day(2026, 1, 4)});
}

TEST_CASE("the first day of the lowest balance is not left to rounding", "[language][days]") {
  all_hold(
      "ledger cash \"Cash\": money dated { out spent, in earned }\n"
      "kind p { d: date, out: money = 0 EUR, back: money = 0 EUR\n"
      "  post cash.spent = out on d\n  post cash.earned = back on d }\n"
      "p x1 { d: 2027-01-30, out: 0.3 EUR }\np x2 { d: 2027-02-28, back: 0.3 EUR }\n"
      "p x3 { d: 2027-03-30, out: 0.1 EUR }\np x4 { d: 2027-03-30, out: 0.2 EUR }\n"
      "expect cash.lowest_date = 2027-01-30 \"-0.30 on both days\"\n");
}
