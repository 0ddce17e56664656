// One self-contained page: no script, no request, readable on a phone and on paper.
#include <fmt/format.h>
#include <algorithm>

#include "runtime/write/markup.hpp"
#include "runtime/write/svg.hpp"
#include "runtime/write/write.hpp"

namespace sprue {
namespace {

constexpr std::size_t cards = 3;  // of the key figures; the others stand in a table
constexpr std::size_t slim_columns = 3;
constexpr std::size_t slim_rows = 14;
constexpr std::size_t wide_columns = 7;  // from here on a table is set smaller on paper

constexpr std::string_view style = R"(
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: #fff; color: #1a1a1a; font: 16px/1.45 system-ui, "Segoe UI", "Helvetica Neue", Arial, sans-serif; }
main { max-width: 70rem; margin: 0 auto; padding: 1rem; overflow-wrap: break-word; }
h1 { font-size: 1.6rem; line-height: 1.2; margin: 0.5rem 0; }
h2 { font-size: 1.2rem; line-height: 1.25; margin: 2rem 0 0.5rem; border-top: 2px solid #1a1a1a; padding-top: 0.5rem; }
p { margin: 0.4rem 0; max-width: 48rem; }
.cards { display: grid; gap: 0.75rem; grid-template-columns: repeat(auto-fit, minmax(min(100%, 15rem), 1fr)); margin: 1rem 0; padding: 0; }
.cards div { border: 1px solid #767676; border-radius: 4px; padding: 0.75rem; }
.cards dt { font-weight: 600; }
.cards dd { margin: 0; }
.cards .value { font-size: 1.6rem; font-weight: 600; font-variant-numeric: tabular-nums; }
.cards .definition, .note { color: #4a4a4a; font-size: 0.85rem; }
.charts { display: grid; gap: 1rem; grid-template-columns: repeat(auto-fit, minmax(min(100%, 24rem), 1fr)); align-items: start; margin: 1rem 0; }
.charts > * { min-width: 0; }
figure { margin: 0; break-inside: avoid; }
svg { display: block; width: 100%; max-width: 36rem; height: auto; }
.scroll { overflow-x: auto; margin: 1rem 0; }
.scroll:focus-visible { outline: 2px solid #0072B2; outline-offset: 2px; }
table { border-collapse: collapse; font-size: 0.85rem; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-weight: 600; padding: 0.25rem 0; }
th, td { text-align: left; vertical-align: top; padding: 0.25rem 0.6rem 0.25rem 0; border-bottom: 1px solid #d4d4d4; }
thead th { border-bottom: 2px solid #1a1a1a; vertical-align: bottom; }
th[scope=row] { font-weight: 400; min-width: 8rem; }
.number { text-align: right; }
.number, .date { white-space: nowrap; }
thead .number { white-space: normal; }
tfoot th, tfoot td { border-top: 2px solid #1a1a1a; border-bottom: 0; font-weight: 600; }
@media screen {
  th[scope=row] { position: sticky; left: 0; background: #fff; }
}
@media screen and (max-width: 40rem) {
  table.figures thead { display: none; }
  table.figures tr { display: grid; grid-template-columns: 1fr auto; border-bottom: 1px solid #d4d4d4; padding: 0.3rem 0; }
  table.figures th, table.figures td { border: 0; padding: 0; }
  table.figures td:last-child { grid-column: 1 / -1; color: #4a4a4a; }
}
@media print, (min-width: 60rem) {
  .slim { columns: 2; column-gap: 2rem; }
  .slim section:first-child h2 { margin-top: 0; }
}
@media (min-width: 60rem) {
  .slim section { break-inside: avoid; }
}
@media print {
  .slim { column-gap: 5mm; margin-top: 2mm; }
  @page { size: A4; margin: 10mm; }
  body { font-size: 8.5pt; line-height: 1.3; }
  main { max-width: none; padding: 0; }
  h1 { font-size: 14pt; margin: 0; }
  h2 { font-size: 10pt; margin: 2mm 0 0.5mm; padding-top: 0.5mm; border-top-width: 1px; break-after: avoid; }
  p { margin: 0.3mm 0; max-width: none; font-size: 7.5pt; }
  .cards { gap: 2mm; margin: 2mm 0; grid-template-columns: repeat(3, 1fr); }
  .cards div { padding: 1.5mm; }
  .cards .value { font-size: 13pt; }
  .cards .definition, .note { font-size: 7pt; }
  .charts { gap: 3mm; margin: 1mm 0; grid-template-columns: repeat(3, 1fr); }
  .charts.pair { grid-template-columns: 2fr 3fr; }
  .charts.pair svg { max-height: 75mm; }
  .scroll { overflow: visible; margin: 1mm 0; }
  table { font-size: 7pt; }
  table.wide { font-size: 5.5pt; }
  .slim table { font-size: 6.3pt; }
  table.figures { font-size: 6.5pt; }
  table.wide th, table.wide td { padding: 0.2mm 0.8mm 0.2mm 0; }
  table.wide thead th { overflow-wrap: anywhere; }
  th, td { padding: 0.2mm 2mm 0.2mm 0; }
  th[scope=row] { min-width: 0; }
  table.wide th[scope=row] { min-width: 34mm; }
  table.wide th.date { min-width: 0; }
  thead { display: table-header-group; }
  tr { break-inside: avoid; }
}
)";

/// `Names` of the source are set as such; long ones may break behind an underscore.
std::string prose(std::string_view text) {
  std::string out;
  bool code = false;
  for (const char c : escaped_markup(text)) {
    if (c == '`') {
      out += code ? "</code>" : "<code>";
      code = !code;
    } else {
      out += c;
    }
  }
  return code ? out + "</code>" : out;
}

/// "2026-10-05", or its month: not to be broken.
bool is_date(std::string_view text) {
  if (text.size() != 7 && text.size() != 10) return false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (i == 4 || i == 7 ? text[i] != '-' : text[i] < '0' || text[i] > '9') return false;
  }
  return true;
}

std::string breakable(std::string_view text) {
  std::string out;
  for (const char c : escaped_markup(text)) {
    out += c;
    if (c == '_') out += "<wbr>";
  }
  return out;
}

class Page {
 public:
  explicit Page(const Document& document) : document_(document) {}

  std::string run() {
    std::string title = "Report";
    for (const Block& block : document_) {
      if (const auto* heading = std::get_if<Heading>(&block); heading != nullptr && heading->level == 1) {
        title = heading->text;
        break;
      }
    }
    out_ = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, "
        "initial-scale=1\">\n<title>{}</title>\n<style>{}</style>\n"
        "</head>\n<body>\n<main>\n",
        escaped_markup(title), style);
    if (document_.empty()) out_ += "<p>Nothing differs.</p>\n";
    for (std::size_t i = 0; i < document_.size();) i = sections(i);
    out_ += "</main>\n</body>\n</html>\n";
    return std::move(out_);
  }

 private:
  /// Behind the section that begins at `i`: at the next heading.
  std::size_t section_end(std::size_t i) const {
    ++i;
    while (i < document_.size() && !std::holds_alternative<Heading>(document_[i])) ++i;
    return i;
  }

  /// Whether the section is short and slim enough to stand beside another.
  bool is_slim(std::size_t begin, std::size_t end) const {
    std::size_t rows = 0;
    for (std::size_t i = begin; i < end; ++i) {
      const auto* heading = std::get_if<Heading>(&document_[i]);
      if (is_chart(document_[i]) || std::holds_alternative<KeyFigures>(document_[i]) ||
          (heading != nullptr && heading->level == 1))
        return false;
      if (const auto* table = std::get_if<Table>(&document_[i])) {
        rows += table->rows.size();
        if (table->columns.size() > slim_columns) return false;
      }
    }
    return rows > 0 && rows <= slim_rows;
  }

  /// One section, or a run of slim ones in two columns; the index of what follows.
  std::size_t sections(std::size_t begin) {
    std::vector<std::size_t> ends;
    for (std::size_t at = begin; at < document_.size() && is_slim(at, section_end(at)); at = ends.back())
      ends.push_back(section_end(at));
    const bool run = ends.size() > 1;
    if (!run) ends = {section_end(begin)};
    if (run) out_ += "<div class=\"slim\">\n";
    std::size_t i = begin;
    for (const std::size_t end : ends) {
      out_ += "<section>\n";
      while (i < end) i = block(i);
      out_ += "</section>\n";
    }
    if (run) out_ += "</div>\n";
    return i;
  }

  /// Writes the block at `i`, and those that stand beside it; the index of the next.
  std::size_t block(std::size_t i) {
    const Block& block = document_[i];
    if (is_chart(block)) return charts(i);
    if (const auto* heading = std::get_if<Heading>(&block)) {
      out_ += fmt::format("<h{0}>{1}</h{0}>\n", heading->level, escaped_markup(heading->text));
      heading_ = heading->text;
    } else if (const auto* paragraph = std::get_if<Paragraph>(&block)) {
      out_ += fmt::format("<p>{}</p>\n", prose(paragraph->text));
    } else if (const auto* figures = std::get_if<KeyFigures>(&block)) {
      key_figures(*figures);
    } else {
      table(std::get<Table>(block));
    }
    return i + 1;
  }

  /// One chart stands beside a narrow table that follows it, several beside each other.
  std::size_t charts(std::size_t i) {
    std::size_t end = i;
    while (end < document_.size() && is_chart(document_[end])) ++end;
    const auto* next = end < document_.size() ? std::get_if<Table>(&document_[end]) : nullptr;
    const bool pair = end == i + 1 && next != nullptr && next->columns.size() <= 4;
    out_ += pair ? "<div class=\"charts pair\">\n" : "<div class=\"charts\">\n";
    for (std::size_t k = i; k < end; ++k) {
      const std::string prefix = fmt::format("chart{}-", ++chart_);
      const auto* bars = std::get_if<BarChart>(&document_[k]);
      out_ += fmt::format("<figure>\n{}</figure>\n", bars != nullptr
                                                         ? write_svg(*bars, prefix)
                                                         : write_svg(std::get<LineChart>(document_[k]), prefix));
    }
    if (pair) table(*next);
    out_ += "</div>\n";
    return pair ? end + 1 : end;
  }

  void key_figures(const KeyFigures& block) {
    out_ += "<dl class=\"cards\">\n";
    for (std::size_t i = 0; i < std::min(cards, block.figures.size()); ++i) {
      const KeyFigure& figure = block.figures[i];
      out_ += fmt::format("<div><dt>{}</dt><dd class=\"value\">{}</dd><dd class=\"definition\">{}</dd></div>\n",
                          escaped_markup(figure.title), escaped_markup(figure.value), prose(figure.definition));
    }
    out_ += "</dl>\n";
    if (block.figures.size() <= cards) return;
    open_table("Further figures", " class=\"figures\"");
    out_ +=
        "<thead><tr><th scope=\"col\">Figure</th><th scope=\"col\" class=\"number\">Value</th><th "
        "scope=\"col\">Definition</th></tr></thead>\n<tbody>\n";
    for (std::size_t i = cards; i < block.figures.size(); ++i) {
      const KeyFigure& figure = block.figures[i];
      out_ += fmt::format("<tr><th scope=\"row\">{}</th><td class=\"number\">{}</td><td>{}</td></tr>\n",
                          escaped_markup(figure.title), escaped_markup(figure.value), prose(figure.definition));
    }
    out_ += "</tbody></table></div>\n";
  }

  /// A table that is wider than the screen scrolls by itself, by keyboard, too.
  void open_table(const std::string& caption, std::string_view kind) {
    const std::string name = escaped_markup(caption);
    out_ += fmt::format("<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"{}\"><table{}>\n",
                        escaped_markup(caption.empty() ? heading_ : caption), kind);
    if (!name.empty()) out_ += fmt::format("<caption>{}</caption>\n", name);
  }

  /// The unit that all numbers of the table have, where there are several columns of them.
  static std::string common_unit(const Table& table) {
    std::string unit;
    std::size_t columns = 0;
    for (const TableColumn& column : table.columns) {
      if (!column.number) continue;
      if (columns > 0 && unit_for_people(column) != unit) return {};
      unit = unit_for_people(column);
      ++columns;
    }
    return columns > 1 ? unit : std::string();
  }

  void table(const Table& from) {
    const auto cells = shown_cells(from, true);
    const std::string unit = common_unit(from);
    open_table(unit.empty() ? from.title : fmt::format("{}{}in {}", from.title, from.title.empty() ? "" : ", ", unit),
               from.columns.size() > wide_columns ? " class=\"wide\"" : "");
    out_ += "<thead><tr>";
    for (const TableColumn& column : from.columns) {
      const std::string own = unit_for_people(column).empty() || !unit.empty()
                                  ? std::string()
                                  : fmt::format(" [{}]", unit_for_people(column));
      out_ += fmt::format("<th scope=\"col\"{}>{}{}</th>", column.number ? " class=\"number\"" : "",
                          breakable(column.title), escaped_markup(own));
    }
    out_ += "</tr></thead>\n<tbody>\n";
    std::string foot;
    for (std::size_t r = 0; r < cells.size(); ++r) {
      std::string row = "<tr>";
      for (std::size_t c = 0; c < cells[r].size(); ++c) {
        const std::string text = escaped_markup(cells[r][c]);
        const std::string_view kind = from.columns[c].number ? " class=\"number\""
                                      : is_date(text)        ? " class=\"date\""
                                                             : "";
        row +=
            c == 0 ? fmt::format("<th scope=\"row\"{}>{}</th>", kind, text) : fmt::format("<td{}>{}</td>", kind, text);
      }
      (from.rows[r].total ? foot : out_) += row + "</tr>\n";
    }
    out_ += "</tbody>\n";
    if (!foot.empty()) out_ += fmt::format("<tfoot>\n{}</tfoot>\n", foot);
    out_ += "</table>\n";
    if (const std::string note = rounding_note(from); !note.empty())
      out_ += fmt::format("<p class=\"note\">{}</p>\n", escaped_markup(note));
    out_ += "</div>\n";
  }

  const Document& document_;
  std::string out_;
  std::string heading_;  // the last
  std::size_t chart_ = 0;
};

}  // namespace

std::string write_html(const Document& document) {
  return Page(document).run();
}

}  // namespace sprue
