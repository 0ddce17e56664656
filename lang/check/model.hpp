// What a checked program is: kinds with typed fields, formulas, ledgers, instances as drafted, scenarios. Plain data
// with indices; knows what was meant, not what it is worth. Nothing here depends on the order of declarations.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <unordered_map>
#include <vector>

#include "lang/check/dimension.hpp"
#include "lang/check/units.hpp"
#include "lang/diagnostics/diagnostic.hpp"
#include "lang/syntax/tree.hpp"

namespace sprue {

using KindId = std::uint32_t;
using Slot = std::uint32_t;  // index of a field in its kind; a derived kind keeps the slots of its base
using FormulaId = std::uint32_t;
using DraftId = std::uint32_t;  // an instance as declared, before a scenario is chosen
using LedgerId = std::uint32_t;
inline constexpr std::uint32_t none = 0xFFFFFFFFU;

/// A node of one of the program's trees.
struct TreeRef {
  std::uint32_t tree = 0;
  NodeId node = 0;
};

enum class TypeTag : std::uint8_t {
  error,     // already reported; silent everywhere
  quantity,  // dimension
  point,     // dimension: a date is a point of time
  flag,
  text,
  whole,   // a whole number known before evaluation
  choice,  // choices
  series,  // dimension
  table,   // key dimension, dimension
  curve,
  reference,  // kind
  optional,   // kind
  many,       // kind
  list,       // kind
  set,        // kind
};

struct Type {
  TypeTag tag = TypeTag::error;
  std::uint32_t id = 0;  // DimensionId, KindId or index into Program::choices
  DimensionId key = 0;   // tables: dimension of the keys
  bool operator==(const Type&) const = default;
};

/// The checked form of an expression: a small tree in one array.
enum class FormulaOp : std::uint8_t {
  error,
  constant,     // value, in base units; money in currency `a` to the power `b` (a = none: no money)
  text,         // a: symbol
  arithmetic,   // a: graph Op; args: operands
  conditional,  // args: condition, then, else
  otherwise,    // args: x, y
  local,        // a: index of the local
  self,         // the instance itself
  owner,
  next,
  previous,
  the_only,       // a: kind
  instance,       // a: draft
  get,            // a: slot; args: reference
  lookup,         // args: table, key
  index,          // args: series, index
  call,           // a: function; args
  kind_test,      // a: kind; args: reference
  same,           // args: two references
  given,          // args: reference
  aggregate,      // a: index into Program::loops; b: word; args: body
  total,          // b: word; args: collection
  comprehension,  // a: loop; args: body
  series,         // args: items; `repeated` items carry b = count
  repeated,       // a: count; args: item
  references,     // args: references
  table,          // args: key, value, key, value …
  ledger,         // a: ledger; b: query; c: category; args
  step,           // a: graph Op (ceiling, floor, round); args: x, step
};

enum class AggregateWord : std::uint8_t { sum, greatest, least, count, any, every, first, last };
enum class LedgerQuery : std::uint8_t {
  total,
  category,
  of,
  before,
  through,
  out_before,
  out_through,
  in_before,
  in_through,
  lowest,
  lowest_through,
  lowest_date
};

/// An amount as stated: in base units; money in a currency of its own, to a power.
struct Amount {
  double value = 0;
  std::uint32_t currency = no_currency;
  int power = 0;
};

struct Formula {
  double value = 0;
  FormulaOp op = FormulaOp::error;
  Type type{};
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  std::uint32_t c = 0;
  std::uint32_t first = 0;  // into Program::arguments
  std::uint32_t count = 0;
  Span span{};

