// The figures that plan.sprue expects are those that plan.py works out without sprue.
#include <fmt/format.h>
#include <sstream>

#include "tests/catch.hpp"
#include "tests/support/repository.hpp"

using namespace sprue::testing;

TEST_CASE("a whole plan's costs, exposures and daily cash agree with exact fractions", "[stdlib]") {
  const std::string plan = read(source_dir() / "tests/stdlib/plan.sprue");
  const Run run = shell(source_dir(), "python3 tests/stdlib/plan.py");
  INFO(run.err);
  REQUIRE(run.code == 0);
  std::istringstream lines(run.out);
  std::size_t expectations = 0;
  for (std::string line; std::getline(lines, line); ++expectations) {
    INFO(line);
    CHECK(plan.find("\n" + line + "\n") != std::string::npos);
  }
  CHECK(expectations >= 100);
}
