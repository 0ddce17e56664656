#include "tests/support/trade_program.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <random>
#include <vector>

namespace sprue::testing {
namespace {

class TradeGenerator {
 public:
  TradeGenerator(std::uint32_t seed, const TradeOptions& options) : random_(seed), options_(options) {}

  std::string run() {
    program();
    people_and_materials();
    const int parts = 1 + below(5);
    const int bought = below(5);
    for (int i = 0; i < bought; ++i) bought_item(i);
    for (int i = 0; i < parts; ++i) part(i, bought);
    product(parts, bought);
    lanes();
    serving();
    say("kind known_units {{ headline units: unit = the program.amortized_over }}");
    say("known_units known");
    if (options_.reversed) std::reverse(declarations_.begin(), declarations_.end());
    std::string out =
        "use std.program\nuse std.molding\nuse std.joining\nuse std.logistics\nuse std.channels\nuse std.serving\n"
        "use std.currencies\nreport in EUR\n";
    for (const std::string& declaration : declarations_) out += declaration + "\n";
    return out;
  }

 private:
  int below(int n) { return static_cast<int>(random_() % static_cast<std::uint_fast32_t>(n)); }
  double between(double low, double high) { return low + (high - low) * below(10000) / 10000.0; }
  bool chance(int percent) { return below(100) < percent; }
  std::string money(double low, double high, const std::string& per) {
    return fmt::format("{} EUR{}", between(low, high) * options_.money, per);
  }
  std::string yield() {
    const double value = between(80, 100);
    return fmt::format("{}%", options_.perfect ? 100.0 : value);
  }
  std::string pick(std::vector<std::string> words) {
    return words[static_cast<std::size_t>(below(static_cast<int>(words.size())))];
  }
  template <class... T>
  void say(fmt::format_string<T...> text, T&&... values) {
    declarations_.push_back(fmt::format(text, std::forward<T>(values)...));
  }

  void program() {
    const bool two = chance(50);
    const std::string ramp = pick({"[100%]", "[50%, 50%]", "[10%, 20%, 30%, 40%]", "[5% x 20]"});
    const int volume = 500 + below(40000);
    say("program p {{ start: 2026-01-05, volume: {} unit, ramp: {}, price: {}, first_shipment_event: shipped\n"
        "  production_lead: 20 day, supplier_overhead: {}%, supplier_profit: {}%, markup: {}, markup_on: {}\n"
        "  turnkey_handling: {}%, consigned_handling: {}%, decision_date: 2026-{:02}-{:02}\n"
        "  channel one {{ share: {}%, sales_tax: {}%, retail_margin: {}%, terms: {} day }}\n{}}}",
        volume, ramp, money(100, 200, "/unit"), below(15), below(15), pick({"added", "compounded", "share_of_price"}),
        pick({"all_cost", "value_added", "material"}), below(8), below(4), 1 + below(12), 1 + below(28), two ? 60 : 100,
        below(25), below(50), below(90),
        two ? fmt::format("  channel two {{ share: 40%, sales_tax: 0%, fees: {} }}\n", money(0, 5, "/unit")) : "");
    say("event drawn {{ duration: {} day }}", 10 + below(60));
    say("event ready {{ after: [drawn], waits_for_tools: yes }}");
    // Everything else hangs on `ready`; the delay moves the first shipment alone.
    say("event shipped {{ after: [ready], lag: {} day }}", 40 + below(60) + options_.delay_days);
    if (chance(60))
      say("certification mark {{ fee: {}, retest: {}, at: ready, net: {} day }}", money(1000, 9000, ""),
          money(0, 3000, ""), below(60));
    if (chance(40))
      say("period_cost rent {{ purpose: rent, a_month: {}, months: {}, counted: {} }}", money(100, 2000, ""),
          1 + below(9), pick({"yes", "no"}));
    if (chance(30))
      say("deposit early {{ units: {} unit, each: {}, on: 2026-02-{:02} }}", 1 + below(100), money(5, 30, "/unit"),
          1 + below(28));
  }

