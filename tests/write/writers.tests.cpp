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

TEST_CASE("text is aligned, and says by how much rounded rows miss their total", "[write]") {
  CHECK(write_text(document("a")) ==
        "a\n=\n\n"
        "Cost  1,000.00 EUR\n\nCost: All of it.\n\n"
        "By item\n\nItem   Amount [EUR]\n-------------------\na            333.33\nb            333.33\nc            "
        "333.33\n"
        "-------------------\nTotal      1,000.00\nRounded rows miss the total: Amount by -0.01 EUR.\n");
}

TEST_CASE("Markdown has tables with units in their headers", "[write]") {
  CHECK(write_markdown(document("a")) ==
        "# a\n\n| Figure | Value | Definition |\n| --- | ---: | --- |\n| Cost | 1,000.00 EUR | All of it. |\n\n"
        "**By item**\n\n| Item | Amount (EUR) |\n| --- | ---: |\n| a | 333.33 |\n| b | 333.33 |\n| c | 333.33 |\n| "
        "**Total** | **1,000.00** |\n\n"
        "Rounded rows miss the total: Amount by -0.01 EUR.\n");
}

TEST_CASE("CSV has plain numbers, each as rounded alone", "[write]") {
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

TEST_CASE("in Markdown nobody is mentioned and no address is alive", "[write]") {
  const std::string markdown = write_markdown(
      document("ask @somebody or a@b.example, see https://c.example, www.d.example, WWW.e.example, #12"));
  for (const char* alive : {"@s", "a@b", "://", "www.", "WWW.", "#12"}) {
    INFO(alive);
    CHECK(markdown.find(alive) == std::string::npos);
  }
  // Read as Markdown the words are the same: what divides them is a comment.
  CHECK(markdown.find("ask @<!-- -->somebody or a@<!-- -->b.example, see https:<!-- -->//c.example") !=
        std::string::npos);
  CHECK(write_markdown(document("www is no address, # nor is this, 3: // neither")).find("<!--") == std::string::npos);
}

TEST_CASE("hostile words stay words on a page, too", "[write]") {
  const std::string page = write_html(document(hostile));
  CHECK(page.find("<script>") == std::string::npos);
  CHECK(page.find("&lt;script&gt;") != std::string::npos);
  CHECK(page.find("\xE2\x80\xAE") == std::string::npos);
}

TEST_CASE("a change is rounded from the full values, has its sign, and is not shown where it is nothing", "[write]") {
  Table table{"t", "", {{"item", "Item", {}, 0, false, false}}, {}};
  for (const char* name : {"before", "after"}) table.columns.push_back({name, name, "EUR", 2, true, true});
  table.columns.push_back({"change", "change", "EUR", 2, true, false, true});
  const auto add = [&](double before, double after) {
    table.rows.push_back({{text("x"), number(before), number(after), number(after - before)}, false});
  };
  add(1.004, 1.006);  // shown as 1.00 and 1.01, yet the change is 0.002
  add(0.994, 1.006);  // 0.99 and 1.01, and the change is 0.012
  add(5, 1005);
  add(2, 1);
  const auto cells = shown_cells(table, true);
  CHECK(cells[0] == std::vector<std::string>{"x", "1.00", "1.01", ""});
  CHECK(cells[1] == std::vector<std::string>{"x", "0.99", "1.01", "+0.01"});
  CHECK(cells[2][3] == "+1,000.00");
  CHECK(cells[3][3] == "-1.00");
  const auto plain = shown_cells(table, false);
  CHECK(plain[0][3] == "0.00");
  CHECK(plain[2][3] == "1000.00");
}

TEST_CASE("every column that misses its total is told; where a cell is withheld or unknown nobody can say", "[write]") {
  Table table{"t",
              "",
              {{"item", "Item", {}, 0, false, false},
               {"a", "A", "EUR", 2, true, true},
               {"b", "B", "", 0, true, true},
               {"c", "C", "EUR", 2, true, true}},
              {}};
  // By hand: 0.335 twice is 0.34 and 0.34, 0.68, and the total 0.67; 0.4 twice is 0 and 0, and the total 1.
  table.rows.push_back({{text("x"), number(0.335), number(0.4), number(1)}, false});
  table.rows.push_back({{text("y"), number(0.335), number(0.4), number(2)}, false});
  table.rows.push_back({{text("Total"), number(0.67), number(0.8), number(3)}, true});
  CHECK(rounding_note(table) == "Rounded rows miss the total: A by +0.01 EUR, B by -1.");
  table.rows[0].cells[1] = text("withheld");
  table.rows[0].cells[1].withheld = true;
  table.rows[1].cells[2].absent = true;
  CHECK(rounding_note(table).empty());
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
