// Generated programs of any size, for benchmarks and limits.
#pragma once

#include <fmt/format.h>
#include <string>

namespace sprue::bench {

/// A product of `parts` molded parts, each with its own tool and route, about 17 lines a part. Numbers come from a
/// small multiplicative generator, so the text depends on `parts` alone.
inline std::string molded_product(int parts) {
  unsigned long state = 20240607;
  const auto pick = [&](int low, int high) {
    state = state * 16807UL % 2147483647UL;
    return low + static_cast<int>(state % static_cast<unsigned long>(high - low + 1));
  };
  std::string out =
      "use std.program\nuse std.molding\nuse std.joining\nuse std.currencies\n\nreport in EUR\nexchange 1 USD = 0.92 "
      "EUR within 0.86 .. 0.98\n\n"
      "labor_rate worker { rate: 7 USD/h }\npress press_a { rate: 12 USD/h }\nabs resin_a { price: 2.1 USD/kg "
      "}\npolypropylene resin_b { price: 1.4 USD/kg }\n"
      "event ready { waits_for_tools: yes }\nevent dispatch { after: [ready], duration: 4 week }\n"
      "program big {\n  start: 2026-01-05\n  volume: 20_000 unit\n  ramp: [10% x 10]\n  price: 900 EUR/unit\n  "
      "first_shipment_event: dispatch\n  channel shop { sales_tax: 20% }\n}\n\n";
  for (int i = 0; i < parts; ++i) {
    out += fmt::format(
        "tool tool_{} {{\n  price: {} USD/tool from quote \"Q-{}\" on 2026-08-03\n  life: {}_000 shot/tool\n  "
        "lead_time: {} week\n  terms: half_half\n}}\n",
        i, pick(2000, 20000), i, pick(100, 900), pick(4, 12));
    out += fmt::format(
        "part part_{0} \"Part {0}\" {{\n  mold {{\n    tool: tool_{0}\n    cavities: {1} pc/shot\n    resin: "
        "resin_{2}\n    press: press_a\n    weight: {3}.{4} g/pc +- 4%\n    wall: {5}.{6} mm\n    yield: 9{7}%\n  }}\n "
        " heat_stake {{ joints: {8} joint/pc }}\n}}\n",
        i, 1 << pick(0, 3), pick(0, 1) == 0 ? "a" : "b", pick(2, 80), pick(0, 9), pick(1, 3), pick(0, 9), pick(4, 8),
        pick(1, 4));
  }
  out += "product whole {\n";
  for (int i = 0; i < parts; ++i)
    out += fmt::format("  line l_{0} {{ item: part_{0}, quantity: {1} pc/unit }}\n", i, pick(1, 4));
  return out + "  inspect { }\n}\n";
}

}  // namespace sprue::bench
