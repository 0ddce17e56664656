// Sweeps and solutions: what jumps jumps where it does, every turn is found, whole things stay whole, and never says
// why.
#include <fmt/format.h>

#include "runtime/study/crossings.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

const std::string plan =
    "countable unit\ncountable crate\ncurrency EUR \"Euro\" to 2 places\ncurrency USD to 2 places\nexchange 1 USD = "
    "0.5 EUR within 0.4 .. 0.8\n"
    "report in EUR\nshow money/unit to 4 places\nshow unit to 0 places\ndimension length\nunit m: length\nunit cm = "
    "0.01 m\n"
    "kind plan {\n  volume: unit = 100 unit within 10 .. 1_000\n  price: money/unit = 8 USD/unit\n  start: date = "
    "2026-01-01\n  size: length = 2 m\n"
    "  crates: crate = ceil(volume / (30 unit/crate))\n"
    "  headline cost \"Cost\": money = crates * 50 EUR/crate + 100 EUR\n  headline earned \"Earned\": money = price * "
    "volume\n"
    "  headline gain \"Gain\": money = earned - cost\n  wave: ratio = (volume / 100 unit - 1) * (volume / 100 unit - "
    "3) * (volume / 100 unit - 7)\n"
    "  require volume < 900 unit \"not so many\" }\nplan p\n";

Run run(const std::vector<std::string>& arguments) {
  const TemporaryFolder folder;
  folder.file("plan.sprue", plan);
  std::vector<std::string> all{arguments[0], "plan.sprue"};
  all.insert(all.end(), arguments.begin() + 1, arguments.end());
  return run_in(folder.path(), all);
}

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// A graph with one input x and the condition made of it.
struct Simple {
  Evaluation evaluation;
  Check condition;

  explicit Simple(const std::string& text)
      : checked(
            "kind k { x: ratio = 5, y: ratio = 0 }\nk one\nkind t { headline h: ratio = (the k).x + (the k).y }\nt "
            "two\n"
            "function f(x: ratio): ratio = " +
            text + "\nexpect f(one.x) >= 0 \"c\"\n") {
    REQUIRE(checked.program.sound);
  }
  Crossings crossings(double low, double high, bool whole = false) const {
    std::uint32_t input = none;
    for (std::uint32_t i = 0; i < checked.evaluation.lowered.inputs.size(); ++i) {
      if (checked.evaluation.lowered.graph.inputs[i] == 5) input = i;
    }
    return find_crossings(checked.evaluation, checked.evaluation.lowered.expectations.at(0), input, {low, high, whole});
  }
  Checked checked;
};

}  // namespace

TEST_CASE("every turn of a condition is found to the last digits", "[study][solve]") {
  const Crossings cubic = Simple("(x - 1) * (x - 3) * (x - 7)").crossings(0, 10);
  REQUIRE(cubic.found.size() == 3);
  const double roots[] = {1, 3, 7};
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK(cubic.found[i].after == Approx(roots[i]).epsilon(1e-12));
    CHECK(cubic.found[i].before < cubic.found[i].after);
    CHECK(cubic.found[i].after - cubic.found[i].before < 1e-14 * 10);
    CHECK(cubic.found[i].becomes_true == (i != 1));
  }
  CHECK_FALSE(cubic.true_at_low);
  CHECK(cubic.true_at_high);
  // The square root of two, as published: 1.41421356237309504880.
  const Crossings root = Simple("x * x - 2").crossings(0.01, 100);
  REQUIRE(root.found.size() == 1);
  CHECK(root.found[0].after == Approx(1.4142135623730951).epsilon(1e-9));
}

TEST_CASE("two turns between points that lie close together are both found", "[study][solve]") {
  const Crossings close = Simple("(x - 5.001) * (x - 5.0)").crossings(4, 6);
  REQUIRE(close.found.size() == 2);
  CHECK(close.found[0].before == Approx(5.0).epsilon(1e-6));
  CHECK(close.found[1].after == Approx(5.001).epsilon(1e-6));
}

TEST_CASE("whole things are whole, and a jump is where it is", "[study][solve]") {
  const Crossings jump = Simple("floor(x / 30) - 4").crossings(1, 1000, true);
  REQUIRE(jump.found.size() == 1);
  CHECK(jump.found[0].before == 119);
  CHECK(jump.found[0].after == 120);
}

