// Combinators for the grammar: rules that make nodes, insist, nest, fold and recover. Included by the grammar's own
// source file alone; knows no sentence of the language.
#pragma once

#include "lang/syntax/recovery.hpp"
#include "lang/syntax/terminals.hpp"

namespace sprue::grammar {

template <class Rule, Want Wanted>
struct need {
  using rule_t = typename seq<Rule>::rule_t;
  using subs_t = pegtl::type_list<Rule>;
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    if (!SPRUE_SUB(Rule, rewind_mode::dontcare)) b.fail(here(in), Wanted);
    return true;
  }
};

/// What the rules match becomes the children of one node.
template <NodeKind Kind, class... R>
struct node {
  using rule_t = typename seq<R...>::rule_t;
  using subs_t = pegtl::type_list<R...>;
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const TreeBuilder::Mark mark = b.open(Kind, here(in));
    if (!SPRUE_SUB(seq<R...>, M)) {
      b.cancel(mark);
      return false;
    }
    b.close(mark, here(in));
    return true;
  }
};
/// The same where a head without children tells whether there will be a node.
template <NodeKind Kind, class Head, class... R>
struct clause {
  using rule_t = typename seq<Head, R...>::rule_t;
  using subs_t = pegtl::type_list<Head, R...>;
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const std::uint32_t begin = here(in);
    if (!SPRUE_SUB(Head, rewind_mode::required)) return false;
    const TreeBuilder::Mark mark = b.open(Kind, begin);
    if (!SPRUE_SUB(seq<R...>, M)) {
      b.cancel(mark);
      return false;
    }
    b.close(mark, here(in));
    return true;
  }
};
/// The same where the item read before becomes the first child.
template <NodeKind Kind, class Head, class... R>
struct clause_after {
  using rule_t = typename seq<Head, R...>::rule_t;
  using subs_t = pegtl::type_list<Head, R...>;
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    if (!SPRUE_SUB(Head, rewind_mode::required)) return false;
    const TreeBuilder::Mark mark = b.open_after(Kind);
    if (!SPRUE_SUB(seq<R...>, M)) b.fail(here(in), Want::expression);
    b.close(mark, here(in));
    return true;
  }
};
/// A node where two items were read; one alone stays as it is.
template <NodeKind Kind, class... R>
struct pair_or_one {
  using rule_t = typename seq<R...>::rule_t;
  using subs_t = pegtl::type_list<R...>;
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const TreeBuilder::Mark mark = b.open(Kind, here(in));
    if (!SPRUE_SUB(seq<R...>, M)) {
      b.cancel(mark);
      return false;
    }
    if (b.collected(mark) == 2) {
      b.close(mark, here(in));
    } else {
      b.dissolve(mark);
    }
    return true;
  }
};
template <class... R>
struct parenthesized {
  using rule_t = typename seq<R...>::rule_t;
  using subs_t = pegtl::type_list<R...>;
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const std::uint32_t begin = here(in);
    if (!SPRUE_SUB(seq<R...>, M)) return false;
    b.widen(begin, here(in));
    return true;
  }
};
template <class... R>
struct nested {
  using rule_t = typename seq<R...>::rule_t;
  using subs_t = pegtl::type_list<R...>;
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    b.deepen(here(in));
    const bool matched = SPRUE_SUB(seq<R...>, M);
    b.rise();
    return matched;
  }
};
template <class... R>
struct chain {
  using rule_t = typename seq<R...>::rule_t;
  using subs_t = pegtl::type_list<R...>;
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const std::size_t outer = b.open_chain();
    if (!SPRUE_SUB(seq<R...>, M)) {
      b.cancel_chain(outer);
      return false;
    }
    b.close_chain(outer);
    return true;
  }
};

/// What is said to be missing where none of the rules of a block matches.
template <class Entry>
inline constexpr Want wanted = Want::declaration;

/// The entries of a block or a file, each with its end. One that fails is reported, skipped and forgotten.
template <class Entry>
struct entries {
  using rule_t = typename star<Entry>::rule_t;
  using subs_t = pegtl::type_list<Entry>;
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    for (;;) {
      skip_between(in, b);
      if (b.diagnostics.full()) go_to(in, b.offset(b.end()));
      const std::uint32_t begin = here(in);
      if (is_stray_brace(b, begin)) {
        in.bump(1);
        continue;
      }
      if (block_ends(b, begin)) return true;
      const TreeBuilder::State state = b.state();
      std::uint32_t next = 0;
      try {
        if (!SPRUE_SUB(Entry, rewind_mode::dontcare)) b.fail(here(in), wanted<Entry>);
        next = end_statement(b, here(in));
      } catch (const SyntaxError& error) {
        next = recover(b, state, begin, error, wanted<Entry>);
      }
      go_to(in, next);
    }
  }

 private:
  static void skip_between(Input& in, TreeBuilder& b) {
    for (;;) {
      in.iterator() = text::past_space(in.current(), in.end());
      if (*in.current() == ',' && b.in_block()) {
        in.bump(1);
      } else if (slips::is_foreign_end(in.current())) {
        go_to(in, slips::foreign_end(b, here(in)));
      } else {
        return;
      }
    }
  }
};

struct open_block : terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const char* const p = text::past_blanks(in.current());
    slips::BlockStart start{*p == '{', b.offset(p), b.offset(p) + 1};
    if (!start.found) start = slips::block_start(b, here(in));
    if (!start.found) return false;
    b.push_opener('{', start.opener);
    go_to(in, start.end);
    return true;
  }
};
struct close_block : empty_terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    go_to(in, end_block(b, here(in)));
    return true;
  }
};
template <class Entry>
struct block : seq<open_block, entries<Entry>, close_block> {};

}  // namespace sprue::grammar
