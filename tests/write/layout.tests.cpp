// How tables and texts fit a width: on small ones by hand, and on every demo.
#include "runtime/write/layout.hpp"

#include <sstream>

#include "runtime/write/write.hpp"
#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

Cell text(std::string value) {
  Cell cell;
  cell.text = std::move(value);
  return cell;
}
Cell number(double value) {
  Cell cell;
  cell.number = true;
  cell.value = value;
  return cell;
}
TableColumn column(std::string title, bool is_number) {
  TableColumn out;
  out.id = out.title = std::move(title);
  out.number = is_number;
  return out;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) out.push_back(line);
  return out;
}

std::size_t widest(const std::string& text) {
  std::size_t most = 0;
  for (const std::string& line : lines_of(text)) most = std::max(most, shown_width(line));
  return most;
}

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("texts are broken at blanks, long names behind a sign, and nothing is lost", "[write][width]") {
  using Lines = std::vector<std::string>;
  CHECK(broken("one two three", 20) == Lines{"one two three"});
  CHECK(broken("one two three", 7) == Lines{"one two", "three"});
  CHECK(broken("one two three", 8) == Lines{"one two", "three"});
  CHECK(broken("housing_left.mold.cycle", 14) == Lines{"housing_left.", "mold.cycle"});
  CHECK(broken("abcdefghij", 4) == Lines{"abcd", "efgh", "ij"});
  CHECK(broken("", 5) == Lines{""});
  CHECK(broken("über allen Gipfeln", 4) == Lines{"über", "alle", "n", "Gipf", "eln"});
}

TEST_CASE("what is cut has a sign", "[write][width]") {
  CHECK(cut_short("one two three", 13) == "one two three");
  CHECK(cut_short("one two three", 12) == "one two thr…");
  CHECK(cut_short("one two three", 9) == "one two…");
  CHECK(shown_width(cut_short("Äußerst übel", 6)) == 6);
}

TEST_CASE("columns that are zero throughout are left out and counted", "[write][width]") {
  Table table{"t", "", {column("Item", false), column("A", true), column("B", true), column("C", true)}, {}};
  table.columns[2].places = 2;
  table.rows.push_back({{text("x"), number(1), number(0.004), number(0)}, false});
  table.rows.push_back({{text("y"), number(0), number(-0.001), text("")}, false});
  const Trimmed trimmed = without_zero_columns(table);
  CHECK(trimmed.left_out == 2);
  REQUIRE(trimmed.table.columns.size() == 2);
  CHECK(trimmed.table.columns[1].title == "A");
  CHECK(has(write_text({table}), "2 columns that are zero throughout are left out.\n"));
  CHECK(has(write_markdown({table}), "2 columns that are zero throughout are left out.\n"));
  CHECK(has(write_csv({table}), "Item,A,B,C"));
  // What is unknown or withheld is no zero, nor is a cell that rests on something unknown.
  table.rows[0].cells[2].incomplete = true;
  table.rows[1].cells[3] = text("withheld");
  CHECK(without_zero_columns(table).left_out == 0);
  // A table of zeros alone stays one.
  Table zeros{"t", "", {column("Item", false), column("A", true)}, {{{text("x"), number(0)}, false}}};
  CHECK(without_zero_columns(zeros).left_out == 0);
}

TEST_CASE("a table that is too wide breaks its texts first, then becomes several", "[write][width]") {
  Table table{"t", "", {column("Item", false)}, {}};
  for (const char* const name : {"Aa", "Bb", "Cc"}) table.columns.push_back(column(name, true));
  table.rows.push_back({{text("a name of several words"), number(123456), number(234567), number(345678)}, false});
  CHECK(write_text({table}, 60) ==
        "Item                          Aa       Bb       Cc\n"
        "--------------------------------------------------\n"
        "a name of several words  123,456  234,567  345,678\n");
  // 40 - 3 * (2 + 7) = 13 are left for the text.
  CHECK(write_text({table}, 40) ==
        "Item                Aa       Bb       Cc\n"
        "----------------------------------------\n"
        "a name of      123,456  234,567  345,678\n"
        "several words\n");
  // 20: the text needs 8 at least, and one number stands beside it.
  CHECK(write_text({table}, 20) ==
        "Item              Aa\n--------------------\na name of    123,456\nseveral\nwords\n\n"
        "Item              Bb\n--------------------\na name of    234,567\nseveral\nwords\n\n"
        "Item              Cc\n--------------------\na name of    345,678\nseveral\nwords\n");
}

