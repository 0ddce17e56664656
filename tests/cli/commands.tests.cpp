// The commands as used: exit codes, streams, files; and whole outputs of the small scenario in every format.
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <regex>

#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::testing;

namespace {

std::filesystem::path scenarios() {
  return source_dir() / "scenarios";
}
std::filesystem::path goldens() {
  return source_dir() / "tests/cli";
}

/// Lines of the standard library are left out, so that goldens do not move when a comment is added there.
void compare(const std::string& name, const Run& run) {
  std::string text = std::regex_replace(output_of(run), std::regex("(std\\.[a-z]+):[0-9]+"), "$1:LINE");
  text = std::regex_replace(text, std::regex("(\"file\": \"std\\.[a-z]+\", \"line\": )[0-9]+"), "$1LINE");
  CHECK(text == golden(goldens() / name, text));
}

const char* const good =
    "dimension length\nunit m: length\ncountable pc\nkind k { headline a: length = 2 m }\nk one\nexpect one.a = 2 m "
    "\"two\"\n";

}  // namespace

TEST_CASE("a report has the same content in every format", "[cli][golden]") {
  for (const std::string format : {"text", "markdown", "csv", "json", "lines"}) {
    DYNAMIC_SECTION(format) {
      compare("first." + format + ".expected",
              run_in(scenarios(), {"report", "first/first.sprue", "--format", format}));
    }
  }
  for (const std::string format : {"text", "markdown"}) {
    DYNAMIC_SECTION("all of it as " << format) {
      compare("first_all." + format + ".expected",
              run_in(scenarios(), {"report", "first/first.sprue", "--all", "--format", format}));
    }
  }
}

TEST_CASE("the figures committed beside each scenario are current", "[cli][golden]") {
  for (const std::string name : {"first", "herb_mill", "soil_probe", "trail_light", "slide_clamp"}) {
    const std::filesystem::path figures = scenarios() / name / (name + ".figures");
    const Run lines = run_in(scenarios(), {"report", name + "/" + name + ".sprue", "--format", "lines"});
    REQUIRE(lines.code == 0);
    CHECK(lines.out == golden(figures, lines.out));
    const Run check = run_in(scenarios(), {"check", name + "/" + name + ".sprue", "--figures", figures.string()});
    CHECK((check.code == 0 || ignore_goldens()));
  }
}

TEST_CASE("check compares with a figures file and shows what differs", "[cli]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", good);
  folder.file("same.figures", "one.a = 2.000000 m\n");
  folder.file("old.figures", "gone.b = 1 m\none.a = 1.000000 m\n");
  CHECK(run_in(folder.path(), {"check", "a.sprue", "--figures", "same.figures"}).code == 0);
  const Run differs = run_in(folder.path(), {"check", "a.sprue", "--figures", "old.figures"});
  CHECK(differs.code == 1);
  CHECK(
      differs.out ==
      "- gone.b = 1 m\n- one.a = 1.000000 m\n+ one.a = 2.000000 m  (+100.0000%)\na.sprue: 1 of 1 expectations hold\n");
  CHECK(run_in(folder.path(), {"check", "a.sprue", "--figures", "none.figures"}).code == 2);
}

TEST_CASE("explain opens a figure back to its inputs", "[cli][golden]") {
  compare("explain_landed.expected",
          run_in(scenarios(), {"explain", "herb_mill/herb_mill.sprue", "herb_mill.landed_cost", "--depth", "2"}));
  compare("explain_cycle.expected", run_in(scenarios(), {"explain", "herb_mill/herb_mill.sprue", "lens.mold.cycle"}));
  compare("explain_window.expected",
          run_in(scenarios(), {"explain", "herb_mill/herb_mill.sprue", "window.mold.cycle", "--depth", "3"}));
  compare("explain_category.expected",
          run_in(scenarios(), {"explain", "herb_mill/herb_mill.sprue", "landed_cost.setup"}));
}

TEST_CASE("explain opens a figure once, so that many ways to it make no page without end", "[cli]") {
  const TemporaryFolder folder;
  std::string fields = "a0: ratio = 1, a1: ratio = 1";
  for (int i = 2; i < 60; ++i) fields += fmt::format(", a{}: ratio = a{} + a{}", i, i - 1, i - 2);
  folder.file("a.sprue", "kind k { " + fields + " }\nk x { }\n");
  const Run run = run_in(folder.path(), {"explain", "a.sprue", "x.a59", "--depth", "1000"});
  CHECK(run.code == 0);
  CHECK(run.out.find("x.a59 = 1548008755920.000000\n") == 0);
  CHECK(run.out.find("  x.a57 = 591286729879.000000  (above)\n") != std::string::npos);
  CHECK(std::count(run.out.begin(), run.out.end(), '\n') < 300);
}

