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
    CHECK(base.report(format) == sprue::testing::run_in(folder, {"report", file, "--format", name}).out);
    CHECK(compare(base, slower, format) ==
          sprue::testing::run_in(folder, {"compare", file, "#slower", "--format", name}).out);
  }
  const std::string longer = compare(base, program.evaluate("", {{"outing.rest", "1 h"}}), Format::text);
  CHECK(std::regex_search(longer, std::regex("outing\\.rest +0\\.75\n")));
}

TEST_CASE("a file that cannot be read is an error that says so", "[package][library]") {
  CHECK(problem_of([] { Program::from_file("nowhere/a.sprue"); }) == "cannot read `nowhere/a.sprue`: no such file");
}
