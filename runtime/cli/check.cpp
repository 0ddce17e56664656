// `sprue check`: parse, check, evaluate, test what is expected, compare with committed figures; diagnostics as text or
// for machines.
#include <fmt/format.h>
#include <unordered_set>

#include "lang/source/visible.hpp"
#include "runtime/cli/commands.hpp"
#include "runtime/cli/figures.hpp"
#include "runtime/cli/mend.hpp"
#include "runtime/cli/workspace.hpp"
#include "runtime/ledger/scenario_run.hpp"
#include "runtime/write/diagnostics.hpp"

namespace sprue {
namespace {

/// Where diagnostics go: text to `err` at once; records for machines to `out` at the end, each once, however many of
/// the files use the source it lies in.
class Reporter {
 public:
  Reporter(const std::string& format, Streams streams) : format_(format), streams_(streams) {}

  bool as_text() const { return format_ == "text"; }
  void show(Workspace& workspace) {
    if (as_text()) return workspace.print_diagnostics(streams_);
    workspace.diagnostics.settle();
    for (std::string& record : format_ == "sarif" ? sarif_results(workspace.diagnostics, workspace.sources)
                                                  : json_records(workspace.diagnostics, workspace.sources)) {
      if (seen_.insert(record).second) records_.push_back(std::move(record));
    }
  }
  void finish() const {
    if (format_ == "sarif") streams_.out << sarif_log(records_);
    if (format_ != "jsonl") return;
    for (const std::string& record : records_) streams_.out << record << "\n";
  }

 private:
  std::string format_;
  Streams streams_;
  std::vector<std::string> records_;
  std::unordered_set<std::string> seen_;
};

int check_file(const std::string& file, const CheckOptions& options, Streams streams, Reporter& reporter) {
  Workspace workspace;
  workspace.open(file, streams);
  if (!workspace.readable) return exit_unusable;
  if (!workspace.program.sound) {
    reporter.show(workspace);
    return exit_unusable;
  }
  workspace.forget_trees();
  std::vector<std::uint32_t> scenarios{none};
  for (std::uint32_t i = 0; i < workspace.program.scenarios.size(); ++i) scenarios.push_back(i);
  if (!options.scenarios.empty()) {
    scenarios.clear();
    for (const std::string& name : options.scenarios) {
      const auto scenario = workspace.scenario(name, streams);
      if (!scenario) return exit_unusable;
      scenarios.push_back(*scenario);
    }
  }
  int result = exit_fine;
  std::size_t held = 0;
  std::size_t expected = 0;
  ScenarioRun run(workspace.program);
  for (const std::uint32_t scenario : scenarios) {
    // Expectations and cautions speak of the base; a scenario is a what-if, checked for soundness, and for those only
    // when asked for.
    const bool judged = scenario == none || !options.scenarios.empty();
    Diagnostics diagnostics;
    const std::optional<Evaluation> evaluation = run.next(scenario, diagnostics);
    for (const Diagnostic& diagnostic : diagnostics.list()) {
      const bool judgment = diagnostic.code == Code::expectation_failed || diagnostic.code == Code::caution;
      if (judgment && !judged) continue;
      Diagnostic copy = diagnostic;
      if (scenario != none)
        copy.notes.push_back(
            fmt::format("in scenario `{}`", workspace.program.text(workspace.program.scenarios[scenario].name)));
      workspace.diagnostics.add(std::move(copy));
    }
    if (!evaluation || !evaluation->sound) {
      result = exit_unusable;
      if (!evaluation) break;
      continue;
    }
    if (!judged) continue;
    for (const bool holds : evaluation->expectations_hold) {
      ++expected;
      held += holds ? 1 : 0;
      if (!holds) result = std::max(result, exit_does_not_hold);
    }
    if (!options.figures.empty() && scenario == scenarios.front()) {
      result = std::max(result, compare_figures(workspace.program, *evaluation, options.figures, streams));
    }
  }
  reporter.show(workspace);
  if (result != exit_unusable && reporter.as_text())
    streams.out << fmt::format("{}: {} of {} expectations hold\n", visible(file), held, expected);
  return result;
}

}  // namespace

int run_check(const CheckOptions& options, Streams streams) {
  if (!options.figures.empty() && options.files.size() != 1) {
    complain(streams, "--figures needs exactly one file", Code::bad_command);
    return exit_unusable;
  }
  if (!options.figures.empty() && options.format != "text") {
    complain(streams, "--figures is compared as text only", Code::bad_command, "leave out --format");
    return exit_unusable;
  }
  int result = exit_fine;
  Reporter reporter(options.format, streams);
  for (const std::string& file : options.files) {
    if (options.fix && !mend_files(file, streams, reporter.as_text() ? streams.out : streams.err)) {
      result = exit_unusable;
      continue;
    }
    result = std::max(result, check_file(file, options, streams, reporter));
  }
  reporter.finish();
  return result;
}

}  // namespace sprue