TEST_CASE("explain says what the model would have said where a value was given", "[cli]") {
  const TemporaryFolder folder;
  folder.file("a.sprue",
              "kind k { n: ratio = 3, replaceable headline twice: ratio = 2 * n }\nk one { n: 4, twice: 7 from quote "
              "\"Q-1\" }\n");
  const Run run = run_in(folder.path(), {"explain", "a.sprue", "one.twice"});
  CHECK(run.code == 0);
  CHECK(run.out ==
        "one.twice = 7.000000\n  given 7  (a.sprue:2)\n  source: quote \"Q-1\"\n  the model says 8.000000  "
        "(a.sprue:1)\n");
}

TEST_CASE("explain shows rates with their sources, texts, tables and lists", "[cli]") {
  const TemporaryFolder folder;
  folder.file(
      "a.sprue",
      "currency EUR \"Euro\" to 2 places\ncurrency USD \"Dollar\" to 2 places\nreport in EUR\n"
      "exchange 1 USD = 0.5 EUR from estimate \"plan\" on 2026-01-01\n"
      "kind k { note: text = \"thin\", t: table of ratio to ratio = table [1: 2, 3: 4], s: series of ratio = [1, 2],\n"
      "  parts: list of k2, price: money = 8 USD, long: flag = count(p for p in parts) >= 1 and sum(s) > 2,\n"
      "  headline all: money = price * t(1) * (if long then 2 else 1) }\nkind k2 { n: ratio = 1 }\nk one { k2 { } }\n");
  const Run run = run_in(folder.path(), {"explain", "a.sprue", "one.all", "--depth", "5"});
  INFO(run.out << run.err);
  CHECK(run.code == 0);
  for (const char* const part : {"exchange.USD = 0.5 EUR  (a.sprue:4)", "source: estimate \"plan\" on 2026-01-01",
                                 "one.t = a table", "one.s = a series"}) {
    INFO(part);
    CHECK(run.out.find(part) != std::string::npos);
  }
  CHECK(run_in(folder.path(), {"explain", "a.sprue", "one.note"}).out.find("\"thin\"") != std::string::npos);
}

TEST_CASE("describe shows the reference of the standard library", "[cli][golden]") {
  compare("describe_mold.expected", run_in(scenarios(), {"describe", "overmold"}));
  compare("describe_function.expected", run_in(scenarios(), {"describe", "plate_cooling_time"}));
  const Run ledger = run_in(scenarios(), {"describe", "cash"});
  CHECK(ledger.out.find("ledger cash \"") == 0);
  CHECK(ledger.out.find("  out tools  ") != std::string::npos);
  CHECK(run_in(scenarios(), {"describe"}).out.find("std.molding: ") != std::string::npos);
  CHECK(run_in(scenarios(), {"describe", "plate_coling_time"}).err.find("did you mean `plate_cooling_time`?") !=
        std::string::npos);
}

TEST_CASE("dump shows each stage", "[cli][golden]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", good);
  for (const std::string stage : {"tree", "model", "graph"}) {
    DYNAMIC_SECTION(stage) {
      compare("dump_" + stage + ".expected", run_in(folder.path(), {"dump", stage, "a.sprue"}));
    }
  }
}

TEST_CASE("format rewrites in place, and only says so with --check", "[cli]") {
  const TemporaryFolder folder;
  const auto file = folder.file("a.sprue", "kind   k{a:ratio=1}\r\n");
  CHECK(run_in(folder.path(), {"format", "--check", "a.sprue"}).code == 1);
  CHECK(read(file) == "kind   k{a:ratio=1}\r\n");
  CHECK(run_in(folder.path(), {"format", "a.sprue"}).code == 0);
  CHECK(read(file) == "kind k { a: ratio = 1 }\n");
  CHECK(run_in(folder.path(), {"format", "--check", "a.sprue"}).code == 0);
}

