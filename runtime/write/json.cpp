// A small JSON writer: fixed key order, no locale.
#include "runtime/write/json.hpp"

#include <fmt/format.h>
#include <cmath>

#include "lang/source/utf8.hpp"
#include "runtime/ledger/shown.hpp"
#include "runtime/write/number.hpp"

namespace sprue {

std::string json_string(std::string_view text) {
  std::string out = "\"";
  const char* const end = text.data() + text.size();
  for (const char* p = text.data(); p != end; ++p) {
    const char c = *p;
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 0x80) {  // what is no UTF-8, in a file's name, is shown as the replacement character
      const std::size_t length = utf8_length(p, end);
      if (length == 2 && byte == 0xC2 && static_cast<unsigned char>(p[1]) < 0xA0)
        out += fmt::format("\\u{:04x}", static_cast<unsigned char>(p[1]));  // a control character
      else
        out += length == 0 ? "\uFFFD" : std::string_view(p, length);
      p += length == 0 ? 0 : length - 1;
    } else if (c == '"' || c == '\\')
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

namespace {

/// Items of a JSON array, one a line.
class List {
 public:
  explicit List(std::string& out) : out_(out) {}
  template <class... Arguments>
  void item(fmt::format_string<Arguments...> format, Arguments&&... arguments) {
    out_ += first_ ? "\n    " : ",\n    ";
    first_ = false;
    out_ += fmt::format(format, std::forward<Arguments>(arguments)...);
  }
  /// Closes the array and begins what follows.
  void end(std::string_view next) {
    out_ += first_ ? "],\n" : "\n  ],\n";
    out_ += next;
    first_ = true;
  }

 private:
  std::string& out_;
  bool first_ = true;
};

/// The last member of an object: every table of the document.
std::string tables(const Document& document) {
  std::string out = "  \"tables\": [";
  bool first = true;
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
  return out + "\n  ]\n";
}

}  // namespace

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
    out += fmt::format("    {{\"path\": {}, \"value\": {}, \"unit\": {}, \"incomplete\": {}{}{}}}",
                       json_string(figure.path), value, unit, figure.incomplete,
                       figure.stated ? ", \"stated\": true" : "", place);
  }
  return out + "\n  ],\n" + tables(document) + "}\n";
}

std::string write_json(const Document& study) {
  std::string out = "{\n  \"sprue_study\": 1,\n";
  List list(out);
  std::string title;
  for (const Block& block : study) {
    if (const auto* heading = std::get_if<Heading>(&block); heading != nullptr && title.empty()) title = heading->text;
  }
  out += fmt::format("  \"study\": {},\n  \"notes\": [", json_string(title));
  for (const Block& block : study) {
    if (const auto* paragraph = std::get_if<Paragraph>(&block)) list.item("{}", json_string(paragraph->text));
  }
  list.end("");
  return out + tables(study) + "}\n";
}

std::string write_json(const Comparison& comparison, const Document& document) {
  const auto number = [](const HeadlineRow& row, const Version& version, std::size_t v) -> std::string {
    if (row.nodes[v] == no_node || version.evaluation->absent(row.nodes[v])) return "null";
    const double value = version.evaluation->value(row.nodes[v]);
    if (row.type.tag != TypeTag::quantity) return json_string(text_of(*version.program, row.type, value));
    return json_number(value / shown_as(*version.program, row.type.id).factor);
  };
  std::string out =
      fmt::format("{{\n  \"sprue_comparison\": 1,\n  \"before\": {},\n  \"after\": {},\n  \"same\": {},\n",
                  json_string(comparison.before), json_string(comparison.after), comparison.same);
  List list(out);
  out += "  \"unlike\": [";
  for (const std::string& sentence : unlike(comparison.versions)) list.item("{}", json_string(sentence));
  list.end("  \"headlines\": [");
  for (const HeadlineRow& row : headline_rows(comparison.versions))
    list.item(R"({{"path": {}, "title": {}, "unit": {}, "comparable": {}, "before": {}, "after": {}}})",
              json_string(row.key.path), json_string(row.title), json_string(row.unit), row.comparable,
              number(row, comparison.versions[0], 0), number(row, comparison.versions[1], 1));
  list.end(fmt::format("  \"exact\": {},\n  \"orders\": {},\n  \"walks\": [", comparison.exact, comparison.orders));
  for (const ShownWalk& walk : comparison.walks) {
    std::string bars;
    for (std::size_t i = 0; i < walk.bars.size(); ++i)
      bars +=
          fmt::format(R"({}{{"change": {}, "amount": {}, "standard_error": {}}})", i == 0 ? "" : ", ",
                      json_string(walk.labels[i]), json_number(walk.bars[i].value), json_number(walk.bars[i].error));
    std::string same;
    for (const HeadlineRow& row : walk.same) same += (same.empty() ? "" : ", ") + json_string(row.key.path);
    list.item(R"({{"path": {}, "same": [{}], "unit": {}, "before": {}, "after": {}, "changes": [{}]}})",
              json_string(walk.headline.key.path), same,
              json_string(walk.headline.type.tag == TypeTag::point ? "day" : walk.headline.unit),
              json_number(walk.before), json_number(walk.after), bars);
  }
  list.end("  \"changes\": [");
  for (const ShownChange& change : comparison.changes)
    list.item(R"({{"path": {}, "change": {}, "before": {}, "after": {}, "source": {}, "place": {}}})",
              json_string(change.path), json_string(change.what), json_string(change.before), json_string(change.after),
              json_string(change.source), json_string(change.place));
  list.end("");
  return out + tables(document) + "}\n";
}

}  // namespace sprue
