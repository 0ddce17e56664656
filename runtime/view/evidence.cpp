// What the figures rest on: given values against the model's, sources of the facts, open questions.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <map>

#include "runtime/ledger/shown.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/view/view.hpp"

namespace sprue {
namespace {

class Evidence {
 public:
  Evidence(const Subject& subject, std::vector<View>& views)
      : subject_(subject),
        program_(subject.program),
        sources_(subject.sources),
        evaluation_(subject.evaluation),
        lowered_(evaluation_.lowered),
        views_(views) {}

  void run() {
    given_and_modelled();
    sources_of_facts();
    open_questions();
  }

 private:
  void add(std::string id, std::string title, Table table) {
    views_.push_back({std::move(id), std::move(title), {}, {std::move(table)}});
  }

  /// Where a value was given instead of a formula: both, and the gap.
  void given_and_modelled() {
    TableColumn gap = number_column("gap", "Given against model");
    gap.unit = "%";
    gap.places = 1;
    Table table{
        "given_and_modelled",
        {},
        {text_column("field", "Field"), text_column("given", "Given"), text_column("model", "The model says"), gap},
        {}};
    for (const Headline& modelled : lowered_.modelled) {
      const Field& field = program_.kinds[lowered_.instances.all[modelled.instance].kind].fields[modelled.slot];
      const GraphId node = lowered_.node_of(modelled.instance, modelled.slot);
      if (node == no_node || evaluation_.absent(node) || evaluation_.absent(modelled.node)) continue;
      const double given = evaluation_.value(node);
      const double model = evaluation_.value(modelled.node);
      if (!std::isfinite(model)) continue;
      const bool comparable = model != 0 && std::isfinite(given / model);
      table.rows.push_back(
          {{text_cell(
                fmt::format("{}.{}", lowered_.instances.path(program_, modelled.instance), program_.text(field.name))),
            value_cell(program_, shown_type(field), given), value_cell(program_, shown_type(field), model),
            comparable ? number_cell(100 * (given / model - 1), false, false) : text_cell("")},
           false});
      for (std::size_t c = 1; subject_.redacted && c < 4; ++c) table.rows.back().cells[c] = withheld_cell();
    }
    if (table.rows.empty()) return;
    add("given_and_modelled", "Given against modelled", std::move(table));
  }

  /// A default of nothing (0, or a whole share) changes nothing until somebody states it; any other is an assumption.
  std::string unsourced_default(GraphId node) const {
    const double value = node == no_node ? 0 : evaluation_.value(node);
    return value == 0 || value == 1 ? "left at 0 or 1" : "assumed";
  }

  /// How many of the facts behind the figures come from where.
  void sources_of_facts() {
    std::map<std::string, std::size_t> counts;
    for (const InputOrigin& origin : lowered_.inputs) {
      const Facts* const facts = facts_of(program_, lowered_, origin);
      const bool by_default =
          !origin.is_exchange() && lowered_.instances.given(origin.instance, origin.slot) == nullptr;
      const Symbol source = facts == nullptr ? 0 : facts->source;
      ++counts[source != 0   ? std::string(program_.text(source))
               : !by_default ? "none stated"
                             : unsourced_default(lowered_.node_of(origin.instance, origin.slot))];
    }
    if (counts.empty()) return;
    Table table{"sources_of_facts", {}, {text_column("source", "Source"), number_column("facts", "Facts")}, {}};
    for (const std::string_view source :
         {"invoice", "quote", "measured", "handbook", "estimate", "assumed", "none stated", "left at 0 or 1"}) {
      const auto found = counts.find(std::string(source));
      if (found != counts.end())
        table.rows.push_back(
            {{text_cell(found->first), number_cell(static_cast<double>(found->second), false, false)}, false});
    }
    table.rows.push_back(
        {{text_cell("Total"), number_cell(static_cast<double>(lowered_.inputs.size()), false, false)}, true});
    add("sources", "Sources of the facts", std::move(table));
  }

  /// What the scenario leaves unknown and the figures rest on.
  void open_questions() {
    Table table{
        "open_questions",
        {},
        {text_column("what", "Unknown"), text_column("counted_as", "Counted as"), text_column("place", "Place")},
        {}};
    for (const InputOrigin& origin : lowered_.inputs) {
      const Given* given = origin.instance == none ? nullptr : lowered_.instances.given(origin.instance, origin.slot);
      if (given == nullptr || !given->unknown) continue;
      const Field& field = program_.kinds[lowered_.instances.all[origin.instance].kind].fields[origin.slot];
      const GraphId node = lowered_.node_of(origin.instance, origin.slot);
      const bool ranged = node != no_node && !evaluation_.absent(node);
      const std::string place = fmt::format("{}:{}", sources_[given->span.source].name,
                                            sources_.position(given->span.source, given->span.begin).line);
      table.rows.push_back({{text_cell(fmt::format("{}.{}", lowered_.instances.path(program_, origin.instance),
                                                   program_.text(field.name))),
                             text_cell(subject_.redacted ? "withheld"
                                       : ranged ? text_of(program_, shown_type(field), evaluation_.value(node)) +
                                                      ", the middle of its range"
                                                : "nothing: left out"),
                             text_cell(place)},
                            false});
    }
    if (table.rows.empty()) return;
    std::sort(table.rows.begin(), table.rows.end(),
              [](const TableRow& a, const TableRow& b) { return a.cells[0].text < b.cells[0].text; });
    add("open_questions", "Open questions", std::move(table));
  }

  const Subject& subject_;
  const Program& program_;
  const Sources& sources_;
  const Evaluation& evaluation_;
  const Lowered& lowered_;
  std::vector<View>& views_;
};

}  // namespace

void add_evidence_views(const Subject& subject, std::vector<View>& views) {
  Evidence(subject, views).run();
}

}  // namespace sprue
