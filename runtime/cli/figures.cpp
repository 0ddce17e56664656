// Line by line, by path.
#include "runtime/cli/figures.hpp"

#include <fmt/format.h>
#include <charconv>
#include <cmath>
#include <map>
#include <optional>

#include "lang/source/visible.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/workspace.hpp"
#include "runtime/view/figures.hpp"
#include "runtime/write/lines.hpp"

namespace sprue {
namespace {

/// Nothing where a line is no `PATH = VALUE`; `line_number` is then its.
std::optional<std::map<std::string, std::string>> by_path(std::string_view lines, std::size_t& line_number) {
  std::map<std::string, std::string> out;
  while (!lines.empty()) {
    ++line_number;
    const std::size_t end = std::min(lines.find('\n'), lines.size());
    std::string_view line = lines.substr(0, end);
    lines.remove_prefix(std::min(end + 1, lines.size()));
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    const std::size_t equals = line.find(" = ");
    if (equals == std::string_view::npos || line.find_first_of(" :{\"") < equals) return std::nullopt;
    out.emplace(line.substr(0, equals), line.substr(equals + 3));
  }
  return out;
}

std::string change(const std::string& before, const std::string& after) {
  double a = 0;
  double b = 0;
  const auto first = std::from_chars(before.data(), before.data() + before.size(), a);
  const auto second = std::from_chars(after.data(), after.data() + after.size(), b);
  if (first.ec != std::errc{} || second.ec != std::errc{} || a == 0 || !std::isfinite(a) || !std::isfinite(b) ||
      (*first.ptr != ' ' && *first.ptr != '\0'))
    return {};
  return fmt::format("  ({:+.4f}%)", 100 * (b - a) / std::fabs(a));
}

}  // namespace

int compare_figures(const Program& program, const Evaluation& evaluation, const std::string& file, Streams streams) {
  const auto committed = read_or_complain(file, streams);
  if (!committed) return exit_unusable;
  std::size_t line_number = 0;
  const auto read = by_path(*committed, line_number);
  if (!read) {
    complain(streams, fmt::format("line {} of `{}` is no figure", line_number, file), Code::cannot_read,
             fmt::format("write the file anew: `sprue report FILE --format lines --out {}`", file));
    return exit_unusable;
  }
  const auto& before = *read;
  const auto after = by_path(write_lines(program, figures_of(program, evaluation)), line_number).value();
  std::size_t different = 0;
  const auto differ = [&](const std::string& line) {
    ++different;
    streams.out << visible(line, true);
  };
  for (const auto& [path, value] : before) {
    const auto now = after.find(path);
    if (now == after.end()) {
      differ(fmt::format("- {} = {}\n", path, value));
    } else if (now->second != value) {
      differ(fmt::format("- {0} = {1}\n+ {0} = {2}{3}\n", path, value, now->second, change(value, now->second)));
    }
  }
  for (const auto& [path, value] : after) {
    if (before.count(path) == 0) differ(fmt::format("+ {} = {}\n", path, value));
  }
  if (different == 0) return exit_fine;
  complain(streams,
           fmt::format("{} {} from `{}`", different, different == 1 ? "figure differs" : "figures differ", file),
           Code::figures_differ,
           fmt::format("review them, then write the file anew: `sprue report FILE --format lines --out {}`", file));
  return exit_does_not_hold;
}

}  // namespace sprue
