// Published values, each an `expect` line in a file of this folder with its source beside it.
#include <algorithm>

#include "lang/check/check.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/ledger/evaluation.hpp"
#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;

TEST_CASE("published values hold", "[published]") {
  const std::filesystem::path folder = testing::source_dir() / "tests/published";
  std::size_t total = 0;
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() == ".sprue") names.push_back(entry.path().string());
  }
  std::sort(names.begin(), names.end());
  for (const std::string& name : names) {
    Sources sources;
    Diagnostics diagnostics;
    Program program;
    const SourceId main = sources.add(name, testing::read(name));
    check(program, sources, main, project_loader(project_root(name)), diagnostics);
    INFO(name);
    REQUIRE(program.sound);
    const Evaluation evaluation = evaluate(program, none, {}, diagnostics);
    REQUIRE(evaluation.expectations_hold.size() == program.expectations.size());
    for (std::size_t i = 0; i < program.expectations.size(); ++i) {
      const Position place = sources.position(program.expectations[i].span.source, program.expectations[i].span.begin);
      INFO(name << ":" << place.line << ": " << program.text(program.expectations[i].text));
      CHECK(evaluation.expectations_hold[i]);
      // Every check names what it checks.
      CHECK_FALSE(program.text(program.expectations[i].text).empty());
      ++total;
    }
  }
  CHECK(total >= 120);
}
