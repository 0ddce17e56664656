// A test that cannot check something fails or is counted as skipped; none says so to itself alone.
#include "tests/support/skip.hpp"

#include <fmt/format.h>

#include "tests/catch.hpp"
#include "tests/support/repository.hpp"

using namespace sprue::testing;

namespace {

std::string summary(const std::string& report) {
  const TemporaryFolder folder;
  folder.file("report", report);
  const Run run = shell(folder.path(), fmt::format("'{}' <report", (source_dir() / "tests/summary").string()));
  INFO(run.err);
  CHECK(run.code == 0);
  return run.out;
}

}  // namespace

TEST_CASE("a test that skips", "[.skips]") {
  skip("no such tool");
}
TEST_CASE("a test that skips and fails", "[.skips]") {
  skip("no such tool");
  CHECK(false);
}
TEST_CASE("a test that passes", "[.skips]") {
  CHECK(true);
}

TEST_CASE("the last line of a run counts what passed, failed and was skipped", "[support]") {
  CHECK(summary("===\nAll tests passed (12 assertions in 3 test cases)\n\n") == "3 passed, 0 failed\n");
  CHECK(summary("All tests passed (1 assertion in 1 test case)\n") == "1 passed, 0 failed\n");
  CHECK(summary("test cases: 10 | 8 passed | 2 failed\nassertions: 30 | 27 passed | 3 failed\n") ==
        "8 passed, 2 failed\n");
  CHECK(summary("test cases: 1 | 1 failed\nassertions: 1 | 1 failed\n") == "0 passed, 1 failed\n");
  CHECK(summary("skipped: a: no tool\nskipped: b: no tool\nAll tests passed (12 assertions in 5 test cases)\n") ==
        "3 passed, 0 failed, 2 skipped\n");
}

TEST_CASE("a test that skips is named with its reason, and one that fails besides has failed", "[support]") {
  const TemporaryFolder folder;
  const std::string tests = std::filesystem::read_symlink("/proc/self/exe").string();
  const Run run = shell(folder.path(), fmt::format("'{}' '[.skips]' --order lex", tests));
  INFO(run.out);
  CHECK(run.out.find("\nskipped: a test that skips: no such tool\n") != std::string::npos);
  CHECK(run.out.find("skipped: a test that skips and fails") == std::string::npos);
  CHECK(summary(run.out) == "1 passed, 1 failed, 1 skipped\n");
}

TEST_CASE("no test warns where it should fail or skip", "[support]") {
  const Run run = shell(source_dir(), "grep -rlE '(^| )WARN\\(' tests --include=*.cpp");
  CHECK(run.out.empty());
  CHECK(run.code == 1);  // grep: nothing found
}
