// `sprue describe`: the standard library's reference from its doc comments.
#include <fmt/format.h>

#include "runtime/cli/project.hpp"
#include "runtime/cli/stdlib.hpp"
#include "runtime/cli/workspace.hpp"
#include "runtime/view/reference.hpp"

namespace sprue {

int run_describe(const DescribeOptions& options, Streams streams) {
  std::string all;
  for (const StandardModule& module : standard_modules()) all += fmt::format("use {}\n", module.name);
  Workspace workspace;
  const SourceId source = workspace.sources.add("library", std::move(all));
  check(workspace.program, workspace.sources, source, project_loader("."), workspace.diagnostics);
  if (!workspace.program.sound) {
    workspace.print_diagnostics(streams);
    return exit_unusable;
  }
  if (options.name.empty()) {
    streams.out << (options.markdown ? describe_page(workspace.program, workspace.sources)
                                     : describe_index(workspace.program, workspace.sources));
    return exit_fine;
  }
  const std::string text = describe_name(workspace.program, workspace.sources, options.name);
  if (text.empty()) {
    std::vector<std::string_view> names;
    for (const Kind& kind : workspace.program.kinds) names.push_back(workspace.program.text(kind.name));
    for (const Function& function : workspace.program.functions) names.push_back(workspace.program.text(function.name));
    for (const Ledger& ledger : workspace.program.ledgers) names.push_back(workspace.program.text(ledger.name));
    for (const StandardModule& module : standard_modules()) names.push_back(module.name);
    const std::string_view near = nearest(options.name, names);
    complain(streams, fmt::format("the standard library declares no `{}`", options.name), Code::no_such_path,
             near.empty() ? std::string("`sprue describe` lists everything") : fmt::format("did you mean `{}`?", near));
    return exit_unusable;
  }
  streams.out << text;
  return exit_fine;
}

}  // namespace sprue
