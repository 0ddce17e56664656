// Commands that run out of memory say so and end with 2, in whatever thread it happens.
#include "tests/catch.hpp"
#include "tests/support/repository.hpp"
#include "tests/support/skip.hpp"

using namespace sprue::testing;

TEST_CASE("a comparison with too little memory is an error and no crash", "[cli][compare][threads]") {
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
  skip("a sanitizer's run time takes more address space than any limit here");
  return;
#endif
  const auto folder = source_dir() / "scenarios/slide_clamp";
  const std::string command = "sprue compare slide_clamp.sprue '#rescue'";
  const Run whole = shell(folder, command);
  REQUIRE(whole.code == 0);
  std::size_t refused = 0;
  // From less than one thread needs to more than two need with their stacks.
  for (std::size_t megabytes = 14; megabytes <= 100; megabytes += 2) {
    const Run run = shell(folder, "ulimit -v " + std::to_string(megabytes * 1024) + "; exec " + command);
    INFO(megabytes << " MB: " << run.code << " " << run.err);
    const bool not_loaded = run.code == 127 && run.err.find("shared librar") != std::string::npos;
    if (not_loaded) continue;
    REQUIRE((run.code == 0 || run.code == 2));
    CHECK(run.err == (run.code == 0 ? "" : "error: there is not enough memory for this\n"));
    CHECK(run.out == (run.code == 0 ? whole.out : ""));
    refused += run.code == 2 ? 1 : 0;
  }
  CHECK(refused > 0);
}
