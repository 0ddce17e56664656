// `sprue report`: the figures of one scenario, or of several side by side.
#include <fmt/format.h>
#include <algorithm>
#include <set>

#include "runtime/cli/output.hpp"
#include "runtime/cli/workspace.hpp"
#include "runtime/ledger/scenario_run.hpp"
#include "runtime/view/figures.hpp"
#include "runtime/view/report.hpp"
#include "runtime/write/json.hpp"
#include "runtime/write/lines.hpp"
#include "runtime/write/svg.hpp"
#include "runtime/write/write.hpp"

namespace sprue {
namespace {

/// The views asked for by audience and by name; `known` is false where one of them is none.
struct Selection {
  std::vector<AudienceView> views;
  std::string title;
  bool known = true;
  bool brief = false;
};

/// The audience that a text is for where nothing else is asked for: one screen.
constexpr std::string_view brief_audience = "brief";

bool is_text(const ReportOptions& options) {
  return options.format == "text" || options.format == "markdown";
}

Selection selection_of(const Program& program, const ReportOptions& options, Streams streams) {
  Selection selection;
  const bool whole = options.all || !is_text(options) || !options.audience.empty() || !options.sections.empty();
  for (const Audience& audience : program.audiences) {
    if (whole || program.text(audience.name) != brief_audience) continue;
    selection.views = audience.views;
    selection.brief = true;
  }
  if (!options.audience.empty()) {
    std::vector<std::string_view> names;
    for (const Audience& audience : program.audiences) {
      names.push_back(program.text(audience.name));
      if (names.back() != options.audience) continue;
      selection.views = audience.views;
      selection.brief = is_text(options) && options.audience == brief_audience;
      selection.title = program.text(audience.title);
    }
    if (selection.views.empty()) {
      const std::string_view near = nearest(options.audience, names);
      complain(streams, fmt::format("no audience is called `{}`", options.audience), Code::no_such_path,
               !near.empty()   ? fmt::format("did you mean `{}`?", near)
               : names.empty() ? std::string("the program declares no `audience`")
                               : fmt::format("audiences: {}", fmt::join(names, ", ")));
      selection.known = false;
    }
  }
  const std::set<std::string> known = view_names(program);
  for (const std::string& section : options.sections) {
    selection.views.push_back({section, none, {}});
    const auto within = known.lower_bound(section + ".");
    const bool is_group = within != known.end() && within->starts_with(section + ".");
    if (is_group || known.count(section) != 0) continue;
    const std::string_view near = nearest(section, {known.begin(), known.end()});
    complain(streams, fmt::format("no view is called `{}`", section), Code::no_such_path,
             !near.empty() ? fmt::format("did you mean `{}`?", near)
                           : fmt::format("name a listing, a chart, LEDGER.by_item, KIND.HEADLINE or one of: {}",
                                         fmt::join(built_in_views, ", ")));
    selection.known = false;
  }
  return selection;
}

/// The one chart asked for, or the only one there is.
int put_chart(const Document& document, const ReportOptions& options, Streams streams) {
  std::vector<std::string> names;
  std::string found;
  const auto consider = [&](const auto& chart) {
    names.push_back(chart.id);
    if (chart.id == options.chart && found.empty()) found = write_svg(chart);
  };
  for (const Block& block : document) {
    if (const auto* bars = std::get_if<BarChart>(&block)) consider(*bars);
    if (const auto* lines = std::get_if<LineChart>(&block)) consider(*lines);
  }
  if (!found.empty()) return put_out(found, options.out, streams);
  complain(streams,
           options.chart.empty() ? std::string("--format svg needs --chart NAME")
                                 : fmt::format("no chart is called `{}`", options.chart),
           Code::no_such_path, fmt::format("charts: {}", fmt::join(names, ", ")));
  return exit_unusable;
}

}  // namespace

int run_report(const ReportOptions& options, Streams streams) {
  if (options.format == "lines" && (options.redact || !options.audience.empty() || !options.sections.empty())) {
    complain(streams, "--format lines is always whole", Code::bad_command,
             "leave out --audience, --section and --redact, or choose another format");
    return exit_unusable;
  }
  if (options.all && (!options.audience.empty() || !options.sections.empty())) {
    complain(streams, "--all goes without --audience and --section", Code::bad_command);
    return exit_unusable;
  }
  if (options.format != "svg" && !options.chart.empty()) {
    complain(streams, "--chart goes with --format svg", Code::bad_command);
    return exit_unusable;
  }
  Workspace workspace;
  const std::string first = options.scenarios.empty() || options.all_scenarios ? "" : options.scenarios.front();
  const auto scenario = workspace.open_scenario(options.file, first, streams, options.used_from);
  if (!scenario || !may_write(options.out, workspace.sources, streams)) return exit_unusable;
  const Program& program = workspace.program;
  std::vector<std::uint32_t> wanted{*scenario};
  for (std::uint32_t i = 0; options.all_scenarios && i < program.scenarios.size(); ++i) wanted.push_back(i);
  for (std::size_t i = 1; !options.all_scenarios && i < options.scenarios.size(); ++i) {
    const auto more = workspace.scenario(options.scenarios[i], streams);
    if (!more) return exit_unusable;
    wanted.push_back(*more);
  }
  const Selection selection = selection_of(program, options, streams);
  if (!selection.known) return exit_unusable;
  if (options.format == "lines") workspace.forget_trees();
  std::vector<Evaluation> evaluations;
  ScenarioRun run(program);
  for (const std::uint32_t id : wanted) {
    // What is judged of the scenario reported is said; of those beside it the columns say it.
    Diagnostics own;
    std::optional<Evaluation> evaluation = run.next(id, own);
    const bool sound = evaluation && evaluation->sound;
    if (evaluation) evaluations.push_back(*std::move(evaluation));
    for (const Diagnostic& diagnostic : own.list()) {
      if (sound && evaluations.size() > 1) break;
      workspace.diagnostics.add(diagnostic);
    }
    if (sound) continue;
    workspace.print_diagnostics(streams);
    return exit_unusable;
  }
  workspace.print_diagnostics(streams);
  std::vector<Version> versions;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    std::string name = wanted[i] == none ? "base" : std::string(program.text(program.scenarios[wanted[i]].name));
    versions.push_back({std::move(name), &program, &workspace.sources, &evaluations[i]});
  }
  if (options.format == "lines")
    return put_out(write_lines(program, figures_of(program, evaluations[0])), options.out, streams);
  const Document document = report_document({program, workspace.sources, evaluations[0], options.redact},
                                            {*scenario, versions, selection.views, selection.title, selection.brief});
  if (document.size() <= 1 + (selection.title.empty() ? 0U : 1U) && !selection.views.empty()) {
    complain(streams, "there is nothing to show in the view asked for", Code::no_such_path,
             "leave out --section to see the views that have rows");
    return exit_unusable;
  }
  if (options.format == "svg") return put_chart(document, options, streams);
  const std::string bytes = [&] {
    if (options.format == "json")
      return write_json(program, workspace.sources,
                        options.redact ? std::vector<Figure>{} : figures_of(program, evaluations[0]), document,
                        versions[0].title);
    return written(document, options.format, text_width(options.width, options.out, streams));
  }();
  return put_out(bytes, options.out, streams);
}

}  // namespace sprue
