// Programs that would unroll without bound are refused, in bounded time and memory.
#include "lang/limits/limits.hpp"
#include "runtime/ledger/scenario_run.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using sprue::testing::Checked;

namespace {

bool refused(const Checked& checked, const std::string& code) {
  return !checked.evaluation.sound && checked.messages().find("[" + code + "]") != std::string::npos;
}

}  // namespace

TEST_CASE("a range too long to unroll is refused", "[checker][limits]") {
  CHECK(refused(Checked(std::string("kind k { headline a: ratio = sum(1 for i in 1 .. 900_000_000) }\nk one\n")),
                "E0503"));
}

TEST_CASE("loops in loops in loops are refused", "[checker][limits]") {
  CHECK(refused(Checked(std::string("kind k { headline a: ratio = sum(sum(sum(1 for c in 1 .. 1_000) for b in 1 .. "
                                    "1_000) for a in 1 .. 1_000) }\nk one\n")),
                "E0503"));
}

TEST_CASE("functions that double at every step are refused", "[checker][limits]") {
  std::string text = "function f0(x: ratio): ratio = x\n";
  for (int i = 1; i <= 60; ++i)
    text += "function f" + std::to_string(i) + "(x: ratio): ratio = f" + std::to_string(i - 1) + "(x) + f" +
            std::to_string(i - 1) + "(x)\n";
  CHECK(refused(Checked(text + "kind k { n: ratio = 1, headline a: ratio = f60(n) }\nk one\n"), "E0503"));
}

TEST_CASE("copies that double at every step are refused", "[checker][limits]") {
  std::string text = "kind k { inner: set of k, v: ratio = 1 }\nk k0 { }\n";
  for (int i = 1; i <= 40; ++i)
    text += "k k" + std::to_string(i) + " { k a like k" + std::to_string(i - 1) + " { }\n k b like k" +
            std::to_string(i - 1) + " { } }\n";
  CHECK(Checked(text).messages().find("[E0503]") != std::string::npos);
}

TEST_CASE("long formulas in a long chain are refused before the stack ends", "[checker][limits]") {
  std::string sum = "(next.v otherwise 0)";
  for (int i = 0; i < 150; ++i) sum = "(1 + " + sum + ")";
  std::string text =
      "kind node within chain { v: ratio = " + sum +
      " }\nkind chain { nodes: list of node, headline top: ratio = first(nodes).v otherwise 0 }\nchain c {\n";
  for (int i = 0; i < 390; ++i) text += "  node n" + std::to_string(i) + " { }\n";
  const Checked checked(text + "}\n");
  CHECK((checked.evaluation.sound || checked.messages().find("[E0504]") != std::string::npos));
}

TEST_CASE("docs/limits.md is the table of limits", "[golden][docs]") {
  std::string page =
      "# Limits\n\nWhat goes beyond is refused with a diagnostic that says where and, where it helps, what to write "
      "instead, so that no input takes time\nor memory out of proportion. Everything else is limited by the size of "
      "the "
      "file.\n\n| limit | at most |\n| --- | ---: |\n";
  for (const sprue::limits::Limit& limit : sprue::limits::all) {
    std::string digits = std::to_string(limit.value);
    for (std::size_t at = digits.size(); at > 3; at -= 3) digits.insert(at - 3, " ");
    page += "| " + std::string(limit.what) + " | " + digits + " |\n";
  }
  CHECK(sprue::testing::golden(sprue::testing::source_dir() / "docs/limits.md", page) == page);
}

