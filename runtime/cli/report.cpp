// `sprue report`: the figures of one scenario.
#include <fmt/format.h>

#include "runtime/cli/project.hpp"
#include "runtime/cli/session.hpp"
#include "runtime/view/figures.hpp"

namespace sprue {

int run_report(const ReportOptions& options, Streams streams) {
  Session session;
  session.open(options.file, streams);
  if (!session.readable) return exit_unusable;
  if (!session.program.sound) {
    session.print_diagnostics(streams);
    return exit_unusable;
  }
  const auto scenario = session.scenario(options.scenario, streams);
  if (!scenario) return exit_unusable;
  const Evaluation evaluation = evaluate(session.program, *scenario, {}, session.diagnostics);
  session.print_diagnostics(streams);
  if (!evaluation.sound) return exit_unusable;
  const std::string bytes = figure_lines(session.program, figures_of(session.program, evaluation));
  if (options.out.empty()) {
    streams.out << bytes;
  } else if (const std::string problem = write_file(options.out, bytes); !problem.empty()) {
    complain(streams, fmt::format("cannot write `{}`: {}", options.out, problem), Code::cannot_write);
    return exit_unusable;
  }
  return exit_fine;
}

}  // namespace sprue
