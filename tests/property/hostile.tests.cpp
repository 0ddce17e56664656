// Random and damaged programs through every way in that the fuzz targets have: nothing breaks, every diagnostic lies
// inside its text, and what is written can be read.
#include "tests/catch.hpp"
#include "tests/fuzz/entries.hpp"
#include "tests/support/program.hpp"
#include "tests/support/trade_program.hpp"

using namespace sprue::testing;

namespace {

void check_entry(std::string_view name, const std::string& text) {
  for (const FuzzEntry& entry : fuzz_entries()) {
    if (entry.name != name) continue;
    INFO(text);
    REQUIRE(entry.problem(text) == "");
    return;
  }
  FAIL("there is no entry " << name);
}

}  // namespace

TEST_CASE("random programs are checked without a crash", "[property][checker]") {
  for (std::uint32_t seed = 0; seed < 2'000; ++seed) {
    check_entry("check", random_program(seed));
    check_entry("check", damaged(random_program(seed), seed));
  }
}

TEST_CASE("generated scenarios are reported in formats that strict readers read", "[property][write]") {
  for (std::uint32_t seed = 100; seed < 120; ++seed) check_entry("evaluate", trade_program(seed));
}

TEST_CASE("damaged scenarios are evaluated or refused", "[property][checker]") {
  for (std::uint32_t seed = 0; seed < 150; ++seed) check_entry("evaluate", damaged(trade_program(seed % 20), seed));
}

TEST_CASE("scenarios compare with damaged ones", "[property][study][slow]") {
  for (std::uint32_t seed = 0; seed < 10; ++seed) {
    TradeOptions dearer;
    dearer.money = 1.5;
    check_entry("compare", trade_program(seed) + std::string(fuzz_cut) + trade_program(seed, dearer));
  }
  for (std::uint32_t seed = 0; seed < 60; ++seed) {
    const std::string text = trade_program(seed % 10);
    check_entry("compare", text + std::string(fuzz_cut) + damaged(text, seed));
  }
}