TEST_CASE("format leaves a file with errors alone", "[cli]") {
  const TemporaryFolder folder;
  const auto file = folder.file("a.sprue", "kind k {\n");
  CHECK(run_in(folder.path(), {"format", "a.sprue"}).code == 2);
  CHECK(read(file) == "kind k {\n");
}

TEST_CASE("what cannot be used exits with 2 and says why", "[cli]") {
  const TemporaryFolder folder;
  std::filesystem::create_directory(folder.path() / "folder.sprue");
  folder.file("a.sprue", good);
  const auto fails = [&](const std::vector<std::string>& arguments, const std::string& says) {
    const Run run = run_in(folder.path(), arguments);
    CAPTURE(run.err);
    CHECK(run.code == 2);
    CHECK(run.out.empty());
    CHECK(run.err.find(says) != std::string::npos);
  };
  fails({"check", "missing.sprue"}, "cannot read `missing.sprue`: no such file");
  fails({"check", "folder.sprue"}, "this is a folder, not a file");
  fails({"chek", "a.sprue"}, "did you mean `check`?");
  fails({"check"}, "files is required");
  fails({"report", "a.sprue", "--format", "yaml"}, "--format");
  fails({"report", "a.sprue", "--scenario", "low"}, "no scenario is called `low`");
  fails({"explain", "a.sprue", "one.b"}, "did you mean `one.a`?");
  fails({"explain", "a.sprue", "one"}, "name one of its fields");
  fails({"check", "a.sprue", "--scenario", "low"}, "no scenario is called `low`");
  fails({"check", "a.sprue", "a.sprue", "--figures", "a.figures"}, "--figures needs exactly one file");
  fails({"check", "a.sprue", "--figures", "a.figures", "--format", "jsonl"}, "--figures is compared as text only");
  folder.file("no.figures", "one.a = 2.000000 m\none.a is 3\n");
  fails({"check", "a.sprue", "--figures", "no.figures"}, "line 2 of `no.figures` is no figure");
  fails({"simulate", "a.sprue", "--seed", "-5"}, "`-5` is no whole number");
  fails({"simulate", "a.sprue", "--seed", "99999999999999999999999"}, "is no whole number from 0 to");
  fails({"report", "a.sprue", "--chart", "costs"}, "--chart goes with --format svg");
  fails({"report", "a.sprue", "--audience", "board"}, "the program declares no `audience`");
  fails({"describe", "nothing_of_the_kind"}, "nothing_of_the_kind");
  fails({"report", "a.sprue", "--out", "nowhere/x.txt"}, "cannot write `nowhere/x.txt`");
}

TEST_CASE("a report of one scenario says which", "[cli]") {
  const TemporaryFolder folder;
  folder.file("a.sprue",
              std::string(good) + "scenario long \"Longer\" { one.a: 2 m }\nscenario plain { one.a: 2 m }\n");
  CHECK(run_in(folder.path(), {"report", "a.sprue", "--scenario", "long"}).out.find("Scenario long: Longer\n") !=
        std::string::npos);
  CHECK(run_in(folder.path(), {"report", "a.sprue", "--scenario", "plain"}).out.find("Scenario plain\n") !=
        std::string::npos);
}

TEST_CASE("a headline that is stated and not worked out is shown as stated, in every view", "[cli]") {
  const TemporaryFolder folder;
  folder.file(
      "a.sprue",
      "kind k { a: ratio = 1, headline plain \"Plain\": ratio, replaceable headline quoted \"Quoted\": ratio = 2 * a, "
      "headline made \"Made\": ratio = 3 * a }\n"
      "k one { plain: 7 }\nscenario other { one.quoted: 5 }\n");
  const auto shows = [&](const std::vector<std::string>& command, const std::string& title) {
    const Run run = run_in(folder.path(), command);
    INFO(run.out << run.err);
    return run.out.find(title) != std::string::npos;
  };
  for (const char* format : {"text", "markdown", "csv", "html"}) {
    INFO(format);
    CHECK(shows({"report", "a.sprue", "--format", format}, "Plain, stated"));
    CHECK_FALSE(shows({"report", "a.sprue", "--format", format}, "Quoted, stated"));
    CHECK(shows({"report", "a.sprue", "--format", format, "--scenario", "other"}, "Quoted, stated"));
    CHECK_FALSE(shows({"report", "a.sprue", "--format", format, "--scenario", "other"}, "Made, stated"));
    CHECK(shows({"compare", "a.sprue", "#other", "--format", format}, "Quoted, stated"));
  }
  CHECK(shows({"report", "a.sprue", "--format", "json"},
              "\"path\": \"one.plain\", \"value\": 7, \"unit\": \"\", \"incomplete\": false, \"stated\": true"));
  CHECK_FALSE(shows({"report", "a.sprue", "--format", "json"},
                    "\"path\": \"one.made\", \"value\": 3, \"unit\": \"\", \"incomplete\": false, \"stated\""));
}

