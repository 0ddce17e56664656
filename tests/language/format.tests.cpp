// The formatter: chosen layouts, and what holds for every program. The parser on damaged programs.
#include <algorithm>

#include "lang/diagnostics/render.hpp"
#include "lang/syntax/format.hpp"
#include "lang/syntax/parse.hpp"
#include "tests/catch.hpp"
#include "tests/support/corpus.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/program.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

/// The canonical layout, or what is wrong.
std::string formatted(const std::string& text) {
  Sources sources;
  Diagnostics diagnostics;
  const std::optional<std::string> out = format(sources, sources.add("t.sprue", text), diagnostics);
  return out ? *out : render(diagnostics, sources);
}

std::string listing(const std::string& text) {
  Sources sources;
  Symbols symbols;
  Diagnostics diagnostics;
  const Tree tree = parse(sources, sources.add("t.sprue", text), symbols, diagnostics);
  return render(diagnostics, sources) + dump(tree, sources, symbols);
}

std::string without_space(std::string text) {
  std::erase_if(text, [](char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; });
  return text;
}

}  // namespace

TEST_CASE("the canonical layout", "[format][golden]") {
  check_cases(source_dir() / "tests/language/corpus/layout.txt", [](const Case& one) {
    const std::string out = formatted(one.source);
    CHECK(formatted(out) == out);
    return out;
  });
}

TEST_CASE("line ends and empty files", "[format]") {
  CHECK(formatted("") == "");
  CHECK(formatted("\n \n\t\n") == "");
  CHECK(formatted("use a") == "use a\n");
  CHECK(formatted("use a\r\n\r\n\r\npart b {\r\n\tx:\t1  \r\n}\r\n") == "use a\n\npart b {\n  x: 1\n}\n");
  CHECK(formatted("# only a comment  ") == "# only a comment\n");
}

TEST_CASE("a text with errors is not laid out", "[format]") {
  Sources sources;
  Diagnostics diagnostics;
  CHECK_FALSE(format(sources, sources.add("t.sprue", "part a { x: 31s }"), diagnostics).has_value());
  CHECK(diagnostics.error_count() == 1);
}

TEST_CASE("layout changes white space only, and is the same the second time", "[format][property]") {
  for (std::uint32_t seed = 0; seed < 2'000; ++seed) {
    const std::string text = random_program(seed);
    const std::string tree = listing(text);
    INFO(seed << "\n" << text << "\n" << tree.substr(0, 400));
    REQUIRE(tree.starts_with("file"));
    const std::string out = formatted(text);
    INFO(out);
    REQUIRE(without_space(out) == without_space(text));
    REQUIRE(listing(out) == tree);
    REQUIRE(formatted(out) == out);
    REQUIRE(out.find("\r") == std::string::npos);
    REQUIRE(out.find("\n\n\n") == std::string::npos);
    REQUIRE(out.find(" \n") == std::string::npos);
    REQUIRE((out.empty() || (out.back() == '\n' && out.front() != '\n')));
  }
}

TEST_CASE("layout does not depend on the layout before", "[format][property]") {
  for (std::uint32_t seed = 0; seed < 500; ++seed) {
    const std::string out = formatted(random_program(seed));
    std::string messy;
    for (const char c : out) messy += c == '\n' ? " \t\r\n \t" : std::string(1, c);
    INFO(out);
    REQUIRE(formatted(messy) == out);
  }
}

TEST_CASE("damaged programs are reported, never break the parser, and leave a whole tree", "[syntax][property]") {
  for (std::uint32_t seed = 0; seed < 4'000; ++seed) {
    const std::string text = damaged(random_program(seed % 500), seed);
    Sources sources;
    Symbols symbols;
    Diagnostics diagnostics;
    const Tree tree = parse(sources, sources.add("t.sprue", text), symbols, diagnostics);
    INFO(seed << "\n" << text);
    REQUIRE(tree.root + 1 == tree.nodes.size());
    for (const Node& node : tree.nodes) {
      REQUIRE(node.begin <= node.end);
      REQUIRE(node.end <= text.size());
      if (node.kind == NodeKind::number) continue;  // its value is there instead
      REQUIRE(node.first + node.count <= tree.children.size());
      for (std::uint32_t i = 0; i < node.count; ++i)
        REQUIRE(tree.children[node.first + i] < static_cast<NodeId>(&node - tree.nodes.data()));
    }
    for (const Diagnostic& diagnostic : diagnostics.list()) {
      REQUIRE(diagnostic.span.begin <= diagnostic.span.end);
      REQUIRE(diagnostic.span.end <= text.size());
      REQUIRE(!diagnostic.message.empty());
      REQUIRE(diagnostic.message.find('\n') == std::string::npos);
    }
    REQUIRE(dump(tree, sources, symbols).starts_with("file"));
    REQUIRE(diagnostics.has_errors() == !render(diagnostics, sources).empty());
  }
}
