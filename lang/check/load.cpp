// Breadth-first over `use`, each file once.
#include "lang/check/load.hpp"

#include <fmt/format.h>
#include <unordered_set>

#include "lang/syntax/parse.hpp"

namespace sprue {

void load(Program& program, Sources& sources, SourceId main, const Loader& loader, Diagnostics& diagnostics) {
  std::unordered_set<std::string> seen{sources[main].name};
  program.trees.push_back(parse(sources, main, program.symbols, diagnostics));
  for (std::size_t i = 0; i < program.trees.size(); ++i) {
    const NodeId root = program.trees[i].root;
    for (std::uint32_t n = 0; n < program.trees[i].nodes[root].count; ++n) {
      const Tree& tree = program.trees[i];
      const NodeId id = tree.children_of(root)[n];
      const NodeKind kind = tree[id].kind;
      if (kind != NodeKind::use_module && kind != NodeKind::use_file) continue;
      const bool is_module = kind == NodeKind::use_module;
      const Symbol used = is_module ? tree[id].data : tree[tree.children_of(id)[0]].data;
      const Span span = tree.span(id);
      Loaded loaded = loader(program.text(used), is_module, sources[tree.source].name);
      if (!loaded.problem.empty()) {
        Diagnostic& diagnostic = diagnostics.report(Code::cannot_use, span, std::move(loaded.problem));
        if (!loaded.help.empty()) diagnostic.help.push_back(std::move(loaded.help));
        continue;
      }
      if (!seen.insert(loaded.name).second) continue;
      if (seen.size() > limits::source_files) {
        diagnostics.report(Code::too_many, span, fmt::format("more than {} files", limits::source_files))
            .help.push_back("join some of them");
        return;
      }
      const SourceId source = sources.add(std::move(loaded.name), std::move(loaded.text));
      program.library_sources.resize(source + 1, false);
      program.library_sources[source] = is_module;
      program.trees.push_back(parse(sources, source, program.symbols, diagnostics));
    }
  }
}

}  // namespace sprue
