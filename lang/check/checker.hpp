// The checker's one working object, shared by its source files: collecting, quantities, kinds, drafts, expressions,
// statements. Not for use outside lang/check.
#pragma once

#include <initializer_list>
#include <string>
#include <unordered_set>

#include "lang/check/model.hpp"
#include "lang/check/uses.hpp"
#include "lang/graph/graph.hpp"

namespace sprue {

/// A loop variable or parameter.
struct Local {
  Symbol name = 0;  // 0: it has none
  Type type{};
  TreeRef where{};  // its name
};

/// What names an expression sees.
struct Scope {
  KindId kind = none;         // its fields, this, owner, next, previous
  bool instances = false;     // top-level instances
  bool tolerant = false;      // comparisons of expect and require
  std::vector<Local> locals;  // the index is the local's number
};

class Checker {
 public:
  Checker(Program& program, const Sources& sources, Diagnostics& diagnostics, Uses* uses);
  void run();

 private:
  // collect.cpp: every declaration by what it declares.
  void collect();
  // quantities.cpp
  void declare_dimensions();
  void declare_units();
  void declare_exchanges();
  void declare_shows();
  void check_percentages();
  bool find_field(TreeRef path, KindId& kind, Slot& slot);
  bool constant_value(TreeRef ref, DimensionId& dimension, double& value, bool report);
  // kinds.cpp
  void declare_kinds();
  bool layout_kind(KindId id, std::vector<int>& state);
  void add_field(KindId id, TreeRef ref);
  bool is_stated(TreeRef value, const Type& type) const;
  Type read_type(TreeRef ref);
  KindId read_kind(TreeRef name);
  void declare_ledgers();
  void declare_functions();
  // drafts.cpp
  void declare_drafts();
  DraftId add_draft(TreeRef ref, DraftId owner);
  std::string kinds_to_write(KindId kind) const;
  void tell_whose(Diagnostic& diagnostic, TreeRef name);
  void tell_within(Diagnostic& diagnostic, const Kind& kind, Symbol field) const;
  void tell_block(Diagnostic& diagnostic, const Kind& kind, Symbol name) const;
  void place_child(DraftId id);
  void check_required(DraftId first);
  void check_values();
  void check_given(KindId kind, Given& given, TreeRef where);
  void warn_large_shares();
  std::optional<Given> make_given(DraftId id, TreeRef ref, TreeRef name);
  void add_given(DraftId id, TreeRef ref);
  DraftId find_path(TreeRef path, bool report, TreeRef* field = nullptr);
  DraftId find_child(DraftId owner, Symbol name) const;
  void tell_not_inside(DraftId owner, Slot slot, TreeRef path);
  bool has_other_meaning(const Draft& draft);
  // copies.cpp
  void resolve_like(DraftId id, std::vector<int>& state, std::size_t depth = 0);
  void copy_from(DraftId to, DraftId from);
  void copy_values();
  // formulas.cpp
  void check_kind_formulas();
  void check_function_bodies();
  void check_member(KindId id, TreeRef member);
  void check_post(KindId id, TreeRef ref);
  FormulaId check_value(TreeRef value, const Type& type, Scope& scope, std::string_view what, bool& literal);
  // facts.cpp
  static Amount amount_of(const Number& number, const Unit& unit);
  std::optional<Amount> plain_fact(TreeRef value, const Type& wanted);
  bool check_fact(KindId kind, Given& given, TreeRef where);
  void warn_thousands(TreeRef value, const Type& type);
  void check_unknown(TreeRef value, const Type& wanted, std::string_view what);
  std::uint32_t check_facts(const std::vector<TreeRef>& nodes, TreeRef value, const Type& type, Amount& amount,
                            bool literal);
  // displays.cpp
  void check_listings();
  void check_over(Listing& chart, TreeRef ref, Scope& scope);
  void check_line(const Listing& chart, const Column& line, Span at, const Scope& scope);
  void check_audiences();
  void use_view(TreeRef path);
  // correlations.cpp
  void check_correlations();
  Correlated find_correlated(TreeRef path);
  void warn_without_range(TreeRef path, const Correlated& tied);
  // statements.cpp
  void check_expectations();
  void declare_scenarios();
  void check_scenarios();
  void check_scenario(std::uint32_t id);
  void check_exchange_edit(Scenario& scenario, TreeRef ref);
  void warn_unused();
  std::vector<bool> counted_by_requirements() const;
  void warn_expired();
  // expression.cpp
  FormulaId check(TreeRef ref, Scope& scope, const Type* expected = nullptr);
  static Formula arithmetic_formula(Op op, Type type, Span span);
  FormulaId check_number(TreeRef ref, Span at, bool negative);
  FormulaId check_unary(TreeRef ref, Scope& scope);
  FormulaId check_binary(TreeRef ref, Scope& scope);
  bool is_whole(FormulaId id) const;
  std::optional<Type> common_type(FormulaId a, FormulaId b) const;
  FormulaId check_sum(TreeRef ref, Scope& scope, bool subtract);
  FormulaId seconds_a_day(Span at);
  FormulaId check_power(TreeRef ref, Scope& scope);
  FormulaId check_comparison(TreeRef ref, Scope& scope);
  // branches.cpp
  FormulaId check_is(TreeRef ref, Scope& scope);
  FormulaId check_conditional(TreeRef ref, Scope& scope, const Type* expected);
  FormulaId check_otherwise(TreeRef ref, Scope& scope, const Type* expected);
  FormulaId check_series(TreeRef ref, Scope& scope, const Type* expected);
  FormulaId check_index(TreeRef ref, Scope& scope);
  // names.cpp
  FormulaId check_name(TreeRef ref, Scope& scope, const Type* expected);
  FormulaId check_member_access(TreeRef ref, Scope& scope);
  FormulaId check_the_only(TreeRef ref);
  FormulaId unknown_name(TreeRef ref, const Scope& scope, const Type* expected);
  bool not_available(Span at, std::string_view word);
  FormulaId get(FormulaId reference, KindId kind, TreeRef name, Span span);
  // calls.cpp
  FormulaId check_call(TreeRef ref, Scope& scope);
  FormulaId check_builtin(TreeRef ref, Scope& scope, std::string_view name, bool& known);
  FormulaId needs_quantity(FormulaId x, std::string_view function);
  FormulaId check_rounding(TreeRef ref, Scope& scope, std::uint32_t op);
  FormulaId check_ledger(TreeRef ref, LedgerId ledger, TreeRef member, const std::vector<TreeRef>& arguments,
                         Scope& scope);
  LedgerId ledger_of(TreeRef member, const Scope& scope);
  bool has_member(const Ledger& ledger, Symbol word) const;
  // loops.cpp
  FormulaId check_aggregate(TreeRef ref, Scope& scope);
  FormulaId check_comprehension(TreeRef ref, Scope& scope);
  std::uint32_t open_loop(TreeRef for_clause, const TreeRef* where, Scope& scope);
  void close_loop(Scope& scope) { scope.locals.resize(scope.locals.size() - 2); }
  FormulaId check_condition(TreeRef ref, Scope& scope, std::string_view what);
  // mismatch.cpp
  Diagnostic& report_mismatch(Code code, Span span, std::string message, FormulaId left, FormulaId right,
                              const Scope& scope);
  std::string unit_text(DimensionId dimension) const;
  std::string with_missing_unit(Span amount, DimensionId is, DimensionId wanted, FormulaId other);
  void note_dimensions(Diagnostic& diagnostic, std::string_view left_word, DimensionId left,
                       std::string_view right_word, DimensionId right, const Scope* scope,
                       std::initializer_list<std::string_view> sides = {});
  bool is_literal(FormulaId id) const;
  void advise_date(Diagnostic& diagnostic, Span at) const;
  void advise_amount(Diagnostic& diagnostic, FormulaId literal, DimensionId wanted, FormulaId other);
  std::string describe(const Type& type) const;
  bool fits(const Type& given, const Type& wanted) const;
  bool expect_type(FormulaId formula, const Type& wanted, Span span, std::string_view what, const Scope& scope);