TEST_CASE("never is told with the nearest it comes", "[study][solve]") {
  const Crossings never = Simple("0 - 1 - (x - 6) * (x - 6)").crossings(0, 10);
  CHECK(never.found.empty());
  CHECK_FALSE(never.true_at_low);
  CHECK(never.has_sides);
  CHECK(never.nearest == Approx(6).margin(0.01));
  CHECK(never.left == Approx(-1).margin(0.001));
  CHECK(never.right == 0);
  const Run run_of = run({"solve", "--for", "p.volume", "--until", "p.gain >= 5_000 EUR"});
  CHECK(run_of.code == 1);
  CHECK(has(run_of.out, "Never: it holds nowhere in this range. Its sides come nearest at"));
}

TEST_CASE("solve finds the break-even volume, in whole units", "[study][solve]") {
  // 4 EUR a unit against 100 EUR and 50 EUR for each 30 units begun: worked out by counting. It breaks even, and no
  // longer, and again, because crates come whole.
  std::string expected;
  const auto gains = [](long volume) { return 4 * volume - 100 - 50 * ((volume + 29) / 30) >= 0; };
  for (long volume = 11; volume < 900; ++volume) {
    if (gains(volume) == gains(volume - 1)) continue;
    expected += gains(volume) ? fmt::format("holds from,{},{}", volume, volume - 1)
                              : fmt::format("holds up to,{},{}", volume - 1, volume);
    expected += fmt::format(",{}.00\r\n", gains(volume) ? 4 * volume - 100 - 50 * ((volume + 29) / 30)
                                                        : 4 * (volume - 1) - 100 - 50 * ((volume + 28) / 30));
  }
  const Run table =
      run({"solve", "--for", "p.volume", "--until", "p.gain >= 0 EUR", "--figure", "p.gain", "--format", "csv"});
  CHECK(has(table.out, expected));
  const Run solved = run({"solve", "--for", "p.volume", "--until", "p.gain >= 0 EUR", "--figure", "p.gain"});
  INFO(solved.out << solved.err);
  CHECK(solved.code == 0);
  CHECK(has(solved.out, "give no sound program and are passed over"));
}

TEST_CASE("solve turns down what it cannot use, and says what to write", "[study][solve]") {
  CHECK(has(run({"solve", "--for", "p.crates", "--until", "p.gain >= 0 EUR"}).err, "it is worked out from others"));
  CHECK(has(run({"solve", "--for", "p.volum", "--until", "p.gain >= 0 EUR"}).err, "did you mean `p.volume`?"));
  const Run wrong = run({"solve", "--for", "p.volume", "--until", "p.gain >= 0 m"});
  CHECK(wrong.code == 2);
  CHECK(has(wrong.err, "command line:2:8: error:"));
  CHECK(has(run({"solve", "--for", "p.volume", "--until", "p.gain >= 0 EUR", "--from", "10 m"}).err,
            "is in another dimension than the input"));
  CHECK(has(run({"solve", "--for", "p.start", "--until", "p.gain >= 0 EUR"}).err, "say it with --from and --to"));
  CHECK(has(run({"solve", "--for", "p.volume", "--until", "p.gain >= 0 EUR", "--from", "90", "--to", "80"}).err,
            "the range to look in is empty"));
  CHECK(has(run({"solve", "--for", "p.volume", "--until", "p.gain >= 0 EUR\nexpect 1 = 2"}).err, "one condition"));
}

TEST_CASE("a sweep steps where things jump, and says where nothing sound comes out", "[study][sweep]") {
  const Run sweep =
      run({"sweep", "--vary", "p.volume=29,30,31,900", "--figure", "p.cost", "--figure", "p.gain", "--format", "csv"});
  INFO(sweep.out << sweep.err);
  CHECK(sweep.code == 0);
  CHECK(has(sweep.out,
            "29 unit,150.00,-34.00\r\n30 unit,150.00,-30.00\r\n31 unit,200.00,-76.00\r\n900 unit,not possible,not "
            "possible\r\n"));
  const Run ratios = run({"sweep", "--vary", "p.volume=10..640 in 7 log", "--figure", "p.earned", "--format", "csv"});
  for (const char* row : {"10 unit,40.00", "20 unit,80.00", "40 unit,160.00", "80 unit,320.00", "160 unit,640.00",
                          "320 unit,1280.00", "640 unit,2560.00"})
    CHECK(has(ratios.out, row));
}

