// `sprue report`: the figures of one scenario.
#include <fmt/format.h>

#include "runtime/cli/project.hpp"
#include "runtime/cli/session.hpp"
#include "runtime/view/figures.hpp"
#include "runtime/view/report.hpp"
#include "runtime/write/json.hpp"
#include "runtime/write/write.hpp"

namespace sprue {

int run_report(const ReportOptions& options, Streams streams) {
  Session session;
  const auto scenario = session.open_scenario(options.file, options.scenario, streams);
  if (!scenario) return exit_unusable;
  const Evaluation evaluation = evaluate(session.program, *scenario, {}, session.diagnostics);
  session.print_diagnostics(streams);
  if (!evaluation.sound) return exit_unusable;
  const std::string bytes = [&] {
    if (options.format == "lines") return figure_lines(session.program, figures_of(session.program, evaluation));
    const Document document = report_document(session.program, session.sources, evaluation, *scenario);
    if (options.format == "markdown") return write_markdown(document);
    if (options.format == "csv") return write_csv(document);
    if (options.format == "json")
      return write_json(session.program, session.sources, figures_of(session.program, evaluation), document,
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
