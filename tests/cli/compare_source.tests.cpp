// Every change of meaning is a row and an exit code, though no figure moves; what has no meaning is no change.
#include <algorithm>
#include <regex>

#include "runtime/cli/commands.hpp"
#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::testing;

namespace {

/// Declarations in one line each.
const std::vector<std::string> program = {
    "countable unit",
    "currency EUR \"Euro\" to 2 places",
    "currency USD to 2 places",
    "report in EUR",
    "dimension length",
    "unit m: length",
    "exchange 1 USD = 0.92 EUR within 0.9 .. 1 from estimate \"bank\"",
    "kind item { price: money/unit, note: text, spare: money/unit = 0 EUR/unit, due: date = 2026-03-01 }",
    "kind total { headline sum: money/unit = sum(i.price for i in all item) }",
    "total t",
    "item a \"The item\" { price: 3 EUR/unit within 2 .. 4 from quote \"Q #17\" on 2026-01-05 until 2026-06-30, note: "
    "\"drawing #12 rev A\" }",
    "item b { price: unknown within 1 EUR/unit .. 3 EUR/unit, note: \"\", due: 2026-04-01 }",
    "expect t.sum < 9 EUR/unit \"see #12\"",
    "expect t.sum = 5 EUR/unit +- 1 EUR/unit \"about 5\"",
    "expect t.sum < 8 EUR/unit \"twice\"",
    "expect t.sum > 1 EUR/unit \"twice\"",
    "expect t.sum < 7 EUR/unit",
    "correlate a.price with b.price 60%",
    "listing items for i in all item { price = i.price }",
    "audience team { headlines }",
    "show length to 2 places",
    "scenario small \"Small #1\" { a.price: 2 EUR/unit, a.note: \"#\" }",
    "scenario other like small { b.price: 1 EUR/unit, add item c { price: 1 EUR/unit, note: \"c\" } }",
};

std::string text(const std::vector<std::string>& lines) {
  std::string out;
  for (const std::string& line : lines) out += line + "\n";
  return out;
}

struct Case {
  std::string from, to;                   // in the text above
  std::string path, what, before, after;  // the row
};

const std::vector<Case> cases = {
    // Expectations: loosened, tightened, flipped, deleted, added, of another tolerance, of one of two called alike.
    {"< 9 EUR/unit \"see", "< 10 EUR/unit \"see", "expect \"see #12\"", "altered", "t.sum < 9 EUR/unit",
     "t.sum < 10 EUR/unit"},
    {"< 9 EUR/unit \"see", "< 5.5 EUR/unit \"see", "expect \"see #12\"", "altered", "t.sum < 9 EUR/unit",
     "t.sum < 5.5 EUR/unit"},
    {"< 9 EUR/unit \"see", "< 0.5 EUR/unit \"see", "expect \"see #12\"", "altered", "t.sum < 9 EUR/unit",
     "t.sum < 0.5 EUR/unit"},
    {"< 9 EUR/unit \"see", "> 9 EUR/unit \"see", "expect \"see #12\"", "altered", "t.sum < 9 EUR/unit",
     "t.sum > 9 EUR/unit"},
    {"expect t.sum < 9 EUR/unit \"see #12\"\n", "", "expect \"see #12\"", "removed", "t.sum < 9 EUR/unit", ""},
    {"total t\n", "total t\nexpect t.sum > 0 EUR/unit \"new\"\n", "expect \"new\"", "added", "", "t.sum > 0 EUR/unit"},
    {"+- 1 EUR/unit", "+- 2 EUR/unit", "expect \"about 5\"", "altered", "t.sum = 5 EUR/unit +- 1 EUR/unit",
     "t.sum = 5 EUR/unit +- 2 EUR/unit"},
    {"expect t.sum < 8 EUR/unit \"twice\"\n", "", "expect \"twice\"", "removed", "t.sum < 8 EUR/unit", ""},
    {"\"about 5\"", "\"about five\"", "expect \"about five\"", "title", "\"about 5\"", "\"about five\""},
    {"expect t.sum < 7 EUR/unit\n", "", "expect t.sum < 7 EUR/unit", "removed", "t.sum < 7 EUR/unit", ""},
    // Scenarios that are not compared: edited, added, removed.
    {"a.price: 2 EUR", "a.price: 1 EUR", "scenario small: a.price", "altered", "2 EUR/unit", "1 EUR/unit"},
    {", a.note: \"#\"", "", "scenario small: a.note", "removed", "\"#\"", ""},
    {", a.note: \"#\"", ", a.note: \"# 2\"", "scenario small: a.note", "altered", "\"#\"", "\"# 2\""},
    {"a.price: 2 EUR/unit", "a.price: 2 EUR/unit from quote \"Q-2\"", "scenario small: a.price", "range or source", "",
     "from quote \"Q-2\""},
    {"a.note: \"#\"", "a.note: \"#\", remove b", "scenario small: remove b", "added", "", ""},
    {"item c { price: 1", "item c { price: 2", "scenario other: add c", "altered",
     "add item c { price: 1 EUR/unit, note: \"c\" }", "add item c { price: 2 EUR/unit, note: \"c\" }"},
    {" like small", "", "scenario other", "altered", "scenario other like small", "scenario other"},
    {"\"Small #1\"", "\"Small #2\"", "scenario small", "title", "\"Small #1\"", "\"Small #2\""},
    {"total t\n", "total t\nscenario third { a.price: 1 EUR/unit }\n", "scenario third", "added", "", ""},
    {"scenario other like small { b.price: 1 EUR/unit, add item c { price: 1 EUR/unit, note: \"c\" } }\n", "",
     "scenario other", "removed", "", ""},
    // Ranges, sources, texts of sources, dates, texts, titles.
    {"within 2 .. 4", "within 1 .. 9", "a.price", "range or source",
     "within 2 .. 4 from quote \"Q #17\" on 2026-01-05 until 2026-06-30",
     "within 1 .. 9 from quote \"Q #17\" on 2026-01-05 until 2026-06-30"},
    {"within 2 .. 4", "within 2 .. 4 as uniform", "a.price", "range or source",
     "within 2 .. 4 from quote \"Q #17\" on 2026-01-05 until 2026-06-30",
     "within 2 .. 4 as uniform from quote \"Q #17\" on 2026-01-05 until 2026-06-30"},
    {"Q #17", "Q #18", "a.price", "range or source",
     "within 2 .. 4 from quote \"Q #17\" on 2026-01-05 until 2026-06-30",
     "within 2 .. 4 from quote \"Q #18\" on 2026-01-05 until 2026-06-30"},
    {"from quote", "from invoice", "a.price", "range or source",
     "within 2 .. 4 from quote \"Q #17\" on 2026-01-05 until 2026-06-30",
     "within 2 .. 4 from invoice \"Q #17\" on 2026-01-05 until 2026-06-30"},
    {"2026-01-05", "2026-01-06", "a.price", "range or source",
     "within 2 .. 4 from quote \"Q #17\" on 2026-01-05 until 2026-06-30",
     "within 2 .. 4 from quote \"Q #17\" on 2026-01-06 until 2026-06-30"},
    {" until 2026-06-30", "", "a.price", "range or source",
     "within 2 .. 4 from quote \"Q #17\" on 2026-01-05 until 2026-06-30",
     "within 2 .. 4 from quote \"Q #17\" on 2026-01-05"},
    {"within 2 .. 4 from quote \"Q #17\" on 2026-01-05 until 2026-06-30", "", "a.price", "range or source",
     "within 2 .. 4 from quote \"Q #17\" on 2026-01-05 until 2026-06-30", ""},
    {"\"drawing #12 rev A\"", "\"drawing #12 rev B\"", "a.note", "value", "\"drawing #12 rev A\"",
     "\"drawing #12 rev B\""},
    {"\"drawing #12 rev A\"", "\"drawing #12  rev A\"", "a.note", "value", "\"drawing #12 rev A\"",
     "\"drawing #12  rev A\""},
    {"due: 2026-04-01", "due: 2026-04-02", "b.due", "value", "2026-04-01", "2026-04-02"},
    {", due: 2026-04-01", "", "b.due", "value", "2026-04-01", "2026-03-01 (default)"},
    {"note: \"\"", "note: \"\", spare: 0 EUR/unit within 0 .. 1", "b.spare", "range or source", "", "within 0 .. 1"},
    {"within 0.9 .. 1 from", "within 0.8 .. 1 from", "exchange.USD", "range or source",
     "within 0.9 .. 1 from estimate \"bank\"", "within 0.8 .. 1 from estimate \"bank\""},
    {"\"The item\"", "\"An item\"", "item a", "title", "\"The item\"", "\"An item\""},
    // What is simulated, listed and shown.
    {"b.price 60%", "b.price 50%", "correlate a.price with b.price", "altered", "60%", "50%"},
    {"correlate a.price with b.price 60%\n", "", "correlate a.price with b.price", "removed", "60%", ""},
    {"{ price = i.price }", "{ cost = i.price }", "listing items", "altered",
     "listing items for i in all item { price = i.price }", "listing items for i in all item { cost = i.price }"},
    {"{ headlines }", "{ items }", "audience team", "altered", "audience team { headlines }",
     "audience team { items }"},
    {"show length to 2 places", "show length to 3 places", "show length", "altered", "show length to 2 places",
     "show length to 3 places"},
};

/// A cell as CSV writes it.
std::string csv(const std::string& cell) {
  if (cell.find_first_of(",\"\n") == std::string::npos) return cell;
  return "\"" + std::regex_replace(cell, std::regex("\""), "\"\"") + "\"";
}

}  // namespace

