// Whole scenarios of the standard library from a seed: parts with routes, tools, bought items, lanes, channels. They
// check and evaluate.
#pragma once

#include <cstdint>
#include <string>

namespace sprue::testing {

struct TradeOptions {
  double money = 1;            // every amount of money times this
  bool perfect = false;        // every yield 100%
  bool reversed = false;       // declarations in the opposite order
  double tool_price_more = 0;  // on every set a buyer pays for
  int delay_days = 0;          // of the first shipment alone
  bool steady_dates = false;   // nothing whose date or cost moves with the calendar of the first shipment
};

std::string trade_program(std::uint32_t seed, const TradeOptions& options = {});

}  // namespace sprue::testing
