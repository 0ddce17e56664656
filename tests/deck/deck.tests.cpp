// What the writers write, read by others: a browser, an XML parser, a Markdown renderer, Python's csv, a spreadsheet, a
// JSON schema. Hostile texts reach none of them as anything but text.
#include <fmt/format.h>
#include <algorithm>
#include <map>
#include <regex>

#include "tests/catch.hpp"
#include "tests/support/repository.hpp"

using namespace sprue::testing;

namespace {

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::size_t count(const std::string& text, const std::string& part) {
  std::size_t n = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size())) ++n;
  return n;
}

/// Debian's own, which has the packages that tests/setup.sh installs.
std::string python(const std::string& script, const std::string& arguments) {
  return fmt::format("/usr/bin/python3 '{}' {}", (source_dir() / "tests/deck" / script).string(), arguments);
}

std::string read_with(const TemporaryFolder& folder, const std::string& arguments) {
  const Run run = shell(folder.path(), python("check_formats.py", arguments));
  INFO(arguments << "\n" << run.err);
  REQUIRE(run.code == 0);
  return run.out;
}

/// Writes a report or comparison of a demo into the folder.
void make(const TemporaryFolder& folder, std::vector<std::string> arguments, const std::string& file) {
  arguments.insert(arguments.end(), {"--out", (folder.path() / file).string()});
  const Run run = run_in(source_dir() / "scenarios", arguments);
  INFO(run.err);
  REQUIRE(run.code == 0);
}

/// Texts that mean something to a format.
const std::vector<std::string> hostile{"<script>alert(1)</script>",
                                       "</title></style><img src=x onerror=alert(1)>",
                                       "=cmd|' /C calc'!A0",
                                       "+1+1",
                                       "@SUM(A1)",
                                       "-2+3",
                                       "a | b",
                                       "line\\nbreak",
                                       "tab\\there",
                                       "]]>&amp;<!--",
                                       "[x](javascript:alert(1))",
                                       "`code` **bold** _it_ # head",
                                       "\\\"quoted\\\", 'single'",
                                       "%s%n{}{0}",
                                       "\xF0\x9F\x9A\x80 \xE6\x97\xA5\xE6\x9C\xAC"};

/// A program whose every title, text and source is hostile.
std::string hostile_program(int step) {
  std::string text =
      "countable unit\ncurrency EUR to 2 places\nreport in EUR\nunit s: time\nunit day = 86400 s\n"
      "ledger cost \"<b>&cost\": money/unit { goods \"=goods|x\" }\nledger cash \"@cash\": money dated { out spent "
      "\"<i>\" }\n"
      "kind thing { basis volume \"<u>\": unit = 5 unit, note: text = \"\", price: money/unit = 1 EUR/unit\n"
      "  headline total \"=total</td>\": money/unit = cost.total\n"
      "  ## <script>alert(2)</script> =1+1 | x\n  headline own \"+own\": money/unit = price\n"
      "  caution \"<script>caution</script> | =x\"\n"
      "  post cost.goods = price\n  post cash.spent = price * volume on 2026-01-01 + i * 40 day for i in 1 .. 4 }\n"
      "listing things \"=things<x>\" for t in all thing { note \"@note|\" = t.note, private price \"<price>\" = "
      "t.price }\n"
      "chart curve_of \"<svg onload=alert(3)>\" for t in all thing over t.volume { each \"]]><x>\" = t.own }\n"
      "audience board \"<board>\" { thing.total, things, curve_of, expectations }\n"
      "scenario other \"=scenario<s>\" { t0.price: 7 EUR/unit }\n"
      "expect t0.price > 0 EUR/unit \"<expect> | =1\"\n";
  for (std::size_t i = 0; i < hostile.size(); ++i)
    text +=
        fmt::format("thing t{0} \"{1}\" {{ note: \"{1}\", price: {2} EUR/unit within 0.5 .. 99 from quote \"{1}\" }}\n",
                    i, hostile[i], 40 - static_cast<int>(i) + step);
  return text;
}

}  // namespace

