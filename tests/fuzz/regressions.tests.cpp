// What fuzzing once found, and examples of each way in, through the entry functions of the fuzz targets; then a little
// fuzzing, where there is a compiler that can.
#include <algorithm>
#include <filesystem>

#include "tests/catch.hpp"
#include "tests/fuzz/entries.hpp"
#include "tests/support/repository.hpp"
#include "tests/support/skip.hpp"

using namespace sprue::testing;

TEST_CASE("what fuzzing once found is right now", "[fuzz]") {
  for (const FuzzEntry& entry : fuzz_entries()) {
    const std::filesystem::path folder = source_dir() / "tests/fuzz/regressions" / entry.name;
    std::vector<std::filesystem::path> files;
    for (const auto& file : std::filesystem::directory_iterator(folder)) files.push_back(file.path());
    std::sort(files.begin(), files.end());
    REQUIRE(!files.empty());
    for (const std::filesystem::path& file : files) {
      INFO(file.string());
      CHECK(entry.problem(read(file)) == "");
    }
  }
}

TEST_CASE("a little fuzzing finds nothing", "[fuzzing]") {
  if (shell(source_dir(), "command -v clang++").code != 0) return skip("clang is not installed");
  const std::string build = (std::filesystem::path(SPRUE_BINARY).parent_path() / "fuzz").string();
  const Run run = shell(source_dir(), "SPRUE_FUZZ_SEED=1 SPRUE_FUZZ_BUILD='" + build + "' tests/fuzz/run 8");
  INFO(run.out << run.err);
  CHECK(run.code == 0);
  for (const FuzzEntry& entry : fuzz_entries())
    CHECK(run.out.find(std::string(entry.name) + ": nothing found in") != std::string::npos);
}
