// The library's face, from inside: what it promises of texts, loaders, figures, inputs and errors.
#include "runtime/library/sprue.hpp"

#include <regex>

#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::api;
using sprue::testing::read;
using sprue::testing::source_dir;

namespace {

Program trip() {
  return Program::from_file((source_dir() / "tests/package/trip.sprue").string());
}

std::string problem_of(const std::function<void()>& act) {
  try {
    act();
  } catch (const Error& error) {
    return error.what();
  }
  return {};
}

}  // namespace

TEST_CASE("a program is loaded from a text, and what it uses is asked for by path", "[package][library]") {
  std::vector<std::string> asked;
  const Program program =
      Program::from_text("plans/main.sprue", "use std.units\nuse \"../shared/kinds.sprue\"\nbox one { width: 20 mm }\n",
                         [&](const std::string& path) -> std::optional<std::string> {
                           asked.push_back(path);
                           return "use std.units\nkind box { width: length, headline twice: length = 2 * width }\n";
                         });
  CHECK(program.diagnostics().empty());
  CHECK(program.sound());
  CHECK(asked == std::vector<std::string>{"shared/kinds.sprue"});
  CHECK(program.evaluate().figure("one.twice").text == "40.00 mm");
}

TEST_CASE("what is wrong in a text is a diagnostic and throws nothing", "[package][library]") {
  const Program program = Program::from_text("a.sprue", "use \"b.sprue\"\nkind k { n: ratio = }\n");
  CHECK_FALSE(program.sound());
  CHECK(program.diagnostics().find("a.sprue:1:5: error: cannot use `b.sprue`: there is no `b.sprue`") !=
        std::string::npos);
  CHECK(program.diagnostics().find("a.sprue:2:") != std::string::npos);
  const Evaluation evaluation = program.evaluate("", {{"x.y", "1"}});
  CHECK_FALSE(evaluation.sound());
  CHECK_FALSE(evaluation.holds());
  CHECK(evaluation.diagnostics() == program.diagnostics());
  CHECK(problem_of([&] { evaluation.figures(); }) == "`a.sprue` has no figures; diagnostics() says why");
  CHECK(problem_of([&] { evaluation.report(Format::text); }).find("no figures") != std::string::npos);
}

TEST_CASE("a figure has its number, its unit and its text", "[package][library]") {
  const Evaluation base = trip().evaluate();
  CHECK(base.holds());
  REQUIRE(base.figures().size() == 1);
  const Figure duration = base.figures()[0];
  CHECK(duration.path == "outing.duration");
  CHECK(duration.value == Approx(180.0 / 80 + 0.25));
  CHECK(duration.unit == "h");
  CHECK(duration.text == "2.50 h");
  CHECK(duration.state == Figure::State::known);
  // A field that no output needs.
  CHECK(base.figure("outing.speed").value == Approx(80));
  CHECK(base.figure("outing.speed").unit == "km/h");
}

TEST_CASE("dates, flags, points and what is unknown are figures, too", "[package][library]") {
  const Evaluation all =
      Program::from_text(
          "a.sprue",
          "use std.units\nkind k { start: date, on: flag, warm: point of temperature, n: ratio, note: text = \"\",\n"
          "  headline end: date = start + 2 day, headline most: ratio = 2 * n }\n"
          "k one { start: 1970-01-02, on: yes, warm: 60 degC, n: unknown }\n")
          .evaluate();
  INFO(all.diagnostics());
  REQUIRE(all.sound());
  CHECK(all.figure("one.end").text == "1970-01-04");
  CHECK(all.figure("one.end").value == 3);
  CHECK(all.figure("one.on").value == 1);
  CHECK(all.figure("one.warm").value == Approx(60));
  CHECK(all.figure("one.warm").unit == "degC");
  CHECK(all.figure("one.most").state == Figure::State::unknown);
  CHECK(all.figure("one.most").text == "unknown");
  CHECK(problem_of([&] { all.figure("one.note"); }) ==
        "`one.note` is no number; name a quantity, a date, a flag or a choice");
  CHECK(problem_of([&] { all.figure("one.ends"); }) == "nothing has the path `one.ends`; did you mean `one.end`?");
}

