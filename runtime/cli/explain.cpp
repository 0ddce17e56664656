// `sprue explain`: one figure opened back to its inputs.
#include "runtime/view/explain.hpp"

#include <fmt/format.h>

#include "runtime/cli/workspace.hpp"

namespace sprue {
namespace {

std::vector<std::string> paths_of(const Program& program, const Instances& instances) {
  std::vector<std::string> paths;
  for (InstanceId id = 0; id < instances.size() && paths.size() < 20000; ++id) {
    const std::string path = instances.path(program, id);
    paths.push_back(path);
    for (const Field& field : program.kinds[instances.all[id].kind].fields)
      paths.push_back(fmt::format("{}.{}", path, program.text(field.name)));
  }
  return paths;
}

}  // namespace

int run_explain(const ExplainOptions& options, Streams streams) {
  Workspace workspace;
  const auto scenario = workspace.open_scenario(options.file, options.scenario, streams);
  if (!scenario) return exit_unusable;
  const Program& program = workspace.program;
  const std::size_t dot = options.path.find('.');
  LedgerId ledger = none;
  std::uint32_t category = none;
  for (LedgerId id = 0; id < program.ledgers.size(); ++id) {
    if (program.text(program.ledgers[id].name) != options.path.substr(0, dot)) continue;
    const std::string rest = dot == std::string::npos ? "total" : options.path.substr(dot + 1);
    if (rest == "total") ledger = id;
    for (std::uint32_t c = 0; c < program.ledgers[id].categories.size(); ++c) {
      if (program.text(program.ledgers[id].categories[c].name) != rest) continue;
      ledger = id;
      category = c;
    }
  }
  const Instances instances = freeze(program, *scenario);
  const PathTarget target = find_target(program, instances, options.path);
  if (ledger == none && target.slot == none) {
    std::string help = target.instance == none
                           ? std::string()
                           : fmt::format("`{}` is an instance; name one of its fields", options.path);
    if (help.empty()) {
      const std::vector<std::string> paths = paths_of(program, instances);
      const std::string_view near = nearest(options.path, {paths.begin(), paths.end()});
      if (!near.empty()) help = fmt::format("did you mean `{}`?", near);
    }
    complain(streams, fmt::format("nothing has the path `{}`", options.path), Code::no_such_path, help);
    return exit_unusable;
  }
  LowerOptions lowering;
  lowering.dependencies = true;
  if (target.slot != none) lowering.also.push_back(target);
  const Evaluation evaluation = evaluate(program, *scenario, lowering, workspace.diagnostics);
  if (!evaluation.sound) {
    workspace.print_diagnostics(streams);
    return exit_unusable;
  }
  streams.out << (ledger != none
                      ? explain_ledger(program, workspace.sources, evaluation, ledger, category, options.depth)
                      : explain(program, workspace.sources, evaluation, target, options.depth));
  return exit_fine;
}

}  // namespace sprue
