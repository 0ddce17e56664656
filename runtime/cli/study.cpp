// Opening a scenario for a study.
#include "runtime/cli/study.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "runtime/cli/output.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/view/drivers.hpp"

namespace sprue {

void open_study(Study& study, const StudyOptions& options, const std::vector<std::string>& also, Streams streams,
                const std::string& statement) {
  const auto scenario = study.workspace.open_scenario(options.file, options.scenario, streams, {}, statement);
  if (!scenario || !may_write(options.out, study.workspace.sources, streams)) return;
  study.scenario = *scenario;
  study.workspace.forget_trees();
  const Program& program = study.workspace.program;
  const Instances instances = freeze(program, *scenario);
  LowerOptions lowering;
  std::vector<FigurePath> paths;
  for (const std::string& path : options.figures) {
    paths.push_back(find_figure(program, instances, path));
    if (!paths.back().found()) {
      complain(streams, fmt::format("nothing has the path `{}`", path), Code::no_such_path,
               figure_help(program, instances, path));
      return;
    }
    if (paths.back().field.slot != none) lowering.also.push_back(paths.back().field);
  }
  for (const std::string& path : also) {
    const PathTarget target = find_target(program, instances, path);
    if (target.slot != none) lowering.also.push_back(target);
  }
  Diagnostics diagnostics;
  study.evaluation = evaluate(program, *scenario, lowering, diagnostics);
  if (!study.evaluation.sound) {
    for (const Diagnostic& diagnostic : diagnostics.list()) study.workspace.diagnostics.add(diagnostic);
    study.workspace.print_diagnostics(streams);
    return;
  }
  if (paths.empty()) study.figures = leading(program, study.evaluation, leading_figures);
  for (const FigurePath& path : paths) {
    const std::optional<Chosen> chosen = choose(program, study.evaluation, path);
    if (!chosen) {
      complain(streams, fmt::format("`{}` has no number", path.path), Code::no_such_path,
               "name a quantity, a date or a flag that is known");
      return;
    }
    study.figures.push_back(*chosen);
  }
  if (study.figures.empty()) {
    complain(streams, "the file has no headlines", Code::no_such_path, "name figures with --figure PATH");
    return;
  }
  study.ready = true;
}

namespace {

std::string_view why_no_input(TypeTag tag) {
  switch (tag) {
    case TypeTag::table:
    case TypeTag::curve:
      return "it is a table, which has no one value to vary";
    case TypeTag::series:
      return "it is a series, which has no one value to vary";
    case TypeTag::quantity:
    case TypeTag::point:
      return "it is worked out from others, see `sprue explain`";
    default:
      return "only quantities and dates can be varied";
  }
}

/// The inputs of the same instance, or how to change what is none.
std::string what_can_be_varied(const std::string& owner, const std::vector<std::string>& paths) {
  constexpr std::size_t most = 6;
  std::vector<std::string> inside;
  for (const std::string& path : paths) {
    if (path.rfind(owner + ".", 0) == 0) inside.push_back(path);
  }
  const std::string otherwise = "a scenario can change the rest";
  if (inside.empty()) return fmt::format("vary a plain amount; {}", otherwise);
  std::sort(inside.begin(), inside.end());
  const bool more = inside.size() > most;
  inside.resize(std::min(inside.size(), most));
  return fmt::format("of `{}` these can be varied: {}{}; {}", owner, fmt::join(inside, ", "), more ? ", …" : "",
                     otherwise);
}

}  // namespace

std::uint32_t find_input(const Study& study, const std::string& path, Streams streams) {
  const Program& program = study.workspace.program;
  const Lowered& lowered = study.evaluation.lowered;
  std::vector<std::string> paths;
  for (std::uint32_t i = 0; i < lowered.inputs.size(); ++i) {
    paths.push_back(input_path(program, lowered, lowered.inputs[i]));
    if (paths.back() == path) return i;
  }
  const FigurePath figure = find_figure(program, lowered.instances, path);
  const std::string_view near = nearest(path, {paths.begin(), paths.end()});
  if (figure.field.slot == none) {
    complain(streams, fmt::format("`{}` is no input", path), Code::no_such_path,
             figure.found() ? "an input is a plain fact; this is worked out from others, see `sprue explain`"
             : near.empty() ? std::string("an input is a field with a plain fact, or exchange.CURRENCY")
                            : fmt::format("did you mean `{}`?", near));
    return none;
  }
  const Kind& kind = program.kinds[lowered.instances.all[figure.field.instance].kind];
  complain(streams, fmt::format("`{}` is no input: {}", path, why_no_input(kind.fields[figure.field.slot].type.tag)),
           Code::no_such_path, what_can_be_varied(path.substr(0, path.rfind('.')), paths));
  return none;
}

}  // namespace sprue
