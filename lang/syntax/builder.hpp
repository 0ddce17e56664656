// Collects what the grammar matches into the flat tree, folds chains of operators, and keeps what is open. Knows nodes
// and operators; knows no grammar rule. Everything can be taken back, so that what fails leaves no trace.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "lang/diagnostics/diagnostic.hpp"
#include "lang/syntax/scan.hpp"
#include "lang/syntax/tree.hpp"
#include "lang/syntax/wants.hpp"

namespace sprue {

/// Thrown where a statement cannot be read on; caught at the statement.
struct SyntaxError {
  enum class Reason : std::uint8_t { missing, nested, high };
  std::uint32_t at = 0;
  Want want = Want::declaration;
  Reason reason = Reason::missing;
};

class TreeBuilder {
 public:
  TreeBuilder(const Sources& sources, SourceId source, Symbols& symbols, Diagnostics& diagnostics);

  /// What the node under way will be; rules inside it may set it.
  struct Context {
    NodeKind kind{};
    std::uint8_t flags = 0;
    Symbol data = 0;
  };
  struct Mark {
    Context outer;
    std::uint32_t begin;
    std::size_t stack, nodes, children;
  };
  struct Opener {
    std::uint32_t at;
    char bracket;
    std::uint32_t indentation;  // of its line; known only where braces do not match
  };
  struct State {
    Context current;
    std::size_t stack, operators, chain, openers, nodes, children;
    std::size_t brackets, depth;
  };

  State state() const;
  void restore(const State& state);

  Mark open(NodeKind kind, std::uint32_t begin);
  /// The item on top becomes the first child: `a.b`, `f(x)`, `s[i]`.
  Mark open_after(NodeKind kind);
  void close(const Mark& mark, std::uint32_t end);
  void cancel(const Mark& mark);
  /// Removes the node's mark but leaves what it collected.
  void dissolve(const Mark& mark) { current = mark.outer; }
  std::size_t collected(const Mark& mark) const { return stack_.size() - mark.stack; }

  void leaf(NodeKind kind, std::uint32_t begin, std::uint32_t end, std::uint32_t data);
  void number_leaf(std::uint32_t begin, std::uint32_t end, Number number);

  // Chains: operands stand on the stack, operators wait until a weaker one or the end comes.
  std::size_t open_chain();
  void close_chain(std::size_t outer);
  void cancel_chain(std::size_t outer);
  bool chain_is_empty() const { return operators_.size() == chain_; }
  void prefix(Operator op, std::uint32_t begin);
  void binary(Operator op, std::uint32_t begin, std::uint32_t end);

  // Brackets and blocks.
  void push_opener(char bracket, std::uint32_t at);
  void pop_opener();
  /// The parenthesis belongs to the operand inside it.
  void widen(std::uint32_t begin, std::uint32_t end);
  void deepen(std::uint32_t at);
  void rise() { --depth_; }
  bool in_brackets() const { return brackets_ != 0; }
  bool in_block() const { return !openers_.empty(); }
  const std::vector<Opener>& openers() const { return openers_; }

  /// The blanks at the start of the line.
  std::uint32_t indentation(std::uint32_t at);

  [[noreturn]] void fail(std::uint32_t at, Want want) const { throw SyntaxError{at, want}; }
  Diagnostic& report(Code code, std::uint32_t begin, std::uint32_t end, std::string message);
  Diagnostic& report(Code code, std::uint32_t begin, std::uint32_t end, std::string message, std::string help);
  Span span(std::uint32_t begin, std::uint32_t end) const { return {begin, end, tree.source}; }
  std::string_view slice(std::uint32_t begin, std::uint32_t end) const { return text.substr(begin, end - begin); }
  const char* at(std::uint32_t offset) const { return text.data() + offset; }
  const char* end() const { return text.data() + text.size(); }
  std::uint32_t offset(const char* p) const { return static_cast<std::uint32_t>(p - text.data()); }

  /// The tree, complete.
  Tree finish();

  std::string_view text;
  Tree tree;
  Symbols& symbols;
  Diagnostics& diagnostics;
  Scan scan;
  Context current;
  std::uint32_t reported_at = 0;                // the place of the last error
  std::uint32_t last_block_end = 0;             // the `}` of the last block of the file
  bool reported = false;                        // there was an error
  bool gave_up = false;                         // nested too deep: blocks left open are no news
  std::uint32_t left_open_at = 0;               // where a block without `}` was taken to end
  bool outside = false;                         // fields stood outside any block: their `}` is no news
  std::vector<std::string_view> refused_kinds;  // names that cannot be: their instances are no news

 private:
  struct Item {
    NodeId node;
    std::uint32_t height;
    std::uint32_t begin, end;
  };
  struct Waiting {
    Operator op;
    bool prefix;
    std::uint32_t begin, end;
  };
  void push(const Node& node, std::uint32_t height);
  void reduce_top();
  void reduce(int strength);

  std::vector<Item> stack_;
  std::vector<Waiting> operators_;
  std::size_t chain_ = 0;  // where the operators of the chain under way begin
  std::vector<Opener> openers_;
  std::size_t brackets_ = 0;
  std::size_t depth_ = 0;
  struct Line {
    std::uint32_t begin = 0, end = 0, indentation = 0;
  };
  Line line_;  // the line asked for last
};

}  // namespace sprue
