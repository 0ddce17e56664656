// The parser: what every construct becomes, what is said about every slip, and that nothing breaks it.
#include <algorithm>
#include <fmt/format.h>

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

std::filesystem::path corpus(const char* name) { return source_dir() / "tests/language/corpus" / name; }

/// What is left of the file: its declarations, each with the number of its entries, and the names that were lost.
std::string remains(const Parsed& parsed) {
  std::string text;
  const Tree& tree = parsed.tree;
  for (const NodeId id : tree.children_of(tree.root)) {
    const auto children = tree.children_of(id);
    const auto entries = std::count_if(children.begin(), children.end(), [&](NodeId child) { return tree[child].kind != NodeKind::name && tree[child].kind != NodeKind::string; });
    text += fmt::format("kept: {} ({})\n", parsed.sources.text(tree.span(id)).substr(0, parsed.sources.text(tree.span(id)).find_first_of("\n{")), entries);
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
