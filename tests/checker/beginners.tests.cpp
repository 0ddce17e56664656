// What engineers write on their first day, against the standard library and the shop of the smallest scenario: the
// whole output of `sprue check` for each, and nothing that is only noise.
#include "tests/catch.hpp"
#include "tests/support/corpus.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::testing;

TEST_CASE("a beginner's mistake is told with what to write instead", "[checker][golden]") {
  const TemporaryFolder folder;
  folder.file("shop.sprue", read(source_dir() / "scenarios/first/shop.sprue"));
  check_cases(source_dir() / "tests/checker/beginners.txt", [&](const Case& one) {
    folder.file("knob.sprue", one.source);
    const Run run = run_in(folder.path(), {"check", "knob.sprue"});
    CHECK(run.code != 0);
    return output_of(run);
  });
}

TEST_CASE("what --fix does to a beginner's mistake leaves no more errors than before", "[checker][fixes]") {
  const TemporaryFolder folder;
  folder.file("shop.sprue", read(source_dir() / "scenarios/first/shop.sprue"));
  std::size_t mended = 0;
  for (const Case& one : read_cases(source_dir() / "tests/checker/beginners.txt")) {
    INFO(one.title);
    const auto file = folder.file("knob.sprue", one.source);
    const Run before = run_in(folder.path(), {"check", "knob.sprue"});
    const Run run = run_in(folder.path(), {"check", "--fix", "knob.sprue"});
    CHECK(run.code <= before.code);
    const bool applied = run.out.find("applied") != std::string::npos;
    CHECK(applied == (read(file) != one.source));
    mended += applied && run.code == 0 ? 1 : 0;
  }
  CHECK(mended >= 12);
}
