// Text for a terminal: aligned columns, two spaces between, units in the header, nothing wider than asked for.
#include <fmt/format.h>
#include <algorithm>

#include "runtime/write/layout.hpp"
#include "runtime/write/write.hpp"

namespace sprue {
namespace {

class TextWriter {
 public:
  explicit TextWriter(std::size_t width) : width_(width) {}

  std::string run(const Document& document) {
    for (const Block& block : document) {
      if (const auto* heading = std::get_if<Heading>(&block)) {
        const std::size_t widest = lines(heading->text);
        out_ += std::string(widest, heading->level == 1 ? '=' : '~') + "\n\n";
      } else if (const auto* paragraph = std::get_if<Paragraph>(&block)) {
        lines(paragraph->text);
        out_ += "\n";
      } else if (const auto* figures = std::get_if<KeyFigures>(&block)) {
        key_figures(*figures);
      } else if (const auto* of = std::get_if<Table>(&block)) {
        table(*of);
      }
    }
    while (out_.size() > 1 && out_[out_.size() - 2] == '\n') out_.pop_back();
    return std::move(out_);
  }

 private:
  /// The text, broken; how wide its widest line is.
  std::size_t lines(std::string_view text) {
    std::size_t widest = 0;
    for (const std::string& line : broken(visible(text), width_)) {
      widest = std::max(widest, shown_width(line));
      out_ += line + "\n";
    }
    return widest;
  }

  void note(const std::string& text) {
    if (!text.empty()) lines(text);
  }

  void key_figures(const KeyFigures& block) {
    Table table;
    table.columns.resize(2);
    table.columns[1].number = true;
    std::vector<std::vector<std::string>> cells;
    for (const KeyFigure& figure : block.figures) cells.push_back({visible(figure.title), visible(figure.value)});
    table.rows.resize(cells.size());
    for (const ColumnBlock& columns : blocks_of(table, {"", ""}, cells, width_)) {
      for (const auto& row : cells) put_row(table, columns, row);
    }
    out_ += "\n";
    bool any = false;
    for (const KeyFigure& figure : block.figures) {
      if (figure.definition.empty()) continue;
      lines(fmt::format("{}: {}", figure.title, figure.definition));
      any = true;
    }
    if (any) out_ += "\n";
  }

  void table(const Table& whole) {
    const auto [from, left_out] = without_zero_columns(whole);
    auto cells = shown_cells(from, true);
    std::vector<std::string> heads;
    for (const TableColumn& column : from.columns) {
      const std::string unit = unit_for_people(column);
      heads.push_back(visible(unit.empty() ? column.title : fmt::format("{} [{}]", column.title, unit)));
    }
    for (auto& row : cells) {
      for (std::string& cell : row) cell = visible(cell);
    }
    if (!from.title.empty()) {
      lines(from.title);
      out_ += "\n";
    }
    const std::vector<ColumnBlock> blocks = blocks_of(from, heads, cells, width_);
    for (std::size_t b = 0; b < blocks.size(); ++b) {
      const ColumnBlock& block = blocks[b];
      std::size_t whole_width = 2 * (block.widths.size() - 1);
      for (const std::size_t w : block.widths) whole_width += w;
      const std::string rule = std::string(whole_width, '-') + "\n";
      if (b > 0) out_ += "\n";
      put_row(from, block, heads);
      if (!from.brief) out_ += rule;
      for (std::size_t r = 0; r < cells.size(); ++r) {
        if (from.rows[r].total && !from.brief) out_ += rule;
        put_row(from, block, cells[r]);
      }
    }
    note(rounding_note(from));
    note(left_out_note(left_out));
    out_ += "\n";
  }

  /// As many lines as its cells need; one, where the table is brief.
  void put_row(const Table& from, const ColumnBlock& block, const std::vector<std::string>& row) {
    std::vector<std::vector<std::string>> parts;
    std::size_t height = 1;
    for (std::size_t i = 0; i < block.columns.size(); ++i) {
      const std::string& cell = row[block.columns[i]];
      if (from.brief)
        parts.push_back({cut_short(cell, block.widths[i])});
      else
        parts.push_back(broken(cell, block.widths[i]));
      height = std::max(height, parts.back().size());
    }
    for (std::size_t l = 0; l < height; ++l) {
      std::string line;
      for (std::size_t i = 0; i < block.columns.size(); ++i) {
        const std::string text = l < parts[i].size() ? parts[i][l] : std::string();
        const std::size_t size = shown_width(text);
        const std::string pad(block.widths[i] > size ? block.widths[i] - size : 0, ' ');
        line += (i > 0 ? "  " : "") + (from.columns[block.columns[i]].number ? pad + text : text + pad);
      }
      line.erase(line.find_last_not_of(' ') + 1);
      out_ += line + "\n";
    }
  }

  std::size_t width_;
  std::string out_;
};

}  // namespace

std::string write_text(const Document& document, std::size_t width) {
  return TextWriter(width).run(document);
}

}  // namespace sprue
