// What happens exactly there: on the day, at the tolerance, at the key, at the first and last of a range.
#include "runtime/study/sampler.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/holds.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

/// 5 in on the 9th, 30 in and 20 out on the 10th, 7 out on the 11th.
const std::string cash =
    "unit s: time\nunit h = 3600 s\nunit day = 86400 s\ncurrency EUR \"Euro\" to 2 places\nreport in EUR\n"
    "ledger cash: money dated { in earned, out spent }\n"
    "kind payment { earned: money = 0 EUR, spent: money = 0 EUR, due: date\n"
    "  post cash.earned = earned on due\n  post cash.spent = spent on due }\n"
    "payment a { earned: 5 EUR, due: 2026-03-09 }\n"
    "payment b { earned: 30 EUR, spent: 20 EUR, due: 2026-03-10 }\n"
    "payment c { spent: 7 EUR, due: 2026-03-11 }\n";

/// The distribution of the only input with a range.
Distribution range_of(const std::string& program) {
  const Checked checked(program);
  INFO(program << checked.messages());
  REQUIRE(checked.evaluation.sound);
  const auto inputs = sampled_inputs(checked.program, checked.evaluation);
  REQUIRE(inputs.size() == 1);
  return inputs[0].distribution;
}

}  // namespace

TEST_CASE("`before` leaves the day out, `through` takes it in", "[language][ledger][by_hand]") {
  check_holds(cash +
              "expect cash.in_before(2026-03-10) = 5 EUR \"in before\"\n"
              "expect cash.in_through(2026-03-10) = 35 EUR and cash.in_before(2026-03-12) = 35 EUR \"in through\"\n"
              "expect cash.out_before(2026-03-10) = 0 EUR \"out before\"\n"
              "expect cash.out_through(2026-03-10) = 20 EUR \"out through\"\n"
              "expect cash.out_before(2026-03-11) = 20 EUR and cash.out_through(2026-03-11) = 27 EUR \"a day later\"\n"
              "expect cash.before(2026-03-10) = 5 EUR and cash.through(2026-03-10) = 15 EUR \"the balance\"\n"
              "expect cash.total = 8 EUR and cash.earned = 35 EUR and cash.spent = 27 EUR \"in all\"\n"
              "expect cash.of(b) = 10 EUR and cash.of(c) = -7 EUR \"of one\"\n");
}

TEST_CASE("a day is one step: what comes in and goes out on it meets before the balance is looked at",
          "[language][ledger][by_hand]") {
  check_holds(cash + "expect cash.lowest = 0 EUR and cash.lowest_date = 2026-03-09 \"never below nothing\"\n");
  // -10 on the 1st, back to -4 on the 2nd, -10 again on the 3rd: the first of the two counts.
  check_holds(cash +
              "payment d { spent: 10 EUR, due: 2026-01-01 }\npayment e { earned: 6 EUR, due: 2026-01-02 }\n"
              "payment f { spent: 6 EUR, due: 2026-01-03 }\n"
              "expect cash.lowest = -10 EUR and cash.lowest_date = 2026-01-01 \"the first of equal lows\"\n"
              "expect cash.lowest_through(2026-01-01) = -10 EUR and cash.lowest_through(2025-12-31) = 0 EUR \"on the day\"\n");
}

TEST_CASE("what is posted at noon belongs to that day", "[language][ledger][by_hand]") {
  check_holds(cash +
              "payment noon { earned: 100 EUR, due: 2026-03-10 + 12 h }\n"
              "expect cash.in_through(2026-03-10) = 135 EUR \"that day\"\n"
              "expect cash.in_before(2026-03-10) = 5 EUR \"not the day before\"\n"
              "expect cash.in_before(2026-03-11) = 135 EUR \"whole by the next\"\n");
}