  Amount amount() const { return {value, a, static_cast<int>(b)}; }  // of a constant
};

enum class DomainKind : std::uint8_t { all, whose, references, series, table, range };
struct Loop {
  DomainKind domain{};
  KindId kind = 0;          // all, whose
  Slot slot = 0;            // whose; `none` means the owner
  FormulaId first = none;   // whose: the instance; references/series/table: the collection; range: low
  FormulaId second = none;  // range: high
  bool counted = false;     // the index or key has a name
  std::uint32_t local = 0;  // the index (series) or key (table) stands at `local`, the item at `local + 1`
  FormulaId where = none;
};

struct Facts {
  bool ranged = false;
  bool relative = false;     // +- X%: low and high are shares of the value
  double low = 0, high = 0;  // as written, in the value's base units (its own currency)
  Symbol shape = 0;          // 0 is the default of the form
  Symbol source = 0;
  Symbol source_text = 0;
  std::optional<std::int32_t> on, until;
  Span span{};
};

struct Field {
  Symbol name = 0;
  Symbol title = 0;
  Type type{};
  KindId declared_in = 0;
  bool is_final = false;
  bool headline = false;
  bool fixed = false;  // a headline's formula, which an instance cannot replace by a value
  bool basis = false;  // versions that differ in it are not like for like
  bool required = false;
  FormulaId formula = none;    // default or formula
  std::uint32_t facts = none;  // of a default, index into Program::facts
  bool literal = false;        // the default is a plain fact: each instance has it as an input
  int percent_places = -1;     // of a percentage that people see it as; -1: as other ratios
  Span span{};
  TreeRef where{};
};

struct Requirement {
  FormulaId condition = none;
  Symbol text = 0;
  Span span{};
};

/// What a reader must keep in mind: always where `condition` is none, else where it is true.
struct Caution {
  FormulaId condition = none;
  Symbol text = 0;
  Span span{};
};

struct PostTemplate {
  LedgerId ledger = 0;
  std::uint32_t category = 0;
  FormulaId amount = none;
  FormulaId date = none;
  std::uint32_t loop = none;
  FormulaId where = none;
  Span span{};
};

struct Kind {
  Symbol name = 0;
  KindId base = none;
  KindId within = none;
  bool abstract = false;
  std::vector<Field> fields;  // base's first, in its slots
  std::unordered_map<Symbol, Slot> slots;
  std::vector<Requirement> requirements;  // own and inherited
  std::vector<Caution> cautions;          // own and inherited
  std::vector<PostTemplate> posts;        // own and inherited
  Span span{};
  TreeRef where{};
};

struct Function {
  Symbol name = 0;
  std::vector<Symbol> parameters;
  std::vector<Type> types;
  Type result{};
  FormulaId body = none;
  Span span{};
  TreeRef where{};
};

enum class Direction : std::uint8_t { plain, in, out };
struct Category {
  Symbol name = 0;
  Symbol title = 0;
  Direction direction = Direction::plain;
  Span span{};
};
struct Ledger {
  Symbol name = 0;
  Symbol title = 0;
  DimensionId dimension = ratio;
  bool dated = false;
  bool signed_categories = false;
  std::vector<Category> categories;
  Span span{};
  TreeRef where{};
};

struct Column {
  Symbol name = 0;
  Symbol title = 0;
  FormulaId formula = none;
  bool is_private = false;
};
/// A table with a row for each instance; or a chart for each, of the columns over one of its inputs.
struct Listing {
  Symbol name = 0;
  Symbol title = 0;
  std::uint32_t loop = none;
  Slot over = none;  // of a chart: a field of the instance
  std::vector<Column> columns;
  Span span{};
};

/// Views of every report, besides its ledgers, listings and charts.
inline constexpr std::string_view built_in_views[] = {"scenarios.headlines",
                                                      "scenarios.chart",
                                                      "scenarios.ledgers",
                                                      "scenarios.expectations",
                                                      "headlines",
                                                      "scenarios",
                                                      "drivers",
                                                      "given_and_modelled",
                                                      "sources",
                                                      "open_questions",
                                                      "cautions",
                                                      "expectations"};

/// A choice of views in order.
struct AudienceView {
  std::string path;           // "headlines", "plan.cost", "cost.by_month"
  std::uint32_t rows = none;  // at most
  Span span{};
};
struct Audience {
  Symbol name = 0;
  Symbol title = 0;
  std::vector<AudienceView> views;
  Span span{};
};

struct Show {
  DimensionId dimension = ratio;
  std::string unit;  // text shown; empty: the base unit
  double factor = 1;
  int places = 6;
  Span span{};
};

struct Exchange {
  std::uint32_t currency = 0;  // 1 of this …
  std::uint32_t in = 0;        // … is `rate` of that
  double rate = 1;
  std::uint32_t facts = none;
  Span span{};
};

/// A value given to a field of an instance: a plain fact, an open question, or else a formula. Most of a large program
/// are plain facts, so they are held here and kept small.
struct Given {
  double value = 0;                      // of a plain fact or an open question: …
  std::uint32_t currency = no_currency;  // … an Amount
  std::int16_t power = 0;
  bool literal = false;  // a plain fact: an input
  bool unknown = false;
  Slot slot = 0;
  FormulaId formula = none;
  std::uint32_t facts = none;
  Span span{};                    // of the name
  std::uint32_t value_begin = 0;  // of the value, in the same source
  std::uint32_t value_end = 0;

