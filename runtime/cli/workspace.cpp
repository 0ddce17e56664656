// Opening files and printing diagnostics.
#include "runtime/cli/workspace.hpp"

#include <fmt/format.h>

#include "lang/diagnostics/render.hpp"
#include "lang/source/visible.hpp"
#include "runtime/cli/project.hpp"

namespace sprue {

void complain(Streams streams, std::string_view message, Code code, std::string_view help) {
  streams.err << fmt::format("error: {} [{}]\n", visible(message, true), info(code).number);
  if (!help.empty()) streams.err << fmt::format("help: {}\n", visible(help, true));
}

std::optional<std::string> read_or_complain(const std::string& file, Streams streams) {
  FileText found = read_named_file(file);
  if (found.problem.empty()) return std::move(found.text);
  complain(streams, fmt::format("cannot read `{}`: {}", file, found.problem), Code::cannot_read);
  return std::nullopt;
}

void Workspace::open(const std::string& file, Streams streams, const std::string& used_from,
                     const std::string& statement) {
  std::optional<std::string> text = read_or_complain(file, streams);
  if (!text) return;
  const std::filesystem::path own(file);
  const std::filesystem::path path = used_from.empty() ? own : std::filesystem::path(used_from) / own.filename();
  const std::string name = path.lexically_normal().generic_string();
  open_text(name, std::move(*text), project_loader(project_root(path)), statement);
}

void Workspace::open_text(std::string name, std::string text, const Loader& loader, const std::string& statement,
                          const std::string& statement_name) {
  readable = true;
  if (statement.empty()) {
    main = sources.add(std::move(name), std::move(text));
    check(program, sources, main, loader, diagnostics);
    return;
  }
  // The statement's own source uses the file, whatever its name.
  main = sources.add(statement_name, "use \"program\"\n" + statement);
  const Loader with_file = [&](std::string_view used, bool is_module, std::string_view from) -> Loaded {
    if (from == statement_name && !is_module) return {name, std::move(text), {}, {}};
    return loader(used, is_module, from);
  };
  check(program, sources, main, with_file, diagnostics);
}

std::optional<std::uint32_t> Workspace::find_scenario(const std::string& name, std::string& help) const {
  if (name.empty() || name == "base") return none;
  std::vector<std::string_view> names;
  for (std::uint32_t i = 0; i < program.scenarios.size(); ++i) {
    if (program.text(program.scenarios[i].name) == name) return i;
    names.push_back(program.text(program.scenarios[i].name));
  }
  const std::string_view near = nearest(name, names);
  help = !near.empty()   ? fmt::format("did you mean `{}`?", near)
         : names.empty() ? std::string("the file declares no scenarios")
                         : fmt::format("scenarios: {}", fmt::join(names, ", "));
  return std::nullopt;
}

std::optional<std::uint32_t> Workspace::scenario(const std::string& name, Streams streams) const {
  std::string help;
  const auto found = find_scenario(name, help);
  if (!found) complain(streams, fmt::format("no scenario is called `{}`", name), Code::no_such_path, help);
  return found;
}

std::optional<std::uint32_t> Workspace::open_scenario(const std::string& file, const std::string& name, Streams streams,
                                                      const std::string& used_from, const std::string& statement) {
  open(file, streams, used_from, statement);
  if (!readable) return std::nullopt;
  if (!program.sound) {
    print_diagnostics(streams);
    return std::nullopt;
  }
  return scenario(name, streams);
}

void Workspace::print_diagnostics(Streams streams) {
  diagnostics.settle();
  RenderOptions options;
  options.color = streams.color;
  streams.err << render(diagnostics, sources, options);
}

}  // namespace sprue
