// The parser: what every construct becomes, what is said about every slip, and that nothing breaks it.
#include <fmt/format.h>
#include <algorithm>

#include "lang/diagnostics/render.hpp"
#include "lang/syntax/parse.hpp"
#include "tests/catch.hpp"
#include "tests/support/corpus.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

struct Parsed {
  Sources sources;
  Symbols symbols;
  Diagnostics diagnostics;
  Tree tree;

  explicit Parsed(std::string text) {
    const SourceId id = sources.add("t.sprue", std::move(text));
    tree = parse(sources, id, symbols, diagnostics);
    diagnostics.settle();
  }
  std::string listing() const { return dump(tree, sources, symbols); }
  std::string report() const { return render(diagnostics, sources); }
};

std::filesystem::path corpus(const char* name) {
  return source_dir() / "tests/language/corpus" / name;
}

/// What is left of the file: its declarations, each with the number of its entries, and the names that were lost.
std::string remains(const Parsed& parsed) {
  std::string text;
  const Tree& tree = parsed.tree;
  for (const NodeId id : tree.children_of(tree.root)) {
    const auto children = tree.children_of(id);
    const auto entries = std::count_if(children.begin(), children.end(), [&](NodeId child) {
      return tree[child].kind != NodeKind::name && tree[child].kind != NodeKind::string;
    });
    text += fmt::format(
        "kept: {} ({})\n",
        parsed.sources.text(tree.span(id)).substr(0, parsed.sources.text(tree.span(id)).find_first_of("\n{")), entries);
  }
  if (!tree.damaged.empty()) text += "lost:";
  for (const Symbol symbol : tree.damaged) text += fmt::format(" {}", parsed.symbols[symbol]);
  return text + (tree.damaged.empty() ? "" : "\n");
}

}  // namespace

TEST_CASE("every construct becomes its node", "[syntax][golden]") {
  for (const char* const name : {"declarations.txt", "kinds.txt", "instances.txt", "expressions.txt", "text.txt"}) {
    check_cases(corpus(name), [](const Case& one) {
      const Parsed parsed(one.source);
      return parsed.report() + parsed.listing();
    });
  }
}

TEST_CASE("every slip is told with what to write instead, and the rest is kept", "[syntax][golden]") {
  for (const char* const name : {"slips.txt", "errors.txt", "braces.txt"}) {
    check_cases(corpus(name), [](const Case& one) {
      const Parsed parsed(one.source);
      CHECK(parsed.diagnostics.has_errors());
      return parsed.report() + remains(parsed);
    });
  }
}

TEST_CASE("the grammar cannot loop without reading", "[syntax]") {
  CHECK(grammar_problems() == 0);
}

TEST_CASE("bytes that cannot stand in a file are reported once a line, wherever they are", "[syntax]") {
  const auto codes = [](std::string text) {
    const Parsed parsed(std::move(text));
    std::vector<std::string> found;
    for (const Diagnostic& diagnostic : parsed.diagnostics.list()) {
      found.push_back(fmt::format("{} {}..{} {}", info(diagnostic.code).number, diagnostic.span.begin,
                                  diagnostic.span.end, diagnostic.message));
    }
    return found;
  };
  using Found = std::vector<std::string>;
  using namespace std::string_literals;
  CHECK(codes("\xEF\xBB\xBFuse a\n") == Found{"E0102 0..3 a byte-order mark before the text"});
  CHECK(codes("use a\0b\n"s) == Found{"E0102 5..6 the control character 0x00"});
  CHECK(codes("use a\rb\n") == Found{"E0102 5..6 a carriage return that ends no line"});
  CHECK(codes("# \xFF\xFE and \xFF\n# \x80\n") ==
        Found{"E0102 2..3 the byte 0xFF is not UTF-8", "E0102 13..14 the byte 0x80 is not UTF-8"});
  CHECK(codes("part a \"\xC0\x80\"\n") == Found{"E0102 8..9 the byte 0xC0 is not UTF-8"});
  CHECK(codes("part a \"\xED\xA0\x80\"\n") == Found{"E0102 8..9 the byte 0xED is not UTF-8"});
  CHECK(codes("part a \"\xF4\x90\x80\x80\"\n") == Found{"E0102 8..9 the byte 0xF4 is not UTF-8"});
  CHECK(codes("part a \"\xE2\x80\xAE\"\n") ==
        Found{"E0102 8..11 an invisible character that changes the order of what is read"});
  CHECK(codes("part a \"\x1B[31m\"\n") == Found{"E0102 8..9 the control character 0x1B"});
  CHECK(codes("part a \"\xF0\x9F\x9A\xB2 \xC3\xA9 \xE6\x97\xA5\" # \xC3\xA9\n").empty());
  CHECK(codes("use a\r\npart b {\r\n  x: 1\r\n}\r\n").empty());
}

