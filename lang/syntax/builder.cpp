// The stack of what is under way, and the folding of chains by binding strength.
#include "lang/syntax/builder.hpp"

#include <algorithm>
#include <utility>

#include "lang/limits/limits.hpp"
#include "lang/syntax/text.hpp"

namespace sprue {
namespace {

constexpr int comparison_strength = 5;

int strength_of(Operator op) {
  switch (op) {
    case Operator::otherwise:
      return 1;
    case Operator::logical_or:
      return 2;
    case Operator::logical_and:
      return 3;
    case Operator::logical_not:
      return 4;
    case Operator::add:
    case Operator::subtract:
      return 6;
    case Operator::multiply:
    case Operator::divide:
      return 7;
    case Operator::negate:
      return 8;
    case Operator::power:
      return 9;
    default:
      return comparison_strength;
  }
}

}  // namespace

TreeBuilder::TreeBuilder(const Sources& sources, SourceId source, Symbols& symbols_in, Diagnostics& diagnostics_in)
    : text(sources[source].text), symbols(symbols_in), diagnostics(diagnostics_in), scan(sprue::scan(text)) {
  tree.source = source;
  tree.nodes.reserve(text.size() / 5 + 16);
  tree.children.reserve(text.size() / 5 + 16);
}

TreeBuilder::State TreeBuilder::state() const {
  return {current,           stack_.size(),        operators_.size(), chain_, openers_.size(),
          tree.nodes.size(), tree.children.size(), brackets_,         depth_};
}

void TreeBuilder::restore(const State& state) {
  current = state.current;
  stack_.resize(state.stack);
  operators_.resize(state.operators);
  chain_ = state.chain;
  openers_.resize(state.openers);
  tree.nodes.resize(state.nodes);
  tree.children.resize(state.children);
  brackets_ = state.brackets;
  depth_ = state.depth;
}

TreeBuilder::Mark TreeBuilder::open(NodeKind kind, std::uint32_t begin) {
  return {std::exchange(current, {kind, 0, 0}), begin, stack_.size(), tree.nodes.size(), tree.children.size()};
}

TreeBuilder::Mark TreeBuilder::open_after(NodeKind kind) {
  Mark mark = open(kind, stack_.back().begin);
  --mark.stack;
  return mark;
}

void TreeBuilder::close(const Mark& mark, std::uint32_t end) {
  Node node;
  node.kind = current.kind;
  node.flags = current.flags;
  node.data = current.data;
  node.begin = mark.begin;
  node.end = end;
  node.first = static_cast<std::uint32_t>(tree.children.size());
  node.count = static_cast<std::uint32_t>(stack_.size() - mark.stack);
  std::uint32_t height = 0;
  for (std::size_t i = mark.stack; i < stack_.size(); ++i) {
    tree.children.push_back(stack_[i].node);
    height = std::max(height, stack_[i].height);
  }
  stack_.resize(mark.stack);
  current = mark.outer;
  push(node, height + 1);
}

void TreeBuilder::cancel(const Mark& mark) {
  stack_.resize(mark.stack);
  tree.nodes.resize(mark.nodes);
  tree.children.resize(mark.children);
  current = mark.outer;
}

void TreeBuilder::push(const Node& node, std::uint32_t height) {
  if (height > limits::height) throw SyntaxError{node.begin, Want::expression, SyntaxError::Reason::high};
  stack_.push_back({static_cast<NodeId>(tree.nodes.size()), height, node.begin, node.end});
  tree.nodes.push_back(node);
}

void TreeBuilder::leaf(NodeKind kind, std::uint32_t begin, std::uint32_t end, std::uint32_t data) {
  Node node;
  node.kind = kind;
  node.begin = begin;
  node.end = end;
  node.data = data;
  push(node, 1);
}

void TreeBuilder::number_leaf(std::uint32_t begin, std::uint32_t end, Number number) {
  Node node;
  node.kind = NodeKind::number;
  node.begin = begin;
  node.end = end;
  node.data = number.unit;
  node.set_value(number.value);
  push(node, 1);
}

std::size_t TreeBuilder::open_chain() {
  return std::exchange(chain_, operators_.size());
}

void TreeBuilder::close_chain(std::size_t outer) {
  while (!chain_is_empty()) reduce_top();
  chain_ = outer;
}

void TreeBuilder::cancel_chain(std::size_t outer) {
  operators_.resize(chain_);
  chain_ = outer;
}

void TreeBuilder::prefix(Operator op, std::uint32_t begin) {
  if (operators_.size() - chain_ >= limits::nesting)
    throw SyntaxError{begin, Want::expression, SyntaxError::Reason::nested};
  operators_.push_back({op, true, begin, begin + 1});
}

void TreeBuilder::binary(Operator op, std::uint32_t begin, std::uint32_t end) {
  const int strength = strength_of(op);
  if (op == Operator::power) {
    if (operators_.size() - chain_ >= limits::nesting)
      throw SyntaxError{begin, Want::expression, SyntaxError::Reason::nested};
  } else {
    reduce(strength);
  }
  operators_.push_back({op, false, begin, end});
}

/// Folds every waiting operator that binds at least as strongly as the one that comes.
void TreeBuilder::reduce(int strength) {
  while (!chain_is_empty()) {
    const Waiting& top = operators_.back();
    const int waiting = strength_of(top.op);
    if (waiting < strength) return;
    if (waiting == comparison_strength && strength == comparison_strength) {
      report(Code::syntax, top.begin, top.end, "comparisons do not chain",
             "join two of them with `and`: `a < b and b < c`");
    }
    reduce_top();
  }
}

void TreeBuilder::reduce_top() {
  const Waiting waiting = operators_.back();
  operators_.pop_back();
  Node node;
  node.op = waiting.op;
  node.first = static_cast<std::uint32_t>(tree.children.size());
  const Item right = stack_.back();
  stack_.pop_back();
  node.end = right.end;
  std::uint32_t height = right.height;
  if (waiting.prefix) {
    node.kind = NodeKind::unary;
    node.begin = waiting.begin;
    node.count = 1;
  } else {
    const Item left = stack_.back();
    stack_.pop_back();
    node.kind = NodeKind::binary;
    node.begin = left.begin;
    node.count = 2;
    tree.children.push_back(left.node);
    height = std::max(height, left.height);
  }
  tree.children.push_back(right.node);
  push(node, height + 1);
}

void TreeBuilder::push_opener(char bracket, std::uint32_t at) {
  deepen(at);
  const bool matters = bracket == '{' && (scan.unclosed != 0 || scan.unopened != 0);
  openers_.push_back({at, bracket, matters ? indentation(at) : 0});
  if (bracket != '{') ++brackets_;
}

void TreeBuilder::pop_opener() {
  if (openers_.back().bracket != '{') --brackets_;
  openers_.pop_back();
  rise();
}

void TreeBuilder::widen(std::uint32_t begin, std::uint32_t end) {
  stack_.back().begin = begin;
  stack_.back().end = end;
}

void TreeBuilder::deepen(std::uint32_t at) {
  if (depth_ >= limits::nesting) throw SyntaxError{at, Want::expression, SyntaxError::Reason::nested};
  ++depth_;
}

std::uint32_t TreeBuilder::indentation(std::uint32_t offset_in_line) {
  if (offset_in_line < line_.begin || offset_in_line >= line_.end) {
    const std::size_t before = offset_in_line == 0 ? std::string_view::npos : text.rfind('\n', offset_in_line - 1);
    line_.begin = before == std::string_view::npos ? 0 : static_cast<std::uint32_t>(before + 1);
    line_.end = offset(text::line_end(at(offset_in_line), end())) + 1;
    line_.indentation = offset(text::past_blanks(at(line_.begin))) - line_.begin;
  }
  return line_.indentation;
}

Tree TreeBuilder::finish() {
  tree.root = static_cast<NodeId>(tree.nodes.size() - 1);
  tree.comments = std::move(scan.comments);
  std::sort(tree.damaged.begin(), tree.damaged.end());
  tree.damaged.erase(std::unique(tree.damaged.begin(), tree.damaged.end()), tree.damaged.end());
  return std::move(tree);
}

Diagnostic& TreeBuilder::report(Code code, std::uint32_t begin, std::uint32_t end, std::string message) {
  reported = true;
  reported_at = begin;
  return diagnostics.report(code, span(begin, end), std::move(message));
}

Diagnostic& TreeBuilder::report(Code code, std::uint32_t begin, std::uint32_t end, std::string message,
                                std::string help) {
  Diagnostic& diagnostic = report(code, begin, end, std::move(message));
  if (!help.empty()) diagnostic.help.push_back(std::move(help));
  return diagnostic;
}

}  // namespace sprue