  Amount amount() const { return {value, currency, power}; }
  void set(const Amount& amount) {
    value = amount.value;
    currency = amount.currency;
    power = static_cast<std::int16_t>(amount.power);
  }
  Span value_span() const { return {value_begin, value_end, span.source}; }
};

struct Draft {
  Symbol name = 0;
  Symbol title = 0;
  KindId kind = none;
  DraftId owner = none;
  DraftId like = none;
  Slot slot = none;               // the owner's list or set it is in
  std::vector<DraftId> children;  // in written order
  std::vector<Given> givens;      // own and copied
  Span span{};
  TreeRef where{};
  bool used = false;            // something names it
  bool given_as_value = false;  // … as a value, not only in an expectation
  bool misplaced = false;       // reported; nothing more is said of it
};

struct Expectation {
  FormulaId condition = none;
  FormulaId tolerance = none;
  Symbol text = 0;
  Span span{};
};

/// Two facts whose ranges move together: Spearman's rank correlation.
struct Correlated {
  DraftId draft = none;
  Slot slot = none;
  std::uint32_t currency = no_currency;  // an exchange rate instead
};
struct Correlation {
  Correlated a, b;
  double value = 0;
  Span span{};
};

struct Edit {
  enum class What : std::uint8_t { give, remove, exchange } what{};
  DraftId target = none;
  Given given{};
  std::uint32_t currency = no_currency;
  double rate = 0;
  Span span{};
};
struct Scenario {
  Symbol name = 0;
  Symbol title = 0;
  std::uint32_t like = none;
  std::vector<Edit> edits;  // own only
  std::vector<DraftId> added;
  Span span{};
  TreeRef where{};
};

/// A whole checked program. `sound` is false where errors were reported. Stays where it is made: its units refer to its
/// names.
struct Program {
  Program() = default;
  Program(const Program&) = delete;
  Program& operator=(const Program&) = delete;

  Symbols symbols;
  Dimensions dimensions;
  std::unique_ptr<Units> units;
  std::vector<Tree> trees;
  std::vector<bool> library_sources;  // by SourceId: a built-in module
  std::vector<std::vector<Symbol>> choices;
  std::vector<Kind> kinds;
  std::vector<Function> functions;
  std::vector<Formula> formulas;
  std::vector<FormulaId> arguments;
  std::vector<Loop> loops;
  std::vector<Facts> facts;
  std::vector<Ledger> ledgers;
  std::vector<Listing> listings;  // and charts
  std::vector<Audience> audiences;
  std::vector<Show> shows;
  std::vector<Exchange> exchanges;
  std::vector<Draft> drafts;
  std::vector<Scenario> scenarios;
  std::vector<Expectation> expectations;
  std::vector<Correlation> correlations;
  std::uint32_t report_currency = no_currency;
  std::unordered_map<Symbol, KindId> kind_names;
  std::unordered_map<Symbol, DraftId> draft_names;  // top level
  bool sound = false;

  std::string_view text(Symbol symbol) const { return symbols[symbol]; }
  /// True where `kind` is `base` or derived from it.
  bool is_a(KindId kind, KindId base) const {
    while (kind != none && kind != base) kind = kinds[kind].base;
    return kind == base;
  }
  std::string path(DraftId draft) const;
  bool from_library(Span span) const { return span.source < library_sources.size() && library_sources[span.source]; }
};

/// Every view that a report of the program can show.
std::set<std::string> view_names(const Program& program);

}  // namespace sprue
