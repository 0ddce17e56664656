// Writing results.
#include "runtime/cli/output.hpp"

#include <fmt/format.h>

#include "runtime/cli/project.hpp"
#include "runtime/cli/workspace.hpp"
#include "runtime/write/json.hpp"
#include "runtime/write/write.hpp"

namespace sprue {

std::string written(const Document& document, std::string_view format) {
  if (format == "markdown") return write_markdown(document);
  if (format == "csv") return write_csv(document);
  if (format == "html") return write_html(document);
  if (format == "json") return write_json(document);
  return write_text(document);
}

int put_out(std::string_view bytes, const std::string& file, Streams streams) {
  if (file.empty()) {
    streams.out << bytes;
  } else if (const std::string problem = write_file(file, bytes); !problem.empty()) {
    complain(streams, fmt::format("cannot write `{}`: {}", file, problem), Code::cannot_write);
    return exit_unusable;
  }
  return exit_fine;
}

}  // namespace sprue