TEST_CASE("pages hold on a phone, a tablet, a desk and on paper", "[deck][browser]") {
  const TemporaryFolder folder;
  make(folder, {"report", "herb_mill/herb_mill.sprue", "--all-scenarios", "--format", "html"}, "review.html");
  make(folder, {"report", "herb_mill/herb_mill.sprue", "--all-scenarios", "--audience", "board", "--format", "html"},
       "board.html");
  make(folder, {"compare", "herb_mill/herb_mill.sprue", "#no_overmold", "--format", "html"}, "comparison.html");
  folder.file("hostile.sprue", hostile_program(1));
  make(folder, {"report", (folder.path() / "hostile.sprue").string(), "--all-scenarios", "--format", "html"},
       "hostile.html");
  for (const std::string page : {"review", "board", "comparison", "hostile"}) {
    for (const std::string view : {"360 screen", "768 screen", "1280 screen", "718 print"}) {
      const Run run = shell(folder.path(), python("check_page.py", page + ".html " + view));
      INFO(page << " at " << view << "\n" << run.out << run.err);
      CHECK(run.code == 0);
      CHECK(std::regex_match(run.out, std::regex("[0-9]+ texts, [1-9][0-9]* charts, [1-9][0-9]* tables\n")));
    }
  }
}

TEST_CASE("the check of pages finds what it looks for", "[deck][browser]") {
  const TemporaryFolder folder;
  folder.file("bad.html",
              "<!DOCTYPE html><html><body><p style='color:#aaa'>faint</p><div style='width:900px'>wide</div><svg "
              "viewBox='0 0 900 9' width='90'>"
              "<text font-size='12'>x</text></svg><script>console.error('loud')</script><p id=a>a</p><p "
              "id=a>b</p></body></html>");
  const Run run = shell(folder.path(), python("check_page.py", "bad.html 360 screen"));
  CHECK(run.code == 1);
  for (const std::string problem : {"contrast 2.32: faint", "the page is 9", "a chart without a name",
                                    "text of 1.2 pixels", "the page has a script", "console: ", "an id stands twice"}) {
    INFO(run.out);
    CHECK(has(run.out, problem));
  }
}

TEST_CASE("a board pack is one page, also of the largest demo", "[deck][browser]") {
  const TemporaryFolder folder;
  for (const std::string name : {"herb_mill", "soil_probe", "trail_light", "slide_clamp"}) {
    make(folder,
         {"report", fmt::format("{0}/{0}.sprue", name), "--all-scenarios", "--audience", "board", "--format", "html"},
         name + ".html");
    const Run run = shell(
        folder.path(),
        fmt::format("chromium --headless --no-sandbox --disable-gpu --no-pdf-header-footer --user-data-dir=profile "
                    "--print-to-pdf={0}.pdf \"file://$PWD/{0}.html\" && pdfinfo {0}.pdf",
                    name));
    INFO(name << "\n" << run.out << run.err);
    CHECK(std::regex_search(run.out, std::regex("Pages: +1\n")));
    CHECK(std::regex_search(run.out, std::regex("Page size: +59[0-9].* x 84[0-9].*A4")));
  }
}

TEST_CASE("every chart alone is an image with a name and a description", "[deck]") {
  const TemporaryFolder folder;
  const Run none =
      run_in(source_dir() / "scenarios", {"report", "herb_mill/herb_mill.sprue", "--all-scenarios", "--format", "svg"});
  REQUIRE(none.code == 2);
  const std::size_t at = none.err.find("help: charts: ") + 14;
  std::string names = none.err.substr(at, none.err.find('\n', at) - at);
  std::size_t charts = 0;
  for (std::size_t begin = 0; begin < names.size(); ++charts) {
    const std::size_t end = std::min(names.find(", ", begin), names.size());
    const std::string name = names.substr(begin, end - begin);
    begin = end + 2;
    INFO(name);
    make(folder, {"report", "herb_mill/herb_mill.sprue", "--all-scenarios", "--format", "svg", "--chart", name},
         name + ".svg");
    const std::string found = read_with(folder, "svg " + name + ".svg");
    CHECK(has(found, "\"root\": \"svg\""));
    CHECK_FALSE(has(found, "\"title\": null"));
    CHECK_FALSE(has(found, "\"description\": null"));
    CHECK_FALSE(has(found, "\"description\": \"\""));
  }
  CHECK(charts >= 15);
  for (const std::string name :
       {"landed_cost_by_category", "cash_balance", "cost_by_volume", "scenarios", "drivers_landed_cost"})
    CHECK(has(names, name));
  CHECK(
      has(run_in(source_dir() / "scenarios", {"report", "first/first.sprue", "--format", "svg", "--chart", "cash"}).err,
          "no chart is called `cash`"));
}

