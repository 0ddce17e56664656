// Sentences and a table for crossings.
#include "runtime/view/solution.hpp"

#include <fmt/format.h>

#include "runtime/ledger/shown.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/study/lanes.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

struct Turn {
  const char* words;
  double value;  // where it holds; where it fails at one point alone, that one
  double other;
};

Turn turn_of(const Crossing& crossing) {
  if (crossing.at_point) return {crossing.becomes_true ? "holds at" : "fails at", crossing.point, crossing.before};
  if (crossing.becomes_true) return {"holds from", crossing.after, crossing.before};
  return {"holds up to", crossing.before, crossing.after};
}

}  // namespace

Document solution_document(const Program& program, const Evaluation& evaluation, const std::vector<Chosen>& figures,
                           const Asked& asked, const Crossings& crossings) {
  const Lowered& lowered = evaluation.lowered;
  const InputOrigin& origin = lowered.inputs[asked.input];
  const std::string path = input_path(program, lowered, origin);
  const auto text = [&](double value) { return grouped(input_text(program, lowered, origin, value)); };
  Document document;
  document.emplace_back(Heading{"Solve", 1});
  document.emplace_back(
      Paragraph{fmt::format("{} from {} to {}, stated as {}, until: {}", path, text(asked.range.low),
                            text(asked.range.high), text(lowered.graph.inputs[asked.input]), asked.condition)});
  if (crossings.unsound == crossings.tried) {
    document.emplace_back(Paragraph{"Never: no value in this range gives a sound program."});
    return document;
  }
  if (crossings.unsound > 0)
    document.emplace_back(Paragraph{fmt::format("{} of {} values tried give no sound program and are passed over.",
                                                crossings.unsound, crossings.tried)});
  if (crossings.found.empty()) {
    std::string sentence =
        crossings.true_at_low ? "It holds in the whole range." : "Never: it holds nowhere in this range.";
    if (crossings.has_sides)
      sentence +=
          fmt::format(" Its sides come nearest at {}: left is {}, right is {}.", text(crossings.nearest),
                      text_of(program, asked.sides, crossings.left), text_of(program, asked.sides, crossings.right));
    document.emplace_back(Paragraph{std::move(sentence)});
    return document;
  }
  std::vector<GraphId> outputs;
  std::vector<Lane> lanes;
  for (const Chosen& figure : figures) outputs.push_back(figure.node);
  for (const Crossing& crossing : crossings.found) lanes.push_back({{asked.input, turn_of(crossing).value}});
  const auto results = evaluate_lanes(evaluation, outputs, lanes);
  Table table{"solutions",
              {},
              {text_column("turn", "It"), exact_input_column(program, lowered, asked.input, "value", path),
               exact_input_column(program, lowered, asked.input, "other", "Still otherwise at")},
              {}};
  for (const Chosen& figure : figures)
    table.columns.push_back(figure_column(program, figure, figure.path, figure.title));
  for (std::size_t i = 0; i < crossings.found.size(); ++i) {
    const Turn turn = turn_of(crossings.found[i]);
    TableRow row{{text_cell(turn.words), exact_input_cell(program, lowered, asked.input, turn.value),
                  exact_input_cell(program, lowered, asked.input, turn.other)},
                 false};
    for (std::size_t f = 0; f < figures.size(); ++f)
      row.cells.push_back(results[i] ? figure_cell(program, figures[f], (*results[i])[f]) : text_cell("not possible"));
    table.rows.push_back(std::move(row));
  }
  document.emplace_back(Paragraph{fmt::format("It {} at the low end of the range and {} at the high end.",
                                              crossings.true_at_low ? "holds" : "does not hold",
                                              crossings.true_at_high ? "holds" : "does not")});
  document.emplace_back(std::move(table));
  return document;
}

}  // namespace sprue