  void people_and_materials() {
    say("labor_rate worker {{ rate: {} }}", money(4, 30, "/h"));
    say("press mid {{ rate: {} }}", money(8, 60, "/h"));
    say("abs black {{ price: {}, regrind_limit: {}%, regrind_price: {} }}", money(1.5, 4, "/kg"), below(30),
        money(0, 0.5, "/kg"));
    say("elastomer soft {{ price: {} }}", money(3, 6, "/kg"));
  }

  void bought_item(int i) {
    const std::string price =
        chance(50)
            ? fmt::format("price: {}", money(0.05, 4, "/pc"))
            : fmt::format("breaks: table [1 pc: {}, 1_000 pc: {}, 20_000 pc: {}], breaks_apply_to: {}, buy_up: {}",
                          money(2, 3, "/pc"), money(1, 2, "/pc"), money(0.5, 1, "/pc"),
                          pick({"all_units", "units_beyond"}), pick({"yes", "no"}));
    say("bought b{} {{ {}, supply: {}, attrition: {}%, lost_per_order: {} pc, minimum_order: {} pc, multiple: {} pc, "
        "minimum_charge: {}, orders: {}\n"
        "  lead_time: 20 day, deposit: {}%, net: {} day, excess: {}, recovery: {}%, return_fee: {}%, cancellable: {} "
        "}}",
        i, price, pick({"consigned", "turnkey"}), below(4), below(30), 1 + below(3000), 1 + below(500),
        money(0, 500, ""), 1 + below(4), below(60), below(50), pick({"written_off", "carried", "returned"}), below(50),
        below(30), pick({"yes", "no"}));
  }

  std::string losses() {
    return fmt::format("yield: {}, loss_borne_by: {}, allowance: {}%, salvage: {}", yield(),
                       pick({"buyer", "buyer", "supplier", "buyer_up_to_allowance"}), below(10), money(0, 0.1, "/pc"));
  }

  void tool(const std::string& name) {
    const bool buyer = chance(75);
    const double price = between(1500, 15000) * options_.money + (buyer ? options_.tool_price_more : 0);
    const int life = options_.steady_dates ? 10'000'000 : 8000 + below(300000);
    say("tool {} {{ price: {} EUR/tool, life: {} shot/tool, lead_time: {} day, terms: {}, order: drawn, family: {}, "
        "funded_by: {}, guaranteed: {} unit\n"
        "  cancellation_fee: {}, salvage: {}, hours_a_month: {} h/tool, refurbishments: {}, refurbished_life: {} "
        "shot/tool, refurbishment_price: {} }}",
        name, price, life, 20 + below(60),
        pick({"half_half", "half_third_rest", "forty_forty_twenty", "all_with_order"}), pick({"yes", "no"}),
        buyer ? "buyer" : pick({"piece_price", "customer"}), 1 + below(20000), money(0, 500, "/tool"),
        money(0, 200, "/tool"), options_.steady_dates ? 1'000'000 : 100 + below(300),
        options_.steady_dates ? 0 : below(2), 5000 + below(50000), money(100, 2000, "/tool"));
    if (chance(15))
      say("fixture jig_of_{} {{ price: {} EUR/tool, lead_time: {} day, terms: all_with_order, order: drawn }}", name,
          between(100, 2000) * options_.money + options_.tool_price_more, 5 + below(20));
  }

