// What a reader must keep in mind, and what was expected of the figures.
#include <fmt/format.h>

#include "lang/syntax/one_line.hpp"
#include "runtime/ledger/shown.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/view/view.hpp"
#include "runtime/write/number.hpp"

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

/// ` +- T` as written; empty where there is no tolerance.
std::string tolerance_text(const Subject& subject, const Expectation& expectation) {
  if (expectation.tolerance == none) return {};
  return " +- " + one_line(subject.sources.text(subject.program.formulas[expectation.tolerance].span));
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
    table.rows.push_back({{text_cell(std::string(subject.program.text(expectation.text))),
                           subject.redacted ? withheld_cell()
                                            : text_cell(std::string(subject.sources.text(expectation.span)) +
                                                        tolerance_text(subject, expectation)),
                           text_cell(holds[i] ? "yes" : "no")},
                          false});
  }
  return table;
}

/// "<= 175,000.00 EUR", with the sign as it is written.
std::string limit_text(const Subject& subject, const Check& check, const Type& type) {
  const Program& program = subject.program;
  const Formula& condition = program.formulas[check.condition];
  const auto begin = [&](std::uint32_t i) {
    return program.formulas[program.arguments[condition.first + i]].span.begin;
  };
  const bool turned = begin(1) < begin(0);  // `a > b` is held as `b < a`
  const auto op = static_cast<Op>(condition.a);
  const std::string_view sign = op == Op::near_less         ? (turned ? ">" : "<")
                                : op == Op::near_less_equal ? (turned ? ">=" : "<=")
                                                            : "=";
  return fmt::format("{} {}", sign, grouped(text_of(program, type, subject.evaluation.value(check.right))));
}

}  // namespace

Table brief_expectations(const Subject& subject) {
  const Program& program = subject.program;
  const Evaluation& evaluation = subject.evaluation;
  Table table{"expectations",
              {},
              {text_column("expectation", "Expected"), number_column("left", "Is"), text_column("right", "Limit"),
               text_column("holds", "Holds")},
              {},
              true};
  std::size_t held = 0;
  for (const Check& check : evaluation.lowered.expectations) {
    if (check.index >= evaluation.expectations_hold.size()) continue;
    const Expectation& expectation = program.expectations[check.index];
    const bool holds = evaluation.expectations_hold[check.index];
    held += holds ? 1 : 0;
    const bool sides = check.left < slot_missing && check.right < slot_missing && !evaluation.absent(check.left) &&
                       !evaluation.absent(check.right);
    Cell left = text_cell("");
    Cell right = text_cell("");
    if (subject.redacted) {
      left = right = withheld_cell();
    } else if (sides) {
      const Type type = sides_type(program, check.condition);
      std::string text = grouped(text_of(program, type, evaluation.value(check.left)));
      const std::string unit = type.tag == TypeTag::quantity ? shown_as(program, type).unit : "";
      if (!unit.empty()) text.erase(text.size() - unit.size() - 1);  // the limit has it
      left = text_cell(std::move(text));
      right = text_cell(limit_text(subject, check, type) + tolerance_text(subject, expectation));
    } else {
      right = text_cell(one_line(subject.sources.text(program.formulas[expectation.condition].span)));
    }
    const std::string_view why = program.text(expectation.text);
    Cell name = text_cell(std::string(why));
    if (why.empty())  // its condition may hold an amount that is withheld
      name = subject.redacted ? withheld_cell() : text_cell(one_line(subject.sources.text(expectation.span)));
    table.rows.push_back(
        {{std::move(name), std::move(left), std::move(right), text_cell(holds ? "yes" : "no")}, false});
  }
  table.title = fmt::format("Expectations: {} of {} hold", held, table.rows.size());
  return table;
}

void add_judgment_views(const Subject& subject, std::vector<View>& views) {
  const auto add = [&](std::string title, Table table) {
    if (!table.rows.empty()) views.push_back({table.id, std::move(title), {}, {std::move(table)}});
  };
  add("Cautions", cautions(subject));
  add("Expectations", expectations(subject));
}

}  // namespace sprue
