// `sprue solve`: the values of an input at which a condition turns.
#include <fmt/format.h>
#include <cmath>
#include <filesystem>

#include "runtime/cli/output.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/study.hpp"
#include "runtime/cli/values.hpp"
#include "runtime/ledger/shown.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/view/solution.hpp"

namespace sprue {
namespace {

/// Where to look: as asked, else the declared range, else from a hundredth to a hundred times what is stated.
std::optional<SearchRange> range_of(Study& study, std::uint32_t input, const SolveOptions& options, Streams streams) {
  const Program& program = study.workspace.program;
  const Lowered& lowered = study.evaluation.lowered;
  const double stated = lowered.graph.inputs[input];
  const Type type = input_type(program, lowered, lowered.inputs[input]);
  SearchRange range{stated / 100, stated * 100, is_stepped(program, type)};
  if (const Facts* const facts = facts_of(program, lowered, lowered.inputs[input]); facts != nullptr && facts->ranged) {
    range.low = facts->low;
    range.high = facts->high;
  } else if (!(stated > 0) || type.tag == TypeTag::point) {
    if (options.from.empty() || options.to.empty()) {
      complain(streams, "where to look is not known: the input has no range and is not above zero", Code::bad_command,
               "say it with --from and --to");
      return std::nullopt;
    }
  }
  const auto end = [&](const std::string& text, double& to) {
    if (text.empty()) return true;
    const auto value = read_value(study, input, text, streams);
    if (value) to = *value;
    return value.has_value();
  };
  if (!end(options.from, range.low) || !end(options.to, range.high)) return std::nullopt;
  if (range.whole) {
    range.low = std::ceil(range.low);
    range.high = std::floor(range.high);
  }
  if (range.low < range.high) return range;
  complain(streams, "the range to look in is empty", Code::bad_command, "--from lies below --to");
  return std::nullopt;
}

}  // namespace

int run_solve(const SolveOptions& options, Streams streams) {
  if (options.until.find_first_of("\r\n") != std::string::npos) {
    complain(streams, "--until takes one condition on one line", Code::bad_command, "write it as after `expect`");
    return exit_unusable;
  }
  Study study;
  open_study(study, options.study, {options.input}, streams, "expect " + options.until + "\n");
  if (!study.ready) return exit_unusable;
  const Program& program = study.workspace.program;
  const std::uint32_t input = find_input(study, options.input, streams);
  if (input == none) return exit_unusable;
  const Check* condition = nullptr;
  for (const Check& check : study.evaluation.lowered.expectations) {
    if (program.expectations[check.index].span.source == study.workspace.main) condition = &check;
  }
  if (condition == nullptr || study.evaluation.absent(condition->node)) {
    complain(streams, "the condition rests on something unknown", Code::bad_command);
    return exit_unusable;
  }
  const auto range = range_of(study, input, options, streams);
  if (!range) return exit_unusable;
  Asked asked{input, options.until, {}, *range};
  for (const Formula& formula : program.formulas) {
    if (formula.op == FormulaOp::arithmetic && formula.span == condition->span && formula.count == 2)
      asked.sides = shown_type(program, program.arguments[formula.first]);
  }
  const Crossings crossings = find_crossings(study.evaluation, *condition, input, *range);
  const Document document = solution_document(program, study.evaluation, study.figures, asked, crossings);
  const int result =
      put_out(written(document, options.study.format, text_width(options.study.width, options.study.out, streams)),
              options.study.out, streams);
  const bool holds_somewhere = !crossings.found.empty() || crossings.true_at_low;
  return result == exit_fine && !holds_somewhere ? exit_does_not_hold : result;
}

}  // namespace sprue