TEST_CASE("a headline with a formula takes no value, of an instance or of a scenario", "[cli]") {
  const TemporaryFolder folder;
  const std::string kind =
      "kind k { a: ratio = 1, headline made \"Made\": ratio = 3 * a }\nkind d is k { made: ratio = 4 * a }\n";
  for (const char* rest : {"k one { made: 5 }\n", "k one { made: unknown }\n", "k one\nscenario s { one.made: 5 }\n",
                           "d one { made: 5 }\n"}) {
    INFO(rest);
    folder.file("a.sprue", kind + rest);
    const Run run = run_in(folder.path(), {"check", "a.sprue"});
    CHECK(run.code == 2);
    CHECK(run.err.find("`made` is a headline with a formula and cannot be given a value [E0306]") != std::string::npos);
  }
  folder.file("a.sprue", kind + "d one { a: 2 }\nexpect one.made = 8\n");
  CHECK(run_in(folder.path(), {"check", "a.sprue"}).code == 0);
}

TEST_CASE("what a formula cannot be worked out without is told once, at the instance, with both ways to give it",
          "[cli]") {
  const TemporaryFolder folder;
  folder.file("a.sprue",
              "kind k { rows: table of ratio to ratio, price: ratio = rows(1), headline h: ratio = price, headline i: "
              "ratio = 2 * "
              "price + rows(2) }\nkind all_of { headline sum: ratio = sum(k.price for k in all k) }\n"
              "k one\nall_of them\n");
  const Run run = run_in(folder.path(), {"check", "a.sprue"});
  CHECK(run.code == 2);
  CHECK(run.err.find("a.sprue:3:3: error: k `one` has neither `price` nor `rows` [E0318]\n") != std::string::npos);
  CHECK(run.err.find("help: add `price: …` or `rows: …`\n1 error, 0 warnings\n") != std::string::npos);
}

TEST_CASE("where the formula that needs it is given, what lacks is told alone", "[cli]") {
  const TemporaryFolder folder;
  folder.file("a.sprue",
              "kind k { rows: table of ratio to ratio, price: ratio = rows(1), headline h: ratio = price }\n"
              "k one { price: 2 * rows(3) }\n");
  const Run run = run_in(folder.path(), {"check", "a.sprue"});
  CHECK(run.code == 2);
  CHECK(run.err.find("a.sprue:2:3: error: k `one` lacks `rows`, and something needs it [E0318]\n") !=
        std::string::npos);
}

TEST_CASE("a bought item without a price is named, in one error", "[cli]") {
  const TemporaryFolder folder;
  std::string program = read(source_dir() / "scenarios/herb_mill/bought.sprue");
  folder.file("bought.sprue", program + "bought nameless \"Nameless\" { lead_time: 4 week }\n");
  for (const char* other : {"herb_mill.sprue", "parts.sprue", "shop.sprue", "tools.sprue"})
    folder.file(other, read(source_dir() / "scenarios/herb_mill" / other));
  const Run run = run_in(folder.path(), {"check", "herb_mill.sprue"});
  CHECK(run.code == 2);
  CHECK(run.err.find("bought `nameless` has neither `price` nor `breaks` [E0318]") != std::string::npos);
  CHECK(run.err.find("\n1 error, ") != std::string::npos);
}

TEST_CASE("instances that a requirement counts are used though nothing refers to them", "[cli]") {
  const TemporaryFolder folder;
  const std::string kinds =
      "kind item { w: ratio = 1 }\nkind box is item { content: optional item }\nkind crate is item { content: optional "
      "item }\n"
      "kind whole { headline n: ratio = 1, require count(b for b in all box) > 0 }\nwhole w\n";
  folder.file("a.sprue", kinds + "box inner\nbox outer { content: inner }\n");
  CHECK(run_in(folder.path(), {"check", "a.sprue"}).err.empty());
  folder.file("a.sprue", kinds + "box inner\ncrate low\ncrate high { content: low }\n");
  CHECK(run_in(folder.path(), {"check", "a.sprue"}).err.find("nothing refers to the crate `high` [W0901]") !=
        std::string::npos);
}

