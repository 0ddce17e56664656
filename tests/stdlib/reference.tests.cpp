// The reference page and the page of questions are what the library says today.
#include <regex>

#include "runtime/cli/stdlib.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

TEST_CASE("docs/stdlib.md is what describe writes", "[golden][docs]") {
  const Run run = run_in(source_dir(), {"describe", "--format", "markdown"});
  CHECK(run.code == 0);
  CHECK(golden(source_dir() / "docs/stdlib.md", run.out) == run.out);
}

TEST_CASE("no default of the library is silent: what is neither 0 nor 1 has a source or is called assumed",
          "[stdlib]") {
  std::string all;
  for (const StandardModule& module : standard_modules()) all += "use " + std::string(module.name) + "\n";
  const Checked checked(all);
  const Program& program = checked.program;
  std::size_t sourced = 0;
  for (const Kind& kind : program.kinds) {
    for (const Field& field : kind.fields) {
      if (!field.literal || field.type.tag != TypeTag::quantity) continue;
      const double value = program.formulas[field.formula].value;
      if (value == 0 || value == 1) continue;
      INFO(program.text(kind.name) << "." << program.text(field.name) << " = " << value);
      const bool has_source = field.facts != none && program.facts[field.facts].source != 0;
      CHECK(has_source);
      ++sourced;
    }
  }
  CHECK(sourced >= 40);
}

TEST_CASE("every kind of the library that lives within another has a place there", "[stdlib]") {
  std::string all;
  for (const StandardModule& module : standard_modules()) all += "use " + std::string(module.name) + "\n";
  const Checked checked(all);
  const Program& program = checked.program;
  std::size_t owned = 0;
  for (KindId id = 0; id < program.kinds.size(); ++id) {
    const Kind& kind = program.kinds[id];
    if (kind.within == none) continue;
    bool place = false;
    for (const Kind& owner : program.kinds) {
      for (const Field& field : owner.fields) {
        const bool holds = field.type.tag == TypeTag::list || field.type.tag == TypeTag::set;
        place = place || (holds && program.is_a(id, field.type.id));
      }
    }
    INFO(program.text(kind.name));
    CHECK(place);
    ++owned;
  }
  CHECK(owned >= 40);
}

TEST_CASE("every name on the page of questions is in the library", "[docs]") {
  std::string all;
  for (const StandardModule& module : standard_modules()) all += "use " + std::string(module.name) + "\n";
  const Checked checked(all);
  const Program& program = checked.program;
  const std::string page = read(source_dir() / "docs/questions.md");
  const std::regex quoted("`([a-z_]+)(\\.([a-z_]+))?`");
  std::size_t names = 0;
  for (std::sregex_iterator match(page.begin(), page.end(), quoted); match != std::sregex_iterator(); ++match) {
    const std::string owner = (*match)[1];
    const std::string member = (*match)[3];
    if (owner == "kind" || (owner == "ledger" && member == "category")) continue;
    INFO((*match)[0]);
    bool found = false;
    for (const Kind& kind : program.kinds) {
      if (program.text(kind.name) != owner) continue;
      found = member.empty();
      for (const Field& field : kind.fields) found = found || program.text(field.name) == member;
    }
    for (const Ledger& ledger : program.ledgers) {
      if (program.text(ledger.name) != owner) continue;
      found = found || member.empty();
      for (const Category& category : ledger.categories) found = found || program.text(category.name) == member;
    }
    for (const Function& function : program.functions)
      found = found || (member.empty() && program.text(function.name) == owner);
    CHECK(found);
    ++names;
  }
  CHECK(names >= 80);
}
