// `sprue describe`: the standard library's reference from its doc comments.
#include <fmt/format.h>

#include "runtime/cli/project.hpp"
#include "runtime/cli/session.hpp"
#include "runtime/cli/stdlib.hpp"
#include "runtime/view/reference.hpp"

namespace sprue {

int run_describe(const DescribeOptions& options, Streams streams) {
  std::string all;
  for (const StandardModule& module : standard_modules()) all += fmt::format("use {}\n", module.name);
  Session session;
  const SourceId source = session.sources.add("library", std::move(all));
  check(session.program, session.sources, source, project_loader("."), session.diagnostics);
  if (!session.program.sound) {
    session.print_diagnostics(streams);
    return exit_unusable;
  }
  if (options.name.empty()) {
    streams.out << describe_index(session.program, session.sources);
    return exit_fine;
  }
  const std::string text = describe_name(session.program, session.sources, options.name);
  if (text.empty()) {
    std::vector<std::string_view> names;
    for (const Kind& kind : session.program.kinds) names.push_back(session.program.text(kind.name));
    for (const Function& function : session.program.functions) names.push_back(session.program.text(function.name));
    for (const Ledger& ledger : session.program.ledgers) names.push_back(session.program.text(ledger.name));
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