  // Access.
  const Node& node(TreeRef ref) const { return program_.trees[ref.tree][ref.node]; }
  Span span(TreeRef ref) const { return program_.trees[ref.tree].span(ref.node); }
  std::vector<TreeRef> children(TreeRef ref) const;
  TreeRef child(TreeRef ref, std::size_t index) const {
    return {ref.tree, program_.trees[ref.tree].children_of(ref.node)[index]};
  }
  NodeKind kind_of(TreeRef ref) const { return node(ref).kind; }
  Symbol data(TreeRef ref) const { return node(ref).data; }
  Number number_at(TreeRef ref) const { return program_.trees[ref.tree].number(ref.node); }
  std::string_view text(Symbol symbol) const { return program_.symbols[symbol]; }
  std::string_view source_text(TreeRef ref) const { return sources_.text(span(ref)); }
  bool damaged(Symbol name) const { return damaged_.count(name) != 0; }
  Diagnostic& report(Code code, Span at, std::string message) {
    return diagnostics_.report(code, at, std::move(message));
  }

  void propose_statement(Diagnostic& diagnostic, const std::string& statement) const;
  Span word_in(Span whole, std::string_view word) const;
  void report_problem(Code code, Span at, Units::Problem& problem);
  /// Whether it is kept what the name stands for.
  bool keeps(TreeRef name) const { return uses_ != nullptr && !program_.from_library(span(name)); }
  /// The name stands for this.
  void use(TreeRef name, Named what, std::uint32_t id, std::uint32_t slot = none, DraftId instance = none) {
    if (keeps(name)) uses_->add({span(name), {}, what, id, slot, instance});
  }
  void use_choice(TreeRef name, const Type& type) {
    if (keeps(name)) uses_->add({span(name), {}, Named::choice, none, none, none, type});
  }
  void use(TreeRef name, const Local& local) {
    if (keeps(name)) uses_->add({span(name), span(local.where), Named::local, none, none, none, local.type});
  }

