// Collects what the grammar matches into a flat tree. Knows nodes and operators; knows no grammar rule. Everything can be
// taken back to an earlier state, so that alternatives that fail and statements that are skipped leave no trace.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "lang/diagnostics/diagnostic.hpp"
#include "lang/syntax/tree.hpp"

namespace sprue {

/// Terms in one chain of operators.
inline constexpr std::size_t chain_operands = 500;

class TreeBuilder {
 public:
  TreeBuilder(const Sources& sources, SourceId source, Symbols& symbols, Diagnostics& diagnostics);

  struct State {
    std::size_t open, stack, tokens, frames, leaves, nodes, children, numbers, depth;
  };
  State state() const {
    return {open_.size(), stack_.size(), tokens_.size(), frames_.size(), leaves_.size(), tree.nodes.size(), tree.children.size(), tree.numbers.size(), depth};
  }
  void restore(const State& state);

  /// A node begins; what is matched until close() becomes its children.
  void open(std::uint32_t begin) { open_.push_back({stack_.size(), begin}); }
  void cancel();
  void close(NodeKind kind, std::uint32_t end, std::uint8_t flags = 0, Symbol data = 0);
  /// Takes the node before the one that opened as its first child: `a.b`, `f(x)`, `s[i]`.
  void close_after(NodeKind kind, std::uint32_t end);
  /// Drops the node again and leaves its children standing.
  void dissolve() { open_.pop_back(); }
  void begin_leaf(std::uint32_t begin) { leaves_.push_back(begin); }
  std::uint32_t end_leaf() {
    const std::uint32_t begin = leaves_.back();
    leaves_.pop_back();
    return begin;
  }
  void leaf(NodeKind kind, std::uint32_t begin, std::uint32_t end, std::uint32_t data);

  /// A chain of operands and operators begins or ends; the end folds it by binding strength into one node.
  void open_chain() { frames_.push_back(tokens_.size()); }
  void cancel_chain();
  /// The place is that of the operand as written, its brackets included.
  void operand(std::uint32_t begin, std::uint32_t end);
  void operation(Operator op, std::uint32_t begin, std::uint32_t end, bool prefix);
  void close_chain();
  std::size_t chain_length() const { return tokens_.size() - frames_.back(); }

  std::string_view text(std::uint32_t begin, std::uint32_t end) const { return text_.substr(begin, end - begin); }
  std::string_view whole_text() const { return text_; }
  std::size_t children_so_far() const { return stack_.size() - open_.back().stack; }
  std::uint32_t opened_at() const { return open_.back().begin; }
  /// Removes the last or the first child, a name, and returns it.
  Symbol take_name();
  Symbol take_first_name();
  NodeKind last_kind() const { return tree.nodes[stack_.back()].kind; }
  bool has_child(NodeKind kind) const;
  Span span(std::uint32_t begin, std::uint32_t end) const { return {begin, end, tree.source}; }

  Tree tree;
  Symbols& symbols;
  Diagnostics& diagnostics;
  std::size_t depth = 0;

 private:
  struct Open {
    std::size_t stack;
    std::uint32_t begin;
  };
  struct Token {
    Operator op;      // none: an operand
    bool prefix;
    NodeId node;
    std::uint32_t begin, end;
  };
  NodeId fold(std::size_t& at, std::size_t end, int strength);

  std::string_view text_;
  std::vector<Open> open_;
  std::vector<NodeId> stack_;
  std::vector<Token> tokens_;
  std::vector<std::size_t> frames_;
  std::vector<std::uint32_t> leaves_;
};

}  // namespace sprue
