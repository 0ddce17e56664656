// `sprue compare`: two versions, what differs, and what each change did to the figures.
#include <fmt/format.h>

#include "runtime/cli/output.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/side.hpp"
#include "runtime/view/comparison.hpp"
#include "runtime/write/json.hpp"
#include "runtime/write/write.hpp"

namespace sprue {

int run_compare(const CompareOptions& options, Streams streams) {
  SideName before_name = read_side(options.before);
  SideName after_name = read_side(options.after);
  if (before_name.file.empty()) before_name.file = after_name.file;
  if (after_name.file.empty()) after_name.file = before_name.file;
  if (before_name.file.empty()) {
    complain(streams, "neither side names a file", Code::bad_command, "write [REVISION:]FILE[#SCENARIO]");
    return exit_unusable;
  }
  const auto before = open_side(before_name, streams);
  if (before == nullptr) return exit_unusable;
  const auto after = open_side(after_name, streams);
  if (after == nullptr) return exit_unusable;
  for (const Side* side : {before.get(), after.get()}) {
    if (!may_write(options.out, side->workspace.sources, streams)) return exit_unusable;
  }
  const auto version = [](const Side& side) {
    return Version{{}, &side.workspace.program, &side.workspace.sources, &side.evaluation};
  };
  const Version versions[] = {version(*before), version(*after)};
  const auto pieces = [](const Side& side) {
    return pieces_of(side.workspace.program, side.workspace.sources, side.scenario);
  };
  const Pieces before_pieces = pieces(*before);
  const Pieces after_pieces = pieces(*after);
  const Comparison comparison = compare({before->label, versions[0], before_pieces},
                                        {after->label, versions[1], after_pieces}, project_loader({}));
  const std::string bytes = [&] {
    const bool text = options.format == "text" || options.format == "markdown";
    const Document document = comparison_document(comparison, options.all || !text);
    return options.format == "json"
               ? write_json(comparison, document)
               : written(document, options.format, text_width(options.width, options.out, streams));
  }();
  const int written = put_out(bytes, options.out, streams);
  return written == exit_fine && options.check && !comparison.same ? exit_does_not_hold : written;
}

}  // namespace sprue
