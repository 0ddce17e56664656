// The syntax tree: one flat array of small nodes per file, children by index. Holds what was written and where;
// knows nothing of meaning. Comments live beside the tree, in order, so that nothing written is lost.
#pragma once

#include <array>
#include <bit>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "lang/source/source.hpp"
#include "lang/source/symbols.hpp"

namespace sprue {

/// Each kind with its children, in order; `?` marks an optional child, `*` any number.
/// Where optional children may be confused they differ in kind. "data" is Node::data.
enum class NodeKind : std::uint8_t {
  file,            // declaration*

  // Leaves.
  name,            // data: symbol of the name
  dims,            // data: symbol of a dimension or unit as written, without spaces: "money/pc", "g/cm^3"
  number,          // data: symbol of the unit as written, or 0; see Node::value
  date,            // data: days since 1970-01-01, as int32
  string,          // data: symbol of the text between the quotes, escapes undone

  // Declarations.
  use_module,      // data: symbol of the dotted name, "std.units"
  use_file,        // string
  dimension,       // name dims?                      dimension force = mass*length/time^2
  base_unit,       // name dims                       unit kg: mass
  derived_unit,    // name expr zero?                 unit degC = 1 K zero 273.15 K
  zero,            // expr
  countable,       // name string?
  currency,        // name string? number             currency EUR "Euro" to 2 places
  exchange,        // number number fact*             exchange 1 USD = 0.92 EUR within …
  function,        // name parameter* result_type expr
  parameter,       // name type
  kind,            // name is_clause? within_clause? (field_decl | require | caution | post)*; flag_abstract
  is_clause,       // name
  within_clause,   // name
  field_decl,      // name string? type (expr | table | curve)? fact*; flag_final, flag_replaceable, flag_headline, flag_basis
  require,         // expr string?
  caution,         // string expr?
  post,            // path (expr) on_clause? for_clause? where_clause?; the path is `member` nodes over names
  on_clause,       // expr
  for_clause,      // name name? domain               for x in … / for i, x in …
  where_clause,    // expr
  ledger,          // name string? dims category*; flag_dated
  category,        // name string?; flag_in, flag_out
  listing,         // name string? for_clause where_clause? column*
  chart,           // name string? for_clause where_clause? over_clause column*
  over_clause,     // expr
  column,          // name string? expr; flag_private
  audience,        // name string? section*
  section,         // path number?                    a view and the most rows it may have
  show,            // dims shown_in? number           show mass/pc in g/pc to 2 places
  shown_in,        // dims
  instance,        // name(kind) name? string? like_clause? (given | instance)*
  like_clause,     // path (name or member)
  given,           // path value fact*; value is expr, table, curve or unknown. In an instance the path is one name.
  scenario,        // name string? like_clause? (given | remove | add)*
  remove,          // path
  add,             // instance to_clause?
  to_clause,       // path
  expect,          // expr tolerance? string?
  tolerance,       // expr
  correlate,       // path path expr                correlate a.price with b.price 60%
  report,          // name (a currency)               report in EUR

  // What may follow a value.
  within,          // expr expr; data: symbol of the shape ("triangular" …) or 0
  plus_minus,      // expr; data: symbol of the shape or 0
  source,          // string on_date? until_date?; data: symbol of the source word ("quote" …)
  on_date,         // date
  until_date,      // date

  // Types.
  type_quantity,   // dims
  type_point,      // dims                            point of temperature
  type_date,       //
  type_flag,       //
  type_text,       //
  type_whole,      //                                 a whole number known before evaluation
  type_choice,     // name+
  type_series,     // dims                            series of money
  type_table,      // dims dims                       table of unit to money/pc
  type_curve,      // dims dims
  type_one,        // name
  type_optional,   // name
  type_many,       // name                            references to any number of instances
  type_list,       // name                            owned children, in order
  type_set,        // name                            owned children, order without meaning

  // Values and expressions.
  unknown,         //
  table,           // row*
  curve,           // row*
  row,             // expr(key) expr(value)
  the_only,        // name                            the program
  member,          // expr name                       lens.step
  call,            // expr(name or member) expr*      f(x), breaks(quantity), cash.before(launch)
  index,           // expr expr                       ramp[2]
  unary,           // expr; op
  binary,          // expr expr; op
  conditional,     // expr expr expr                  if C then A else B
  aggregate,       // expr for_clause? where_clause?; data: symbol of the word ("sum" …)
  series,          // (expr | repeated)*              [2%, 6%, 16% x 5]
  repeated,        // expr number
  comprehension,   // expr for_clause where_clause?   [v * 2 for v in ramp]
  domain_all,      // name                            all tool
  domain_whose,    // name(kind) name(field) expr     line whose item is this
  domain_range,    // expr expr                       1 .. 12
};

enum class Operator : std::uint8_t {
  none, otherwise, logical_or, logical_and, logical_not,
  less, less_equal, greater, greater_equal, equal, not_equal, is, is_not,
  add, subtract, multiply, divide, negate, power,
};

inline constexpr std::uint8_t flag_abstract = 1;
inline constexpr std::uint8_t flag_final = 1;
inline constexpr std::uint8_t flag_headline = 2;
inline constexpr std::uint8_t flag_basis = 4;
inline constexpr std::uint8_t flag_replaceable = 8;
inline constexpr std::uint8_t flag_private = 1;
inline constexpr std::uint8_t flag_dated = 1;
inline constexpr std::uint8_t flag_in = 1;
inline constexpr std::uint8_t flag_out = 2;

using NodeId = std::uint32_t;

struct Node {
  NodeKind kind{};
  Operator op = Operator::none;
  std::uint8_t flags = 0;
  std::uint32_t begin = 0;  // bytes
  std::uint32_t end = 0;
  std::uint32_t first = 0;  // into Tree::children; of a number, which has none, half of its value …
  std::uint32_t count = 0;  // … and the other half
  std::uint32_t data = 0;

  double value() const { return std::bit_cast<double>(std::array{first, count}); }
  void set_value(double value) {
    const auto halves = std::bit_cast<std::array<std::uint32_t, 2>>(value);
    first = halves[0];
    count = halves[1];
  }
};

/// A number as written: `4.20 USD/kg` is {4.2, "USD/kg"}; `16%` is {16, "%"}; a bare number has unit 0.
struct Number {
  double value = 0;
  Symbol unit = 0;
};

struct Comment {
  std::uint32_t begin = 0;  // at the '#'
  std::uint32_t end = 0;    // before the line end
  bool doc = false;         // '##'
};

struct Tree {
  SourceId source = 0;
  NodeId root = 0;
  std::vector<Node> nodes;
  std::vector<NodeId> children;
  std::vector<Comment> comments;      // in order
  std::vector<Symbol> damaged;        // names inside text that was skipped after a syntax error, sorted

  const Node& operator[](NodeId id) const { return nodes[id]; }
  std::span<const NodeId> children_of(NodeId id) const {
    if (nodes[id].kind == NodeKind::number) return {};
    return {children.data() + nodes[id].first, nodes[id].count};
  }
  Number number(NodeId id) const { return {nodes[id].value(), nodes[id].data}; }
  Span span(NodeId id) const { return {nodes[id].begin, nodes[id].end, source}; }
};

/// The doc comment that belongs to the node: the `##` lines straight above it, or else the `##` after it on its last
/// line. Lines are joined with a space; empty if there is none.
std::string doc_comment(const Tree& tree, const Sources& sources, NodeId id);

}  // namespace sprue
