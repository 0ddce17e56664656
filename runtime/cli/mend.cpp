// Each round checks anew, since mending a statement may show what else is wrong in it.
#include "runtime/cli/mend.hpp"

#include <fmt/format.h>
#include <map>

#include "lang/diagnostics/fixes.hpp"
#include "lang/source/visible.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/workspace.hpp"

namespace sprue {
namespace {

constexpr int most_rounds = 50;

}  // namespace

bool mend_files(const std::string& file, Streams streams, std::ostream& told) {
  std::map<std::string, std::size_t> counts;
  bool written = true;
  for (int round = 0; round < most_rounds && written; ++round) {
    Workspace workspace;
    workspace.open(file, streams);
    if (!workspace.readable) return false;
    workspace.diagnostics.settle();
    const std::filesystem::path root = project_root(file);
    bool changed = false;
    for (SourceId source = 0; source < workspace.sources.size(); ++source) {
      const std::string& name = workspace.sources[source].name;
      const Mended text = mended(workspace.diagnostics, workspace.sources, source);
      const std::filesystem::path path = text.fixes == 0 ? std::filesystem::path() : own_file(name, root);
      if (path.empty()) continue;
      const std::string problem = write_file(path, text.text);
      if (!problem.empty()) {
        complain(streams, fmt::format("cannot write `{}`: {}", name, problem), Code::cannot_write);
        written = false;
        continue;
      }
      counts[name] += text.fixes;
      changed = true;
    }
    if (!changed) break;
  }
  for (const auto& [name, count] : counts)
    told << fmt::format("{}: {} {} applied\n", visible(name), count, count == 1 ? "fix" : "fixes");
  return written;
}

}  // namespace sprue