TEST_CASE("each change of meaning has a row and an exit code", "[cli][compare]") {
  const TemporaryFolder folder;
  const std::string before = text(program);
  folder.file("before.sprue", before);
  REQUIRE(run_in(folder.path(), {"check", "before.sprue"}).err.empty());
  for (const Case& change : cases) {
    std::string after = before;
    const std::size_t at = after.find(change.from);
    REQUIRE(at != std::string::npos);
    after.replace(at, change.from.size(), change.to);
    folder.file("after.sprue", after);
    const Run run = run_in(folder.path(), {"compare", "before.sprue", "after.sprue", "--format", "csv", "--check"});
    INFO(change.from << " -> " << change.to << "\n" << run.out << run.err);
    CHECK(run.code == 1);
    CHECK(run.out.find(csv(change.path) + "," + change.what + "," + csv(change.before) + "," + csv(change.after)) !=
          std::string::npos);
    // The way back is a change as well.
    CHECK(run_in(folder.path(), {"compare", "after.sprue", "before.sprue", "--check"}).code == 1);
  }
}

TEST_CASE("an expectation that no longer holds is told, one of two called alike too", "[cli][compare]") {
  const TemporaryFolder folder;
  const std::string before = text(program);
  folder.file("before.sprue", before);
  folder.file("see.sprue", std::regex_replace(before, std::regex("< 9 EUR"), "< 0.5 EUR"));
  folder.file("twice.sprue", std::regex_replace(before, std::regex("price: 3 EUR"), "price: 4 EUR"));
  const auto compared = [&](const std::string& file) {
    return run_in(folder.path(), {"compare", "before.sprue", file, "--format", "csv"}).out;
  };
  CHECK(compared("see.sprue").find("see #12,yes,no") != std::string::npos);
  // From 5 to 6: only what asks for less than 6 turns.
  folder.file("before.sprue", std::regex_replace(before, std::regex("< 8 EUR"), "< 6 EUR"));
  folder.file("twice.sprue", std::regex_replace(read(folder.path() / "twice.sprue"), std::regex("< 8 EUR"), "< 6 EUR"));
  const std::string twice = compared("twice.sprue");
  INFO(twice);
  CHECK(twice.find("twice: t.sum < 6 EUR/unit,yes,no") != std::string::npos);
  CHECK(twice.find("twice: t.sum > 1 EUR/unit") == std::string::npos);
}

