// The standard library: every module loads alone, says what everything is, and holds what the trade takes for granted.
#include "lang/check/check.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/stdlib.hpp"
#include "runtime/ledger/evaluation.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using sprue::testing::Checked;

TEST_CASE("every module of the standard library loads alone", "[stdlib]") {
  for (const StandardModule& module : standard_modules()) {
    DYNAMIC_SECTION(module.name) {
      const Checked checked("use " + std::string(module.name) + "\n");
      CHECK(checked.messages() == "");
    }
  }
}

TEST_CASE("every kind, field, function and ledger of the standard library has a doc comment", "[stdlib]") {
  std::string all;
  for (const StandardModule& module : standard_modules()) all += "use " + std::string(module.name) + "\n";
  const Checked checked(all);
  const Program& program = checked.program;
  const auto doc = [&](TreeRef ref) { return doc_comment(program.trees[ref.tree], checked.sources, ref.node); };
  for (const Kind& kind : program.kinds) {
    INFO("kind " << program.text(kind.name));
    CHECK_FALSE(doc(kind.where).empty());
    for (const Field& field : kind.fields) {
      const bool new_default = kind.base != none && program.kinds[kind.base].slots.count(field.name) != 0;
      if (new_default) continue;  // documented where it is first declared
      INFO("field " << program.text(field.name));
      CHECK_FALSE(doc(field.where).empty());
    }
  }
  for (const Function& function : program.functions) {
    INFO("function " << program.text(function.name));
    CHECK_FALSE(doc(function.where).empty());
  }
  for (const Ledger& ledger : program.ledgers) {
    INFO("ledger " << program.text(ledger.name));
    CHECK_FALSE(doc(ledger.where).empty());
  }
}

namespace {

/// A shop around one or two parts, to ask single questions of. Volume 10 000 unless the text says otherwise.
std::string shop(const std::string& rest, const std::string& volume = "10_000") {
  return R"(
use std.program
use std.molding
use std.joining
use std.currencies
report in EUR
program p { start: 2026-01-01, volume: )" +
         volume + R"( unit, ramp: [50%, 50%], price: 10 EUR/unit, first_shipment_event: dispatch
  channel shop { sales_tax: 0% } }
event ready { waits_for_tools: yes }
event dispatch { after: [ready], duration: 4 week }
labor_rate worker { rate: 10 EUR/h, efficiency: 100% }
press press_a { rate: 20 EUR/h, uptime: 100%, operators: 0% }
abs resin_a { price: 2 EUR/kg }
tool tool_a { price: 1_000 EUR/tool, life: 100_000 shot/tool, lead_time: 4 week, terms: half_half }
)" + rest;
}

const char* const part_on_tool_a = R"(
part body { mold { tool: tool_a, cavities: 1 pc/shot, resin: resin_a, press: press_a, weight: 10 g/pc, wall: 2 mm, batch_size: 1_000_000 pc/batch } }
)";

}  // namespace

TEST_CASE("a mirrored pair needs two molds, unless one family mold makes both", "[stdlib][trade]") {
  // Common practice, no source.
  const std::string pair = R"(
part left { mold { tool: tool_a, cavities: 1 pc/shot, resin: resin_a, press: press_a, weight: 10 g/pc, wall: 2 mm } }
part right like left { mold { tool: TOOL } }
product box { line l { item: left, quantity: 1 pc/unit }, line r { item: right, quantity: 1 pc/unit } }
)";
  const auto with = [&](const std::string& tool, const std::string& more) {
    std::string text = pair;
    text.replace(text.find("TOOL"), 4, tool);
    return Checked(shop(text + more)).figure("tooling.total");
  };
  CHECK(with("tool_b", "tool tool_b like tool_a\n") == Approx(2000));
  CHECK(with("tool_a", "scenario unused { }\n") == Approx(1000));
}

TEST_CASE("a family tool makes its parts in one shot, others one after another", "[stdlib][trade]") {
  // Common practice, no source.
  const std::string pair = R"(
part left { mold { tool: family_tool, cavities: 1 pc/shot, resin: resin_a, press: press_a, weight: 10 g/pc, wall: 2 mm } }
part right like left
product box { line l { item: left, quantity: 1 pc/unit }, line r { item: right, quantity: 1 pc/unit } }
headline_holder h
kind headline_holder { headline shots: shot = sum(t.shots for t in all tool) }
)";
  CHECK(Checked(shop(pair + "tool family_tool like tool_a { family: yes }")).figure("h.shots") == Approx(10000));
  CHECK(Checked(shop(pair + "tool family_tool like tool_a")).figure("h.shots") == Approx(20000));
}