TEST_CASE("no line of a demo's report or comparison is wider than asked for", "[cli][width]") {
  const auto folder = source_dir() / "scenarios";
  for (const std::string name : {"first", "herb_mill", "soil_probe", "slide_clamp", "trail_light"}) {
    const std::string file = name + "/" + name + ".sprue";
    for (const std::size_t width : {60, 80, 120}) {
      for (const std::vector<std::string>& more : {std::vector<std::string>{},
                                                   {"--all"},
                                                   {"--all", "--all-scenarios"},
                                                   {"--redact"},
                                                   {"--audience", "board"}}) {
        std::vector<std::string> arguments{"report", file, "--width", std::to_string(width)};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const Run run = run_in(folder, arguments);
        INFO(name << " at " << width << ": " << (more.empty() ? "" : more.back()));
        REQUIRE(run.code == 0);
        CHECK(widest(run.out) <= width);
      }
    }
  }
  for (const std::size_t width : {60, 80, 120}) {
    for (const std::string what : {"", "--all"}) {
      std::vector<std::string> arguments{"compare", "herb_mill/herb_mill.sprue", "#no_overmold", "--width",
                                         std::to_string(width)};
      if (!what.empty()) arguments.push_back(what);
      const Run run = run_in(folder, arguments);
      REQUIRE(run.code == 0);
      CHECK(widest(run.out) <= width);
    }
  }
  CHECK(widest(run_in(folder, {"report", "herb_mill/herb_mill.sprue", "--all"}).out) <= 80);
  CHECK(run_in(folder, {"report", "herb_mill/herb_mill.sprue", "--width", "39"}).code == 2);
}

TEST_CASE("the first screen is one, and everything is there for the asking", "[cli][brief]") {
  const auto folder = source_dir() / "scenarios";
  const std::string file = "herb_mill/herb_mill.sprue";
  const std::string brief = run_in(folder, {"report", file}).out;
  const std::string all = run_in(folder, {"report", file, "--all"}).out;
  CHECK(lines_of(brief).size() <= 50);
  CHECK(lines_of(all).size() > 400);
  for (const std::string part :
       {"Landed unit cost, tooling excluded", "Tooling exposure at first shipment", "Cash needed before first shipment",
        "Landed unit cost, tooling included", "Gross margin, tooling excluded", "Deepest cash balance", "2027-08-03",
        "First shipment", "Landed unit cost, tooling excluded, by category", "Expectations: 10 of 10 hold",
        "<= 175,000.00 EUR", "Cautions", "--all", "Start 2026-10-05", "1 USD = 0.92 EUR"}) {
    INFO(part);
    CHECK(has(brief, part));
  }
  // Both sides of the tooling's budget on one line.
  const std::size_t at = brief.find("<= 175,000.00 EUR");
  const std::size_t begin = brief.rfind('\n', at) + 1;
  CHECK(has(brief.substr(begin, at - begin), "161,322.00"));
  CHECK_FALSE(has(brief, "Everything one good unit costs"));
  CHECK(has(all, "Everything one good unit costs"));
  // Formats for programs and pages are whole.
  for (const std::string format : {"csv", "json", "html"})
    CHECK(run_in(folder, {"report", file, "--format", format}).out ==
          run_in(folder, {"report", file, "--format", format, "--all"}).out);
  CHECK(has(run_in(folder, {"report", file, "--format", "csv"}).out, "tool_list"));
  CHECK(run_in(folder, {"report", file, "--audience", "brief"}).out.substr(0, 20) == brief.substr(0, 20));
  CHECK(run_in(folder, {"report", file, "--all", "--audience", "board"}).code == 2);
  CHECK(run_in(folder, {"report", file, "--all", "--section", "cautions"}).code == 2);
  const TemporaryFolder own;
  own.file("a.sprue", "kind shop { a: ratio\n  ## What it is.\n  headline b \"B\": ratio = 2 * a }\nshop s { a: 2 }\n");
  CHECK(has(run_in(own.path(), {"report", "a.sprue"}).out, "What it is."));
}