TEST_CASE("a sweep over two inputs is a grid", "[study][sweep]") {
  const Run grid = run({"sweep", "--vary", "p.volume = 50, 100", "--vary", "exchange.USD=0.5,0.75", "--figure",
                        "p.earned", "--format", "csv"});
  INFO(grid.out << grid.err);
  CHECK(has(grid.out, "50 unit,200.00,300.00\r\n100 unit,400.00,600.00\r\n"));
  CHECK(has(run({"sweep", "--vary", "p.price=8 USD/unit,9 USD/unit", "--figure", "p.earned"}).out, "9.0000 USD/unit"));
  CHECK(has(run({"sweep", "--vary", "p.price=8 EUR/unit", "--figure", "p.earned"}).err,
            "is in another currency than the input is stated in"));
  CHECK(
      has(run({"sweep", "--vary", "p.volume=1,2", "--vary", "p.volume=3"}).err, "both sweeps are over the same input"));
  for (const std::string wrong : {"p.volume", "p.volume=", "p.volume=a", "p.volume=9..1", "p.volume=1..9 in 1",
                                  "p.volume=1..9 in x", "=3", "p.volume=0..5 in 3 log"}) {
    INFO(wrong);
    CHECK(run({"sweep", "--vary", wrong}).code == 2);
  }
}

TEST_CASE("dates are varied and solved for as the language writes them", "[study][sweep]") {
  const Run days = run({"sweep", "--vary", "p.start=2026-02-28,2028-02-29", "--figure", "p.start", "--format", "csv"});
  INFO(days.out << days.err);
  CHECK(has(days.out, "2026-02-28,2026-02-28\r\n2028-02-29,2028-02-29\r\n"));
  for (const char* const wrong : {"2026-02-29", "2026-13-01", "2026-1-1", "12", "2026-01-011"}) {
    const Run none = run({"sweep", "--vary", fmt::format("p.start={}", wrong)});
    CHECK(none.code == 2);
    CHECK(has(none.err, "is no date"));
  }
  const Run solved = run(
      {"solve", "--for", "p.start", "--until", "p.start >= 2026-05-01", "--from", "2026-01-01", "--to", "2026-12-31"});
  INFO(solved.out << solved.err);
  CHECK(has(solved.out, "2026-05-01"));
}

TEST_CASE("a temperature on the command line is a point, by its degrees", "[study][sweep]") {
  const TemporaryFolder folder;
  folder.file("a.sprue",
              "use std.units\nkind k { melt: point of temperature, headline above: temperature = melt - 20 degC }\n"
              "k a { melt: 220 degC within 210 .. 240 degC }\n");
  const auto run_with = [&](std::vector<std::string> more) {
    more.insert(more.end(), {"--figure", "a.above", "--format", "csv"});
    more.insert(more.begin() + 1, "a.sprue");
    return run_in(folder.path(), more);
  };
  // 200 - 20 and 250 - 20, in K; a number without a unit is in degrees, too; halfway is no whole number of K.
  const std::string expected = "200.0 degC,180.0\r\n250.0 degC,230.0\r\n";
  for (const char* const values : {"a.melt=200 degC,250 degC", "a.melt=200,250"}) {
    const Run sweep = run_with({"sweep", "--vary", values});
    INFO(sweep.out << sweep.err);
    CHECK(has(sweep.out, expected));
  }
  CHECK(has(run_with({"sweep", "--vary", "a.melt=200 degC..205 degC in 3"}).out, "202.5 degC,182.5\r\n"));
  const Run solved = run_with({"solve", "--for", "a.melt", "--until", "a.above >= 200.25 K"});
  INFO(solved.out << solved.err);
  CHECK(has(solved.out, "value [degC],other [degC]"));
  const std::size_t at = solved.out.find("holds from,");
  REQUIRE(at != std::string::npos);
  CHECK(std::stod(solved.out.substr(at + 11)) == Approx(220.25).epsilon(1e-12));
  // The ends of the range, 190 K and 220 K above 20 degC.
  CHECK(has(run_with({"drivers"}).out, "a.melt,210.0 degC,240.0 degC,190.0,220.0,30.0\r\n"));
}

