// The stack of nodes under way and the folding of operator chains.
#include "lang/syntax/builder.hpp"

#include <algorithm>

namespace sprue {
namespace {

int strength_of(Operator op, bool prefix) {
  switch (op) {
    case Operator::otherwise: return 1;
    case Operator::logical_or: return 2;
    case Operator::logical_and: return 3;
    case Operator::logical_not: return 4;
    case Operator::add:
    case Operator::subtract: return 6;
    case Operator::multiply:
    case Operator::divide: return 7;
    case Operator::negate: return 8;
    case Operator::power: return 9;
    default: return prefix ? 8 : 5;  // comparisons and `is`
  }
}

}  // namespace

TreeBuilder::TreeBuilder(const Sources& sources, SourceId source, Symbols& symbols_in, Diagnostics& diagnostics_in)
    : symbols(symbols_in), diagnostics(diagnostics_in), text_(sources[source].text) {
  tree.source = source;
  tree.nodes.reserve(text_.size() / 6 + 16);
  tree.children.reserve(text_.size() / 6 + 16);
}

void TreeBuilder::restore(const State& state) {
  open_.resize(state.open);
  stack_.resize(state.stack);
  tokens_.resize(state.tokens);
  frames_.resize(state.frames);
  leaves_.resize(state.leaves);
  tree.nodes.resize(state.nodes);
  tree.children.resize(state.children);
  tree.numbers.resize(state.numbers);
  depth = state.depth;
}

void TreeBuilder::cancel() {
  stack_.resize(open_.back().stack);
  open_.pop_back();
}

void TreeBuilder::close(NodeKind kind, std::uint32_t end, std::uint8_t flags, Symbol data) {
  const Open open = open_.back();
  open_.pop_back();
  while (end > open.begin && (text_[end - 1] == ' ' || text_[end - 1] == '\t' || text_[end - 1] == '\n' || text_[end - 1] == '\r')) --end;
  Node node;
  node.kind = kind;
  node.flags = flags;
  node.begin = open.begin;
  node.end = end;
  node.data = data;
  node.first = static_cast<std::uint32_t>(tree.children.size());
  node.count = static_cast<std::uint32_t>(stack_.size() - open.stack);
  tree.children.insert(tree.children.end(), stack_.begin() + static_cast<std::ptrdiff_t>(open.stack), stack_.end());
  stack_.resize(open.stack);
  stack_.push_back(static_cast<NodeId>(tree.nodes.size()));
  tree.nodes.push_back(node);
}

void TreeBuilder::close_after(NodeKind kind, std::uint32_t end) {
  --open_.back().stack;
  open_.back().begin = tree.nodes[stack_[open_.back().stack]].begin;
  close(kind, end);
}

void TreeBuilder::leaf(NodeKind kind, std::uint32_t begin, std::uint32_t end, std::uint32_t data) {
  Node node;
  node.kind = kind;
  node.begin = begin;
  node.end = end;
  node.data = data;
  stack_.push_back(static_cast<NodeId>(tree.nodes.size()));
  tree.nodes.push_back(node);
}

Symbol TreeBuilder::take_name() {
  const Symbol name = tree.nodes[stack_.back()].data;
  stack_.pop_back();
  return name;
}

Symbol TreeBuilder::take_first_name() {
  const auto first = stack_.begin() + static_cast<std::ptrdiff_t>(open_.back().stack);
  const Symbol name = tree.nodes[*first].data;
  stack_.erase(first);
  return name;
}

bool TreeBuilder::has_child(NodeKind kind) const {
  return std::any_of(stack_.begin() + static_cast<std::ptrdiff_t>(open_.back().stack), stack_.end(), [&](NodeId id) { return tree.nodes[id].kind == kind; });
}

void TreeBuilder::cancel_chain() {
  tokens_.resize(frames_.back());
  frames_.pop_back();
}

void TreeBuilder::operand(std::uint32_t begin, std::uint32_t end) {
  const NodeId node = stack_.back();
  stack_.pop_back();
  tokens_.push_back({Operator::none, false, node, begin, end});
}

void TreeBuilder::operation(Operator op, std::uint32_t begin, std::uint32_t end, bool prefix) { tokens_.push_back({op, prefix, 0, begin, end}); }

void TreeBuilder::close_chain() {
  std::size_t at = frames_.back();
  const NodeId node = fold(at, tokens_.size(), 0);
  tokens_.resize(frames_.back());
  frames_.pop_back();
  stack_.push_back(node);
}

/// Precedence climbing over the tokens of one chain; the grammar guarantees they alternate rightly.
NodeId TreeBuilder::fold(std::size_t& at, std::size_t end, int strength) {
  const auto make = [&](NodeKind kind, Operator op, std::uint32_t begin, std::initializer_list<NodeId> parts) {
    Node node;
    node.kind = kind;
    node.op = op;
    node.begin = begin;
    node.end = tokens_[at - 1].end;
    node.first = static_cast<std::uint32_t>(tree.children.size());
    node.count = static_cast<std::uint32_t>(parts.size());
    tree.children.insert(tree.children.end(), parts);
    tree.nodes.push_back(node);
    return static_cast<NodeId>(tree.nodes.size() - 1);
  };
  const Token first = tokens_[at++];
  NodeId left = first.node;
  if (first.prefix) left = make(NodeKind::unary, first.op, first.begin, {fold(at, end, strength_of(first.op, true))});
  while (at < end && strength_of(tokens_[at].op, false) > strength) {
    const Operator op = tokens_[at++].op;
    const int binds = strength_of(op, false);
    const NodeId right = fold(at, end, op == Operator::power ? binds - 1 : binds);
    left = make(NodeKind::binary, op, first.begin, {left, right});
  }
  return left;
}

}  // namespace sprue
