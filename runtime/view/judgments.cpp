// What a reader must keep in mind, and what was expected of the figures.
#include <fmt/format.h>

#include "runtime/view/parts.hpp"
#include "runtime/view/view.hpp"

namespace sprue {
namespace {

Table cautions(const Subject& subject) {
  const Program& program = subject.program;
  Table table{"cautions", {}, {text_column("caution", "Caution"), text_column("where", "Where")}, {}};
  for (const auto& [caution, instances] : subject.evaluation.cautions) {
    std::string where = subject.evaluation.lowered.instances.path(program, instances.front());
    if (instances.size() > 1) where += fmt::format(" and {} more", instances.size() - 1);
    table.rows.push_back({{text_cell(std::string(program.text(caution->text))), text_cell(std::move(where))}, false});
  }
  return table;
}

Table expectations(const Subject& subject) {
  Table table{
      "expectations",
      {},
      {text_column("expectation", "Expectation"), text_column("condition", "Condition"), text_column("holds", "Holds")},
      {}};
  const std::vector<bool>& holds = subject.evaluation.expectations_hold;
  for (std::size_t i = 0; i < holds.size(); ++i) {
    const Expectation& expectation = subject.program.expectations[i];
    table.rows.push_back(
        {{text_cell(std::string(subject.program.text(expectation.text))),
          subject.redacted ? withheld_cell() : text_cell(std::string(subject.sources.text(expectation.span))),
          text_cell(holds[i] ? "yes" : "no")},
         false});
  }
  return table;
}

}  // namespace

void add_judgment_views(const Subject& subject, std::vector<View>& views) {
  const auto add = [&](std::string title, Table table) {
    if (!table.rows.empty()) views.push_back({table.id, std::move(title), {}, {std::move(table)}});
  };
  add("Cautions", cautions(subject));
  add("Expectations", expectations(subject));
}

}  // namespace sprue
