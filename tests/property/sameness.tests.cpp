// The same program written otherwise gives the same figures to the byte.
#include <algorithm>
#include <random>
#include <regex>

#include "lang/syntax/format.hpp"
#include "lang/syntax/parse.hpp"
#include "tests/bench/generate.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/trade_program.hpp"

using namespace sprue;
using sprue::testing::Checked;
using sprue::testing::TemporaryFolder;

namespace {

const std::vector<std::string> files{"herb_mill.sprue", "shop.sprue", "tools.sprue", "parts.sprue", "bought.sprue"};

std::filesystem::path demo() {
  return testing::source_dir() / "scenarios/herb_mill";
}

/// The demo with every file put through `change`.
template <class Change>
std::string lines_of_demo(Change&& change) {
  const TemporaryFolder folder;
  for (const std::string& name : files) folder.file(name, change(testing::read(demo() / name)));
  const Checked checked(folder.path() / files.front());
  INFO(checked.messages());
  REQUIRE(checked.evaluation.sound);
  return checked.lines();
}

/// The declarations of a file in another order, their comments left behind.
std::string shuffled(const std::string& text, std::mt19937& random) {
  Sources sources;
  Symbols symbols;
  Diagnostics diagnostics;
  const SourceId source = sources.add("x", text);
  const Tree tree = parse(sources, source, symbols, diagnostics);
  std::vector<std::string> declarations;
  for (const NodeId id : tree.children_of(tree.root)) {
    const bool use = tree[id].kind == NodeKind::use_module || tree[id].kind == NodeKind::use_file;
    const std::string written{sources.text(tree.span(id))};
    declarations.push_back(use && written.rfind("use", 0) != 0 ? "use " + written : written);
  }
  std::shuffle(declarations.begin(), declarations.end(), random);
  std::string out;
  for (const std::string& declaration : declarations) out += declaration + "\n";
  return out;
}

/// The texts of generated scenarios, each put through `change`, give the figures of the texts as they were.
template <class Change>
void check_generated(Change&& change) {
  for (std::uint32_t seed = 1; seed <= 25; ++seed) {
    const std::string text = testing::trade_program(seed);
    const std::string otherwise = change(text);
    INFO("seed " << seed << "\n" << otherwise);
    REQUIRE(otherwise != text);
    const Checked expected(text);
    REQUIRE(expected.evaluation.sound);
    CHECK(Checked(otherwise).lines() == expected.lines());
  }
}

}  // namespace

TEST_CASE("the order of declarations does not matter in generated scenarios", "[property][trade]") {
  std::mt19937 random(7);
  check_generated([&](const std::string& text) { return shuffled(text, random); });
}

TEST_CASE("the layout does not matter in generated scenarios", "[property][trade]") {
  check_generated([](const std::string& text) {
    Sources sources;
    Diagnostics diagnostics;
    return format(sources, sources.add("x.sprue", text), diagnostics).value();
  });
}

TEST_CASE("the names of instances do not matter in generated scenarios", "[property][trade]") {
  // An `x` behind the digit keeps the order of paths, and with it every last bit.
  const std::regex name("\\b(b|k|l|m|o|t|way)([0-9])\\b");
  for (std::uint32_t seed = 1; seed <= 25; ++seed) {
    const std::string text = testing::trade_program(seed);
    const std::string renamed = std::regex_replace(text, name, "$1$2x");
    INFO("seed " << seed << "\n" << renamed);
    const std::string lines = Checked(text).lines();
    REQUIRE(lines != Checked(renamed).lines());
    CHECK(Checked(renamed).lines() == std::regex_replace(lines, name, "$1$2x"));
  }
}

TEST_CASE("the order of declarations does not matter", "[property]") {
  const std::string expected = Checked(demo() / files.front()).lines();
  REQUIRE(expected.find("herb_mill.landed_cost = ") != std::string::npos);
  std::mt19937 random(1);
  for (int round = 0; round < 5; ++round) {
    CHECK(lines_of_demo([&](const std::string& text) { return shuffled(text, random); }) == expected);
  }
}

TEST_CASE("CRLF line ends do not matter", "[property]") {
  const std::string expected = Checked(demo() / files.front()).lines();
  CHECK(lines_of_demo([](const std::string& text) { return std::regex_replace(text, std::regex("\n"), "\r\n"); }) ==
        expected);
}

