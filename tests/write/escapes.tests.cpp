// Signs that mean something to a reader of the bytes: each as the reader's own rules say, written out.
#include "runtime/view/parts.hpp"
#include "runtime/write/json.hpp"
#include "runtime/write/markup.hpp"
#include "runtime/write/scale.hpp"
#include "runtime/write/write.hpp"
#include "tests/catch.hpp"
#include "tests/support/readers.hpp"

using namespace sprue;
using sprue::testing::csv_rows;

namespace {

/// A table of one column of numbers or texts.
Table one_column(const std::vector<Cell>& cells, bool number) {
  TableColumn column = number ? number_column("v", "V") : text_column("v", "V");
  column.places = 2;
  column.summed = number;
  Table table{"t", "", {text_column("name", "Name"), column}, {}};
  for (const Cell& cell : cells) table.rows.push_back({{text_cell("r"), cell}, false});
  return table;
}

std::vector<std::string> names(const Table& table) {
  std::vector<std::string> out;
  for (const auto& row : shown_cells(table, false)) out.push_back(row[0] + "=" + row[1]);
  return out;
}

}  // namespace

TEST_CASE("the five signs of HTML and XML are entities, so that none ends a text or an attribute", "[write][escapes][by_hand]") {
  CHECK(escaped_markup("a<b>c&d\"e'f") == "a&lt;b&gt;c&amp;d&quot;e&#39;f");
  CHECK(escaped_markup("&lt;") == "&amp;lt;");
  CHECK(markup_id("a b\"c'd<e-f_0") == "a_b_c_d_e-f_0");
}

TEST_CASE("a title with quotation marks opens no attribute of a page or a chart", "[write][escapes][by_hand]") {
  BarChart chart;
  chart.id = "x\" onload=\"alert(1)";
  chart.title = "a\" onload=\"alert(1)";
  chart.description = "d' onload='alert(1)";
  chart.bars.push_back({"b\" onload=\"alert(1)", "1", {{0, 1, 0}}});
  Table table = one_column({text_cell("c\" onload=\"alert(1)")}, false);
  table.title = "t\" onload='alert(1)";
  const std::string page = write_html({Heading{"h\" onload=\"alert(1)", 1}, chart, table});
  CHECK(page.find("onload=\"") == std::string::npos);
  CHECK(page.find("onload='") == std::string::npos);
  CHECK(page.find("a&quot; onload=&quot;alert(1)") != std::string::npos);
}

TEST_CASE("a negative number is a number to a spreadsheet, a text that begins a formula is none", "[write][escapes][by_hand]") {
  const Table numbers = one_column({number_cell(-5), number_cell(5), number_cell(-0.25)}, true);
  const auto rows = csv_rows(write_csv({numbers}));
  REQUIRE(rows.size() == 5);
  CHECK(rows[2][1] == "-5.00");
  CHECK(rows[3][1] == "5.00");
  CHECK(rows[4][1] == "-0.25");
  for (const std::string first : {"=", "+", "-", "@"}) {
    INFO(first);
    CHECK(csv_rows(write_csv({one_column({text_cell(first + "1+1")}, false)}))[2][1] == "'" + first + "1+1");
  }
  CHECK(csv_rows(write_csv({one_column({text_cell("a=1"), text_cell("2026-01-01")}, false)}))[2][1] == "a=1");
  const auto figures = csv_rows(write_csv({KeyFigures{{{"a.b", "B", "-3", "-3", "", ""}, {"a.c", "C", "-4 m", "-4", "m", ""},
                                                       {"a.d", "D", "-x", "-x", "", ""}}}}));
  CHECK(figures[1] == std::vector<std::string>{"a.b", "B", "-3", ""});
  CHECK(figures[2] == std::vector<std::string>{"a.c", "C", "-4", "m"});
  CHECK(figures[3] == std::vector<std::string>{"a.d", "D", "'-x", ""});
}

TEST_CASE("a field of CSV with a quotation mark, a comma or a line end stands in quotation marks, its own doubled",
          "[write][escapes][by_hand]") {
  CHECK(write_csv({one_column({text_cell("a\"b"), text_cell("a,b"), text_cell("ab")}, false)}) ==
        "t\r\nname,v\r\nr,\"a\"\"b\"\r\nr,\"a,b\"\r\nr,ab\r\n");
}

TEST_CASE("every sign of Markdown that begins something stands behind a backslash", "[write][escapes][by_hand]") {
  const std::string text = write_markdown({Paragraph{"a|b*c_d`e[f]g\\h#i~j<k>l&m"}});
  CHECK(text.find("a\\|b\\*c\\_d\\`e\\[f\\]g\\\\h\\#i\\~j&lt;k&gt;l&amp;m") == 0);
}

TEST_CASE("control characters and signs that turn the reading direction are written out", "[write][escapes][by_hand]") {
  for (const auto& [raw, shown] : {std::pair<std::string, std::string>{"\x01", "\\u{1}"},
                                   {"\x1b", "\\u{1B}"},
                                   {"\x1f", "\\u{1F}"},
                                   {"\x7f", "\\u{7F}"},
                                   {"\xE2\x80\x8E", "\\u{200E}"},
                                   {"\xE2\x80\x8F", "\\u{200F}"},
                                   {"\xE2\x80\xAA", "\\u{202A}"},
                                   {"\xE2\x80\xAE", "\\u{202E}"},
                                   {"\xE2\x81\xA6", "\\u{2066}"},
                                   {"\xE2\x81\xA9", "\\u{2069}"}}) {
    INFO(shown);
    CHECK(visible("a" + raw + "b") == "a" + shown + "b");
  }
  CHECK(visible("a\xE2\x82\xAC\xE2\x80\x93z") == "a\xE2\x82\xAC\xE2\x80\x93z");  // a euro sign and a dash
  CHECK(json_string("\x1f\x7f") == R"("\u001f\u007f")");
  CHECK(json_string(" ~") == "\" ~\"");
}

TEST_CASE("as many rows as are kept need no row for the rest", "[write][by_hand]") {
  const std::vector<Cell> cells{number_cell(1), number_cell(20), number_cell(300), number_cell(4000)};
  Table table = one_column(cells, true);
  table.rows.push_back({{text_cell("Total"), number_cell(4321)}, true});
  const auto kept = [&](std::uint32_t most) {
    Table copy = table;
    keep_rows(copy, most);
    return names(copy);
  };
  using Rows = std::vector<std::string>;
  const Rows all{"r=1.00", "r=20.00", "r=300.00", "r=4000.00", "Total=4321.00"};
  CHECK(kept(4) == all);
  CHECK(kept(5) == all);
  CHECK(kept(3) == Rows{"r=1.00", "r=20.00", "r=300.00", "1 more=4000.00", "Total=4321.00"});
  CHECK(kept(1) == Rows{"r=1.00", "3 more=4320.00", "Total=4321.00"});
}

TEST_CASE("an axis is marked at both its ends where they are round", "[write][by_hand]") {
  const auto values = [](double low, double high, int most) {
    std::vector<double> out;
    for (const Tick& tick : ticks({"", "", 0, false}, low, high, most)) out.push_back(tick.value);
    return out;
  };
  CHECK(values(0, 10, 5) == std::vector<double>{0, 2, 4, 6, 8, 10});
  CHECK(values(-4, 4, 4) == std::vector<double>{-4, -2, 0, 2, 4});
  CHECK(values(0.3, 2.9, 6) == std::vector<double>{0.5, 1, 1.5, 2, 2.5});
}