TEST_CASE("a ledger asked of an instance takes in what it owns and nothing after", "[language][ledger][by_hand]") {
  check_holds(
      "ledger weight: ratio { all }\n"
      "kind box { size: ratio, parts: set of part\n  post weight.all = size }\n"
      "kind part within box { size: ratio\n  post weight.all = size }\n"
      "box a { size: 1, part p { size: 10 }, part q { size: 100 } }\nbox b { size: 1_000 }\n"
      "expect weight.of(a) = 111 and weight.of(a.p) = 10 and weight.of(a.q) = 100 and weight.of(b) = 1_000 \"each\"\n");
}

TEST_CASE("a tolerance holds at itself and fails beyond", "[language][by_hand]") {
  check_holds("expect 3.5 = 3 +- 0.5 \"above\"\nexpect 2.5 = 3 +- 0.5 \"below\"\nexpect 3 = 3 +- 0 \"none\"\n");
  CHECK(count_failing("expect 3.51 = 3 +- 0.5\nexpect 2.49 = 3 +- 0.5\nexpect 3.5 = 3 +- 0.5\n") == 2);
}

TEST_CASE("comparisons at equality, in what is expected and in formulas", "[language][by_hand]") {
  check_holds(
      "expect 1 >= 1 and 1 <= 1 and not 1 > 1 and not 1 < 1 and 1 = 1 and not 1 != 1 \"equal\"\n"
      "expect 1.000_000_000_1 = 1 and not 1.000_000_000_1 > 1 and 1 >= 1.000_000_000_1 \"within a billionth\"\n"
      "expect 1.000_000_1 > 1 and not 1.000_000_1 = 1 \"beyond\"\n"
      "kind k { a: ratio = 1, b: ratio = 1\n"
      "  least: flag = a >= b, most: flag = a <= b, more: flag = a > b, less: flag = a < b }\n"
      "k x\nexpect x.least and x.most and not x.more and not x.less \"in a formula\"\n");
}

TEST_CASE("a table answers at its key, a curve up to its last, and neither outside", "[language][by_hand]") {
  const std::string tables =
      "kind k { t: table of ratio to ratio = table [1: 10, 5: 50], c: curve of ratio to ratio = curve [1: 10, 5: 50]\n"
      "  x: ratio, at_table: ratio = t(x), at_curve: ratio = c(x) }\n";
  check_holds(tables + "k x { x: 5 }\nexpect x.at_table = 50 and x.at_curve = 50 \"the last key\"\n");
  check_holds(tables + "k x { x: 1 }\nexpect x.at_table = 10 and x.at_curve = 10 \"the first key\"\n");
  check_holds(tables + "k x { x: 4.9 }\nexpect x.at_table = 10 and x.at_curve = 49 \"between\"\n");
  check_holds(tables + "k x { x: 6 }\nexpect x.at_table = 50 \"a table goes on\"\n");
  CHECK(says(tables + "k x { x: 6 }\nexpect x.at_curve = 60 \"beyond\"\n", Code::below_table));
  CHECK(says(tables + "k x { x: 0.9 }\nexpect x.at_curve = 9 \"before\"\n", Code::below_table));
  CHECK(says(tables + "k x { x: 0.9 }\nexpect x.at_table = 9 \"before\"\n", Code::below_table));
  CHECK(says("kind k { t: table of ratio to ratio = table [1: 10, 1: 50] }\nk x\n", Code::table_order));
}

TEST_CASE("indices and ranges take in both ends, and nothing has its own answers", "[language][by_hand]") {
  check_holds(
      "kind k { s: series of ratio = [1, 2, 3], n: whole = 0 }\nk x\n"
      "expect x.s[1] = 1 and x.s[3] = 3 \"both ends\"\n"
      "expect (x.s[4] otherwise 9) = 9 and (x.s[0] otherwise 9) = 9 \"neither beyond nor before\"\n"
      "expect sum(i for i in 2 .. 4) = 9 and count(i for i in 2 .. 2) = 1 and count(i for i in 3 .. 2) = 0 \"ranges\"\n"
      "expect sum(i for i in 1 .. x.n) = 0 and not any(i > 0 for i in 1 .. x.n) \"of nothing\"\n"
      "expect every(i > 9 for i in 1 .. x.n) and (greatest(v for v in x.s where no) otherwise 7) = 7 \"of nothing\"\n");
}

