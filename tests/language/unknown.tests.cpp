// What is not known stays so: in branches, sums, ledgers, expectations, and in the tables that show them.
#include "tests/support/golden.hpp"
#include "tests/support/holds.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

const std::string money = "currency EUR \"Euro\" to 2 places\nreport in EUR\n";

}  // namespace

TEST_CASE("a choice made by something unknown is unknown, even where both ways lead to the same",
          "[language][unknown][by_hand]") {
  CHECK(lines_of("kind k { open: ratio, a: ratio = 5, headline h: ratio = if open > 3 then a else a }\n"
                 "k x { open: unknown }\nk y { open: unknown within 1 .. 3 }\nk z { open: 1 }\n") ==
        "x.h = unknown\ny.h = 5.000000 incomplete\nz.h = 5.000000\n");
}

TEST_CASE("what rests on one unknown side of two is unknown", "[language][unknown][by_hand]") {
  CHECK(lines_of("kind k { a: ratio, b: ratio, headline sum: ratio = a + b, headline least: ratio = min(a, b) }\n"
                 "k x { a: 1, b: unknown }\nk y { a: unknown, b: 1 }\nk z { a: 1, b: unknown within 2 .. 4 }\n") ==
        "x.least = unknown\nx.sum = unknown\ny.least = unknown\ny.sum = unknown\nz.least = 1.000000 incomplete\n"
        "z.sum = 4.000000 incomplete\n");
}

TEST_CASE("an expectation on something unknown does not hold, and a requirement does not fail",
          "[cli][unknown][by_hand]") {
  const std::string open =
      "kind k { a: ratio, headline h: ratio = a\n  require a > 0 \"above nothing\" }\nk x { a: unknown }\n";
  CHECK(run_on(open, {"check"}).code == 0);
  const Run run = run_on(open + "expect x.h > 0 \"known\"\n", {"check"});
  CHECK(run.code == 1);
  CHECK(run.out == "a.sprue: 0 of 1 expectations hold\n");
  CHECK(run.err.find("it rests on something unknown") != std::string::npos);
}

TEST_CASE("a ledger leaves out what has no day, and says that it is incomplete", "[language][unknown][by_hand]") {
  // 8 on a known day, 5 on an unknown one.
  const std::string lines =
      lines_of(money +
               "ledger cash: money dated { out spent }\n"
               "kind pay { amount: money, due: date\n  post cash.spent = amount on due }\n"
               "kind whole { headline through: money = cash.through(2026-12-31), headline lowest: money = cash.lowest\n"
               "  headline total: money = cash.total }\n"
               "whole w\npay a { amount: 8 EUR, due: 2026-03-01 }\npay b { amount: 5 EUR, due: unknown }\n");
  for (const char* const line : {"w.through = -8.00 EUR incomplete\n", "w.lowest = -8.00 EUR incomplete\n",
                                 "w.total = -8.00 EUR incomplete\n", "cash.items.a = -8.00 EUR\n",
                                 "cash.items.b = 0.00 EUR incomplete\n", "cash.months.2026-03.spent = 8.00 EUR\n"}) {
    INFO(lines << line);
    CHECK(lines.find(line) != std::string::npos);
  }
}

namespace {

const std::string cash = money +
                         "ledger cash \"Cash\": money dated { in earned \"Earned\", out spent \"Spent\" }\n"
                         "kind pay { spent: money, due: date\n  post cash.spent = spent on due }\n"
                         "kind sale { earned: money, due: date\n  post cash.earned = earned on due }\n"
                         "kind whole { headline total: money = cash.total }\nwhole w\n"
                         "pay a { spent: 8 EUR, due: 2026-03-01 }\nsale c { earned: 20 EUR, due: 2026-05-01 }\n";

/// The lines of the table of months as JSON has them, cells with their marks as text has them.
std::string months(const std::string& program) {
  const Run run = run_on(program, {"report", "--section", "cash.by_month", "--format", "markdown"});
  INFO(run.out << run.err);
  REQUIRE(run.code == 0);
  std::string rows;
  for (std::size_t at = run.out.find("\n| 2026"); at != std::string::npos && run.out[at + 1] == '|';
       at = run.out.find('\n', at + 1))
    rows += run.out.substr(at + 1, run.out.find('\n', at + 1) - at);
  return rows;
}

}  // namespace