TEST_CASE("inputs stand over a scenario, and a mistake in one has a place", "[package][library]") {
  const Program program = trip();
  CHECK(program.scenarios() == std::vector<std::string>{"slower"});
  CHECK(program.evaluate("slower").figure("outing.duration").text == "3.00 h");
  const Evaluation both = program.evaluate("slower", {{"outing.distance", "120 km"}});
  CHECK(both.figure("outing.duration").text == "2.00 h");
  const Evaluation long_way = program.evaluate({}, {{"outing.distance", "400 km"}});
  CHECK(long_way.sound());
  CHECK_FALSE(long_way.holds());
  CHECK(long_way.diagnostics().find("expectation does not hold: back before dark") != std::string::npos);
  const Evaluation wrong = program.evaluate({}, {{"outing.distance", "3 h"}});
  CHECK_FALSE(wrong.sound());
  CHECK(wrong.diagnostics().starts_with("changed inputs:3:20: error: "));
  CHECK(program.evaluate({}, {{"outing.distance", "3 km }\n}"}}).diagnostics().starts_with("changed inputs:"));
  CHECK(problem_of([&] { program.evaluate("slow"); }) == "no scenario is called `slow`; did you mean `slower`?");
}

TEST_CASE("an input is one path and one value, whatever it holds", "[package][library]") {
  const Program program = trip();
  const auto said_of = [&](const std::vector<Input>& inputs) {
    const Evaluation evaluation = program.evaluate({}, inputs);
    CHECK_FALSE(evaluation.sound());
    return evaluation.diagnostics();
  };
  CHECK(said_of({{"outing.speed", "90 km/h }\nexpect 1 = 2 \"x\"\nscenario more {\n outing.speed: 91 km/h"}}) ==
        "changed inputs:3:17: error: an input is one path and one value [E0101]\n"
        " 3 |   outing.speed: 90 km/h }\n"
        "   |                 ^^^^^^^^^\n"
        "help: write each path and its value as an input of its own, without comments\n"
        "1 error, 0 warnings\n");
  const std::vector<Input> more[] = {
      {{"outing.speed", "90 km/h, outing.rest: 1 h"}},
      {{"outing.speed", "90 km/h\nouting.rest: 1 h"}},
      {{"outing.rest: 1 h, outing.speed", "90 km/h"}},
      {{"remove outing\nouting.speed", "90 km/h"}},
      {{"add trip other { distance", "1 km, speed: 1 km/h }"}},
      {{"outing.speed", "90 km/h # fast"}},
      {{"outing.speed", "90 km/h }\nuse \"other.sprue\"\nscenario more { outing.speed: 91 km/h"}},
      {{"outing.rest", "1 h"}, {"outing.speed", "90 km/h, outing.distance: 5 km"}},
      {{"add trip other { distance", "1 km"}, {"speed", "1 km/h }"}, {"outing.speed", "9 km/h, outing.rest: 1 h"}},
  };
  for (const std::vector<Input>& inputs : more) {
    INFO(inputs[0].first << ": " << inputs[0].second);
    CHECK(said_of(inputs).find("error: an input is one path and one value") != std::string::npos);
  }
  // What is no sentence of the language says so itself, at its place.
  const std::vector<Input> unreadable[] = {
      {{"outing.speed", ""}},          {{"", "90 km/h"}},          {{"outing.speed # fast", "90 km/h"}},
      {{"outing.speed", "# fast"}},    {{"outing.speed", "\"90"}}, {{"outing.speed", "90 km/h }"}},
      {{"outing.speed", "90 km/h {"}},
  };
  for (const std::vector<Input>& inputs : unreadable) {
    INFO(inputs[0].first << ": " << inputs[0].second);
    CHECK(said_of(inputs).starts_with("changed inputs:"));
  }
  CHECK(program.evaluate({}, {{"outing.speed", " 90 km/h\n"}}).figure("outing.duration").text == "2.25 h");
  CHECK(program.evaluate({}, {{"outing.speed", "90 km/h from quote \"a } # b\""}}).sound());
}

