// What can have no meaning is refused at the value, and what looks odd and has one is let through.
#include <algorithm>

#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using sprue::testing::Checked;

namespace {

/// The first scenario in one text, with more in it.
std::string first_scenario() {
  const auto folder = testing::source_dir() / "scenarios/first";
  std::string part = testing::read(folder / "first.sprue");
  const std::string use = "use \"shop.sprue\"\n";
  part.erase(part.find(use), use.size());
  part.erase(part.find("expect "));  // the last of it
  return testing::read(folder / "shop.sprue") + part + R"(
bought foot { price: 0.02 EUR/pc, lead_time: 2 week }
fixture nest { price: 300 EUR/tool, lead_time: 2 week, terms: half_half }
)";
}

/// The same with one thing written otherwise.
std::string with(const std::string& old, const std::string& instead) {
  std::string text = first_scenario();
  const std::size_t at = text.find(old);
  INFO(old);
  REQUIRE(at != std::string::npos);
  REQUIRE(text.find(old, at + 1) == std::string::npos);
  return text.replace(at, old.size(), instead);
}

/// What `check` says first of a text, and nothing where it is sound.
std::string first_error(const std::string& text) {
  const Checked checked(text);
  for (const Diagnostic& diagnostic : checked.diagnostics.list()) {
    if (info(diagnostic.code).severity != Severity::error) continue;
    return std::string(checked.sources.text(diagnostic.span)) + ": " + diagnostic.message;
  }
  return {};
}

/// Whether what is said points into the library, where nobody can mend it.
bool blames_library(const std::string& text) {
  const Checked checked(text);
  const auto& list = checked.diagnostics.list();
  return std::any_of(list.begin(), list.end(),
                     [&](const Diagnostic& diagnostic) { return checked.program.from_library(diagnostic.span); });
}

}  // namespace

TEST_CASE("what can have no meaning is refused where it is written", "[stdlib][impossible]") {
  struct Impossible {
    std::string written, instead, value, message;
  };
  const std::vector<Impossible> all{
      {"price: 6_400 USD/tool", "price: -6_400 USD/tool", "-6_400 USD/tool", "a price is not below zero"},
      {"price: 300 EUR/tool", "price: -300 EUR/tool", "-300 EUR/tool", "a price is not below zero"},
      {"price: 2.00 USD/kg", "price: -2.00 USD/kg", "-2.00 USD/kg", "a price is not below zero"},
      {"price: 0.02 EUR/pc", "price: -0.02 EUR/pc", "-0.02 EUR/pc", "a price is not below zero"},
      {"price: 0.90 USD/carton", "price: -0.90 USD/carton", "-0.90 USD/carton", "a price is not below zero"},
      {"rate: 9 USD/h", "rate: -9 USD/h", "-9 USD/h", "a rate is not below zero"},
      {"rate: 6.50 USD/h", "rate: -6.50 USD/h", "-6.50 USD/h", "a rate is not below zero"},
      {"wall: 2.4 mm", "wall: 0 mm", "0 mm", "a wall is thicker than zero"},
      {"wall: 2.4 mm", "wall: -2.4 mm", "-2.4 mm", "a wall is thicker than zero"},
      {"wall: 2.4 mm", "wall: 2.4 mm, cycle: -20 s/shot", "-20 s/shot", "a shot takes some time"},
      {"weight: 11 g/pc", "weight: -11 g/pc", "-11 g/pc", "a weight is above zero"},
      {"cavities: 2 pc/shot", "cavities: 1.5 pc/shot", "1.5 pc/shot", "cavities are whole: write `2 pc/shot`"},
      {"cavities: 2 pc/shot", "cavities: 0 pc/shot", "0 pc/shot", "a tool has one cavity or more"},
      {"yield: 98%", "yield: 0%", "0%", "a yield lies above 0% and at most at 100%"},
      {"yield: 98%", "yield: 120%", "120%", "a yield lies above 0% and at most at 100%"},
      {"yield: 98%", "quoted_price: -1 EUR/pc", "-1 EUR/pc", "a quoted price is not below zero"},
      {"life: 300_000 shot/tool", "life: 0 shot/tool", "0 shot/tool", "a life is above zero"},
      {"life: 300_000 shot/tool", "life: 300_000 shot/tool, refurbishments: 1", "1", "a refurbishment wins shots"},
      {"volume: 60_000 unit", "volume: 0.5 unit", "0.5 unit", "the volume is one unit or more"},
      {"gross: 3.1 kg/carton", "gross: -3.1 kg/carton", "-3.1 kg/carton", "a carton weighs more than zero"},
      {"units: 200 unit/carton", "units: 1.5 unit/carton", "1.5 unit/carton", "a carton holds whole units"},
      {"rate: 0.18 USD/kg", "rate: -0.18 USD/kg", "sea", "rates and fees are not below zero"},
      {"duty_rate: 6.5%", "duty_rate: -100%", "-100%", "duty and import tax are not below zero"},
      {"sales_tax: 0%", "sales_tax: -100%", "-100%", "a sales tax is not below zero: write `0%`"},
      {"price: 1.90 EUR/unit", "price: 0 EUR/unit", "0 EUR/unit", "write `unknown` while it is not decided"},
      {"ramp: [10% x 10]", "ramp: [0% x 3, 100%]", "[0% x 3, 100%]", "leave out empty months there"},
      {"ramp: [10% x 10]", "ramp: [100%, 0% x 3]", "[100%, 0% x 3]", "leave out empty months there"},
      {"ramp: [10% x 10]", "ramp: [60%, -20%, 60%]", "[60%, -20%, 60%]", "no month of the ramp is below zero"},
      {"lag: 6 week", "lag: -6 week", "dispatch", "the first unit ships when the tools it waits for are approved"},
      {"product knob_box \"Knob, packed\" { line { item: knob, quantity: 1 pc/unit } }", "", "knobs",
       "a program has a product"},
  };
  REQUIRE(first_error(first_scenario()).empty());
  for (const Impossible& one : all) {
    DYNAMIC_SECTION(one.instead << " instead of " << one.written) {
      const std::string text = with(one.written, one.instead);
      const std::string said = first_error(text);
      INFO(said);
      CHECK(said.find(one.value + ": ") == 0);
      CHECK(said.find(one.message) != std::string::npos);
      CHECK_FALSE(blames_library(text));
    }
  }
}

TEST_CASE("what is odd and has a meaning is let through", "[stdlib][impossible]") {
  const std::vector<std::pair<std::string, std::string>> all{
      {"price: 6_400 USD/tool", "price: 0 USD/tool"},    // there already
      {"price: 2.00 USD/kg", "price: 0 USD/kg"},         // supplied free
      {"rate: 9 USD/h", "rate: 0 USD/h"},                // in another price
      {"lag: 6 week", "lag: -1 week"},                   // begins before the one before it ends
      {"ramp: [10% x 10]", "ramp: [50%, 0% x 3, 50%]"},  // a pause
      {"price: 1.90 EUR/unit", "price: unknown"},        // not decided
      {"price: 1.90 EUR/unit", "price: unknown within 1.50 .. 2.50 EUR/unit"},
      {"yield: 98%", "salvage: -0.01 EUR/pc"},  // thrown away for a fee
  };
  for (const auto& [written, instead] : all) {
    INFO(instead);
    const std::string text = with(written, instead);
    CHECK(Checked(text).evaluation.sound);
    CHECK(first_error(text).empty());
  }
}
