// Programs that hold, and programs that are wrong in one way: for tests written as expectations of the language.
#pragma once

#include <string>
#include <vector>

#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

namespace sprue::testing {

/// Checks, evaluates and finds everything expected true.
inline void check_holds(const std::string& program) {
  const Checked checked(program);
  INFO(program << checked.messages());
  REQUIRE(checked.program.sound);
  REQUIRE(checked.evaluation.sound);
  for (const Expectation& expectation : checked.program.expectations) {
    const auto index = static_cast<std::size_t>(&expectation - checked.program.expectations.data());
    INFO(checked.sources.text(expectation.span));
    CHECK(checked.evaluation.expectations_hold.at(index));
  }
}

/// A command on the program: its name, then its arguments behind the file.
inline Run run_on(const std::string& program, std::vector<std::string> arguments) {
  const TemporaryFolder folder;
  folder.file("a.sprue", program);
  arguments.insert(arguments.begin() + 1, "a.sprue");
  return run_in(folder.path(), arguments);
}

/// How many of the program's expectations do not hold.
inline std::size_t count_failing(const std::string& program) {
  const Checked checked(program);
  INFO(program << checked.messages());
  REQUIRE(checked.program.sound);
  std::size_t failing = 0;
  for (const bool holds : checked.evaluation.expectations_hold) failing += holds ? 0 : 1;
  return failing;
}

/// The figures, a line each.
inline std::string lines_of(const std::string& program, const std::string& scenario = {}) {
  const Checked checked(program, scenario);
  INFO(program << checked.messages());
  REQUIRE(checked.evaluation.sound);
  return checked.lines();
}

/// Whether anything of the code is said.
inline bool says(const std::string& program, Code code) {
  const Checked checked(program);
  for (const Diagnostic& diagnostic : checked.diagnostics.list()) {
    if (diagnostic.code == code) return true;
  }
  return false;
}

}  // namespace sprue::testing
