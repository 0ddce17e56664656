// The list of faults does not rot: each text is still there to be replaced.
#include <algorithm>

#include "runtime/cli/process.hpp"
#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::testing;

TEST_CASE("every listed fault is found once in lang or runtime, wherever its file has gone", "[mutation]") {
  const std::string runner = (source_dir() / "tests/mutation/cpp").string();
  const sprue::Finished found = sprue::run_program({"python3", "-B", runner, "--list"});
  INFO(found.err);
  REQUIRE(found.code == 0);
  CHECK(std::count(found.out.begin(), found.out.end(), '\n') >= 100);
}
