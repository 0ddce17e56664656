// Bad input, one mistake a file: the whole output of `sprue check` as the engineer sees it.
#include <algorithm>
#include <filesystem>

#include "tests/catch.hpp"
#include "tests/support/corpus.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::testing;

TEST_CASE("bad input gets a located diagnostic that says what to write instead", "[checker][golden]") {
  const std::filesystem::path folder = source_dir() / "tests/checker/bad";
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    const std::string name = entry.path().filename().string();
    const bool mended = name.ends_with(".mended.sprue");
    if (entry.path().extension() == ".sprue" && name != "base.sprue" && !mended) names.push_back(name);
  }
  std::sort(names.begin(), names.end());
  REQUIRE(names.size() >= 40);
  for (const std::string& name : names) {
    DYNAMIC_SECTION(name) {
      const Run run = run_in(folder, {"check", name});
      CHECK(run.code != 0);
      CHECK(run.err.find(name + ":") != std::string::npos);
      const std::string text = output_of(run);
      CHECK(text == golden(folder / (name.substr(0, name.size() - 6) + ".expected"), text));
    }
  }
}

TEST_CASE("so does what only a few lines are needed for", "[checker][golden]") {
  const TemporaryFolder folder;
  check_cases(source_dir() / "tests/checker/messages.txt", [&](const Case& one) {
    folder.file("t.sprue", one.source);
    const Run run = run_in(folder.path(), {"check", "t.sprue"});
    CHECK(run.code != 0);
    return output_of(run);
  });
}