TEST_CASE("layout, comments, the order of declarations and how they are split into files are no change",
          "[cli][compare]") {
  const TemporaryFolder folder;
  folder.file("before.sprue", text(program));
  const auto nothing = [&](const std::string& what, const std::string& after) {
    folder.file("after.sprue", after);
    for (const std::string scenario : {"", "#small", "#other"}) {
      const Run run =
          run_in(folder.path(), {"compare", "before.sprue" + scenario, "after.sprue" + scenario, "--check"});
      INFO(what << scenario << "\n" << run.out << run.err);
      CHECK(output_of(run) == "exit 0\n");
    }
  };
  nothing("itself", text(program));
  std::vector<std::string> turned(program.rbegin(), program.rend());
  nothing("order", text(turned));
  std::string spaced;
  std::string apart;
  for (const std::string& line : program) {
    spaced += "# a comment\n";
    // A break and a comment after each brace; what stands in quotes stays.
    bool quoted = false;
    for (const char c : line) {
      quoted = quoted != (c == '"');
      spaced += c;
      if (!quoted && c == '{') spaced += "  # opened\n   ";
      if (!quoted && c == ' ') spaced += "   ";
    }
    spaced += "  ## said about it\n\n";
    (line.starts_with("item") || line.starts_with("expect") ? apart : turned.emplace_back()) += line + "\n";
  }
  nothing("layout", spaced);
  folder.file("apart.sprue", apart);
  turned.erase(turned.begin(), turned.begin() + static_cast<std::ptrdiff_t>(program.size()));
  nothing("files", "use \"apart.sprue\"\n" + text(turned));
  folder.file("formatted.sprue", text(program));
  REQUIRE(run_in(folder.path(), {"format", "formatted.sprue"}).code == 0);
  REQUIRE(read(folder.path() / "formatted.sprue") != text(program));
  nothing("formatted", read(folder.path() / "formatted.sprue"));
}

