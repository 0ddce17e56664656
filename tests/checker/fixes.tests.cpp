// Fixes that are called sure: each makes its diagnostic go away and brings no other; all of them together leave a text
// in which none is left.
#include <fmt/format.h>
#include <algorithm>
#include <map>

#include "lang/diagnostics/fixes.hpp"
#include "lang/diagnostics/render.hpp"
#include "lang/syntax/parse.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/workspace.hpp"
#include "tests/catch.hpp"
#include "tests/support/corpus.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

struct Diagnosed {
  Sources sources;
  Diagnostics diagnostics;
  SourceId main = 0;

  std::map<std::string, int> counts() const {
    std::map<std::string, int> all;
    for (const Diagnostic& d : diagnostics.list()) ++all[fmt::format("{} {}", info(d.code).number, d.message)];
    return all;
  }
  /// The text with this fix alone.
  std::string with(Fix fix) const {
    Diagnostics one;
    fix.sure = true;
    one.report(Code::syntax, {}, "").fixes.push_back(std::move(fix));
    return mended(one, sources, main).text;
  }
  std::string report() const { return render(diagnostics, sources); }
};

Diagnosed parsed(const std::string& text) {
  Diagnosed result;
  Symbols symbols;
  result.main = result.sources.add("t.sprue", text);
  parse(result.sources, result.main, symbols, result.diagnostics);
  result.diagnostics.settle();
  return result;
}

Diagnosed checked(const std::string& text) {
  const std::filesystem::path file = source_dir() / "tests/checker/bad/t.sprue";
  Workspace workspace;
  workspace.open_text(file.string(), text, project_loader(file.parent_path()));
  workspace.diagnostics.settle();
  return {std::move(workspace.sources), std::move(workspace.diagnostics), workspace.main};
}

/// The text with everything mended, round by round, as `check --fix` does it; it must come to an end.
template <class Diagnose>
std::string mend_all(std::string text, Diagnose diagnose) {
  for (int round = 0; round < 20; ++round) {
    const Diagnosed now = diagnose(text);
    const Mended next = mended(now.diagnostics, now.sources, now.main);
    if (next.fixes == 0) return text;
    text = next.text;
  }
  FAIL("mending does not end: " << text);
  return text;
}

/// How many sure fixes the text has; checks each.
template <class Diagnose>
std::size_t check_fixes(const std::string& text, Diagnose diagnose) {
  const Diagnosed before = diagnose(text);
  std::size_t fixes = 0;
  for (const Diagnostic& d : before.diagnostics.list()) {
    for (const Fix& fix : d.fixes) {
      CHECK_FALSE(fix.title.empty());
      CHECK_FALSE(fix.replacements.empty());
      if (!fix.sure) continue;
      ++fixes;
      const Diagnosed after = diagnose(before.with(fix));
      INFO(before.report() << "with: " << fix.title << "\n" << before.with(fix) << after.report());
      std::map<std::string, int> expected = before.counts();
      --expected[fmt::format("{} {}", info(d.code).number, d.message)];
      for (const auto& [what, count] : after.counts()) {
        INFO(what);
        CHECK(count <= expected[what]);
      }
    }
  }
  const std::string all = mend_all(text, diagnose);
  INFO(all);
  CHECK(diagnose(all).diagnostics.error_count() <= before.diagnostics.error_count());
  return fixes;
}

}  // namespace

TEST_CASE("a sure fix of a slip makes its diagnostic go away and brings no other", "[checker][fixes]") {
  std::size_t fixes = 0;
  for (const char* const name : {"slips.txt", "errors.txt", "braces.txt"}) {
    for (const Case& one : read_cases(source_dir() / "tests/language/corpus" / name)) {
      INFO(name << ": " << one.title);
      fixes += check_fixes(one.source, parsed);
    }
  }
  CHECK(fixes >= 60);
}

TEST_CASE("so does a sure fix of a bad example", "[checker][fixes]") {
  std::size_t fixes = 0;
  for (const auto& entry : std::filesystem::directory_iterator(source_dir() / "tests/checker/bad")) {
    if (entry.path().extension() != ".sprue") continue;
    INFO(entry.path().filename().string());
    fixes += check_fixes(read(entry.path()), checked);
  }
  CHECK(fixes >= 8);
}

TEST_CASE("the first way proposed mends a unit, a date and a report currency", "[checker][fixes]") {
  const std::string units = "use std.units\n";
  for (const auto& [wrong, right] : std::vector<std::pair<std::string, std::string>>{
           {units + "kind box { mass: mass = 4 kgg }\n", units + "kind box { mass: mass = 4 kg }\n"},
           {units + "kind box { rate: mass/time = 4 kg/weeks }\n",
            units + "kind box { rate: mass/time = 4 kg/week }\n"},
           {units + "kind box { start: date = 20261005 }\n", units + "kind box { start: date = 2026-10-05 }\n"},
           {"currency EUR \"Euro\" to 2 places\nkind box { price: money = 3 EUR }\n",
            "report in EUR\ncurrency EUR \"Euro\" to 2 places\nkind box { price: money = 3 EUR }\n"},
           {"use std.currencies\nkind box { price: money = 3 EUR }\n",
            "use std.currencies\nreport in EUR\nkind box { price: money = 3 EUR }\n"}}) {
    const Diagnosed before = checked(wrong);
    INFO(before.report());
    REQUIRE(before.diagnostics.list().size() == 1);
    REQUIRE_FALSE(before.diagnostics.list()[0].fixes.empty());
    CHECK_FALSE(before.diagnostics.list()[0].fixes[0].sure);
    CHECK(before.with(before.diagnostics.list()[0].fixes[0]) == right);
    CHECK(checked(right).report().empty());
  }
}