TEST_CASE("an exchange rate of a hundred has its range for a hundred, too", "[study][drivers]") {
  // 20,000 JPY at 0.60 EUR a hundred are 120 EUR; at 0.55 and 0.66 they are 110 and 132.
  const TemporaryFolder folder;
  folder.file("a.sprue",
              "currency EUR to 2 places\ncurrency JPY to 0 places\nreport in EUR\n"
              "exchange 100 JPY = 0.60 EUR within 0.55 .. 0.66\nkind k { price: money = 20_000 JPY, headline cost: "
              "money = price }\nk a\n");
  const Run run = run_in(folder.path(), {"drivers", "a.sprue", "--format", "csv"});
  INFO(run.out << run.err);
  CHECK(has(run.out, "exchange.JPY,0.0055,0.0066,110.00,132.00,22.00\r\n"));
}

TEST_CASE("figures of a study are fields, ledgers and their categories", "[study][sweep]") {
  const TemporaryFolder folder;
  folder.file("a.sprue",
              "currency EUR \"Euro\" to 2 places\nreport in EUR\nledger bill \"Bill\": money { goods \"Goods\", work "
              "\"Work\" }\n"
              "kind k { n: ratio = 3, note: text = \"a\", day: date = 2026-01-01, post bill.goods = n * 2 EUR\n post "
              "bill.work = 1 EUR }\nk one\n");
  const auto sweep = [&](const std::vector<std::string>& more) {
    std::vector<std::string> all{"sweep", "a.sprue", "--format", "csv"};
    all.insert(all.end(), more.begin(), more.end());
    return run_in(folder.path(), all);
  };
  const Run both = sweep({"--vary", "one.n=1,5", "--figure", "bill", "--figure", "bill.goods", "--figure", "one.day"});
  INFO(both.out << both.err);
  CHECK(has(both.out, "one.n,bill [EUR],bill.goods [EUR],one.day"));
  CHECK(has(both.out, ",3.00,2.00,2026-01-01\r\n"));
  CHECK(has(both.out, ",11.00,10.00,2026-01-01\r\n"));
  CHECK(has(sweep({"--vary", "one.n=1,5", "--figure", "one.note"}).err, "`one.note` has no number"));
  CHECK(has(sweep({"--vary", "one.n=1,5", "--figure", "one"}).err, "`one` is an instance; name one of its fields"));
  CHECK(has(sweep({"--vary", "one.n=1,5", "--figure", "bill.good"}).err, "nothing has the path `bill.good`"));
  CHECK(has(sweep({"--vary", "one.n=1,5"}).err, "the file has no headlines"));
  CHECK(has(sweep({"--vary", "one.n=1", "--vary", "one.n=2", "--vary", "one.n=3", "--figure", "bill"}).err,
            "a sweep is over one or two inputs"));
  CHECK(has(
      sweep({"--vary", "one.n=1..2 in 1000", "--vary", "one.day=2026-01-01..2028-01-01 in 1000", "--figure", "bill"})
          .err,
      "731000 evaluations are more than"));
}

TEST_CASE("a thousand with a comma is not two values", "[study][sweep]") {
  CHECK(has(run({"sweep", "--vary", "p.volume=100 unit,20,000 unit"}).err, "has a unit with some values only"));
  CHECK(run({"sweep", "--vary", "p.volume=100 unit,200 unit"}).code == 0);
}

TEST_CASE("a unit that is misspelled on the command line is told with the nearest", "[study][sweep]") {
  CHECK(has(run({"sweep", "--vary", "p.price=8 USD/unitt"}).err, "did you mean `unit`?"));
  CHECK(has(run({"sweep", "--vary", "p.price=8 USD/gallon"}).err, "declare it with"));
}

TEST_CASE("studies read in every format", "[study]") {
  for (const std::string format : {"text", "markdown", "csv", "html"}) {
    for (const auto& arguments : {std::vector<std::string>{"sweep", "--vary", "p.volume=10..80 in 4"},
                                  {"drivers"},
                                  {"solve", "--for", "p.volume", "--until", "p.gain > 0 EUR"}}) {
      std::vector<std::string> all = arguments;
      all.insert(all.end(), {"--format", format});
      INFO(format << " " << arguments[0]);
      CHECK(run(all).code == 0);
    }
  }
  CHECK(has(run({"sweep", "--vary", "p.volume=10..80 in 4", "--format", "html"}).out, "<svg"));
  // A figure that does not move is a line all the same.
  CHECK(has(run({"sweep", "--vary", "p.size=1 m..2 m in 3", "--figure", "p.cost", "--format", "html"}).out,
            "stroke-width=\"2.2\""));
}
