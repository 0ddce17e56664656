// A small JSON writer: fixed key order, no locale.
#include "runtime/write/json.hpp"

#include <fmt/format.h>
#include <cmath>

#include "runtime/ledger/shown.hpp"
#include "runtime/write/number.hpp"

namespace sprue {

std::string json_string(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\')
      out += fmt::format("\\{}", c);
    else if (c == '\n')
      out += "\\n";
    else if (byte < 0x20 || byte == 0x7F)
      out += fmt::format("\\u{:04x}", byte);
    else
      out += c;
  }
  return out + "\"";
}

std::string json_number(double value) {
  return std::isfinite(value) ? fmt::format("{}", value == 0 ? 0.0 : value) : "null";
}

std::string write_json(const Program& program, const Sources& sources, const std::vector<Figure>& figures,
                       const Document& document, std::string_view scenario) {
  std::string out =
      fmt::format("{{\n  \"sprue_report\": 1,\n  \"scenario\": {},\n  \"figures\": [", json_string(scenario));
  bool first = true;
  for (const Figure& figure : figures) {
    out += first ? "\n" : ",\n";
    first = false;
    std::string value;
    std::string unit = "\"\"";
    if (figure.absent)
      value = "null";
    else if (figure.type.tag == TypeTag::quantity || figure.type.tag == TypeTag::whole) {
      const Shown shown = figure.type.tag == TypeTag::quantity ? shown_as(program, figure.type.id) : Shown{};
      value = json_number(figure.value / shown.factor);
      unit = json_string(shown.unit);
    } else if (figure.type.tag == TypeTag::flag)
      value = figure.value != 0 ? "true" : "false";
    else
      value = json_string(figure.text.empty() ? text_of(program, figure.type, figure.value) : figure.text);
    std::string place;
    if (figure.span.end != 0) {
      place = fmt::format(", \"source\": {{\"file\": {}, \"line\": {}}}", json_string(sources[figure.span.source].name),
                          sources.position(figure.span.source, figure.span.begin).line);
    }
    out += fmt::format("    {{\"path\": {}, \"value\": {}, \"unit\": {}, \"incomplete\": {}{}}}",
                       json_string(figure.path), value, unit, figure.incomplete, place);
  }
  out += "\n  ],\n  \"tables\": [";
  first = true;
  for (const Block& block : document) {
    const auto* table = std::get_if<Table>(&block);
    if (table == nullptr) continue;
    out += fmt::format("{}    {{\"id\": {}, \"columns\": [", first ? "\n" : ",\n", json_string(table->id));
    first = false;
    for (std::size_t c = 0; c < table->columns.size(); ++c) {
      const TableColumn& column = table->columns[c];
      out += fmt::format("{}{{\"id\": {}, \"title\": {}, \"unit\": {}}}", c == 0 ? "" : ", ", json_string(column.id),
                         json_string(column.title), json_string(column.unit));
    }
    out += "], \"rows\": [";
    for (std::size_t r = 0; r < table->rows.size(); ++r) {
      out += r == 0 ? "\n      [" : ",\n      [";
      for (std::size_t c = 0; c < table->rows[r].cells.size(); ++c) {
        const Cell& cell = table->rows[r].cells[c];
        out += fmt::format("{}{}", c == 0 ? "" : ", ",
                           !cell.number  ? json_string(cell.text)
                           : cell.absent ? "null"
                                         : json_number(cell.value));
      }
      out += "]";
    }
    out += "\n    ]}";
  }
  return out + "\n  ]\n}\n";
}

}  // namespace sprue