TEST_CASE("`//` behind a value may be meant to divide: no fix of it is sure", "[checker][fixes]") {
  const std::string text = "a b {\n  life: 900_000 // 3\n}\n";
  const Diagnosed before = parsed(text);
  REQUIRE(before.diagnostics.list().size() == 1);
  const Diagnostic& told = before.diagnostics.list()[0];
  CHECK(told.help.back() == "to divide, write one `/` with a space on both sides");
  REQUIRE(told.fixes.size() == 1);
  CHECK_FALSE(told.fixes[0].sure);
  CHECK(mend_all(text, parsed) == text);
  // On a line of its own, or behind a comma, it is a comment.
  CHECK(mend_all("// a knob\na b { x: 1, // one\n  y: 2 }\n", parsed) == "# a knob\na b { x: 1, # one\n  y: 2 }\n");
}

TEST_CASE("a number with a comma is never mended to one that looks like thousands again", "[checker][fixes]") {
  const Diagnosed before = parsed("a b { price: 1,500 }\n");
  REQUIRE(before.diagnostics.list().size() == 1);
  CHECK(before.diagnostics.list()[0].help[0] == "write `1_500`, or `1.5000` if the comma is a decimal point");
}

// Money and counts, a whole part of 1 to 999, just three decimals, as a plain value of a field.
TEST_CASE("a point that may be meant to group thousands is asked about", "[checker]") {
  const std::string world =
      "dimension mass\ncountable pc\ncountable tool\nunit kg: mass\nunit g = 0.001 kg\ncurrency EUR \"Euro\" to 2 "
      "places\nreport in EUR\n"
      "kind k { price: money/tool = 1 EUR/tool, pieces: pc = 1 pc, each: pc/tool = 1 pc/tool, weight: mass/pc = 1 "
      "g/pc, "
      "share: ratio = 1 }\n";
  const auto warned = [&](const std::string& entry) {
    const Diagnosed told = checked(world + entry);
    INFO(told.report());
    for (const Diagnostic& one : told.diagnostics.list()) CHECK(one.code == Code::thousands_point);
    return told.diagnostics.list().size() == 1;
  };
  for (const char* value : {"price: 6.400 EUR/tool", "price: 640.000 EUR/tool", "price: -6.400 EUR/tool",
                            "pieces: 1.500 pc", "each: 12.345 pc/tool", "price: 6.400 EUR/tool within 6 .. 7"}) {
    INFO(value);
    CHECK(warned("k one { " + std::string(value) + " }\n"));
  }
  for (const char* value :
       {"price: 6.4000 EUR/tool", "price: 6_400.000 EUR/tool", "price: 0.125 EUR/tool", "price: 1234.500 EUR/tool",
        "price: 6.40 EUR/tool", "weight: 6.400 g/pc", "share: 1.250", "price: 2 * 6.400 EUR/tool"}) {
    INFO(value);
    CHECK_FALSE(warned("k one { " + std::string(value) + " }\n"));
  }
  CHECK(warned("k one\nscenario s { one.price: 6.400 EUR/tool }\n"));
  CHECK_FALSE(warned("k one\nexpect one.price = 1.000 EUR/tool\n"));
}

TEST_CASE("mending ends where slips run into each other", "[checker][fixes]") {
  for (const std::string value :
       {"2026-01-01ck", "2026-01-019", "2026-01-01-", "2026-02-3y", "1,5,5", "5..", "1.2.3,4", "$$5", "= =5",
        "300 000 00", "USD 5 USD", "5 Oct 20266", "1 %%", "5 €€", "!!a", "a====b", "/* a */ /* b"}) {
    INFO(value);
    for (const std::string& text : {"box b { start: " + value + " }\n", "box b {\n  start: " + value + "\n}\n"})
      CHECK(mend_all(text, parsed).starts_with("box b {"));
  }
}

TEST_CASE("of fixes that overlap the first is applied, the next in the next round", "[checker][fixes]") {
  Sources sources;
  const SourceId source = sources.add("t.sprue", "abcdef");
  Diagnostics diagnostics;
  mend(diagnostics.report(Code::syntax, {0, 3, source}, "a"), {0, 3, source}, "X");
  mend(diagnostics.report(Code::syntax, {2, 4, source}, "b"), {2, 4, source}, "Y");
  mend(diagnostics.report(Code::syntax, {5, 6, source}, "c"), {5, 6, source}, "Z");
  propose(diagnostics.report(Code::syntax, {4, 5, source}, "d"), {4, 5, source}, "W");
  const Mended result = mended(diagnostics, sources, source);
  CHECK(result.text == "XdeZ");
  CHECK(result.fixes == 2);
}