TEST_CASE("Markdown becomes tables of the same rows and columns", "[deck]") {
  const TemporaryFolder folder;
  make(folder, {"report", "herb_mill/herb_mill.sprue", "--all-scenarios", "--all", "--width", "10000", "--format",
                "markdown"},
       "report.md");
  make(folder, {"report", "herb_mill/herb_mill.sprue", "--all-scenarios", "--format", "html"}, "report.html");
  const std::string markdown = read_with(folder, "markdown report.md");
  const std::string page = read_with(folder, "html report.html");
  const auto number = [](const std::string& json, const std::string& tag) {
    std::smatch found;
    return std::regex_search(json, found, std::regex("\"" + tag + "\": ([0-9]+)")) ? std::stoi(found[1]) : 0;
  };
  CHECK(number(markdown, "table") == number(page, "table"));
  CHECK(number(markdown, "h2") == number(page, "h2"));
  // The page shows three figures as cards.
  CHECK(number(markdown, "tr") == number(page, "tr") + 3);
}

TEST_CASE("a spreadsheet opens CSV: numbers as numbers, nothing as a formula", "[deck]") {
  const TemporaryFolder folder;
  make(folder, {"report", "herb_mill/herb_mill.sprue", "--format", "csv"}, "report.csv");
  const std::string sheet = read_with(folder, "sheet report.csv");
  CHECK(has(sheet, "\"formulas\": 0"));
  CHECK(has(sheet, "\"365373.36\""));
  CHECK(has(sheet, "\"-448431.21\""));
  folder.file("hostile.sprue", hostile_program(1));
  make(folder, {"report", (folder.path() / "hostile.sprue").string(), "--all-scenarios", "--format", "csv"},
       "hostile.csv");
  CHECK(has(read_with(folder, "sheet hostile.csv"), "\"formulas\": 0"));
}

TEST_CASE("JSON holds to its schema", "[deck]") {
  const TemporaryFolder folder;
  const auto valid = [&](const std::string& file, const std::string& schema) {
    return has(read_with(folder, fmt::format("json {} '{}'", file, (source_dir() / "docs" / schema).string())),
               "\"errors\": []");
  };
  for (const std::string name : {"first", "herb_mill", "soil_probe", "trail_light", "slide_clamp"}) {
    INFO(name);
    make(folder, {"report", fmt::format("{0}/{0}.sprue", name), "--all-scenarios", "--format", "json"}, "report.json");
    CHECK(valid("report.json", "report.schema.json"));
  }
  make(folder, {"compare", "herb_mill/herb_mill.sprue", "#no_overmold", "--format", "json"}, "comparison.json");
  CHECK(valid("comparison.json", "comparison.schema.json"));
  make(folder, {"compare", "herb_mill/herb_mill.sprue", "herb_mill/herb_mill.sprue", "--format", "json"}, "same.json");
  CHECK(valid("same.json", "comparison.schema.json"));
  CHECK(has(read(folder.path() / "same.json"), "\"same\": true"));
  for (const auto& study : {std::vector<std::string>{"sweep", "herb_mill/herb_mill.sprue", "--vary",
                                                     "herb_mill.volume=12_000..24_000 in 3"},
                            {"solve", "herb_mill/herb_mill.sprue", "--for", "herb_mill.volume", "--until",
                             "herb_mill.contribution > 0 EUR", "--from", "100"},
                            {"drivers", "herb_mill/herb_mill.sprue"},
                            {"simulate", "herb_mill/herb_mill.sprue", "--trials", "200"}}) {
    INFO(study[0]);
    std::vector<std::string> arguments = study;
    arguments.insert(arguments.end(), {"--format", "json"});
    make(folder, arguments, "study.json");
    CHECK(valid("study.json", "study.schema.json"));
  }
  // The check can fail.
  folder.file("wrong.json", "{\"sprue_report\": 2}");
  CHECK_FALSE(valid("wrong.json", "report.schema.json"));
}