  void part(int i, int bought) {
    const bool shares_tool = i > 0 && chance(30);
    if (!shares_tool) tool(fmt::format("t{}", i));
    last_tool_ = shares_tool ? last_tool_ : i;
    std::string text = fmt::format(
        "part m{} {{\n  mold {{ tool: t{}, cavities: {} pc/shot, resin: black, press: mid, weight: {} g/pc, wall: {} "
        "mm, runner: {} g/shot, batch_size: {} pc/batch, {} }}\n",
        i, last_tool_, 1 + below(4), between(1, 40), between(1, 3), between(0, 6), 500 + below(9000), losses());
    if (chance(30)) {
      tool(fmt::format("o{}", i));
      text += fmt::format(
          "  overmold {{ tool: o{}, cavities: 1 pc/shot, resin: soft, press: mid, weight: {} g/pc, wall: 1.5 mm, {} "
          "}}\n",
          i, between(1, 9), losses());
    }
    if (chance(50)) {
      text += fmt::format("  heat_stake {{ joints: {} joint/pc, {}", 1 + below(5), losses());
      if (bought > 0) text += fmt::format(", insert {{ item: b{}, quantity: {} }}", below(bought), 1 + below(3));
      text += " }\n";
    }
    if (chance(30)) text += fmt::format("  inspect {{ {} }}\n", losses());
    declarations_.push_back(text + "}");
  }

  void product(int parts, int bought) {
    std::string text = "product box {\n";
    for (int i = 0; i < parts; ++i)
      text += fmt::format("  line l{} {{ item: m{}, quantity: {} pc/unit }}\n", i, i, 1 + below(3));
    for (int i = 0; i < bought; ++i) text += fmt::format("  line k{} {{ item: b{}, quantity: 1 pc/unit }}\n", i, i);
    text += fmt::format(
        "  test_and_rework {{ duration: 20 s/pc, tester_rate: {}, first_pass: {}, success: 80%, rework: 60 s/pc, "
        "coverage: 95% }}\n  pack {{}}\n}}",
        money(1, 5, "/h"), yield());
    declarations_.push_back(text);
    say("master_carton carton {{ units: {} unit/carton, length: 40 cm, width: 30 cm, height: 30 cm, gross: 8 "
        "kg/carton, price: {} }}",
        1 + below(30), money(0.5, 2, "/carton"));
  }

  void lanes() {
    const int count = 1 + below(3);
    const std::vector<std::vector<int>> splits{{100}, {70, 30}, {50, 30, 20}};
    for (int i = 0; i < count; ++i) {
      std::string text = fmt::format(
          "lane way{} {{ carton: carton, share: {}%, rate: {}, divisor: 6000 cm^3/kg, cartons: {} carton/shipment, "
          "fixed: {}, premium: {}%\n  rule: {}, customs_base: {}, "
          "tools_in_customs_value: {}, duty_rate: {}%, entry_fee: {}, import_tax: {}%, tax_refunded: {}%, "
          "origin_inland: {}\n",
          i, splits[static_cast<std::size_t>(count - 1)][static_cast<std::size_t>(i)], money(0.05, 0.2, "/kg"),
          10 + below(200), money(50, 500, "/shipment"), between(0, 0.6), pick({"exw", "fca", "fob"}),
          pick({"fob", "cif"}), pick({"over_all_units", "first_shipment", "not_dutiable"}), below(12),
          money(10, 200, "/shipment"), below(24), below(101), money(0, 0.5, "/unit"));
      if (!options_.steady_dates && chance(40))
        text += fmt::format("  duty_program more {{ rate: {}%, begins: 2026-05-01 }}\n", below(20));
      if (chance(40))
        text += fmt::format("  entry_charge fee {{ rate: 0.35%, minimum: {}, maximum: {} }}\n", money(10, 30, ""),
                            money(400, 600, ""));
      if (chance(40)) text += fmt::format("  leg truck {{ fixed: {} }}\n", money(50, 400, "/shipment"));
      declarations_.push_back(text + "}");
    }
  }

  void serving() {
    if (chance(50)) say("warranty dead {{ rate: {}%, freight: {} }}", below(5), money(2, 9, "/unit"));
    if (chance(30)) say("royalty right {{ share: {}%, guaranteed: {} }}", below(5), money(0, 9000, ""));
  }

  std::mt19937 random_;
  TradeOptions options_;
  std::vector<std::string> declarations_;
  int last_tool_ = 0;
};

}  // namespace

std::string trade_program(std::uint32_t seed, const TradeOptions& options) {
  return TradeGenerator(seed, options).run();
}

}  // namespace sprue::testing
