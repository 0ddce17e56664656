// Circles that no figure asks for are told by every command that reads the figures, and only circles are.
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

const std::string circle = "kind k { a: ratio = b + 1, b: ratio = a + 1, headline c: ratio = 7 }\n";

}  // namespace

TEST_CASE("check, report and explain agree that a circle nobody asks for is one", "[checker][cycles]") {
  const TemporaryFolder folder;
  folder.file("t.sprue", circle + "k q\n");
  for (const std::vector<std::string>& command :
       {std::vector<std::string>{"check", "t.sprue"}, {"report", "t.sprue"}, {"explain", "t.sprue", "q.c"}}) {
    const Run run = run_in(folder.path(), command);
    INFO(command.front());
    CHECK(run.code == 2);
    CHECK(run.err.find("`q.a` depends on itself [E0501]") != std::string::npos);
  }
}

TEST_CASE("a value of its own breaks a circle", "[checker][cycles]") {
  const Checked checked(circle + "k q { b: 3 }\n");
  INFO(checked.messages());
  CHECK(checked.evaluation.sound);
  CHECK(checked.figure("q.c") == 7);
  const Checked changed(circle + "k q { b: 3 }\nscenario s \"S\" { q.b: q.a }\n", "s");
  CHECK_FALSE(changed.evaluation.sound);
}

TEST_CASE("what else a field lacks that no figure asks for is no error", "[checker][cycles]") {
  const Checked checked(std::string(
      "kind part { w: ratio = 1 }\n"
      "kind k { use: optional part, n: ratio = 1 / 0, t: table of ratio to ratio, a: ratio = use.w, b: ratio = t(3)\n"
      "  long: ratio = sum(i for i in 1 .. 90_000_000), headline c: ratio = 7 }\nk q\n"));
  INFO(checked.messages());
  CHECK(checked.evaluation.sound);
  CHECK(checked.diagnostics.list().empty());
  CHECK(checked.figure("q.c") == 7);
}

TEST_CASE("looking for circles leaves the graph as it was", "[checker][cycles]") {
  const std::string asked = "kind k { a: ratio, headline c: ratio = a * 2";
  const Checked without(asked + " }\nk q { a: 3 }\n");
  const Checked with(asked + ", idle: ratio = ln(a) * 5 + x, x: ratio = 4 + a }\nk q { a: 3, x: 5 }\n");
  CHECK(with.evaluation.lowered.graph.size() == without.evaluation.lowered.graph.size());
  CHECK(with.evaluation.lowered.inputs.size() == without.evaluation.lowered.inputs.size());
  CHECK(with.evaluation.lowered.marks.size() == with.evaluation.lowered.graph.size());
}