namespace {

/// `count` lines made by `line(i)`.
template <class Line>
std::string lines(std::size_t count, Line&& line) {
  std::string text;
  for (std::size_t i = 0; i < count; ++i) text += line(std::to_string(i), std::to_string(i + 1));
  return text;
}

bool says(const std::string& text, const std::string& message) {
  const std::string said = Checked(text).messages();
  INFO(said.substr(0, 2'000));
  const bool found = said.find(message) != std::string::npos;
  CHECK(found);
  return found;
}

}  // namespace

namespace limits = sprue::limits;

TEST_CASE("more definitions than the limit are refused where the first too many stands", "[checker][limits]") {
  says(lines(limits::definitions + 2, [](auto i, auto) { return "kind k" + i + " { }\n"; }),
       "t.sprue:2001:1: error: more than 2000 kinds [E0105]");
  says("dimension d\nunit u: d\n" +
           lines(limits::definitions + 2, [](auto i, auto) { return "unit u" + i + " = 2 u\n"; }),
       "error: more than 2000 units [E0105]");
  says(lines(limits::definitions + 2, [](auto i, auto) { return "function f" + i + "(x: ratio): ratio = x\n"; }),
       "error: more than 2000 functions [E0105]");
  says("kind k { v: ratio = 1 }\nk a\n" +
           lines(limits::scenarios + 2, [](auto i, auto) { return "scenario s" + i + " { a.v: 2 }\n"; }),
       "error: more than 1000 scenarios [E0105]");
  says("kind k { v: ratio }\nk a { v: 1 within 0 .. 2 }\nk b { v: 1 within 0 .. 2 }\n" +
           lines(limits::correlations + 2, [](auto, auto) { return "correlate a.v with b.v 10%\n"; }),
       "error: more than 10000 correlations [E0105]");
}

TEST_CASE("a kind of too many fields and a field of too many choices are refused", "[checker][limits]") {
  says("kind k {\n" + lines(limits::fields + 2, [](auto i, auto) { return "  v" + i + ": ratio = 1\n"; }) + "}\n",
       "t.sprue:1002:3: error: `k` has more than 1000 fields [E0105]");
  says("kind k { c: choice of c" + lines(limits::fields + 2, [](auto i, auto) { return ", c" + i; }) + " }\n",
       "error: more than 1000 choices [E0105]");
}

TEST_CASE("a table of too many rows and a series of too many items are refused", "[checker][limits]") {
  says("kind k { t: table of ratio to ratio = table [" +
           lines(limits::table_rows + 2, [](auto i, auto) { return (i == "0" ? "" : ", ") + i + ": 1"; }) + "] }\n",
       "error: more than 10000 rows [E0105]");
  says("kind k { s: series of ratio = [" +
           lines(11, [](auto i, auto) { return std::string(i == "0" ? "" : ", ") + "1 x 10_000"; }) +
           "], headline h: ratio = sum(s) }\nk a\n",
       "error: this series holds more than 100000 items [E0503]");
  says("kind k { s: series of ratio = [1 x 10_001] }\n", "error: a value repeats 1 to 10000 times [E0103]");
}

TEST_CASE("instances made like each other are refused beyond the limit, in whatever order", "[checker][limits]") {
  const auto chain = [](std::size_t length, bool forward) {
    std::string text = "kind k { v: ratio = 1 }\n";
    for (std::size_t i = 0; i < length; ++i) {
      const std::size_t at = forward ? i : length - 1 - i;
      text += "k b" + std::to_string(at) + " like b" + std::to_string(at + 1) + "\n";
    }
    return text + "k b" + std::to_string(length) + " { v: 2 }\n";
  };
  for (const bool forward : {true, false}) {
    CHECK(Checked(chain(limits::like_chain - 1, forward)).messages().empty());
    says(chain(limits::like_chain + 50, forward), "error: more than 200 instances made like each other [E0105]");
  }
}

TEST_CASE("powers beyond the limit are refused however they come about", "[checker][limits]") {
  const std::string base = "dimension d\nunit u: d\n";
  says(base + "kind k { headline h: ratio = 1 u^81 / 1 u^81 }\nk a\n", "so high a power is no quantity [E0402]");
  says(base + "kind k { a: d^99999999999999999999 = 1 u }\n", "so high a power is no quantity [E0403]");
  says(base + "dimension d1 = d^60\ndimension d2 = d1*d1\n", "so high a power is no quantity [E0403]");
  says(base + "kind k { headline h: ratio = 1 u^60 * 1 u^60 / 1 u^60 / 1 u^60 }\nk a\n",
       "this has a higher power than 80 [E0409]");
  says(base + "kind k { headline h: ratio = (1 u)^999999999 / (1 u)^999999999 }\nk a\n", "is no quantity [E0409]");
}

TEST_CASE("lookups in large tables and queries of large ledgers count against the budget", "[checker][limits]") {
  says("kind k { v: ratio, t: table of ratio to ratio = table [" +
           lines(9'000, [](auto i, auto) { return (i == "0" ? "" : ", ") + i + ": 1"; }) +
           "], headline h: ratio = sum(t(v + i) for i in 1 .. 9_000) }\nk a { v: 2 }\n",
       "turns of loops and calls [E0503]");
  says(
      "ledger l \"L\": ratio dated { in x }\nkind k { on_day: date = 2026-01-01, v: ratio = 1, q: ratio = "
      "l.before(on_day)\n"
      "  post l.x = v on on_day\n}\nkind top { headline h: ratio = sum(m.q for m in all k) }\ntop t\n" +
          lines(6'000, [](auto i, auto) { return "k a" + i + " { v: " + i + " }\n"; }),
      "turns of loops and calls [E0503]");
}

TEST_CASE("scenarios evaluated by one command have a limit together", "[checker][limits]") {
  const Checked checked(
      std::string("kind k { n: ratio, headline a: ratio = sum(n * i for i in 1 .. 50) }\nk one { n: 2 }\n"
                  "scenario more { one.n: 3 }\nscenario most { one.n: 4 }\n"));
  REQUIRE(checked.evaluation.sound);
  const std::size_t each = checked.evaluation.lowered.graph.size();
  CHECK(checked.evaluation.lowered.turns >= 50);
  sprue::Diagnostics diagnostics;
  sprue::ScenarioRun run(checked.program, each + each / 2);
  CHECK(run.next(sprue::none, diagnostics)->sound);
  CHECK(run.next(0, diagnostics)->sound);
  CHECK(diagnostics.list().empty());
  CHECK_FALSE(run.next(1, diagnostics));
  REQUIRE(diagnostics.list().size() == 1);
  CHECK(diagnostics.list().front().code == sprue::Code::graph_too_large);
  CHECK(diagnostics.list().front().span.begin == checked.program.scenarios[1].span.begin);
}

TEST_CASE("after so many errors the rest is not looked for", "[checker][limits]") {
  std::string garbage;
  for (int i = 0; i < 30'000; ++i) garbage += "box { = \n";
  const Checked checked(garbage);
  CHECK(checked.diagnostics.error_count() > limits::errors);
  CHECK(checked.diagnostics.list().size() == limits::errors + 1);
  CHECK(checked.messages().find("so many that the rest was not looked for") != std::string::npos);
  const Checked unknown("kind k { v: ratio = 1 }\n" +
                        lines(30'000, [](auto i, auto) { return "k b" + i + " { v: nothing" + i + " }\n"; }));
  CHECK(unknown.diagnostics.list().size() == limits::errors + 1);
}

TEST_CASE("long chains of members, children and currencies take no time out of proportion", "[checker][limits]") {
  // Each was quadratic or worse once: with these sizes the suite would seem to hang.
  const Checked members(
      "kind plan { steps: list of step, headline h: ratio = sum(s.t for s in steps) }\n"
      "kind step within plan { v: ratio = 1, t: ratio = v + (next.v otherwise 0) }\nplan p {\n" +
      lines(50'000, [](auto i, auto) { return " step s" + i + "\n"; }) + "}\n");
  REQUIRE(members.evaluation.sound);
  CHECK(members.figure("p.h") == 99'999);
  const Checked children(
      "kind box { inner: set of item, headline n: ratio = sum(i.w for i in inner) }\n"
      "kind item { w: ratio = 1 }\nbox a {\n" +
      lines(50'000, [](auto i, auto) { return " item i" + i + "\n"; }) + "}\nbox b like a {\n" +
      lines(50'000, [](auto i, auto) { return " item i" + i + " { w: 2 }\n"; }) + "}\n");
  REQUIRE(children.evaluation.sound);
  CHECK(children.figure("b.n") == 100'000);
  const std::size_t many = limits::definitions - 1;
  const Checked currencies(lines(many + 1, [](auto i, auto) { return "currency C" + i + " \"x\" to 2 places\n"; }) +
                           "report in C0\n" +
                           lines(many, [](auto i, auto j) { return "exchange 1 C" + j + " = 1 C" + i + "\n"; }) +
                           "kind p { v: money, headline h: money = v }\n" +
                           lines(500, [](auto i, auto) { return "p a" + i + " { v: 3 C1999 }\n"; }));
  REQUIRE(currencies.evaluation.sound);
  CHECK(currencies.figure("a7.h") == 3);
}

TEST_CASE("names are proposed for the first of many errors only", "[checker][limits]") {
  std::string text = "kind k { v: ratio }\n";
  for (int i = 0; i < 1'000; ++i)
    text += "k instance_" + std::to_string(i) + " { v: instanze_" + std::to_string(i) + ".v }\n";
  const Checked checked(text);
  std::size_t proposals = 0;
  for (const sprue::Diagnostic& diagnostic : checked.diagnostics.list()) proposals += diagnostic.help.empty() ? 0 : 1;
  CHECK(checked.diagnostics.error_count() == 1'000);
  CHECK(proposals == limits::suggestions);
}

TEST_CASE("no name is proposed for one that is far too long to be a slip", "[checker][limits]") {
  CHECK(sprue::nearest("instanze", {"instance"}) == "instance");
  CHECK(sprue::nearest(std::string(30'000, 'a') + "b", {std::string_view("instance")}).empty());
  const std::string name(30'000, 'a');
  CHECK(Checked("kind k { v: ratio }\nk " + name + "b { v: 1 }\nk y { v: " + name + "c.v }\n")
            .messages()
            .find("nothing here is called `aaa") != std::string::npos);
}

TEST_CASE("what is as large as the limit is let through, one more is not", "[checker][limits]") {
  const auto range = [](std::size_t last) {
    return Checked("kind k { headline a: ratio = count(i for i in 1 .. " + std::to_string(last) + ") }\nk one\n");
  };
  CHECK(range(sprue::limits::range_items).figure("one.a") == sprue::limits::range_items);
  CHECK(refused(range(sprue::limits::range_items + 1), "E0503"));
  const auto power = [](std::size_t first, std::size_t second) {
    return Checked("dimension length\nunit m: length\nexpect 1 m^" + std::to_string(first) + " * 1 m^" +
                   std::to_string(second) + " > 0 m^" + std::to_string(first + second) + "\n");
  };
  CHECK(power(sprue::limits::power / 2, sprue::limits::power / 2).evaluation.sound);
  CHECK_FALSE(power(sprue::limits::power / 2, sprue::limits::power / 2 + 1).program.sound);
}

TEST_CASE("a sweep may be as large as the limit and no larger", "[checker][limits][study]") {
  const sprue::testing::TemporaryFolder folder;
  folder.file("a.sprue", "kind k { a: ratio = 1, b: ratio = 1, headline h: ratio = a + b }\nk one\n");
  const auto swept = [&](std::size_t rows, std::size_t columns) {
    return sprue::testing::run_in(folder.path(), {"sweep", "a.sprue", "--vary", "one.a=1..2 in " + std::to_string(rows), "--vary",
                                                  "one.b=1..2 in " + std::to_string(columns), "--out", "out"})
        .code;
  };
  static_assert(sprue::limits::swept_evaluations == 1'000 * 100);
  CHECK(swept(1'000, 100) == 0);
  CHECK(swept(1'000, 101) == 2);
}
