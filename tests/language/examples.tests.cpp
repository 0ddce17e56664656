// The examples of docs/language.md and README.md are programs: each checks, and all it expects holds.
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using sprue::testing::Checked;

namespace {

struct Example {
  std::size_t line;
  std::string text;
};

std::vector<Example> examples_of(const std::string& page) {
  std::vector<Example> examples;
  std::size_t line = 1;
  bool inside = false;
  for (std::size_t at = 0; at < page.size(); ++line) {
    const std::size_t end = std::min(page.find('\n', at), page.size());
    const std::string text = page.substr(at, end - at);
    at = end + 1;
    if (text == "```sprue") {
      inside = true;
      examples.push_back({line + 1, {}});
    } else if (text == "```") {
      inside = false;
    } else if (inside) {
      examples.back().text += text + "\n";
    }
  }
  return examples;
}

}  // namespace

TEST_CASE("every example of the language reference checks and holds", "[language][docs]") {
  const auto examples = examples_of(testing::read(testing::source_dir() / "docs/language.md"));
  REQUIRE(examples.size() >= 12);
  for (const Example& example : examples) {
    const Checked checked(example.text);
    INFO("docs/language.md:" << example.line << "\n" << checked.messages());
    CHECK(checked.program.sound);
    CHECK(checked.evaluation.sound);
    CHECK_FALSE(checked.diagnostics.has_errors());
    CHECK_FALSE(checked.program.expectations.empty());
  }
}

TEST_CASE("scenarios of the language reference do what they say", "[language]") {
  const auto examples = examples_of(testing::read(testing::source_dir() / "docs/language.md"));
  const std::string& text = examples.back().text;
  CHECK(Checked(text).figure("t.sum") == Approx(3.5));
  CHECK(Checked(text, "dearer").figure("t.sum") == Approx(7.5));
  CHECK(Checked(text, "smaller").figure("t.sum") == Approx(3));
  CHECK(Checked(text, "larger").figure("t.sum") == Approx(13.5));
}