TEST_CASE("an overmolded part needs two tools", "[stdlib][trade]") {
  // Common practice, no source.
  const Checked checked(shop(R"(
tool skin_tool like tool_a
elastomer soft { price: 4 EUR/kg }
part grip {
  mold { tool: tool_a, cavities: 1 pc/shot, resin: resin_a, press: press_a, weight: 10 g/pc, wall: 2 mm }
  overmold { tool: skin_tool, cavities: 1 pc/shot, resin: soft, press: press_a, weight: 5 g/pc, wall: 2 mm }
}
product box { line { item: grip, quantity: 1 pc/unit } }
)"));
  CHECK(checked.figure("tooling.total") == Approx(2000));
}

TEST_CASE(
    "unit cost with tooling falls as volume rises within one tool set; a hand operation's cost per piece does not",
    "[stdlib][trade]") {
  // Common practice, no source.
  const std::string product =
      std::string(part_on_tool_a) +
      "product box { line { item: body, quantity: 1 pc/unit }, heat_stake { joints: 2 joint/pc } }\n";
  double before = 1e9;
  double labor = -1;
  for (const char* volume : {"1_000", "5_000", "20_000", "90_000"}) {
    const Checked checked(shop(product, volume));
    const double cost = checked.figure("p.landed_cost_with_tooling");
    CHECK(cost < before);
    before = cost;
    if (labor >= 0) CHECK(checked.figure("landed_cost.items.box") == Approx(labor));
    labor = checked.figure("landed_cost.items.box");
  }
  // One stake load and two joints: 4 s + 2 x 9 s at 10 EUR/h.
  CHECK(labor == Approx(22.0 / 3600 * 10));
}

TEST_CASE("tool sets are whole: the shot that wears one out orders the next", "[stdlib][trade]") {
  const std::string product =
      std::string(part_on_tool_a) + "product box { line { item: body, quantity: 1 pc/unit } }\n";
  CHECK(Checked(shop(product, "100_000")).figure("tool_list.tool_a.sets") == Approx(1));
  CHECK(Checked(shop(product, "100_001")).figure("tool_list.tool_a.sets") == Approx(2));
}

TEST_CASE("late losses cost all that went before", "[stdlib][trade]") {
  // A part of 0.02 EUR material; the loss of 10% at a later step is paid for in material at the first.
  const auto material = [&](const std::string& steps) {
    return Checked(shop("part body { mold { tool: tool_a, cavities: 1 pc/shot, resin: resin_a, press: press_a, weight: "
                        "10 g/pc, wall: 2 mm }\n" +
                        steps + " }\nproduct box { line { item: body, quantity: 1 pc/unit } }\n"))
        .figure("landed_cost.material");
  };
  CHECK(material("") == Approx(0.02));
  CHECK(material("inspect { yield: 90% }") == Approx(0.02 / 0.9));
  CHECK(material("inspect a { yield: 90% }\ninspect b { yield: 80% }") == Approx(0.02 / 0.72));
}

TEST_CASE("the ledgers, the headlines and the tool list agree", "[stdlib]") {
  const Checked checked(testing::source_dir() / "scenarios/herb_mill/herb_mill.sprue");
  CHECK(checked.figure("landed_cost.total") == checked.figure("herb_mill.landed_cost"));
  CHECK(checked.figure("tooling.total") == checked.figure("herb_mill.tooling_planned"));
  CHECK(checked.sum("landed_cost.items.") == Approx(checked.figure("landed_cost.total")).epsilon(1e-12));
  CHECK(checked.sum("tooling.items.") == Approx(checked.figure("tooling.total")).epsilon(1e-12));
  CHECK(checked.sum("cash.items.") == Approx(checked.figure("cash.total")).epsilon(1e-12));
  // Tooling included less excluded is all tools over the units that pay for them.
  CHECK(checked.figure("herb_mill.landed_cost_with_tooling") - checked.figure("herb_mill.landed_cost") ==
        Approx(checked.figure("tooling.total") / 24000));
  // Paid and outstanding make what is committed.
  CHECK(checked.figure("herb_mill.tooling_paid") + checked.figure("herb_mill.tooling_outstanding") ==
        Approx(checked.figure("herb_mill.tooling_exposure")));
  // Gross, not net of receipts, bounds the deepest balance.
  CHECK(checked.figure("herb_mill.cash_needed") >= -checked.figure("herb_mill.cash_peak_before") - 1e-9);
  CHECK(checked.figure("herb_mill.cash_peak") <= checked.figure("herb_mill.cash_peak_before"));
}

TEST_CASE("a price that does not carry its tools, and the scenario that rescues it", "[stdlib][scenarios]") {
  const auto carried = [](const std::string& scenario) {
    return Checked(testing::source_dir() / "scenarios/slide_clamp/slide_clamp.sprue", scenario)
        .figure("slide_clamp.tooling_carried");
  };
  CHECK(carried("") < 1);
  CHECK(carried("only_dearer") < 1);
  CHECK(carried("rescue") > 2);
}

TEST_CASE("two markets: each has its landed cost, and the lanes' mix is the program's", "[stdlib][scenarios]") {
  const Checked checked(testing::source_dir() / "scenarios/trail_light/trail_light.sprue");
  double mixed = 0;
  double share = 0;
  for (const std::string lane : {"launch_by_air", "first_by_sea", "second_by_sea"}) {
    const double part = checked.figure("lanes." + lane + ".share");
    share += part;
    mixed += part * checked.figure("lanes." + lane + ".landed");
  }
  CHECK(share == Approx(1));
  CHECK(mixed == Approx(checked.figure("trail_light.landed_cost")).epsilon(1e-12));
  const double first = checked.figure("markets.first_market.landed") * checked.figure("markets.first_market.share");
  const double second = checked.figure("markets.second_market.landed") * checked.figure("markets.second_market.share");
  CHECK(first + second == Approx(mixed).epsilon(1e-12));
}

TEST_CASE("each material and finish that differs is molded apart", "[stdlib][trade]") {
  // Common practice, no source.
  const auto setups = [&](const std::string& second) {
    return Checked(shop(R"(
abs resin_b { price: 2 EUR/kg }
part one { finish: "black", mold { tool: tool_a, cavities: 1 pc/shot, resin: resin_a, press: press_a, weight: 10 g/pc, wall: 2 mm, batch_size: 20_000 pc/batch } }
)" + second))
        .figure("landed_cost.setup");
  };
  const double twice = setups("product box { line { item: one, quantity: 2 pc/unit } }\n");
  // The same pieces in another material run as batches of their own, with a setup of their own.
  const double apart = setups(
      "part two like one { finish: \"white\", mold { resin: resin_b } }\n"
      "product box { line a { item: one, quantity: 1 pc/unit }, line b { item: two, quantity: 1 pc/unit } }\n");
  CHECK(apart == Approx(2 * twice));
}

TEST_CASE("overhead and profit in three conventions: the same percentages, different money", "[stdlib][trade]") {
  // Arithmetic of the three conventions; 10 of cost at 10% and 10% are 12.00, 12.10 and 12.50.
  for (const auto& [convention, price] :
       std::vector<std::pair<std::string, double>>{{"added", 12.0}, {"compounded", 12.1}, {"share_of_price", 12.5}}) {
    std::string text =
        shop("part body { inspect { labor: 3600 s/pc } }\nproduct box { line { item: body, quantity: 1 pc/unit } }\n");
    const std::string at = "price: 10 EUR/unit,";
    text.replace(text.find(at), at.size(),
                 at + " supplier_overhead: 10%, supplier_profit: 10%, markup: " + convention + ",");
    INFO(convention);
    CHECK(Checked(text).figure("p.landed_cost") == Approx(price));
  }
}

TEST_CASE("a slip of an event moves the payments that hang on it", "[stdlib]") {
  const auto month_of_certificate = [&](const std::string& days) {
    const Checked checked(shop(std::string(part_on_tool_a) +
                               "product box { line { item: body, quantity: 1 pc/unit } }\nevent tested { duration: " +
                               days + " day }\ncertification mark { fee: 100 EUR, fails: 0%, at: tested }\n"));
    return checked.find("cash.months.2026-02.development").has_value() ? 2 : 1;
  };
  CHECK(month_of_certificate("20") == 1);
  CHECK(month_of_certificate("40") == 2);
}

TEST_CASE("currencies have the minor units of ISO 4217", "[published]") {
  // ISO 4217 list as mirrored by datasets/currency-codes.
  std::string text;
  for (const StandardModule& module : standard_modules()) {
    if (module.name == "std.currencies") text = module.text;
  }
  for (const auto& [places, names] :
       std::vector<std::pair<int, std::vector<std::string>>>{{0, {"JPY", "KRW", "ISK"}},
                                                             {2, {"USD", "EUR", "CNY", "HUF"}},
                                                             {3, {"BHD", "JOD", "KWD", "OMR"}},
                                                             {4, {"CLF"}}}) {
    for (const std::string& name : names) {
      const std::size_t at = text.find("currency " + name + " ");
      INFO(name);
      REQUIRE(at != std::string::npos);
      const std::string line = text.substr(at, text.find('\n', at) - at);
      CHECK(line.find("to " + std::to_string(places) + " places") != std::string::npos);
    }
  }
}

TEST_CASE("cautions say what the figures made true, and leave them standing", "[stdlib]") {
  const Checked line(testing::source_dir() / "tests/stdlib/rates_and_volume.sprue");
  CHECK(line.evaluation.sound);
  CHECK(line.messages().find("a manual step stops scaling") != std::string::npos);
  const Checked family(testing::source_dir() / "tests/stdlib/tools_over_time.sprue");
  CHECK(family.messages().find("the parts of a family tool need different numbers of shots") != std::string::npos);
  const Checked demo(testing::source_dir() / "scenarios/first/first.sprue");
  CHECK(demo.messages().find("manual step") == std::string::npos);
}
