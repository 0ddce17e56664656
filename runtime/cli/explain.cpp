// `sprue explain`: one figure opened back to its inputs.
#include "runtime/view/explain.hpp"

#include <fmt/format.h>

#include "lang/source/visible.hpp"
#include "runtime/cli/workspace.hpp"
#include "runtime/view/chosen.hpp"

namespace sprue {

int run_explain(const ExplainOptions& options, Streams streams) {
  Workspace workspace;
  const auto scenario = workspace.open_scenario(options.file, options.scenario, streams);
  if (!scenario) return exit_unusable;
  const Program& program = workspace.program;
  const Instances instances = freeze(program, *scenario);
  const FigurePath figure = find_figure(program, instances, options.path);
  if (!figure.found()) {
    complain(streams, fmt::format("nothing has the path `{}`", options.path), Code::no_such_path,
             figure_help(program, instances, options.path));
    return exit_unusable;
  }
  LowerOptions lowering;
  lowering.dependencies = true;
  if (figure.field.slot != none) lowering.also.push_back(figure.field);
  const Evaluation evaluation = evaluate(program, *scenario, lowering, workspace.diagnostics);
  if (!evaluation.sound) {
    workspace.print_diagnostics(streams);
    return exit_unusable;
  }
  streams.out << visible(figure.ledger != none ? explain_ledger(program, workspace.sources, evaluation, figure.ledger,
                                                         figure.category, options.depth)
                                        : explain(program, workspace.sources, evaluation, figure.field, options.depth),
                         true);
  return exit_fine;
}

}  // namespace sprue