TEST_CASE("hostile texts stay texts in every format", "[deck]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", hostile_program(1));
  folder.file("b.sprue", std::regex_replace(hostile_program(2), std::regex("thing t0 \""), "thing t0 \"<b>new</b> "));
  const std::string a = (folder.path() / "a.sprue").string();
  const std::string b = (folder.path() / "b.sprue").string();
  for (const bool comparison : {false, true}) {
    for (const std::string format : {"text", "markdown", "csv", "json", "html"}) {
      make(folder,
           comparison ? std::vector<std::string>{"compare", a, b, "--format", format}
                      : std::vector<std::string>{"report", a, "--all-scenarios", "--format", format},
           "out." + format);
      INFO(format);
      const std::string text = read(folder.path() / ("out." + format));
      CHECK_FALSE(has(text, "\xE2\x80\xAE"));  // turns the reading direction
      CHECK(text.find_first_of(std::string("\x01\x07\x1B\t", 4)) == std::string::npos);
    }
    for (const std::string format : {"html", "markdown"}) {
      const std::string found = read_with(folder, format + " out." + format);
      INFO(format << found);
      for (const std::string tag : {"script", "img", "b", "i", "u", "x", "a", "em"})
        CHECK_FALSE(has(found, "\"" + tag + "\": "));
      CHECK_FALSE(has(found,
                      "onerror"
                      "\""));
      CHECK_FALSE(has(found, "\"onload\""));
      CHECK(has(found, "<script>alert(1)</script>"));  // as text
      // Each table has rows of equal length.
      CHECK_FALSE(has(found, ", 1, 2, 1"));
    }
    const std::string csv = read_with(folder, "csv out.csv");
    CHECK(has(csv, "\"formulas\": []"));
    CHECK(has(csv, "\"'=cmd|"));
    read_with(folder, "json out.json '" + (source_dir() / "docs" / (comparison ? "comparison" : "report")).string() +
                          ".schema.json'");
  }
  make(folder, {"report", a, "--format", "svg", "--chart", "cost_by_item"}, "chart.svg");
  const std::string svg = read_with(folder, "svg chart.svg");
  CHECK(has(svg, "<script>alert(1)</script> (t0)"));
  CHECK(has(svg, "\"tags\": [\"desc\", \"line\", \"rect\", \"svg\", \"text\", \"title\"]"));
}

TEST_CASE("a text that turns the reading direction is refused, and made visible where one comes by", "[deck]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", "kind k { headline a \"x\xE2\x80\xAEy\": ratio = 1 }\nk one\n");
  CHECK(has(run_in(folder.path(), {"report", "a.sprue"}).err,
            "an invisible character that changes the order of what is read [E0102]"));
}

TEST_CASE("output does not depend on time, locale, time zone or the terminal's width", "[deck]") {
  const std::string demo = (source_dir() / "scenarios/slide_clamp/slide_clamp.sprue").string();
  const TemporaryFolder folder;
  // A locale that is there and writes 1.5 in another way.
  const std::string german = "LOCPATH=\"$PWD/locales\" LC_ALL=de_DE.UTF-8 ";
  REQUIRE(shell(folder.path(), "mkdir locales && localedef -i de_DE -f UTF-8 locales/de_DE.UTF-8").code == 0);
  REQUIRE(shell(folder.path(), german + "bash -c 'printf %.1f 1,5'").out == "1,5");
  for (const std::string format : {"text", "markdown", "csv", "json", "html", "lines"}) {
    INFO(format);
    const std::string command = fmt::format("sprue report '{}' --format {}", demo, format);
    const Run plain = shell(folder.path(), "LC_ALL=C TZ=UTC COLUMNS=80 " + command);
    const Run other =
        shell(folder.path(), german + "LANG=tr_TR.UTF-8 TZ=Pacific/Kiritimati COLUMNS=20 TERM=dumb " + command);
    REQUIRE(plain.code == 0);
    CHECK(plain.out == other.out);
  }
  const std::string comparison = fmt::format("sprue compare '{}' '#rescue'", demo);
  // One thread compiles what several would.
  CHECK(shell(folder.path(), "taskset -c 0 " + comparison).out == shell(folder.path(), comparison).out);
  CHECK(shell(folder.path(), "COLUMNS=20 TZ=Asia/Tokyo " + comparison).out == shell(folder.path(), comparison).out);
}

