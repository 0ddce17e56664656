// What holds for every scenario of the library, on generated ones.
#include <cmath>

#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/trade_program.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

constexpr std::uint32_t seeds = 80;

double categories(const Checked& checked, std::string_view wanted) {
  double sum = 0;
  for (const Ledger& ledger : checked.program.ledgers) {
    if (checked.program.text(ledger.name) != wanted) continue;
    for (const Category& category : ledger.categories)
      sum += checked.figure(std::string(wanted) + "." + std::string(checked.program.text(category.name)));
  }
  return sum;
}

}  // namespace

TEST_CASE("generated scenarios: totals, exposures and the bridge tie out", "[property][trade]") {
  for (std::uint32_t seed = 1; seed <= seeds; ++seed) {
    const std::string text = trade_program(seed);
    const Checked checked(text);
    INFO("seed " << seed << "\n" << text << checked.messages());
    REQUIRE(checked.evaluation.sound);
    const auto figure = [&](const std::string& path) { return checked.figure(path); };
    const double landed = figure("p.landed_cost");
    CHECK(categories(checked, "landed_cost") == Approx(landed).epsilon(1e-12));
    CHECK(checked.sum("landed_cost.items.") == Approx(landed).epsilon(1e-12));
    CHECK(checked.sum("cash.items.") == Approx(figure("cash.total")).epsilon(1e-9).margin(1e-6));
    CHECK(figure("p.tooling_paid") + figure("p.tooling_outstanding") == Approx(figure("p.tooling_exposure")));
    CHECK(figure("p.tooling_paid_then") + figure("p.tooling_outstanding_then") ==
          Approx(figure("p.tooling_committed")));
    CHECK(figure("p.tooling_outstanding") >= -1e-6);
    CHECK(figure("p.tooling_approved") >= figure("p.tooling_committed") - figure("tooling.refurbishment") - 1e-6);
    CHECK(figure("p.tooling_planned") >= figure("p.tooling_exposure") - 1e-6);
    CHECK(figure("p.landed_cost_with_tooling") - landed ==
          Approx(figure("tooling.total") / figure("known.units")).margin(1e-9));
    CHECK(std::fabs(figure("p.cost_to_cash")) <= 1e-9 * (figure("cash.production") + figure("cash.bought") + 1));
    CHECK(figure("p.cash_needed") >= -figure("p.cash_peak_before") - 1e-6);
    CHECK(figure("p.cash_peak") <= figure("p.cash_peak_before") + 1e-6);
  }
}

TEST_CASE("generated scenarios: doubling every amount of money doubles the figures", "[property][trade]") {
  for (std::uint32_t seed = 1; seed <= seeds; ++seed) {
    const Checked once(trade_program(seed));
    TradeOptions options;
    options.money = 2;
    const Checked twice(trade_program(seed, options));
    INFO("seed " << seed);
    for (const char* path : {"p.landed_cost", "p.tooling_exposure", "p.cash_needed", "p.cash_peak", "p.contribution",
                             "p.cost_served", "p.tooling_cancel_loss", "p.component_exposure"}) {
      INFO(path);
      CHECK(twice.figure(path) == Approx(2 * once.figure(path)).epsilon(1e-9).margin(1e-6));
    }
  }
}

TEST_CASE("generated scenarios: the order of declarations changes nothing", "[property][trade]") {
  for (std::uint32_t seed = 1; seed <= seeds; ++seed) {
    TradeOptions options;
    options.reversed = true;
    INFO("seed " << seed);
    CHECK(Checked(trade_program(seed)).lines() == Checked(trade_program(seed, options)).lines());
  }
}

TEST_CASE("generated scenarios: with perfect yields each good piece is started once", "[property][trade]") {
  for (std::uint32_t seed = 1; seed <= seeds; ++seed) {
    TradeOptions options;
    options.perfect = true;
    const Checked checked(trade_program(seed, options));
    INFO("seed " << seed);
    std::size_t parts = 0;
    for (int i = 0; i < 6; ++i) {
      const auto started = checked.find("parts.m" + std::to_string(i) + ".started");
      if (!started) continue;
      CHECK(*started == 1);
      ++parts;
    }
    CHECK(parts > 0);
    CHECK(checked.figure("landed_cost.salvage") == 0);
  }
}

TEST_CASE("generated scenarios: a dearer tool moves the landed cost through customs alone", "[property][trade]") {
  for (std::uint32_t seed = 1; seed <= seeds; ++seed) {
    TradeOptions options;
    options.tool_price_more = 1;
    const Checked before(trade_program(seed));
    const Checked after(trade_program(seed, options));
    INFO("seed " << seed);
    const auto change = [&](const std::string& path) { return after.figure(path) - before.figure(path); };
    CHECK(change("p.landed_cost") == Approx(change("landed_cost.duty") + change("landed_cost.tax")).margin(1e-9));
    CHECK(change("p.landed_cost") >= -1e-9);
    for (const char* path :
         {"landed_cost.material", "landed_cost.labor", "landed_cost.freight", "landed_cost.overhead"})
      CHECK(change(path) == 0);
  }
}

TEST_CASE("generated scenarios: a later first shipment never lowers the gross cash before it", "[property][trade]") {
  for (std::uint32_t seed = 1; seed <= seeds; ++seed) {
    TradeOptions options;
    options.steady_dates = true;
    double before = 0;
    for (const int delay : {0, 7, 40, 200}) {
      options.delay_days = delay;
      const Checked checked(trade_program(seed, options));
      INFO("seed " << seed << ", delayed " << delay << " days\n" << trade_program(seed, options));
      const double needed = checked.figure("p.cash_needed");
      CHECK(needed >= before - 1e-6 * before);
      before = needed;
    }
  }
}
