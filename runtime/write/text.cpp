// Text for a terminal: aligned columns, two spaces between, units in the header.
#include <fmt/format.h>
#include <algorithm>

#include "runtime/write/write.hpp"

namespace sprue {
namespace {

std::size_t width(std::string_view text) {
  const std::size_t room = text.size() + 1;
  return room - (fmt::formatted_size("{:<{}}", text, room) - text.size());
}

std::string header(const TableColumn& column) {
  return column.unit.empty() ? column.title : fmt::format("{} [{}]", column.title, column.unit);
}

void table(const Table& from, std::string& out) {
  auto cells = shown_cells(from, true);
  std::vector<std::string> heads;
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < from.columns.size(); ++c) {
    heads.push_back(visible(header(from.columns[c])));
    widths.push_back(width(heads[c]));
    for (auto& row : cells) {
      row[c] = visible(row[c]);
      widths[c] = std::max(widths[c], width(row[c]));
    }
  }
  const auto line = [&](const std::vector<std::string>& row) {
    std::string text;
    for (std::size_t c = 0; c < row.size(); ++c) {
      const std::string pad(widths[c] - width(row[c]), ' ');
      text += (c > 0 ? "  " : "") + (from.columns[c].number ? pad + row[c] : row[c] + pad);
    }
    text.erase(text.find_last_not_of(' ') + 1);
    out += text + "\n";
  };
  std::size_t whole = 2 * (widths.size() - 1);
  for (const std::size_t w : widths) whole += w;
  if (!from.title.empty()) out += visible(from.title) + "\n\n";
  line(heads);
  out += std::string(whole, '-') + "\n";
  for (std::size_t r = 0; r < cells.size(); ++r) {
    if (from.rows[r].total) out += std::string(whole, '-') + "\n";
    line(cells[r]);
  }
  if (const std::string note = rounding_note(from); !note.empty()) out += visible(note) + "\n";
  out += "\n";
}

}  // namespace

std::string write_text(const Document& document) {
  std::string out;
  for (const Block& block : document) {
    if (const auto* heading = std::get_if<Heading>(&block)) {
      const std::string text = visible(heading->text);
      out += fmt::format("{}\n{}\n\n", text, std::string(width(text), heading->level == 1 ? '=' : '~'));
    } else if (const auto* paragraph = std::get_if<Paragraph>(&block)) {
      out += visible(paragraph->text) + "\n\n";
    } else if (const auto* figures = std::get_if<KeyFigures>(&block)) {
      std::size_t title = 0;
      std::size_t value = 0;
      for (const KeyFigure& figure : figures->figures) {
        title = std::max(title, width(visible(figure.title)));
        value = std::max(value, width(figure.value));
      }
      for (const KeyFigure& figure : figures->figures) {
        const std::string name = visible(figure.title);
        out += fmt::format("{}{}  {}{}\n", name, std::string(title - width(name), ' '),
                           std::string(value - width(figure.value), ' '), figure.value);
      }
      out += "\n";
      std::string definitions;
      for (const KeyFigure& figure : figures->figures) {
        if (!figure.definition.empty())
          definitions += fmt::format("{}: {}\n", visible(figure.title), visible(figure.definition));
      }
      if (!definitions.empty()) out += definitions + "\n";
    } else if (const auto* of = std::get_if<Table>(&block)) {
      table(*of, out);
    }
  }
  while (out.size() > 1 && out[out.size() - 2] == '\n') out.pop_back();
  return out;
}

}  // namespace sprue
