// Reading, comparing and rewriting files of cases.
#include "tests/support/corpus.hpp"

#include <sstream>

#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

namespace sprue::testing {
namespace {

constexpr std::string_view title_mark = "=== ";
constexpr std::string_view answer_mark = "---";

void strip_empty_end(std::string& text) {
  while (text.size() > 1 && text.ends_with("\n\n")) text.pop_back();
}

}  // namespace

std::vector<Case> read_cases(const std::filesystem::path& file) {
  std::vector<Case> cases;
  std::istringstream in(read(file));
  bool in_answer = false;
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with(title_mark)) {
      cases.push_back({line.substr(title_mark.size()), {}, {}});
      in_answer = false;
    } else if (line == answer_mark) {
      in_answer = true;
    } else if (!cases.empty()) {
      (in_answer ? cases.back().expected : cases.back().source) += line + "\n";
    }
  }
  for (Case& one : cases) strip_empty_end(one.expected);
  return cases;
}

void write_cases(const std::filesystem::path& file, const std::vector<Case>& cases) {
  std::string text;
  for (const Case& one : cases) {
    text += std::string(text.empty() ? "" : "\n") + std::string(title_mark) + one.title + "\n" + one.source +
            std::string(answer_mark) + "\n" + one.expected;
  }
  write(file, text);
}

void check_cases(const std::filesystem::path& file, const std::function<std::string(const Case&)>& answer) {
  std::vector<Case> cases = read_cases(file);
  REQUIRE(!cases.empty());
  if (update_goldens()) {
    for (Case& one : cases) one.expected = answer(one);
    write_cases(file, cases);
  }
  for (const Case& one : cases) {
    INFO(file.filename().string() << ": " << one.title);
    const std::string actual = answer(one);
    CHECK(actual == (ignore_goldens() ? actual : one.expected));
  }
}

}  // namespace sprue::testing