TEST_CASE("what is decided on the left does not ask for the right", "[language][by_hand]") {
  check_holds(
      "kind k { spare: optional k, n: ratio = 4 }\nk x\n"
      "expect not (given(x.spare) and x.spare.n > 3) \"and\"\nexpect not given(x.spare) or x.spare.n > 3 \"or\"\n");
}

TEST_CASE("the calendar has its first and its last day", "[language][by_hand]") {
  const std::string program = "kind k { headline day: date }\nk x { day: ";
  for (const char* const day : {"1583-01-01", "2000-02-29", "9999-12-31"}) {
    INFO(day);
    CHECK(lines_of(program + day + " }\n") == "x.day = " + std::string(day) + "\n");
  }
  for (const char* const day : {"1582-12-31", "1900-02-29", "2026-13-01", "2026-04-31"}) {
    INFO(day);
    CHECK_FALSE(Checked(program + day + " }\n").program.sound);
  }
  CHECK(says("unit s: time\nunit day = 86400 s\nkind k { headline d: date = 9999-12-31 + 1 day }\nk x\n",
             Code::off_calendar));
}

TEST_CASE("dates are apart by whole days of 86,400 seconds", "[language][by_hand]") {
  check_holds(
      "unit s: time\nunit K: temperature\nunit degC = 1 K zero 273.15 K\n"
      "expect 2026-03-02 - 2026-02-28 = 172_800 s \"two days\"\nexpect 2026-02-28 + 86_400 s = 2026-03-01 \"one\"\n"
      "expect 200 degC - 20 degC = 180 K and 20 degC + 10 K = 30 degC and 20 degC - 10 K = 10 degC \"points\"\n");
}

TEST_CASE("a quote that holds to the day the work begins has not lapsed", "[checker][by_hand]") {
  const auto lapsed = [](const std::string& until, const std::string& starts) {
    return says("kind plan { start: date, n: ratio = 1 }\n" + starts +
                    "kind k { price: ratio }\nk x { price: 4 from quote \"Q\" until " + until + " }\n",
                Code::source_expired);
  };
  const std::string begins = "plan p { start: 2026-05-01 }\n";
  CHECK_FALSE(lapsed("2026-05-01", begins));
  CHECK(lapsed("2026-04-30", begins));
  // The earliest start counts.
  const std::string two = begins + "plan q { start: 2026-07-01 }\n";
  CHECK_FALSE(lapsed("2026-06-01", two));
  CHECK(lapsed("2026-04-30", two));
}

TEST_CASE("a source may end on the day it begins, and not before", "[checker][by_hand]") {
  const std::string program = "kind k { price: ratio }\nk x { price: 4 from quote \"Q\" on 2026-05-02 until ";
  CHECK_FALSE(says(program + "2026-05-02 }\n", Code::bad_source));
  CHECK(says(program + "2026-05-01 }\n", Code::bad_source));
}

TEST_CASE("a range may begin or end at its value, lie below zero, and be told by a width", "[language][study][by_hand]") {
  const std::string program = "kind k { a: ratio, headline h: ratio = a }\nk x { a: ";
  const auto is = [&](const std::string& written, double low, double mode, double high) {
    INFO(written);
    const Distribution range = range_of(program + written + " }\n");
    CHECK(range.low == Approx(low));
    CHECK(range.mode == Approx(mode));
    CHECK(range.high == Approx(high));
  };
  is("1 within 1 .. 2", 1, 1, 2);
  is("2 within 1 .. 2", 1, 2, 2);
  is("-3 within -5 .. -1", -5, -3, -1);
  is("10 +- 20%", 8, 10, 12);
  is("-10 +- 20%", -12, -10, -8);
  is("10 +- 3", 7, 10, 13);
  is("unknown within 4 .. 10", 4, 7, 10);
  CHECK(says(program + "3 within 1 .. 2 }\n", Code::bad_range));
  CHECK(says(program + "0 within 1 .. 2 }\n", Code::bad_range));
}

