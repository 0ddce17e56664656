// The shape of a file: what it declares, and what can be folded.
#include <algorithm>

#include "runtime/serve/features.hpp"

namespace sprue::serve {
namespace {

// SymbolKind; 0: no symbol of its own.
int symbol_kind(NodeKind kind) {
  switch (kind) {
    case NodeKind::kind:
      return 5;
    case NodeKind::field_decl:
    case NodeKind::category:
    case NodeKind::column:
      return 8;
    case NodeKind::function:
      return 12;
    case NodeKind::ledger:
      return 3;
    case NodeKind::listing:
    case NodeKind::chart:
    case NodeKind::audience:
      return 18;
    case NodeKind::dimension:
    case NodeKind::countable:
    case NodeKind::currency:
    case NodeKind::base_unit:
    case NodeKind::derived_unit:
      return 14;
    case NodeKind::instance:
      return 19;
    case NodeKind::scenario:
      return 24;
    default:
      return 0;
  }
}

bool has_block(NodeKind kind) {
  switch (kind) {
    case NodeKind::kind:
    case NodeKind::ledger:
    case NodeKind::listing:
    case NodeKind::chart:
    case NodeKind::audience:
    case NodeKind::instance:
    case NodeKind::scenario:
      return true;
    default:
      return false;
  }
}

class Outline {
 public:
  Outline(const View& view, const Tree& tree) : view_(view), tree_(tree) {}

  Json symbols(NodeId parent) const {
    Json found = Json::array();
    for (const NodeId id : tree_.children_of(parent)) {
      const int kind = symbol_kind(tree_[id].kind);
      if (kind == 0) continue;
      // The last of the names at the beginning: of an instance, its own or else its kind's.
      Json json = Json::object({{"kind", kind}, {"range", range(id)}});
      const auto parts = tree_.children_of(id);
      NodeId name = parts[0];
      if (tree_[id].kind == NodeKind::instance) {
        if (parts.size() > 1 && tree_[parts[1]].kind == NodeKind::name) name = parts[1];
        json.set("detail", text(parts[0]));
      }
      json.set("name", text(name));
      json.set("selectionRange", range(name));
      Json inner = symbols(id);
      if (!inner.items()->empty()) json.set("children", std::move(inner));
      found.add(std::move(json));
    }
    return found;
  }

  Json folds() const {
    Json found = Json::array();
    const auto add = [&](std::uint32_t begin, std::uint32_t end, const char* kind) {
      const std::uint32_t first = view_.lines.position(begin).line;
      const std::uint32_t last = view_.lines.position(end).line;
      if (first != last) found.add(Json::object({{"startLine", first}, {"endLine", last}, {"kind", kind}}));
    };
    for (NodeId id = 0; id < tree_.nodes.size(); ++id) {
      if (has_block(tree_[id].kind)) add(tree_[id].begin, tree_[id].end, "region");
    }
    // Comments in lines that follow each other.
    for (std::size_t i = 0; i < tree_.comments.size();) {
      std::size_t last = i;
      while (last + 1 < tree_.comments.size() && blank(tree_.comments[last].end, tree_.comments[last + 1].begin))
        ++last;
      add(tree_.comments[i].begin, tree_.comments[last].end, "comment");
      i = last + 1;
    }
    return found;
  }

 private:
  Json range(NodeId id) const { return view_.lines.range(tree_[id].begin, tree_[id].end); }
  std::string_view text(NodeId id) const { return view_.analysis.sources.text(tree_.span(id)); }
  /// One line end and nothing else but blanks.
  bool blank(std::uint32_t begin, std::uint32_t end) const {
    const std::string_view between = view_.text.substr(begin, end - begin);
    return between.find_first_not_of(" \t\r\n") == std::string_view::npos &&
           std::count(between.begin(), between.end(), '\n') == 1;
  }

  const View& view_;
  const Tree& tree_;
};

const Tree& tree_of(const View& view) {
  const auto& trees = view.analysis.program.trees;
  return *std::find_if(trees.begin(), trees.end(), [&](const Tree& tree) { return tree.source == view.source; });
}

}  // namespace

Json document_symbols(const View& view) {
  const Tree& tree = tree_of(view);
  return Outline(view, tree).symbols(tree.root);
}

Json folding_ranges(const View& view) {
  return Outline(view, tree_of(view)).folds();
}

}  // namespace sprue::serve