TEST_CASE("a change that a scenario hides is a row as written", "[cli][compare]") {
  const TemporaryFolder folder;
  const std::string before = text(program);
  folder.file("before.sprue", before);
  folder.file("after.sprue", std::regex_replace(before, std::regex("price: 3 EUR"), "price: 4 EUR"));
  const Run run =
      run_in(folder.path(), {"compare", "before.sprue#small", "after.sprue#small", "--check", "--format", "csv"});
  INFO(run.out);
  CHECK(run.code == 1);
  CHECK(run.out.find("a.price,value,3 EUR/unit,4 EUR/unit") != std::string::npos);
  // Of a scenario that is compared each edit is told once.
  folder.file("after.sprue", std::regex_replace(before, std::regex("a.price: 2 EUR"), "a.price: 1 EUR"));
  const Run edited =
      run_in(folder.path(), {"compare", "before.sprue#small", "after.sprue#small", "--check", "--format", "csv"});
  INFO(edited.out);
  CHECK(edited.code == 1);
  CHECK(edited.out.find("a.price,value,2 EUR/unit,1 EUR/unit") != std::string::npos);
  CHECK(edited.out.find("scenario small") == std::string::npos);
}

TEST_CASE("explain shows a text with `#` whole", "[cli][explain]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", text(program));
  const Run run = run_in(folder.path(), {"explain", "a.sprue", "a.note"});
  INFO(run.out << run.err);
  CHECK(run.out.find("given as \"drawing #12 rev A\"  (a.sprue:11)") != std::string::npos);
}
