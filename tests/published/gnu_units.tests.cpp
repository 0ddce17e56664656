// Unit conversions against GNU units, a general-purpose reference tool.
#include <array>
#include <cstdio>
#include <string>

#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"

using sprue::testing::Checked;

namespace {

double gnu_units(const std::string& from, const std::string& to) {
  const std::string command = "units -t -o %.17g '" + from + "' '" + to + "' 2>/dev/null";
  std::FILE* const pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::array<char, 128> buffer{};
  const bool answered = std::fgets(buffer.data(), buffer.size(), pipe) != nullptr;
  REQUIRE(pclose(pipe) == 0);
  REQUIRE(answered);
  return std::stod(buffer.data());
}

double ours(const std::string& from, const std::string& to) {
  return Checked("use std.units\nkind ask { headline answer: ratio = 1 " + from + " / 1 " + to +
                 " }\nask a\nshow ratio to 12 places\n")
      .figure("a.answer");
}

}  // namespace

TEST_CASE("conversions agree with GNU units", "[published]") {
  struct Pair {
    std::string from, to, from_gnu, to_gnu;
  };
  const std::vector<Pair> pairs{{"in", "mm", "inch", "mm"},
                                {"ft", "m", "foot", "m"},
                                {"yd", "m", "yard", "m"},
                                {"mil", "um", "mil", "micrometer"},
                                {"lb", "kg", "pound", "kg"},
                                {"oz", "g", "ounce", "g"},
                                {"short_ton", "t", "shortton", "tonne"},
                                {"gal", "l", "gallon", "liter"},
                                {"fl_oz", "ml", "usfluidounce", "milliliter"},
                                {"psi", "kPa", "psi", "kPa"},
                                {"bar", "MPa", "bar", "MPa"},
                                {"lbf", "N", "lbf", "N"},
                                {"tonf", "kN", "2000 lbf", "kN"},
                                {"kWh", "kJ", "kWh", "kJ"},
                                {"h", "s", "hour", "s"},
                                {"week", "min", "week", "min"},
                                {"in^3", "cm^3", "inch^3", "cm^3"},
                                {"lb/in^3", "g/cm^3", "pound/inch^3", "g/cm^3"},
                                {"W/m/K", "W/cm/K", "W/m/K", "W/cm/K"},
                                {"ft/min", "m/s", "foot/min", "m/s"}};
  for (const Pair& pair : pairs) {
    CAPTURE(pair.from, pair.to);
    CHECK(ours(pair.from, pair.to) == Approx(gnu_units(pair.from_gnu, pair.to_gnu)).epsilon(1e-14));
  }
}
