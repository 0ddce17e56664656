// Writing results.
#include "runtime/cli/output.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <filesystem>

#include "runtime/cli/project.hpp"
#include "runtime/cli/workspace.hpp"
#include "runtime/write/json.hpp"
#include "runtime/write/write.hpp"

namespace sprue {

std::size_t text_width(unsigned asked, const std::string& file, Streams streams) {
  if (asked != 0) return asked;
  return file.empty() && streams.width != 0 ? std::max(streams.width, narrowest_text) : default_width;
}

std::string written(const Document& document, std::string_view format, std::size_t width) {
  if (format == "markdown") return write_markdown(document, width);
  if (format == "csv") return write_csv(document);
  if (format == "html") return write_html(document);
  if (format == "json") return write_json(document);
  return write_text(document, width);
}

bool may_write(const std::string& file, const std::vector<std::string>& read, Streams streams) {
  for (const std::string& name : read) {
    std::error_code error;
    if (file.empty() || !std::filesystem::equivalent(file, name, error)) continue;
    complain(streams, fmt::format("`{}` was read, and the result would replace it", file), Code::cannot_write,
             "write to another file");
    return false;
  }
  return true;
}

bool may_write(const std::string& file, const Sources& read, Streams streams) {
  std::vector<std::string> names;
  for (SourceId id = 0; id < read.size(); ++id) names.push_back(read[id].name);
  return may_write(file, names, streams);
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