TEST_CASE("an input may be a text with signs of the language in it", "[package][library]") {
  const Program program =
      Program::from_text("a.sprue", "kind k { note: text, headline n: ratio = 1 }\nk one { note: \"\" }\n");
  CHECK(program.evaluate({}, {{"one.note", R"("a # } { \" b")"}}).sound());
  CHECK_FALSE(program.evaluate({}, {{"one.note", R"("a", one.note: "b")"}}).sound());
}

TEST_CASE("the base has two names", "[package][library]") {
  CHECK(trip().evaluate("base").figures()[0].text == trip().evaluate("").figures()[0].text);
}

TEST_CASE("what a loader throws passes through", "[package][library]") {
  bool broken = false;
  const Loader loader = [&](const std::string&) -> std::optional<std::string> {
    if (broken) throw std::runtime_error("the shelf is on fire");
    return "kind k { headline n: ratio }\n";
  };
  const Program program = Program::from_text("a.sprue", "use \"b.sprue\"\nk one { n: 1 }\n", loader);
  broken = true;
  CHECK(program.evaluate().figure("one.n").value == 1);
  CHECK_THROWS_WITH(program.evaluate({}, {{"one.n", "2"}}), "the shelf is on fire");
  CHECK_THROWS_WITH(Program::from_text("a.sprue", "use \"b.sprue\"\n", loader), "the shelf is on fire");
}

TEST_CASE("diagnostics outlive what they were asked of", "[package][library]") {
  const std::string& of_program = Program::from_text("a.sprue", "kind\n").diagnostics();
  CHECK(of_program.starts_with("a.sprue:"));
  const std::string& of_evaluation = trip().evaluate({}, {{"outing.distance", "400 km"}}).diagnostics();
  CHECK(of_evaluation.find("back before dark") != std::string::npos);
}

TEST_CASE("what is no number is no figure", "[package][library]") {
  const Evaluation all =
      Program::from_text("a.sprue",
                         "kind k { other: optional k, s: series of ratio = [1, 2], t: table of ratio to ratio,\n"
                         "  mode: choice of a, b = a, n: whole = 3, headline h: ratio = n }\n"
                         "k one { t: table [1: 2] }\n")
          .evaluate();
  INFO(all.diagnostics());
  REQUIRE(all.sound());
  for (const char* const field : {"other", "s", "t"}) {
    const std::string path = std::string("one.") + field;
    CHECK(problem_of([&] { all.figure(path); }).starts_with("`" + path + "` is no number; "));
  }
  CHECK(all.figure("one.mode").text == "a");
  CHECK(all.figure("one.n").value == 3);
}

TEST_CASE("reports and comparisons are those of the command", "[package][library]") {
  const std::filesystem::path folder = source_dir() / "tests/package";
  const Program program = Program::from_file((folder / "trip.sprue").string());
  const Evaluation base = program.evaluate();
  const Evaluation slower = program.evaluate("slower");
  const std::pair<Format, std::string> formats[] = {{Format::text, "text"},
                                                    {Format::markdown, "markdown"},
                                                    {Format::csv, "csv"},
                                                    {Format::json, "json"},
                                                    {Format::html, "html"}};
  for (const auto& [format, name] : formats) {
    INFO(name);
    const std::string file = (folder / "trip.sprue").string();
    CHECK(base.report(format) == sprue::testing::run_in(folder, {"report", file, "--all", "--format", name}).out);
    CHECK(compare(base, slower, format) ==
          sprue::testing::run_in(folder, {"compare", file, "#slower", "--all", "--format", name}).out);
  }
  const std::string longer = compare(base, program.evaluate("", {{"outing.rest", "1 h"}}), Format::text);
  CHECK(std::regex_search(longer, std::regex("outing\\.rest +\\+0\\.75\n")));
}

TEST_CASE("a file that cannot be read is an error that says so", "[package][library]") {
  CHECK(problem_of([] { Program::from_file("nowhere/a.sprue"); }) == "cannot read `nowhere/a.sprue`: no such file");
}
