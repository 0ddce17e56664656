// `sprue format`: canonical layout in place, or `--check`.
#include "lang/syntax/format.hpp"

#include <fmt/format.h>

#include "lang/diagnostics/render.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/workspace.hpp"

namespace sprue {

int run_format(const FormatOptions& options, Streams streams) {
  int result = exit_fine;
  for (const std::string& file : options.files) {
    std::optional<std::string> text = read_or_complain(file, streams);
    if (!text) {
      result = exit_unusable;
      continue;
    }
    Sources sources;
    Diagnostics diagnostics;
    const SourceId source = sources.add(file, std::move(*text));
    const std::optional<std::string> formatted = format(sources, source, diagnostics);
    if (!formatted) {
      diagnostics.settle();
      streams.err << render(diagnostics, sources, {streams.color});
      result = exit_unusable;
      continue;
    }
    if (*formatted == sources[source].text) continue;
    if (options.check) {
      complain(streams, fmt::format("`{}` is not in canonical layout", file), Code::not_formatted,
               fmt::format("run `sprue format {}`", file));
      result = std::max(result, exit_does_not_hold);
      continue;
    }
    const std::string problem = write_file(file, *formatted);
    if (!problem.empty()) {
      complain(streams, fmt::format("cannot write `{}`: {}", file, problem), Code::cannot_write);
      result = exit_unusable;
    }
  }
  return result;
}

}  // namespace sprue