TEST_CASE("nesting has a limit, and no depth of text breaks the parser", "[syntax]") {
  const auto repeated = [](std::string_view text, std::size_t count) {
    std::string out;
    for (std::size_t i = 0; i < count; ++i) out += text;
    return out;
  };
  const auto first_code = [](const Parsed& parsed) {
    return parsed.diagnostics.list().empty() ? std::string_view() : info(parsed.diagnostics.list().front().code).number;
  };
  CHECK_FALSE(Parsed("part a { x: " + repeated("(", 199) + "1" + repeated(")", 199) + " }").diagnostics.has_errors());
  CHECK(first_code(Parsed("part a { x: " + repeated("(", 200) + "1" + repeated(")", 200) + " }")) == "E0104");
  CHECK_FALSE(Parsed("part a { x: 1" + repeated(" + 1", 990) + " }").diagnostics.has_errors());
  CHECK(first_code(Parsed("part a { x: 1" + repeated(" + 1", 1000) + " }")) == "E0104");
  for (const std::string_view piece : {"(", "[", "-", "not ", "if ", "sum(", "f(", "f[", "2 ^ ", "if a then b else ",
                                       "table [", "1: ", "a.b", "a[", "x + (", "{", "1, "}) {
    for (const std::string_view before : {"part a { x: ", "kind k { y: ratio = ", "expect "}) {
      const Parsed parsed(std::string(before) + repeated(piece, 200'000));
      INFO(before << piece);
      CHECK(parsed.diagnostics.has_errors());
      CHECK(parsed.diagnostics.list().size() <= 3);
      CHECK(!parsed.listing().empty());
    }
  }
  for (const std::string_view piece : {"a {", "a b {", "{", "kind k {", "a { x: (", "}", "scenario s { add a { ", "(\n",
                                       "a {\n", "}\n", "\"", "#", "/*", "a: "}) {
    const Parsed parsed(repeated(piece, 200'000));
    INFO(piece);
    CHECK(!parsed.listing().empty());
  }
}

TEST_CASE("names in text that was skipped are noted, sorted and once", "[syntax]") {
  const Parsed parsed("part lens { x: * y, z: \"not a name\" + # nor this\n  w: 1 }\npart broken ? { q: w }\n");
  std::vector<std::string_view> names;
  for (const Symbol symbol : parsed.tree.damaged) names.push_back(parsed.symbols[symbol]);
  std::sort(names.begin(), names.end());
  CHECK(names == std::vector<std::string_view>{"broken", "part", "q", "w", "x", "y", "z"});
  CHECK(std::is_sorted(parsed.tree.damaged.begin(), parsed.tree.damaged.end()));
}

TEST_CASE("comments are kept in order, strings are not comments", "[syntax]") {
  const Parsed parsed("# one\npart a {  ## two\n  x: \"# no\"  # three\n  y: max(1,  ##four\n    2)\n}\n## five");
  std::vector<std::string> found;
  for (const Comment& comment : parsed.tree.comments) {
    found.push_back(
        fmt::format("{}{}", comment.doc ? "doc " : "", parsed.sources.text({comment.begin, comment.end, 0})));
  }
  CHECK(found == std::vector<std::string>{"# one", "doc ## two", "# three", "doc ##four", "doc ## five"});
}

TEST_CASE("a doc comment belongs to what is below it or before it on its line", "[syntax]") {
  const Parsed parsed(R"(## The first line
## and the second.
kind a {  # not a doc
  ## Above x.
  x: ratio
  y: ratio  ## Behind y.
  # plain
  z: ratio, w: ratio  ## Behind w.
  ## Above both.
  u: ratio  ## Behind u.

  ## Too far above.

  v: ratio
}
part b {  ## Behind the head.
  x: 1
}
part c { mold { x: 1 } }  ## Behind c.
##
part d
)");
  REQUIRE_FALSE(parsed.diagnostics.has_errors());
  std::vector<std::string> found;
  const auto note = [&](NodeId id) {
    if (std::string doc = doc_comment(parsed.tree, parsed.sources, id); !doc.empty()) {
      const std::string_view text = parsed.sources.text(parsed.tree.span(id));
      found.push_back(fmt::format("{}: {}", text.substr(0, text.find_first_of(":{")), doc));
    }
  };
  for (const NodeId id : parsed.tree.children_of(parsed.tree.root)) {
    note(id);
    for (const NodeId child : parsed.tree.children_of(id)) note(child);
  }
  CHECK(found == std::vector<std::string>{"kind a : The first line and the second.", "x: Above x.", "y: Behind y.",
                                          "w: Behind w.", "u: Above both.", "part b : Behind the head.",
                                          "part c : Behind c."});
}

TEST_CASE("spans cover what was written", "[syntax]") {
  const Parsed parsed("part lens { x: (a + b) * -c[1], y: 4.20 USD/kg  }\n");
  std::vector<std::string> found;
  for (const Node& node : parsed.tree.nodes) {
    const bool shown = node.kind == NodeKind::binary || node.kind == NodeKind::unary || node.kind == NodeKind::index ||
                       node.kind == NodeKind::given || node.kind == NodeKind::number;
    if (shown) found.emplace_back(parsed.sources.text({node.begin, node.end, 0}));
  }
  CHECK(found == std::vector<std::string>{"a + b", "1", "c[1]", "-c[1]", "(a + b) * -c[1]", "x: (a + b) * -c[1]",
                                          "4.20 USD/kg", "y: 4.20 USD/kg"});
}
