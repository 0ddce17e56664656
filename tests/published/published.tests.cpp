// Published values, each an `expect` line in a file of this folder with its source beside it; and the library against
// calculations by hand, in the files of tests/stdlib. None of them holds without the library.
#include <algorithm>
#include <set>

#include "lang/check/check.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/ledger/evaluation.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;

namespace {

/// Whether what an expectation says rests on the library: a formula, a posting or a value that a library module writes.
class AsksLibrary {
 public:
  explicit AsksLibrary(const Program& program) : program_(program) {}

  bool operator()(const Expectation& expectation) { return reaches(expectation.condition); }

 private:
  bool reaches(FormulaId id) {
    if (id == none || !seen_.insert(id).second) return false;
    const Formula& formula = program_.formulas[id];
    const auto written_by_library = [&](FormulaId body) {
      return body != none && program_.from_library(program_.formulas[body].span);
    };
    if (formula.op == FormulaOp::instance && program_.from_library(program_.drafts[formula.a].span)) return true;
    if (formula.op == FormulaOp::call) {
      const FormulaId body = program_.functions[formula.a].body;
      if (written_by_library(body) || reaches(body)) return true;
    }
    if (formula.op == FormulaOp::get) {
      const Formula& of = program_.formulas[program_.arguments[formula.first]];
      const bool exact = of.op == FormulaOp::instance;
      const KindId kind = exact ? program_.drafts[of.a].kind : of.type.id;
      for (KindId derived = 0; derived < program_.kinds.size(); ++derived) {
        if (exact ? derived != kind : !program_.is_a(derived, kind)) continue;
        const Field& field = program_.kinds[derived].fields[formula.a];
        // A plain value is asked of the library where the instance does not give its own.
        if (field.literal && (!exact || gives(program_.drafts[of.a], formula.a))) continue;
        if (written_by_library(field.formula) || reaches(field.formula)) return true;
      }
    }
    if (formula.op == FormulaOp::ledger && posted_by_library(formula.a)) return true;
    for (std::uint32_t i = 0; i < formula.count; ++i) {
      if (reaches(program_.arguments[formula.first + i])) return true;
    }
    if (formula.op != FormulaOp::aggregate && formula.op != FormulaOp::comprehension) return false;
    const Loop& loop = program_.loops[formula.a];
    return reaches(loop.first) || reaches(loop.second) || reaches(loop.where);
  }
  static bool gives(const Draft& draft, Slot slot) {
    return std::any_of(draft.givens.begin(), draft.givens.end(),
                       [&](const Given& given) { return given.slot == slot; });
  }
  bool posted_by_library(LedgerId ledger) const {
    return std::any_of(program_.kinds.begin(), program_.kinds.end(), [&](const Kind& kind) {
      return std::any_of(kind.posts.begin(), kind.posts.end(), [&](const PostTemplate& post) {
        return post.ledger == ledger && program_.from_library(post.span);
      });
    });
  }

  const Program& program_;
  std::set<FormulaId> seen_;
};

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
      // Units are folded away before a formula is made: what that file states rests on nothing but std.units.
      if (!name.ends_with("/units.sprue")) CHECK(AsksLibrary(program)(program.expectations[i]));
      ++total;
    }
  }
  return total;
}

}  // namespace

TEST_CASE("published values hold", "[published]") {
  CHECK(expectations_hold("tests/published") >= 140);
}

TEST_CASE("an expectation that only retypes a formula is told from one that asks the library", "[published]") {
  const testing::Checked checked(std::string(
      "use std.labor\nuse std.tools\nlabor_rate worker { rate: 6 USD/h }\nuse std.currencies\nreport in USD\n"
      "function by_hand(n: ratio): ratio = n ^ (ln(85%) / ln(2))\n"
      "function asked(n: ratio): ratio = n ^ learning_exponent(85%)\n"
      "expect 18_000 USD / 80 USD = 225 \"no\"\nexpect by_hand(2) = 85% \"no\"\nexpect worker.rate = 6 USD/h \"no\"\n"
      "expect worker.efficiency = 85% \"yes\"\nexpect sum(by_hand(n) for n in 1 .. 2) = 1.85 \"no\"\n"
      "expect asked(2) = 85% \"yes\"\nexpect worker.paid > 7 USD/h \"yes\"\nexpect class_101.life = 1_000_000 "
      "shot/tool \"yes\"\n"
      "expect sum(asked(n) for n in 1 .. 2) = 1.85 \"yes\"\n"));
  INFO(checked.messages());
  REQUIRE(checked.program.expectations.size() == 9);
  for (const Expectation& expectation : checked.program.expectations) {
    const std::string_view text = checked.program.text(expectation.text);
    INFO(checked.sources.text(expectation.span));
    CHECK(AsksLibrary(checked.program)(expectation) == (text == "yes"));
  }
}

TEST_CASE("the library's elements agree with calculations by hand", "[stdlib]") {
  CHECK(expectations_hold("tests/stdlib") >= 400);
}
