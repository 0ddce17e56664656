// GitHub-flavored Markdown; everything a scenario says is escaped.
#include <fmt/format.h>
#include <algorithm>

#include "runtime/write/layout.hpp"
#include "runtime/write/write.hpp"

namespace sprue {
namespace {

constexpr std::size_t text_room = 24;  // of a text among numbers

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

/// Texts break in what a reader sees, so only numbers decide which columns stand side by side.
std::vector<ColumnBlock> blocks(const Table& from, const std::vector<std::string>& heads,
                                std::vector<std::vector<std::string>> cells, std::size_t width) {
  for (auto& row : cells) {
    for (std::size_t c = 0; c < row.size(); ++c) {
      if (!from.columns[c].number) row[c] = cut_short(row[c], text_room);
    }
  }
  return blocks_of(from, heads, cells, width);
}

void table(const Table& whole, std::size_t width, std::string& out) {
  const auto [from, left_out] = without_zero_columns(whole);
  const auto cells = shown_cells(from, true);
  if (!from.title.empty()) out += fmt::format("**{}**\n\n", escaped(from.title));
  std::vector<std::string> heads;
  for (const TableColumn& column : from.columns) {
    const std::string unit = unit_for_people(column);
    heads.push_back(unit.empty() ? column.title : fmt::format("{} ({})", column.title, unit));
  }
  for (const ColumnBlock& block : blocks(from, heads, cells, width)) {
    std::string rule = "|";
    out += "|";
    for (const std::size_t c : block.columns) {
      out += fmt::format(" {} |", escaped(heads[c]));
      rule += from.columns[c].number ? " ---: |" : " --- |";
    }
    out += "\n" + rule + "\n";
    for (std::size_t r = 0; r < cells.size(); ++r) {
      out += "|";
      for (const std::size_t c : block.columns) {
        const std::string cell = escaped(cells[r][c]);
        out += from.rows[r].total && !cell.empty() ? fmt::format(" **{}** |", cell) : fmt::format(" {} |", cell);
      }
      out += "\n";
    }
    out += "\n";
  }
  for (const std::string& note : {rounding_note(from), left_out_note(left_out)}) {
    if (!note.empty()) out += escaped(note) + "\n\n";
  }
}

/// The column of definitions only where there are any.
void key_figures(const KeyFigures& block, std::string& out) {
  const bool defined = std::any_of(block.figures.begin(), block.figures.end(),
                                   [](const KeyFigure& figure) { return !figure.definition.empty(); });
  out += defined ? "| Figure | Value | Definition |\n| --- | ---: | --- |\n" : "| Figure | Value |\n| --- | ---: |\n";
  for (const KeyFigure& figure : block.figures) {
    out += fmt::format("| {} | {} |", escaped(figure.title), escaped(figure.value));
    out += defined ? fmt::format(" {} |\n", escaped(figure.definition)) : "\n";
  }
  out += "\n";
}

}  // namespace

std::string write_markdown(const Document& document, std::size_t width) {
  std::string out;
  for (const Block& block : document) {
    if (const auto* heading = std::get_if<Heading>(&block)) {
      out += fmt::format("{} {}\n\n", heading->level == 1 ? "#" : "##", escaped(heading->text));
    } else if (const auto* paragraph = std::get_if<Paragraph>(&block)) {
      out += escaped(paragraph->text) + "\n\n";
    } else if (const auto* figures = std::get_if<KeyFigures>(&block)) {
      key_figures(*figures, out);
    } else if (const auto* of = std::get_if<Table>(&block)) {
      table(*of, width, out);
    }
  }
  while (out.size() > 1 && out[out.size() - 2] == '\n') out.pop_back();
  return out;
}

}  // namespace sprue