  FormulaId add(Formula formula, std::initializer_list<FormulaId> arguments = {});
  FormulaId add_list(Formula formula, const std::vector<FormulaId>& arguments);
  FormulaId error(Span at);
  const Formula& formula(FormulaId id) const { return program_.formulas[id]; }
  FormulaId argument(FormulaId id, std::uint32_t i) const { return program_.arguments[formula(id).first + i]; }
  const Type& type(FormulaId id) const { return program_.formulas[id].type; }
  bool is_error(FormulaId id) const { return type(id).tag == TypeTag::error; }
  static Type quantity(DimensionId dimension) { return {TypeTag::quantity, dimension, 0}; }
  static Type flag_type() { return {TypeTag::flag, 0, 0}; }
  /// Quantities and whole numbers (which are ratios); nothing for anything else.
  std::optional<DimensionId> dimension_of(FormulaId id) const;
  const Unit* read_unit(Symbol unit, Span at);
  bool has_rate(std::uint32_t currency);
  void duplicate(Span at, std::string_view what, Symbol name, Span first);
  bool suggests() const { return diagnostics_.error_count() <= limits::suggestions; }
  /// Whether an error lies within `span`.
  bool reported_in(Span span) const;
  /// Names that share a word with `word`, as help.
  void tell_related(Diagnostic& diagnostic, std::string_view word,
                    const std::vector<std::string_view>& candidates) const;
  /// Top-level instances of `kind`, or all where that is none, sorted.
  std::vector<std::string_view> instances_of(KindId kind) const;
  /// Which of them to name, or that there is none yet.
  std::string advise_instance(KindId kind) const;
  /// The nearest name, also attached as help and proposal; empty where there is none.
  std::string_view suggest(Diagnostic& diagnostic, std::string_view word,
                           const std::vector<std::string_view>& candidates);
  bool file_missing() const;
  void tell_where(Diagnostic& diagnostic, const Kind& kind, Symbol field);

  Program& program_;
  const Sources& sources_;
  Diagnostics& diagnostics_;
  Uses* uses_;  // null: nobody asks

  struct Declarations {
    std::vector<TreeRef> dimensions, countables, currencies, base_units, derived_units, exchanges, functions, kinds,
        ledgers, listings, audiences, correlations, shows, instances, scenarios, expectations, reports;
  } declared_;
  std::unordered_set<Symbol> damaged_;
  std::unordered_map<Symbol, LedgerId> ledger_names_;
  std::unordered_map<Symbol, std::uint32_t> function_names_;
  std::unordered_set<std::uint32_t> currencies_without_rate_;  // reported once
  std::vector<bool> convertible_;                              // into the report currency; once the rates are known
  std::unordered_set<Symbol> units_reported_;
  bool too_many_copies_ = false;
  std::size_t copied_values_ = 0;
  std::vector<std::uint32_t> value_counts_;  // of what is made like something: at most so many
  bool no_kind_told_ = false;
  bool no_currency_told_ = false;
  // Until all names are known: values that are no plain facts, and what `like` copies of them.
  struct Waiting {
    DraftId draft;
    std::uint32_t given;
    TreeRef where;
  };
  std::vector<Waiting> waiting_;
  struct Copy {
    DraftId to, from;
  };
  std::vector<Copy> copies_;
  struct LargeShare {
    KindId kind;
    Slot slot;
    Span span;
  };
  std::vector<LargeShare> large_shares_;  // above 100%, as written
  struct Words {
    Symbol this_, owner, next, previous, yes, no, total, of, before, through, out_before, out_through, in_before,
        in_through, lowest, lowest_through, lowest_date, sum, greatest, least, count, any, every, first, last, percent,
        use;
  } words_;
};

}  // namespace sprue
