// Every writer on one small document, and on hostile words.
#include "runtime/write/json.hpp"
#include "runtime/write/svg.hpp"
#include "runtime/write/write.hpp"
#include "tests/catch.hpp"
#include "tests/support/readers.hpp"

using namespace sprue;
using sprue::testing::csv_rows;

namespace {

Cell text(std::string value) {
  return {std::move(value), 0, false, false, false};
}
Cell number(double value) {
  return {{}, value, true, false, false};
}

Document document(const std::string& title) {
  Table table{
      "by_item", "By item", {{"item", "Item", {}, 0, false, false}, {"amount", "Amount", "EUR", 2, true, true}}, {}};
  table.rows.push_back({{text(title), number(1000.0 / 3)}, false});
  table.rows.push_back({{text("b"), number(1000.0 / 3)}, false});
  table.rows.push_back({{text("c"), number(1000.0 / 3)}, false});
  table.rows.push_back({{text("Total"), number(1000)}, true});
  return {Heading{title, 1}, KeyFigures{{{"x.cost", "Cost", "1,000.00 EUR", "1000.00", "EUR", "All of it."}}}, table};
}

const std::string hostile = "=1+1|<script>\nalert(1)</script>\xE2\x80\xAE`x`";

}  // namespace

TEST_CASE("text is aligned and foots", "[write]") {
  CHECK(write_text(document("a")) ==
        "a\n=\n\n"
        "Cost  1,000.00 EUR\n\nCost: All of it.\n\n"
        "By item\n\nItem   Amount [EUR]\n-------------------\na            333.34\nb            333.33\nc            "
        "333.33\n"
        "-------------------\nTotal      1,000.00\nRows are rounded so that they add up to the total.\n");
}

TEST_CASE("Markdown has tables with units in their headers", "[write]") {
  CHECK(write_markdown(document("a")) ==
        "# a\n\n| Figure | Value | Definition |\n| --- | ---: | --- |\n| Cost | 1,000.00 EUR | All of it. |\n\n"
        "**By item**\n\n| Item | Amount (EUR) |\n| --- | ---: |\n| a | 333.34 |\n| b | 333.33 |\n| c | 333.33 |\n| "
        "**Total** | **1,000.00** |\n\n"
        "Rows are rounded so that they add up to the total.\n");
}

TEST_CASE("CSV has plain numbers, never footed", "[write]") {
  CHECK(write_csv(document("a")) ==
        "path,figure,value,unit\r\nx.cost,Cost,1000.00,EUR\r\n\r\nby_item\r\nitem,amount "
        "[EUR]\r\na,333.33\r\nb,333.33\r\nc,333.33\r\nTotal,1000.00\r\n");
}

TEST_CASE("hostile words stay words", "[write]") {
  const std::string plain = write_text(document(hostile));
  CHECK(plain.find("\\u{202E}") != std::string::npos);
  CHECK(plain.find("\xE2\x80\xAE") == std::string::npos);
  const std::string markdown = write_markdown(document(hostile));
  CHECK(markdown.find("<script>") == std::string::npos);
  CHECK(markdown.find("&lt;script&gt;") != std::string::npos);
  CHECK(markdown.find("=1+1\\|") != std::string::npos);
  // Every row of the table still has two cells: its title line is one line.
  CHECK(markdown.find("\nalert") == std::string::npos);
  for (const auto& row : csv_rows(write_csv(document(hostile)))) {
    for (const std::string& cell : row)
      CHECK((cell.empty() || std::string("=+@\t\r").find(cell[0]) == std::string::npos));
  }
}

TEST_CASE("hostile words stay words on a page, too", "[write]") {
  const std::string page = write_html(document(hostile));
  CHECK(page.find("<script>") == std::string::npos);
  CHECK(page.find("&lt;script&gt;") != std::string::npos);
  CHECK(page.find("\xE2\x80\xAE") == std::string::npos);
}

TEST_CASE("columns foot across: what is shown as a change is the difference of what is shown", "[write]") {
  Table table{"t", "", {{"item", "Item", {}, 0, false, false}}, {}};
  for (const char* name : {"before", "after"}) table.columns.push_back({name, name, "EUR", 2, true, true});
  table.columns.push_back({"change", "change", "EUR", 2, true, false, 2, 1});
  for (int i = 0; i < 3; ++i)
    table.rows.push_back({{text("x"), number(1.0 / 3), number(2.0 / 3), number(1.0 / 3)}, false});
  table.rows.push_back({{text("Total"), number(1), number(2), number(1)}, true});
  const auto cells = shown_cells(table, true, false);
  for (const auto& row : cells) CHECK(std::stod(row[3]) == Approx(std::stod(row[2]) - std::stod(row[1])));
  CHECK(std::stod(cells[0][3]) + std::stod(cells[1][3]) + std::stod(cells[2][3]) == Approx(1));
}

TEST_CASE("a fixed row keeps its rounding, the others share what is left", "[write]") {
  Table table{"t", "", {{"item", "Item", {}, 0, false, false}, {"amount", "Amount", "EUR", 1, true, true}}, {}};
  table.rows.push_back({{text("Before"), number(10.04)}, false});
  table.rows[0].cells[1].fixed = true;
  table.rows.push_back({{text("a"), number(0.04)}, false});
  table.rows.push_back({{text("b"), number(0.03)}, false});
  table.rows.push_back({{text("After"), number(10.11)}, true});
  const auto cells = shown_cells(table, true, false);
  CHECK(cells[0][1] == "10.0");
  CHECK(cells[1][1] == "0.1");
  CHECK(cells[2][1] == "0.0");
  CHECK(cells[3][1] == "10.1");
}

TEST_CASE("CSV can be read back", "[write]") {
  const auto rows = csv_rows(write_csv(document("a \"quoted\", name")));
  CHECK(rows[5] == std::vector<std::string>{"a \"quoted\", name", "333.33"});
}

TEST_CASE("JSON strings are escaped and numbers are shortest", "[write]") {
  CHECK(json_string("a\"b\\c\n\x01") == R"("a\"b\\c\n\u0001")");
  CHECK(json_number(0.1) == "0.1");
  CHECK(json_number(-0.0) == "0");
  CHECK(json_number(1.0 / 0.0) == "null");
}

TEST_CASE("every mark on a chart has a shape of its own, and the key shows it again", "[write]") {
  LineChart chart;
  chart.lines.push_back({"Cash", {{0, 1}, {4, 5}}, false});
  for (int i = 0; i < 4; ++i) chart.marks.push_back({{1.0 * i, 1.0 + i}, "mark"});
  const std::string svg = write_svg(chart);
  for (const char* const shape : {"<circle", "l6 6l-6 6l-6 -6z", "l6 10h-12z", "width=\"9\" height=\"9\""}) {
    INFO(shape);
    std::size_t count = 0;
    for (std::size_t at = svg.find(shape); at != std::string::npos; at = svg.find(shape, at + 1)) ++count;
    CHECK(count == 2);
  }
}
