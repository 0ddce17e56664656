// `sprue report`: the figures of one scenario.
#include <fmt/format.h>

#include "runtime/cli/project.hpp"
#include "runtime/cli/workspace.hpp"
#include "runtime/view/figures.hpp"
#include "runtime/write/lines.hpp"
#include "runtime/view/report.hpp"
#include "runtime/write/json.hpp"
#include "runtime/write/write.hpp"

namespace sprue {

int run_report(const ReportOptions& options, Streams streams) {
  Workspace workspace;
  const auto scenario = workspace.open_scenario(options.file, options.scenario, streams);
  if (!scenario) return exit_unusable;
  const Evaluation evaluation = evaluate(workspace.program, *scenario, {}, workspace.diagnostics);
  workspace.print_diagnostics(streams);
  if (!evaluation.sound) return exit_unusable;
  const std::string bytes = [&] {
    if (options.format == "lines") return write_lines(workspace.program, figures_of(workspace.program, evaluation));
    const Document document = report_document(workspace.program, workspace.sources, evaluation, *scenario);
    if (options.format == "markdown") return write_markdown(document);
    if (options.format == "csv") return write_csv(document);
    if (options.format == "json")
      return write_json(workspace.program, workspace.sources, figures_of(workspace.program, evaluation), document,
                        options.scenario.empty() ? "base" : options.scenario);
    return write_text(document);
  }();
  if (options.out.empty()) {
    streams.out << bytes;
  } else if (const std::string problem = write_file(options.out, bytes); !problem.empty()) {
    complain(streams, fmt::format("cannot write `{}`: {}", options.out, problem), Code::cannot_write);
    return exit_unusable;
  }
  return exit_fine;
}

}  // namespace sprue
