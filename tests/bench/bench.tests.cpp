// The smallest size of each benchmark: it runs, its figures are those of the workload, and what is refused is told.
#include "tests/catch.hpp"
#include "tests/support/repository.hpp"

using namespace sprue::testing;

namespace {

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

// Landed cost, margin and tooling of W(30): 297.17454491260031, 0.292441559731904, 914902. Worked out once by several
// implementations that share nothing but the workload's definition.
TEST_CASE("each benchmark's figures are those of the workload", "[bench]") {
  const TemporaryFolder folder;
  const Run studies = shell(folder.path(), "sprue_bench studies 30 64");
  INFO(studies.out << studies.err);
  CHECK(studies.code == 0);
  CHECK(has(studies.out,
            "30 parts: landed 297.1745449126, margin 0.2924415597319, tooling 914902; landed by hand 297.1745449126"));
  REQUIRE(shell(folder.path(), "sprue_bench write . 30").code == 0);
  const Run report = run_in(folder.path(), {"report", "w30.sprue", "--format", "json"});
  CHECK(has(report.out, R"("path": "g.landed", "value": 297.174544912600)"));
  CHECK(has(report.out, R"("path": "g.margin", "value": 0.2924415597319)"));
  CHECK(has(report.out, R"("path": "g.tooling", "value": 914902,)"));
  CHECK(shell(folder.path(), "sprue_bench load w30.json").out ==
        "g.landed = 297.174545\ng.margin = 0.292442\ng.tooling = 914902.000000\n");
  const Run serve = shell(folder.path(), "sprue_bench serve w30.sprue");
  INFO(serve.out << serve.err);
  CHECK(serve.code == 0);
  CHECK(has(serve.out, "first headline 297.1745449126\n"));
  CHECK(has(serve.out, "change to diagnostics"));
}

TEST_CASE("the stages of the smallest product have the figures that the command reports", "[bench]") {
  const TemporaryFolder folder;
  const Run one = shell(folder.path(), "sprue_bench stages 1");
  INFO(one.out << one.err);
  CHECK(one.code == 0);
  CHECK(has(one.out, "first headline"));
  // What the command says of the same file.
  REQUIRE(shell(folder.path(), "sprue_bench write . 30").code == 0);
  CHECK(has(shell(folder.path(), "sprue_bench stages w30.sprue").out, "297.174544913\n"));
}

TEST_CASE("a benchmark whose program is refused says why", "[bench]") {
  const TemporaryFolder folder;
  folder.file("bad.sprue", "kind k { headline a: ratio = b }\nk one\n");
  const Run stages = shell(folder.path(), "sprue_bench stages bad.sprue 1");
  CHECK(stages.code == 1);
  CHECK(has(stages.err, "bad.sprue: refused\n"));
  CHECK(has(stages.err, "error: "));
  CHECK(has(stages.out, "       1 "));  // and goes on
  const Run serve = shell(folder.path(), "sprue_bench serve bad.sprue");
  CHECK(serve.code == 1);
  CHECK(has(serve.err, "`bad.sprue` is refused"));
  CHECK(shell(folder.path(), "sprue_bench stages absent.sprue").code == 2);
  CHECK(shell(folder.path(), "sprue_bench nothing").code == 2);
}