TEST_CASE("equivalent units do not matter", "[property]") {
  const std::string expected = Checked(demo() / files.front()).lines();
  // 46 g/pc as 0.046 kg/pc, 35 day as 5 week …
  const auto in_units = [&](const std::string& from, const std::string& to, double factor) {
    std::size_t changed = 0;
    const std::string lines = lines_of_demo([&](const std::string& original) {
      // Bounds without a unit take the value's: leave the ranges out, they change no figure.
      const std::string text = std::regex_replace(original, std::regex(R"( within [0-9_.]+ \.\. [0-9_.]+( EUR)?)"), "");
      const std::regex number("([0-9][0-9_.]*) " + from + "(?![A-Za-z_])");
      std::string out;
      auto at = text.cbegin();
      for (std::sregex_iterator match(text.begin(), text.end(), number), end; match != end; ++match) {
        out.append(at, text.cbegin() + match->position());
        std::string digits = (*match)[1];
        digits.erase(std::remove(digits.begin(), digits.end(), '_'), digits.end());
        char buffer[64];
        std::snprintf(buffer, sizeof buffer, "%.15g", std::stod(digits) * factor);
        out += std::string(buffer) + " " + to;
        at = text.cbegin() + match->position() + match->length();
        ++changed;
      }
      out.append(at, text.cend());
      return out;
    });
    CHECK(changed > 0);
    return lines;
  };
  CHECK(in_units("g/pc", "kg/pc", 0.001) == expected);
  CHECK(in_units("g/pc", "lb/pc", 1 / 453.59237) == expected);
  CHECK(in_units("week", "day", 7) == expected);
  CHECK(in_units("s/pc", "min/pc", 1 / 60.0) == expected);
  CHECK(in_units("mm", "in", 1 / 25.4) == expected);
  CHECK(in_units("USD/kg", "USD/g", 0.001) == expected);
}

TEST_CASE("formatting does not change a figure", "[property]") {
  const std::string expected = Checked(demo() / files.front()).lines();
  const TemporaryFolder folder;
  std::vector<std::string> arguments{"format"};
  for (const std::string& name : files) {
    // Spread over more lines and with wild spaces first.
    std::string text = testing::read(demo() / name);
    text = std::regex_replace(text, std::regex(R"(\{ )"), "{\n   ");
    text = std::regex_replace(text, std::regex(" \\* "), "  *   ");
    folder.file(name, text);
    arguments.push_back(name);
  }
  REQUIRE(testing::run_in(folder.path(), arguments).code == 0);
  CHECK(Checked(folder.path() / files.front()).lines() == expected);
  arguments.insert(arguments.begin() + 1, "--check");
  CHECK(testing::run_in(folder.path(), arguments).code == 0);
}

TEST_CASE("formatting a generated program changes no figure, and formatting twice changes nothing", "[property]") {
  std::mt19937 random(5);
  for (int parts = 1; parts <= 12; ++parts) {
    const std::string text = bench::molded_product(parts);
    // Wild spaces between words, wild line ends between entries.
    std::string wild;
    for (const char c : text) {
      const bool roll = std::bernoulli_distribution(0.3)(random);
      if (c == '\n' && roll)
        wild += "\n\n   ";
      else if (c == ' ' && roll)
        wild += "   ";
      else
        wild += c;
    }
    Sources sources;
    Diagnostics diagnostics;
    const SourceId source = sources.add("wild.sprue", wild);
    const auto once = format(sources, source, diagnostics);
    REQUIRE(once);
    const SourceId again = sources.add("once.sprue", *once);
    CHECK(format(sources, again, diagnostics) == once);
    CHECK(Checked(*once).lines() == Checked(text).lines());
    CHECK_FALSE(Checked(text).lines().empty());
  }
}

TEST_CASE("the report currency changes figures only by its rate", "[property]") {
  const double in_euro = Checked(demo() / files.front()).figure("herb_mill.landed_cost");
  const TemporaryFolder folder;
  for (const std::string& name : files) {
    folder.file(name, std::regex_replace(testing::read(demo() / name), std::regex("report in EUR"), "report in USD"));
  }
  const double in_dollars = Checked(folder.path() / files.front()).figure("herb_mill.landed_cost");
  CHECK(in_dollars == Approx(in_euro / 0.92).epsilon(1e-12));
}
