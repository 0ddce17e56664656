// Comma-separated values after RFC 4180. A text that a spreadsheet would take for a formula is prefixed with an
// apostrophe.
#include <fmt/format.h>

#include "runtime/write/write.hpp"

namespace sprue {
namespace {

std::string field(std::string text, bool number) {
  if (!number) {
    text = visible(text);
    if (!text.empty() && std::string_view("=+-@\t\r").find(text.front()) != std::string_view::npos)
      text.insert(text.begin(), '\'');
  }
  if (text.find_first_of("\",\r\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + "\"";
}

void record(const std::vector<std::string>& fields, std::string& out) {
  out += fmt::format("{}\r\n", fmt::join(fields, ","));
}

}  // namespace

std::string write_csv(const Document& document) {
  std::string out;
  const auto begin = [&] {
    if (!out.empty()) out += "\r\n";
  };
  for (const Block& block : document) {
    if (const auto* figures = std::get_if<KeyFigures>(&block)) {
      begin();
      record({"path", "figure", "value", "unit"}, out);
      for (const KeyFigure& figure : figures->figures) {
        // Only a number may begin with a sign.
        const bool number =
            !figure.unit.empty() || figure.number.find_first_not_of("0123456789.-") == std::string::npos;
        record({field(figure.path, false), field(figure.title, false), field(figure.number, number),
                field(figure.unit, false)},
               out);
      }
    } else if (const auto* table = std::get_if<Table>(&block)) {
      begin();
      record({field(table->id, false)}, out);
      std::vector<std::string> heads;
      for (const TableColumn& column : table->columns)
        heads.push_back(field(column.unit.empty() ? column.id : fmt::format("{} [{}]", column.id, column.unit), false));
      record(heads, out);
      const auto cells = shown_cells(*table, false);
      for (std::size_t r = 0; r < cells.size(); ++r) {
        std::vector<std::string> fields;
        for (std::size_t c = 0; c < cells[r].size(); ++c)
          fields.push_back(field(cells[r][c], table->rows[r].cells[c].number));
        record(fields, out);
      }
    }
  }
  return out;
}

}  // namespace sprue
