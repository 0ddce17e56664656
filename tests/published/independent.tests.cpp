// The main job against an independent calculation in Python's fractions.
#include <array>
#include <cstdio>

#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::testing;

TEST_CASE("the small scenario's three figures agree with exact fractions", "[published]") {
  const std::string command = "python3 '" + (source_dir() / "tests/published/first.py").string() + "'";
  std::FILE* const pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::array<char, 128> line{};
  std::vector<double> expected;
  while (std::fgets(line.data(), line.size(), pipe) != nullptr) expected.push_back(std::stod(line.data()));
  REQUIRE(pclose(pipe) == 0);
  REQUIRE(expected.size() == 3);
  const Checked checked(source_dir() / "scenarios/first/first.sprue");
  CHECK(checked.figure("knobs.landed_cost") == Approx(expected[0]).epsilon(1e-13));
  CHECK(checked.figure("knobs.tooling_exposure") == Approx(expected[1]).epsilon(1e-13));
  CHECK(checked.figure("knobs.cash_needed") == Approx(expected[2]).epsilon(1e-13));
}
