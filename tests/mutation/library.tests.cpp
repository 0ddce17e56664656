// tests/mutation/library finds every formula and posting of the library, though it reads the text in its own way; what
// it lists as known is still there. The changes themselves are tried by tests/mutation/run library, which takes
// minutes.
#include <fmt/format.h>
#include <sstream>

#include "runtime/cli/stdlib.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/repository.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// Types whose formulas are worth a number, a date or a yes; a choice, a reference, a text or a table is not changed.
bool is_changed(const Type& type) {
  return type.tag == TypeTag::quantity || type.tag == TypeTag::point || type.tag == TypeTag::flag ||
         type.tag == TypeTag::whole || type.tag == TypeTag::series;
}

}  // namespace

TEST_CASE("the library's changes reach every formula and posting", "[stdlib][mutation]") {
  std::string uses;
  for (const StandardModule& module : standard_modules()) uses += "use " + std::string(module.name) + "\n";
  const Checked checked(uses);
  const Program& program = checked.program;
  const Run run = shell(source_dir(), "tests/mutation/library --list");
  INFO(run.err);
  REQUIRE(run.code == 0);
  std::size_t formulas = 0;
  for (KindId id = 0; id < program.kinds.size(); ++id) {
    const Kind& kind = program.kinds[id];
    for (const Field& field : kind.fields) {
      if (field.declared_in != id || field.literal || field.formula == none || !is_changed(field.type)) continue;
      if (program.formulas[field.formula].op == FormulaOp::constant) continue;
      const std::string change = fmt::format(": {}.{}: ", program.text(kind.name), program.text(field.name));
      INFO(change);
      CHECK(has(run.out, change));
      ++formulas;
    }
    // Own ones follow those of the base.
    const std::size_t inherited = kind.base == none ? 0 : program.kinds[kind.base].posts.size();
    for (std::size_t i = inherited; i < kind.posts.size(); ++i) {
      const Ledger& ledger = program.ledgers[kind.posts[i].ledger];
      const std::string change = fmt::format(": {}: post {}.{} = ", program.text(kind.name), program.text(ledger.name),
                                             program.text(ledger.categories[kind.posts[i].category].name));
      INFO(change);
      CHECK(has(run.out, change));
      if (kind.posts[i].date != none) CHECK(has(run.out, "dated one day later"));
      ++formulas;
    }
  }
  for (const Function& function : program.functions) {
    if (!is_changed(function.result)) continue;
    INFO(program.text(function.name));
    CHECK(has(run.out, fmt::format(": {}: ", program.text(function.name))));
    ++formulas;
  }
  CHECK(formulas > 300);

  std::istringstream known(read(source_dir() / "tests/mutation/library.known"));
  for (std::string line; std::getline(known, line);) {
    INFO(line);
    const std::size_t file = line.find(": ");
    const std::size_t reason = line.find(" | ");
    REQUIRE(file != std::string::npos);
    REQUIRE(reason != std::string::npos);
    CHECK(has(run.out, line.substr(file, reason - file)));
  }
}
