// Runs the grammar over a text: nodes on success, located errors on failure, and going on after the statement that failed.
#include "lang/syntax/parse.hpp"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>

#include "lang/graph/arithmetic.hpp"
#include "lang/syntax/builder.hpp"
#include "lang/syntax/grammar.hpp"
#include "lang/syntax/messages.hpp"
#include "lang/syntax/recovery.hpp"

namespace sprue {
namespace {

namespace g = grammar;

struct syntax_error {};  // the statement is lost; parsing goes on after it

using Input = tao::pegtl::memory_input<tao::pegtl::tracking_mode::lazy, tao::pegtl::eol::lf_crlf, const char*>;

std::uint32_t at(const Input& in, const char* p) { return static_cast<std::uint32_t>(p - in.begin()); }
std::uint32_t here(const Input& in) { return at(in, in.current()); }

// What a rule makes when it matches.
enum class Make : std::uint8_t { nothing, node, node_after, chain, leaf, custom };
template <class Rule> struct made { static constexpr Make how = Make::nothing; };
#define SPRUE_NODE(RULE, KIND) \
  template <> struct made<g::RULE> { static constexpr Make how = Make::node; static constexpr NodeKind kind = NodeKind::KIND; };
#define SPRUE_NODE_W(RULE, KIND) \
  template <class W> struct made<g::RULE<W>> { static constexpr Make how = Make::node; static constexpr NodeKind kind = NodeKind::KIND; };
#define SPRUE_AFTER(RULE, KIND) \
  template <> struct made<g::RULE> { static constexpr Make how = Make::node_after; static constexpr NodeKind kind = NodeKind::KIND; };
#define SPRUE_LEAF(RULE) \
  template <> struct made<g::RULE> { static constexpr Make how = Make::leaf; };
SPRUE_LEAF(name) SPRUE_LEAF(value_name) SPRUE_LEAF(dims) SPRUE_LEAF(number) SPRUE_LEAF(integer) SPRUE_LEAF(date) SPRUE_LEAF(quoted) SPRUE_LEAF(use_module)
SPRUE_NODE_W(domain_whose, domain_whose) SPRUE_NODE(domain_all, domain_all) SPRUE_NODE_W(for_clause, for_clause) SPRUE_NODE_W(where_clause, where_clause)
SPRUE_NODE_W(conditional, conditional) SPRUE_NODE(the_only, the_only)
SPRUE_AFTER(member, member) SPRUE_AFTER(call, call) SPRUE_AFTER(index, index) SPRUE_AFTER(repeated, repeated)
SPRUE_AFTER(path_member, member) SPRUE_AFTER(post_category, member)
SPRUE_NODE(row, row) SPRUE_NODE(table, table) SPRUE_NODE(curve, curve) SPRUE_NODE(unknown, unknown)
SPRUE_NODE(on_date, on_date) SPRUE_NODE(until_date, until_date)
SPRUE_NODE(t_date, type_date) SPRUE_NODE(t_flag, type_flag) SPRUE_NODE(t_text, type_text) SPRUE_NODE(t_whole, type_whole) SPRUE_NODE(t_choice, type_choice)
SPRUE_NODE(t_point, type_point) SPRUE_NODE(t_series, type_series) SPRUE_NODE(t_table, type_table) SPRUE_NODE(t_curve, type_curve) SPRUE_NODE(t_one, type_one)
SPRUE_NODE(t_optional, type_optional) SPRUE_NODE(t_many, type_many) SPRUE_NODE(t_list, type_list) SPRUE_NODE(t_set, type_set)
SPRUE_NODE(require, require) SPRUE_NODE(post, post) SPRUE_NODE(on_clause, on_clause) SPRUE_NODE(given, given) SPRUE_NODE(like_clause, like_clause)
SPRUE_NODE(instance, instance) SPRUE_NODE(added, instance) SPRUE_NODE(use_file, use_file) SPRUE_NODE(dimension, dimension) SPRUE_NODE(zero, zero)
SPRUE_NODE(countable, countable) SPRUE_NODE(currency, currency) SPRUE_NODE(exchange, exchange) SPRUE_NODE(parameter, parameter) SPRUE_NODE(function, function)
SPRUE_NODE(is_clause, is_clause) SPRUE_NODE(within_clause, within_clause) SPRUE_NODE(column, column) SPRUE_NODE(listing, listing)
SPRUE_NODE(shown_in, shown_in) SPRUE_NODE(show, show) SPRUE_NODE(remove, remove) SPRUE_NODE(to_clause, to_clause) SPRUE_NODE(add, add) SPRUE_NODE(change, given)
SPRUE_NODE(t_quantity, type_quantity) SPRUE_NODE(scenario, scenario) SPRUE_NODE(tolerance, tolerance) SPRUE_NODE(expect, expect) SPRUE_NODE(report, report) SPRUE_NODE(file, file)
template <class W> struct made<g::expr<W>> { static constexpr Make how = Make::chain; };
#define SPRUE_CUSTOM(RULE) \
  template <> struct made<g::RULE> { static constexpr Make how = Make::custom; };
SPRUE_CUSTOM(aggregate) SPRUE_CUSTOM(series) SPRUE_CUSTOM(within) SPRUE_CUSTOM(plus_minus) SPRUE_CUSTOM(source) SPRUE_CUSTOM(field_decl)
SPRUE_CUSTOM(kind) SPRUE_CUSTOM(category) SPRUE_CUSTOM(ledger) SPRUE_CUSTOM(unit)
template <class W> struct made<g::domain_expr<W>> { static constexpr Make how = Make::custom; };

Operator operator_of(std::string_view text, bool prefix) {
  if (prefix) return text == "-" ? Operator::negate : Operator::logical_not;
  static constexpr std::pair<std::string_view, Operator> table[] = {
      {"+", Operator::add}, {"-", Operator::subtract}, {"*", Operator::multiply}, {"/", Operator::divide}, {"^", Operator::power}, {"<", Operator::less},
      {"<=", Operator::less_equal}, {">", Operator::greater}, {">=", Operator::greater_equal}, {"=", Operator::equal}, {"!=", Operator::not_equal},
      {"is", Operator::is}, {"and", Operator::logical_and}, {"or", Operator::logical_or}, {"otherwise", Operator::otherwise}};
  for (const auto& [word, op] : table) {
    if (word == text) return op;
  }
  return Operator::is_not;
}

void make_leaf(TreeBuilder& b, std::uint32_t begin, std::uint32_t end, NodeKind kind) {
  const std::string_view text = b.text(begin, end);
  if (kind == NodeKind::number) {
    Number number;
    char buffer[64] = {};
    std::size_t n = 0;
    std::size_t i = 0;
    for (; i < text.size(); ++i) {
      const char c = text[i];
      const bool part = (c >= '0' && c <= '9') || c == '.' || c == '_' || ((c == '-' || c == '+') && i > 0 && (text[i - 1] | 0x20) == 'e') ||
                        ((c | 0x20) == 'e' && i + 1 < text.size() && ((text[i + 1] >= '0' && text[i + 1] <= '9') || text[i + 1] == '-' || text[i + 1] == '+'));
      if (!part) break;
      if (c != '_' && n < sizeof buffer) buffer[n++] = c;
    }
    std::from_chars(buffer, buffer + n, number.value);
    while (i < text.size() && (text[i] == ' ' || text[i] == '\t')) ++i;
    if (i < text.size()) number.unit = b.symbols.intern(text.substr(i));
    if (n == sizeof buffer) {
      b.diagnostics.report(Code::bad_number, b.span(begin, end), "this number has too many digits").help.push_back("write it with an exponent, for example 1.5e12");
    }
    b.tree.numbers.push_back(number);
    b.leaf(NodeKind::number, begin, end, static_cast<std::uint32_t>(b.tree.numbers.size() - 1));
    return;
  }
  if (kind == NodeKind::date) {
    const auto field = [&](std::size_t from, std::size_t count) {
      unsigned value = 0;
      for (const char c : text.substr(from, count)) value = value * 10 + static_cast<unsigned>(c - '0');
      return value;
    };
    const long days = arithmetic::days_from_civil(field(0, 4), field(5, 2), field(8, 2));
    const arithmetic::Civil back = arithmetic::civil_from_days(days);
    if (back.year != static_cast<long>(field(0, 4)) || back.month != field(5, 2) || back.day != field(8, 2)) {
      b.diagnostics.report(Code::bad_number, b.span(begin, end), fmt::format("there is no day {}", text)).help.push_back("write year-month-day, for example 2026-10-05");
    }
    b.leaf(NodeKind::date, begin, end, static_cast<std::uint32_t>(static_cast<std::int32_t>(days)));
    return;
  }
  if (kind == NodeKind::string) {
    std::string value;
    for (std::size_t i = 1; i + 1 < text.size(); ++i) {
      if (text[i] != '\\') {
        value += text[i];
        continue;
      }
      const char c = text[++i];
      if (c == 'n') value += '\n';
      else if (c == 't') value += '\t';
      else if (c == '"' || c == '\\') value += c;
      else b.diagnostics.report(Code::syntax, b.span(begin + static_cast<std::uint32_t>(i) - 1, begin + static_cast<std::uint32_t>(i) + 1), fmt::format("a text has no `\\{}`", c)).help.push_back("write \\\" \\\\ \\n or \\t");
    }
    b.leaf(NodeKind::string, begin, end, b.symbols.intern(value));
    return;
  }
  b.leaf(kind, begin, end, b.symbols.intern(text));
}

// Kinds of leaves by rule.
template <class Rule> constexpr NodeKind leaf_kind = NodeKind::name;
template <> constexpr NodeKind leaf_kind<g::dims> = NodeKind::dims;
template <> constexpr NodeKind leaf_kind<g::number> = NodeKind::number;
template <> constexpr NodeKind leaf_kind<g::integer> = NodeKind::number;
template <> constexpr NodeKind leaf_kind<g::date> = NodeKind::date;
template <> constexpr NodeKind leaf_kind<g::quoted> = NodeKind::string;
template <> constexpr NodeKind leaf_kind<g::use_module> = NodeKind::use_module;

struct Marks {  // words seen since the node that cares for them opened
  std::uint8_t flags = 0;
  bool dated = false;
};

template <class Rule> struct Finish;  // custom nodes
template <> struct Finish<g::aggregate> {
  static void go(TreeBuilder& b, std::uint32_t begin, std::uint32_t end, Marks&) {
    std::uint32_t word_end = begin;
    while (b.text(begin, end)[word_end - begin] != '(') ++word_end;
    b.close(NodeKind::aggregate, end, 0, b.symbols.intern(b.text(begin, word_end)));
  }
};
template <> struct Finish<g::series> {
  static void go(TreeBuilder& b, std::uint32_t, std::uint32_t end, Marks&) {
    b.close(b.has_child(NodeKind::for_clause) ? NodeKind::comprehension : NodeKind::series, end);
  }
};
template <class W> struct Finish<g::domain_expr<W>> {
  static void go(TreeBuilder& b, std::uint32_t, std::uint32_t end, Marks&) {
    if (b.children_so_far() == 2) {
      b.close(NodeKind::domain_range, end);
    } else {
      b.dissolve();
    }
  }
};
/// The shape is a name child last; it becomes the node's data.
void close_with_shape(TreeBuilder& b, NodeKind kind, std::uint32_t end, std::size_t plain) {
  const Symbol shape = b.children_so_far() > plain ? b.take_name() : 0;
  b.close(kind, end, 0, shape);
}
template <> struct Finish<g::within> {
  static void go(TreeBuilder& b, std::uint32_t, std::uint32_t end, Marks&) { close_with_shape(b, NodeKind::within, end, 2); }
};
template <> struct Finish<g::plus_minus> {
  static void go(TreeBuilder& b, std::uint32_t, std::uint32_t end, Marks&) { close_with_shape(b, NodeKind::plus_minus, end, 1); }
};
template <> struct Finish<g::source> {
  static void go(TreeBuilder& b, std::uint32_t, std::uint32_t end, Marks&) {
    const Symbol word = b.take_first_name();
    b.close(NodeKind::source, end, 0, word);
  }
};
template <> struct Finish<g::unit> {
  static void go(TreeBuilder& b, std::uint32_t, std::uint32_t end, Marks&) {
    b.close(b.last_kind() == NodeKind::dims ? NodeKind::base_unit : NodeKind::derived_unit, end);
  }
};
template <NodeKind Kind> struct FinishFlags {
  static void go(TreeBuilder& b, std::uint32_t, std::uint32_t end, Marks& marks) {
    b.close(Kind, end, marks.flags);
    marks.flags = 0;
  }
};
template <> struct Finish<g::field_decl> : FinishFlags<NodeKind::field_decl> {};
template <> struct Finish<g::category> : FinishFlags<NodeKind::category> {};
template <> struct Finish<g::ledger> {
  static void go(TreeBuilder& b, std::uint32_t, std::uint32_t end, Marks& marks) {
    b.close(NodeKind::ledger, end, marks.dated ? flag_dated : 0);
    marks.dated = false;
  }
};
template <> struct Finish<g::kind> {
  static void go(TreeBuilder& b, std::uint32_t begin, std::uint32_t end, Marks& marks) {
    b.close(NodeKind::kind, end, b.text(begin, end).substr(0, 8) == "abstract" ? flag_abstract : 0);
    marks.flags = 0;
  }
};
template <class Rule> constexpr std::uint8_t flag_of = 0;
template <> constexpr std::uint8_t flag_of<g::f_final> = flag_final;
template <> constexpr std::uint8_t flag_of<g::f_headline> = flag_headline;
template <> constexpr std::uint8_t flag_of<g::c_in> = flag_in;
template <> constexpr std::uint8_t flag_of<g::c_out> = flag_out;
template <class Rule> constexpr bool is_operand = false;
template <> constexpr bool is_operand<g::postfix> = true;
template <class W> constexpr bool is_operand<g::conditional<W>> = true;
template <class Rule> constexpr bool nests = false;
template <class W> constexpr bool nests<g::expr<W>> = true;
template <> constexpr bool nests<g::instance_head> = true;

/// Reports and loses the statement.
[[noreturn]] void lose(TreeBuilder& b, std::uint32_t at, std::string_view expected) {
  report_syntax(b, at, expected);
  throw syntax_error{};
}

template <class Rule> struct control : tao::pegtl::normal<Rule> {
  template <class In> static void start(const In& in, TreeBuilder& b, Marks& marks) {
    if constexpr (nests<Rule>) {
      if (++b.depth > nesting_limit) too_deep(in, b);
    }
    if constexpr (made<Rule>::how == Make::node || made<Rule>::how == Make::node_after || made<Rule>::how == Make::custom) {
      b.open(here(in));
      if constexpr (std::is_same_v<Rule, g::field_decl> || std::is_same_v<Rule, g::category>) marks.flags = 0;
      if constexpr (std::is_same_v<Rule, g::ledger>) marks.dated = false;
    }
    if constexpr (made<Rule>::how == Make::leaf || std::is_same_v<Rule, g::binary_op> || std::is_same_v<Rule, g::prefix_op> || is_operand<Rule>) b.begin_leaf(here(in));
    if constexpr (made<Rule>::how == Make::chain) b.open_chain();
  }
  template <class In> static void success(const In& in, TreeBuilder& b, Marks& marks) {
    if constexpr (nests<Rule>) --b.depth;
    if constexpr (made<Rule>::how == Make::node) b.close(made<Rule>::kind, here(in));
    if constexpr (made<Rule>::how == Make::node_after) b.close_after(made<Rule>::kind, here(in));
    if constexpr (made<Rule>::how == Make::custom) Finish<Rule>::go(b, b.opened_at(), here(in), marks);
    if constexpr (made<Rule>::how == Make::leaf) make_leaf(b, b.end_leaf(), here(in), leaf_kind<Rule>);
    if constexpr (std::is_same_v<Rule, g::binary_op> || std::is_same_v<Rule, g::prefix_op>) {
      const std::uint32_t begin = b.end_leaf();
      constexpr bool prefix = std::is_same_v<Rule, g::prefix_op>;
      b.operation(operator_of(b.text(begin, here(in)), prefix), begin, here(in), prefix);
      if (b.chain_length() > 2 * chain_operands) too_deep(in, b);
    }
    if constexpr (is_operand<Rule>) b.operand(b.end_leaf(), here(in));
    if constexpr (made<Rule>::how == Make::chain) b.close_chain();
    if constexpr (flag_of<Rule> != 0) marks.flags |= flag_of<Rule>;
    if constexpr (std::is_same_v<Rule, g::k_dated>) marks.dated = true;
  }
  template <class In> static void failure(const In&, TreeBuilder& b, Marks&) {
    if constexpr (nests<Rule>) --b.depth;
    if constexpr (made<Rule>::how == Make::node || made<Rule>::how == Make::node_after || made<Rule>::how == Make::custom) b.cancel();
    if constexpr (made<Rule>::how == Make::leaf || std::is_same_v<Rule, g::binary_op> || std::is_same_v<Rule, g::prefix_op> || is_operand<Rule>) b.end_leaf();
    if constexpr (made<Rule>::how == Make::chain) b.cancel_chain();
  }
  template <class In> [[noreturn]] static void raise(const In& in, TreeBuilder& b, Marks&) {
    lose(b, here(in), expected<Rule>);
  }
  template <class In> [[noreturn]] static void too_deep(const In& in, TreeBuilder& b) {
    const std::uint32_t begin = here(in);
    b.diagnostics.report(Code::nesting_too_deep, b.span(begin, begin + 1), fmt::format("more than {} brackets, blocks or conditions inside each other, or {} terms in one expression", nesting_limit, chain_operands))
        .help.push_back("split it: give parts of it names of their own");
    throw syntax_error{};
  }
};

}  // namespace

namespace grammar {

/// Tries a statement; where it fails, reports once and goes on after it.
template <class Rule> struct recovering {
  using rule_t = recovering;
  using subs_t = type_list<Rule>;
  template <apply_mode A, rewind_mode M, template <class...> class Action, template <class...> class Control, class In>
  static bool match(In& in, TreeBuilder& b, Marks& marks) {
    const TreeBuilder::State state = b.state();
    const std::size_t errors = b.diagnostics.error_count();
    const std::uint32_t begin = here(in);
    const char* const start = in.current();
    bool lost = false;
    try {
      if (Control<Rule>::template match<A, rewind_mode::required, Action, Control>(in, b, marks)) return true;
    } catch (const syntax_error&) {
      lost = true;
    }
    b.restore(state);
    if (!lost && b.diagnostics.error_count() == errors) report_syntax(b, begin, std::is_same_v<Rule, declaration> ? "a declaration" : "an entry of this block");
    const std::uint32_t end = statement_end_after(b.whole_text(), begin, std::is_same_v<Rule, declaration>);
    note_damage(b, begin, end);
    in.iterator() = start + (end - begin);
    return true;
  }
};

}  // namespace grammar

Tree parse(const Sources& sources, SourceId source, Symbols& symbols, Diagnostics& diagnostics) {
  TreeBuilder builder(sources, source, symbols, diagnostics);
  const std::string_view text = sources[source].text;
  const std::size_t skip = report_bad_bytes(builder);
  collect_comments(text, builder.tree.comments);
  Input input(text.data(), text.data() + text.size(), sources[source].name.c_str());
  input.iterator() = text.data() + skip;
  Marks marks;
  tao::pegtl::parse<grammar::file, tao::pegtl::nothing, control>(input, builder, marks);
  std::sort(builder.tree.damaged.begin(), builder.tree.damaged.end());
  builder.tree.root = static_cast<NodeId>(builder.tree.nodes.size() - 1);
  return std::move(builder.tree);
}

}  // namespace sprue