TEST_CASE("a ledger by month without anything unknown", "[write][unknown][by_hand]") {
  CHECK(months(cash) ==
        "| 2026-03 | 0.00 | -8.00 | -8.00 | -8.00 |\n| 2026-05 | 20.00 | 0.00 | 20.00 | 12.00 |\n"
        "| **Total** | **20.00** | **-8.00** | **12.00** | **12.00** |\n");
}

TEST_CASE("an open amount on a known day makes its month, what follows and the total incomplete",
          "[write][unknown][by_hand]") {
  CHECK(months(cash + "pay b { spent: unknown, due: 2026-04-01 }\n") ==
        "| 2026-03 | 0.00 | -8.00 | -8.00 | -8.00 |\n"
        "| 2026-04 | 0.00 | 0.00 (incomplete) | 0.00 (incomplete) | -8.00 (incomplete) |\n"
        "| 2026-05 | 20.00 | 0.00 | 20.00 | 12.00 (incomplete) |\n"
        "| **Total** | **20.00** | **-8.00 (incomplete)** | **12.00 (incomplete)** | **12.00 (incomplete)** |\n");
  CHECK(lines_of(cash + "pay b { spent: unknown, due: 2026-04-20 }\n")
            .find("cash.months.2026-04.spent = 0.00 EUR incomplete\n") != std::string::npos);
  CHECK(lines_of(cash + "pay b { spent: unknown, due: 2026-03-20 }\n")
            .find("cash.months.2026-03.spent = 8.00 EUR incomplete\n") != std::string::npos);
}

TEST_CASE("an amount without a day makes every balance incomplete, and every month that it may belong to",
          "[write][unknown][by_hand]") {
  CHECK(months(cash + "pay b { spent: 5 EUR, due: unknown }\n") ==
        "| 2026-03 | 0.00 | -8.00 (incomplete) | -8.00 (incomplete) | -8.00 (incomplete) |\n"
        "| 2026-05 | 20.00 | 0.00 (incomplete) | 20.00 (incomplete) | 12.00 (incomplete) |\n"
        "| **Total** | **20.00** | **-8.00 (incomplete)** | **12.00 (incomplete)** | **12.00 (incomplete)** |\n");
}

TEST_CASE("an amount on a guessed day is whole in the end and incomplete until then", "[write][unknown][by_hand]") {
  // The middle of its range is 2026-04-16.
  CHECK(months(cash + "pay b { spent: 5 EUR, due: unknown within 2026-04-01 .. 2026-05-01 }\n") ==
        "| 2026-03 | 0.00 | -8.00 | -8.00 | -8.00 |\n"
        "| 2026-04 | 0.00 | -5.00 (incomplete) | -5.00 (incomplete) | -13.00 (incomplete) |\n"
        "| 2026-05 | 20.00 | 0.00 | 20.00 | 7.00 (incomplete) |\n"
        "| **Total** | **20.00** | **-13.00** | **7.00** | **7.00** |\n");
}

TEST_CASE("an item without a day counts nothing and is told as incomplete", "[write][unknown][by_hand]") {
  const Run run = run_on(cash + "pay b { spent: 5 EUR, due: unknown }\n",
                         {"report", "--section", "cash.by_item", "--format", "markdown"});
  INFO(run.out);
  CHECK(run.out.find("| b | 0.00 (incomplete) |\n") != std::string::npos);
  CHECK(run.out.find("| a | -8.00 |\n") != std::string::npos);
}