TEST_CASE("no limit is cut on the first screen of a demo", "[cli][brief]") {
  for (const std::string name : {"first", "herb_mill", "soil_probe", "slide_clamp", "trail_light"}) {
    const std::string brief =
        run_in(source_dir() / "scenarios", {"report", name + "/" + name + ".sprue", "--all-scenarios"}).out;
    const std::size_t begin = brief.find("Expectations: ");
    REQUIRE(begin != std::string::npos);
    std::size_t rows = 0;
    for (const std::string& line : lines_of(brief.substr(begin, brief.find("\n\n", begin) - begin))) {
      INFO(line);
      const std::size_t end = line.find_last_not_of(' ');
      if (line.find("Expectations") == 0) continue;
      CHECK((line.substr(end - 3) == " yes" || line.substr(end - 2) == " no"));
      // A text may be cut, a side never.
      const std::size_t sign = line.find("…");
      CHECK((sign == std::string::npos || line.find("…", sign + 1) == std::string::npos));
      CHECK((sign == std::string::npos || sign < line.find("= ")));
      ++rows;
    }
    CHECK(rows > 0);
    CHECK(widest(brief) <= 80);
  }
}

TEST_CASE("a brief redacted report withholds both sides of what is expected", "[cli][brief][redaction]") {
  const std::string brief = run_in(source_dir() / "scenarios", {"report", "herb_mill/herb_mill.sprue", "--redact"}).out;
  CHECK(has(brief, "Expectations: 10 of 10 hold"));
  CHECK_FALSE(has(brief, "<= 175,000.00"));
}

TEST_CASE("a comparison prints its main points; --all prints the rest", "[cli][brief]") {
  const auto folder = source_dir() / "scenarios";
  const std::vector<std::string> arguments{"compare", "herb_mill/herb_mill.sprue", "#no_overmold"};
  const std::string brief = run_in(folder, arguments).out;
  auto more = arguments;
  more.insert(more.end(), {"--all", "--width", "120"});
  const std::string all = run_in(folder, more).out;
  // First the edits, then the figures, the expectations, and three walks.
  CHECK(brief.find("Changes of the source") < brief.find("Figures that changed"));
  CHECK(brief.find("Figures that changed") < brief.find("Expectations that changed"));
  CHECK(brief.find("Expectations that changed") < brief.find("What each change contributed"));
  const auto walks = [](const std::string& text) {
    std::size_t n = 0;
    for (std::size_t at = text.find("\nBefore  "); at != std::string::npos; at = text.find("\nBefore  ", at + 1)) ++n;
    return n;
  };
  CHECK(walks(brief) == 3);
  CHECK(walks(all) > 3);
  CHECK_FALSE(has(brief, "Date of the deepest cash balance"));  // the same
  CHECK(has(all, "Date of the deepest cash balance"));
  CHECK(has(brief, "changed by the same amount as one of these."));
  CHECK(has(brief, "read the same"));
  CHECK_FALSE(has(brief, "by category"));
  CHECK(has(all, "by category"));
  more = arguments;
  more.insert(more.end(), {"--format", "csv"});
  CHECK(has(run_in(folder, more).out, "landed_cost_by_category"));
}