TEST_CASE("a redacted report keeps structure and totals, and withholds what single items cost", "[deck]") {
  const std::string file = "herb_mill/herb_mill.sprue";
  const auto folder = source_dir() / "scenarios";
  const Run open = run_in(folder, {"report", file, "--all", "--width", "300"});
  const Run redacted = run_in(folder, {"report", file, "--redact", "--all", "--width", "300"});
  REQUIRE(redacted.code == 0);
  // Prices of bought parts and tools, and what they cost in a unit.
  for (const std::string price : {"3.7284", "7.3255", "6.7160", "3.5420", "11,408.00", "0.0783"}) {
    INFO(price);
    CHECK(has(open.out, price));
    CHECK_FALSE(has(redacted.out, price));
  }
  for (const std::string format : {"json", "csv", "html", "markdown"}) {
    const Run run = run_in(folder, {"report", file, "--redact", "--format", format});
    INFO(format);
    for (const std::string price : {"3.7284", "7.3255", "6.7160", "11,408.00", "11408", "3.542"})
      CHECK_FALSE(has(run.out, price));
    CHECK(has(run.out, "withheld"));
  }
  for (const std::string kept : {"25.2350 EUR/unit", "161,322.00 EUR", "365,373.36 EUR", "Gear motor, 12 V (motor)",
                                 "Machine time", "By month"}) {
    INFO(kept);
    CHECK(has(redacted.out, kept));
  }
  CHECK(run_in(folder, {"report", file, "--redact", "--format", "lines"}).code == 2);
  CHECK(run_in(folder, {"report", file, "--redact", "--format", "svg", "--chart", "landed_cost_by_item"}).code == 2);
  // No category of a single item stands alone.
  CHECK(has(redacted.out, "Other categories"));
  CHECK_FALSE(has(redacted.out, "\nPackaging  "));
}

TEST_CASE("an audience gets its views in its order, a section only itself", "[deck]") {
  const auto folder = source_dir() / "scenarios";
  const Run board = run_in(folder, {"report", "herb_mill/herb_mill.sprue", "--audience", "board"});
  REQUIRE(board.code == 0);
  CHECK(count(board.out, "\n~~~") == 3);  // tooling, expectations, cautions; charts alone have no heading
  CHECK(has(board.out, "22 more"));
  CHECK_FALSE(has(board.out, "Reserve"));
  const Run section = run_in(
      folder, {"report", "herb_mill/herb_mill.sprue", "--section", "tool_list", "--section", "program.cash_needed"});
  CHECK(section.code == 0);
  CHECK(section.out.find("Tools and fixtures") < section.out.find("Cash needed before first shipment  365,373.36 EUR"));
  const Run wrong =
      run_in(folder, {"report", "herb_mill/herb_mill.sprue", "--section", "tool_list", "--section", "tools_list"});
  CHECK(wrong.code == 2);
  CHECK(wrong.out.empty());
  CHECK(has(wrong.err, "no view is called `tools_list`"));
  CHECK(has(wrong.err, "did you mean `tool_list`?"));
  CHECK(has(run_in(folder, {"report", "herb_mill/herb_mill.sprue", "--section", "nowhere_at_all"}).err,
            "name a listing, a chart, LEDGER.by_item"));
  const Run empty = run_in(folder, {"report", "herb_mill/herb_mill.sprue", "--section", "scenarios"});
  CHECK(empty.code == 2);
  CHECK(has(empty.err, "there is nothing to show in the view asked for"));
  CHECK(
      has(run_in(folder, {"report", "herb_mill/herb_mill.sprue", "--audience", "bord"}).err, "did you mean `board`?"));
}

TEST_CASE("the audience of docs/decks.md is one", "[deck][docs]") {
  const std::string page = read(source_dir() / "docs/decks.md");
  const std::size_t at = page.find("audience maker");
  const std::string audience = page.substr(at, page.find("```", at) - at);
  const TemporaryFolder folder;
  folder.file("shop.sprue", read(source_dir() / "scenarios/first/shop.sprue"));
  folder.file("a.sprue", read(source_dir() / "scenarios/first/first.sprue") + audience);
  const Run run = run_in(folder.path(), {"report", "a.sprue", "--audience", "maker"});
  INFO(run.err);
  CHECK(run.code == 0);
  for (const std::string shown :
       {"For the contract manufacturer", "First shipment", "Work by hand", "Molding", "Tools and fixtures"})
    CHECK(has(run.out, shown));
  // Every view of the page's table that stands by itself is known.
  for (const std::string view : {"headlines", "drivers", "sources", "cautions"})
    CHECK(run_in(folder.path(), {"report", "a.sprue", "--section", view}).code == 0);
}

TEST_CASE("scenarios stand side by side with their differences to the first", "[deck][golden]") {
  const Run run =
      run_in(source_dir() / "scenarios", {"report", "herb_mill/herb_mill.sprue", "--scenario", "base", "--scenario",
                                          "no_overmold", "--scenario", "half_volume", "--section", "scenarios"});
  const auto file = source_dir() / "tests/deck/scenarios.expected";
  CHECK(run.out == golden(file, run.out));
  CHECK(has(run.out, "half_volume: change"));
}