TEST_CASE("a failed expectation exits with 1 and the figures stand", "[cli]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", std::string(good) + "expect one.a > 3 m \"three\"\n");
  CHECK(run_in(folder.path(), {"check", "a.sprue"}).code == 1);
  const Run report = run_in(folder.path(), {"report", "a.sprue", "--format", "lines"});
  CHECK(report.code == 0);
  CHECK(report.out == "one.a = 2.000000 m\n");
}

TEST_CASE("an unknown figure marks all that rest on it, and is never zero", "[cli]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", R"(
currency EUR "Euro" to 2 places
report in EUR
ledger cost: money { goods }
kind item { price: money, headline twice: money = 2 * price
  post cost.goods = price }
kind whole { headline total: money = cost.total }
whole w
item known { price: 3 EUR }
item open { price: unknown }
item ranged { price: unknown within 4 .. 6 EUR }
)");
  const Run run = run_in(folder.path(), {"report", "a.sprue", "--format", "lines"});
  CHECK(run.out ==
        "cost.goods = 8.00 EUR incomplete\ncost.items.known = 3.00 EUR\ncost.items.open = 0.00 EUR "
        "incomplete\ncost.items.ranged = 5.00 EUR incomplete\n"
        "cost.total = 8.00 EUR incomplete\nknown.twice = 6.00 EUR\nopen.twice = unknown\nranged.twice = 10.00 EUR "
        "incomplete\nw.total = 8.00 EUR incomplete\n");
}

TEST_CASE("a report sets given values against what the model says", "[cli]") {
  const TemporaryFolder folder;
  folder.file("a.sprue",
              "kind k { n: ratio = 3, replaceable headline twice: ratio = 2 * n }\nk one { n: 4, twice: 10 from quote "
              "\"Q-1\" }\n");
  const std::string report = run_in(folder.path(), {"report", "a.sprue"}).out;
  CHECK(report.find("one.twice  10.000000  8.000000                           25.0\n") != std::string::npos);
  CHECK(report.find("quote            1\nnone stated      1\n") != std::string::npos);
}

TEST_CASE("a given value that breaks a circle stays sound", "[cli]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", "kind k { a: ratio = b + 1, headline b: ratio = 2 * a }\nk one { a: 3 }\n");
  const Run run = run_in(folder.path(), {"report", "a.sprue", "--format", "lines"});
  CHECK(run.code == 0);
  CHECK(run.out == "one.b = 6.000000\n");
  const Run explained = run_in(folder.path(), {"explain", "a.sprue", "one.a"});
  CHECK(explained.out.find("the model says 7.000000") != std::string::npos);
}

TEST_CASE("a report lists what is unknown and how it is counted", "[cli]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", R"(
kind item { size: ratio, headline twice: ratio = 2 * size }
item open { size: unknown }
item ranged { size: unknown within 4 .. 6 }
)");
  const std::string report = run_in(folder.path(), {"report", "a.sprue"}).out;
  CHECK(report.find("Unknown      Counted as                         Place\n") != std::string::npos);
  CHECK(report.find("open.size    nothing: left out                  a.sprue:3\n") != std::string::npos);
  CHECK(report.find("ranged.size  5.000000, the middle of its range  a.sprue:4\n") != std::string::npos);
}

TEST_CASE("the program itself runs: version, help, streams and exit codes of the process", "[cli]") {
  const auto process = [](const std::string& arguments) {
    const std::string command = program_file().string() + " " + arguments + " 2>/dev/null";
    std::FILE* const pipe = popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string out;
    std::array<char, 4096> buffer{};
    while (std::fgets(buffer.data(), buffer.size(), pipe) != nullptr) out += buffer.data();
    const int status = pclose(pipe);
    return std::pair{out, WEXITSTATUS(status)};
  };
  CHECK(process("--version") == std::pair<std::string, int>{"0.1.0\n", 0});
  CHECK(process("--help").first.find("Exit codes: 0 fine;") != std::string::npos);
  CHECK(process("check " + (scenarios() / "first/first.sprue").string()).second == 0);
  CHECK(process("check /no/such/file").second == 2);
}
