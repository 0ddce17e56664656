// Published values, each an `expect` line in a file of this folder with its source beside it; and the library against
// calculations by hand, in the files of tests/stdlib.
#include <algorithm>

#include "lang/check/check.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/ledger/evaluation.hpp"
#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;

namespace {

/// Every expectation of every file in the folder; how many there are.
std::size_t expectations_hold(const std::string& folder_name) {
  const std::filesystem::path folder = testing::source_dir() / folder_name;
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
    for (const Diagnostic& diagnostic : diagnostics.list()) UNSCOPED_INFO(diagnostic.message);
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
  return total;
}

}  // namespace

TEST_CASE("published values hold", "[published]") {
  CHECK(expectations_hold("tests/published") >= 150);
}

TEST_CASE("the library's elements agree with calculations by hand", "[stdlib]") {
  CHECK(expectations_hold("tests/stdlib") >= 80);
}
