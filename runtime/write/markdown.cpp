// GitHub-flavored Markdown; everything a scenario says is escaped.
#include <fmt/format.h>

#include "runtime/write/write.hpp"

namespace sprue {
namespace {

/// An invisible comment: what it divides is no mention and no address, in whatever way the text is scanned for them.
constexpr std::string_view divider = "<!-- -->";

bool is_www(std::string_view text) {
  return text.size() >= 4 && (text[0] | 0x20) == 'w' && (text[1] | 0x20) == 'w' && (text[2] | 0x20) == 'w' &&
         text[3] == '.';
}

/// As text: no markup, no mention (`@name`), no address (`https://…`, `www.…`, `a@b.c`), no reference (`#12`).
std::string escaped(std::string_view from) {
  const std::string text = visible(from);
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    const std::string_view rest = std::string_view(text).substr(i);
    if (c == '@')
      out += fmt::format("@{}", divider);
    else if (rest.starts_with("://"))
      out += fmt::format(":{}", divider);
    else if (is_www(rest)) {
      out += fmt::format("{}{}", rest.substr(0, 3), divider);
      i += 2;
    } else if (c == '#' && rest.size() > 1 && rest[1] >= '0' && rest[1] <= '9')
      out += fmt::format("\\#{}", divider);
    else if (c == '<')
      out += "&lt;";
    else if (c == '>')
      out += "&gt;";
    else if (c == '&')
      out += "&amp;";
    else if (c == '|' || c == '*' || c == '_' || c == '`' || c == '[' || c == ']' || c == '\\' || c == '#' || c == '~')
      out += fmt::format("\\{}", c);
    else
      out += c;
  }
  return out;
}

void table(const Table& from, std::string& out) {
  const auto cells = shown_cells(from, true);
  if (!from.title.empty()) out += fmt::format("**{}**\n\n", escaped(from.title));
  std::string rule = "|";
  out += "|";
  for (const TableColumn& column : from.columns) {
    out += fmt::format(" {}{} |", escaped(column.title),
                       column.unit.empty() ? "" : fmt::format(" ({})", escaped(column.unit)));
    rule += column.number ? " ---: |" : " --- |";
  }
  out += "\n" + rule + "\n";
  for (std::size_t r = 0; r < cells.size(); ++r) {
    out += "|";
    for (const std::string& cell : cells[r])
      out += from.rows[r].total && !cell.empty() ? fmt::format(" **{}** |", escaped(cell))
                                                 : fmt::format(" {} |", escaped(cell));
    out += "\n";
  }
  if (const std::string note = rounding_note(from); !note.empty()) out += fmt::format("\n{}\n", escaped(note));
  out += "\n";
}

}  // namespace

std::string write_markdown(const Document& document) {
  std::string out;
  for (const Block& block : document) {
    if (const auto* heading = std::get_if<Heading>(&block)) {
      out += fmt::format("{} {}\n\n", heading->level == 1 ? "#" : "##", escaped(heading->text));
    } else if (const auto* paragraph = std::get_if<Paragraph>(&block)) {
      out += escaped(paragraph->text) + "\n\n";
    } else if (const auto* figures = std::get_if<KeyFigures>(&block)) {
      out += "| Figure | Value | Definition |\n| --- | ---: | --- |\n";
      for (const KeyFigure& figure : figures->figures)
        out +=
            fmt::format("| {} | {} | {} |\n", escaped(figure.title), escaped(figure.value), escaped(figure.definition));
      out += "\n";
    } else if (const auto* of = std::get_if<Table>(&block)) {
      table(*of, out);
    }
  }
  while (out.size() > 1 && out[out.size() - 2] == '\n') out.pop_back();
  return out;
}

}  // namespace sprue