TEST_CASE("the width of a range about a point is a difference", "[language][study][by_hand]") {
  const std::string program =
      "unit K: temperature\nunit degC = 1 K zero 273.15 K\nkind k { a: point of temperature, headline h: temperature = a - 0 degC }\n"
      "k x { a: 200 degC +- ";
  for (const char* const width : {"10", "10 degC", "10 K"}) {
    INFO(width);
    const Distribution range = range_of(program + width + " }\n");
    CHECK(range.low == Approx(463.15));
    CHECK(range.high == Approx(483.15));
  }
}

TEST_CASE("a correlation may be whole, either way", "[checker][by_hand]") {
  const std::string program =
      "kind k { a: ratio, headline h: ratio = a }\nk x { a: 1 within 0 .. 2 }\nk y { a: 1 within 0 .. 2 }\ncorrelate x.a with y.a ";
  for (const char* const whole : {"-100%", "100%", "-1", "1"}) CHECK_FALSE(says(program + whole + "\n", Code::bad_range));
  for (const char* const beyond : {"-101%", "101%", "1.1"}) CHECK(says(program + beyond + "\n", Code::bad_range));
  CHECK(Checked(program + "-60%\n").program.correlations.at(0).value == Approx(-0.6));
}

TEST_CASE("a dated ledger needs a day and an undated one has none", "[checker][by_hand]") {
  const auto posting = [](const std::string& dated, const std::string& on) {
    return says("ledger l: ratio " + dated + " { a }\nkind k { n: ratio = 1\n  post l.a = n" + on + " }\nk x\n",
                Code::posting_date);
  };
  CHECK_FALSE(posting("", ""));
  CHECK_FALSE(posting("dated", " on 2026-01-01"));
  CHECK(posting("dated", ""));
  CHECK(posting("", " on 2026-01-01"));
}

TEST_CASE("numbers are read to the last digit", "[language][by_hand]") {
  const auto number = [](const std::string& written) {
    return Checked("kind k { headline a: ratio }\nk x { a: " + written + " }\n").figure("x.a");
  };
  CHECK(number("0.123_456_789_012_345_678") == 0.123456789012345678);
  CHECK(number("9_007_199_254_740_993.0") == 9007199254740993.0);
  CHECK(number("1_234.567_8") == 1234.5678);
  CHECK(number("-2.5e-3") == -0.0025);
}

TEST_CASE("a number, a date and a text end where they should", "[language][by_hand]") {
  const auto refused = [](const std::string& expression) {
    return !Checked("expect " + expression + "\n").program.sound;
  };
  CHECK(refused("5e = 5"));
  CHECK(refused("5e+ = 5"));
  CHECK(refused("2026-01-01x = 2026-01-01"));
  CHECK(refused("2026-01-011 = 2026-01-01"));
  // What is told is the whole of it, not a date and something behind it.
  for (const std::string date : {"2026-01-01x", "2026-01-011"}) {
    const Checked whole("expect " + date + " = 2026-01-01\n");
    CHECK(whole.messages().find("a date is written year-month-day") != std::string::npos);
    CHECK(whole.messages().find("   |        " + std::string(date == "2026-01-011" ? 11 : 10, '^') + "\n") !=
          std::string::npos);
  }
  CHECK_FALSE(refused("5e0 = 5"));
  const Checked checked(std::string("expect 1 = 2 \"a\\nb\\tc\\\\d\\\"e\"\n"));
  REQUIRE(checked.program.expectations.size() == 1);
  CHECK(checked.program.text(checked.program.expectations[0].text) == "a\nb\tc\\d\"e");
}
