// Published break-even volumes, profits and unit costs, each asked of the library: a product with a price, a cost by
// the piece and fixed costs held as a fixture, solved and evaluated.
#include <fmt/format.h>
#include <optional>

#include "runtime/study/crossings.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

/// One product of a textbook; in the currency of the report.
struct Textbook {
  double price = 0, variable = 0, fixed = 0;

  std::string program(double volume) const {
    return fmt::format(
        "use std.program\nuse std.joining\nuse std.currencies\nreport in USD\nevent now {{}}\n"
        "labor_rate nobody {{ rate: 1 USD/h }}\nkind step is hand_operation {{}}\n"
        "program p {{ start: 2026-01-01, volume: {:.10g} unit, ramp: [100%], price: {:.10g} USD/unit,\n"
        "  first_shipment_event: now, channel c {{ sales_tax: 0% }} }}\n"
        "product box {{ step {{ quoted_price: {:.10g} USD/pc }} }}\n"
        "fixture plant {{ price: {:.10g} USD/tool, lead_time: 1 day, terms: half_half }}\n",
        volume, price, variable, fixed);
  }
  double figure(const std::string& path, double volume) const { return Checked(program(volume)).figure(path); }
  double contribution(double volume) const { return figure("p.contribution", volume); }
  double sales(double volume) const { return figure("cash.receipts", volume); }

  /// The volume that makes the contribution, found by `solve`.
  double volume_for(double contribution) const {
    constexpr double stated = 1024;
    const Checked checked(program(stated) + fmt::format("expect p.contribution >= {:.10g} USD\n", contribution));
    INFO(checked.messages());
    REQUIRE(checked.program.sound);
    const Lowered& lowered = checked.evaluation.lowered;
    std::uint32_t input = none;
    for (std::uint32_t i = 0; i < lowered.inputs.size(); ++i) {
      if (lowered.graph.inputs[i] == stated) input = i;
    }
    REQUIRE(input != none);
    const Crossings crossings = find_crossings(checked.evaluation, lowered.expectations.at(0), input, {1, 1e6, false});
    REQUIRE(crossings.found.size() == 1);
    CHECK(crossings.found[0].becomes_true);
    return crossings.found[0].after;
  }
  double break_even() const { return volume_for(0); }
};

Approx about(double value) {
  return Approx(value).epsilon(1e-9);
}

}  // namespace

// OpenStax, Principles of Accounting 2: Managerial Accounting (Rice University), sections as named.

TEST_CASE("3.2 Hicks: break-even, losses and profits around it, targets before and after tax", "[published]") {
  const Textbook hicks{100, 20, 18'000};
  CHECK(hicks.break_even() == about(225));
  CHECK(hicks.contribution(175) == about(-4'000));
  CHECK(hicks.contribution(300) == about(6'000));
  CHECK(hicks.volume_for(16'000) == about(425));
  // 24 000 after 40% of tax are 40 000 before it.
  CHECK(hicks.volume_for(24'000 / 0.6) == about(725));
}

TEST_CASE("3.3: break-even as price, variable and fixed cost change", "[published]") {
  struct Case {
    Textbook product;
    double break_even, sales;      // there
    std::optional<double> income;  // at 1500 units, where it is printed
  };
  const std::vector<Case> cases{
      {{3.75, 1.50, 2'475}, 1'100, 4'125, 900},    {{4.25, 1.50, 2'475}, 900, 3'825, 1'650},
      {{3.75, 1.55, 2'475}, 1'125, 4'218.75, 825}, {{3.75, 1.50, 2'700}, 1'200, 4'500, 675},
      {{3.75, 1.45, 2'875}, 1'250, 4'687.50, 575}, {{3.95, 1.45, 2'875}, 1'150, 4'542.50, {}}};
  for (const Case& c : cases) {
    CAPTURE(c.product.price, c.product.variable, c.product.fixed);
    const double volume = c.product.break_even();
    CHECK(volume == about(c.break_even));
    CHECK(c.product.sales(volume) == about(c.sales));
    if (c.income) CHECK(c.product.contribution(1'500) == about(*c.income));
  }
}

TEST_CASE("3.4 West Brothers: a composite unit of 5, 3 and 2", "[published]") {
  const Textbook composite{5 * 6.25 + 3 * 7.75 + 2 * 9.25, 5 * 3.25 + 3 * 4.50 + 2 * 6.25, 145'000};
  CHECK(composite.sales(1) == about(73.00));
  CHECK(composite.figure("p.landed_cost", 1) == about(42.25));
  CHECK(composite.break_even() == Approx(4'715.447).margin(0.0005));
  CHECK(composite.sales(composite.break_even()) == Approx(344'228).margin(1));
}

TEST_CASE("3.5 Manteo: break-even and the margin of safety", "[published]") {
  const Textbook manteo{90, 40, 85'000};
  CHECK(manteo.break_even() == about(1'700));
  CHECK(1 - manteo.break_even() / 2'500 == about(0.32));
  // One figure there prints 170 000 for 1900 units; the text's 171 000 is right.
  CHECK(manteo.sales(manteo.volume_for(10'000)) == about(171'000));
}

TEST_CASE("2.3 Eagle Electronics: the cost of a unit by volume", "[published]") {
  const Textbook eagle{100, 50 + 20, 50'000 + 75'000};
  CHECK(eagle.figure("p.landed_cost_with_tooling", 5'000) == about(95));
  CHECK(eagle.figure("p.landed_cost_with_tooling", 8'000) == about(85.625));
  CHECK(eagle.figure("p.landed_cost_with_tooling", 12'000) == Approx(80.416667).margin(0.000001));
  CHECK(eagle.figure("p.landed_cost_with_tooling", 5'000) * 5'000 == about(475'000));
}

// Council Regulation (EC) 1103/97: rates of six significant figures, no inverse rates, half up; the amount in euro to
// three decimals. The rates: Regulation (EC) 2866/98. Asked of the language's own currencies and rounding.
TEST_CASE("euro conversion by the rules of 1999", "[published]") {
  const Checked checked(
      std::string("currency EUR \"Euro\" to 2 places\ncurrency FRF \"French franc\" to 2 places\ncurrency DEM \"German "
                  "mark\" to 2 places\n"
                  "report in EUR\nexchange 6.55957 FRF = 1 EUR\nexchange 1.95583 DEM = 1 EUR\nkind ask {\n"
                  "  headline in_euro: money = round(100 FRF, 0.001 EUR)\n"
                  "  headline in_marks: money = round(in_euro, 0.01 DEM)\n  headline paid: money = round(100 FRF, 0.01 "
                  "EUR)\n}\nask a\n"));
  INFO(checked.messages());
  CHECK(checked.figure("a.in_euro") == about(15.245));
  CHECK(checked.figure("a.in_marks") == about(29.82 / 1.95583));
  CHECK(checked.figure("a.paid") == about(15.24));
}
