// Calls: built-in and declared functions, tables, and the values of ledgers.
#include <fmt/format.h>
#include <algorithm>
#include <iterator>

#include "lang/check/checker.hpp"
#include "lang/check/habits.hpp"
#include "lang/graph/graph.hpp"
#include "lang/syntax/words.hpp"

namespace sprue {

FormulaId Checker::check_call(TreeRef ref, Scope& scope) {
  const TreeRef callee = child(ref, 0);
  auto arguments = children(ref);
  arguments.erase(arguments.begin());
  if (kind_of(callee) == NodeKind::member) {
    if (const LedgerId ledger = ledger_of(callee, scope); ledger != none) {
      return check_ledger(ref, ledger, child(callee, 1), arguments, scope);
    }
  }
  if (kind_of(callee) == NodeKind::name) {
    const Symbol name = data(callee);
    bool known = false;
    const FormulaId built_in = check_builtin(ref, scope, text(name), known);
    if (known) return built_in;
    if (const auto found = function_names_.find(name); found != function_names_.end()) {
      const Function& function = program_.functions[found->second];
      use(callee, Named::function, found->second);
      if (arguments.size() != function.parameters.size()) {
        Diagnostic& diagnostic =
            report(Code::wrong_arguments, span(ref),
                   fmt::format("`{}` takes {} argument{}, and here are {}", text(name), function.parameters.size(),
                               function.parameters.size() == 1 ? "" : "s", arguments.size()));
        diagnostic.labels.push_back({function.span, "declared here"});
        return error(span(ref));
      }
      std::vector<FormulaId> values;
      bool fine = true;
      for (std::size_t i = 0; i < arguments.size(); ++i) {
        const Type& wanted = function.types[i];
        values.push_back(check(arguments[i], scope, &wanted));
        fine = expect_type(values.back(), wanted, span(arguments[i]),
                           fmt::format("`{}` of `{}`", text(function.parameters[i]), text(name)), scope) &&
               fine;
        fine = fine && !is_error(values.back());
      }
      if (!fine) return error(span(ref));
      Formula formula;
      formula.op = FormulaOp::call;
      formula.a = found->second;
      formula.type = function.result;
      formula.span = span(ref);
      return add_list(formula, values);
    }
    const bool is_field = scope.kind != none && program_.kinds[scope.kind].slots.count(name) != 0;
    bool is_local = false;
    for (const Local& local : scope.locals) is_local = is_local || local.name == name;
    if (!is_field && !is_local && !damaged(name)) {
      Diagnostic& diagnostic =
          report(Code::unknown_name, span(callee), fmt::format("no function is called `{}`", text(name)));
      std::vector<std::string_view> names(words::functions.begin(), words::functions.end());
      for (const Function& function : program_.functions) names.push_back(text(function.name));
      if (!advise_on_habit(diagnostic, text(name))) suggest(diagnostic, text(name), names);
      return error(span(ref));
    }
  }
  const FormulaId table = check(callee, scope);
  if (is_error(table)) return error(span(ref));
  const Type of = type(table);
  if ((of.tag != TypeTag::table && of.tag != TypeTag::curve) || arguments.size() != 1) {
    report(Code::wrong_arguments, span(ref),
           fmt::format("only a function, table or curve is called, with its arguments; this is {}", describe(of)));
    return error(span(ref));
  }
  const FormulaId key = check(arguments[0], scope);
  if (is_error(key) || !expect_type(key, quantity(of.key), span(arguments[0]), "the key of this table", scope))
    return error(span(ref));
  Formula formula;
  formula.op = FormulaOp::lookup;
  formula.type = quantity(of.id);
  formula.span = span(ref);
  return add(formula, {table, key});
}

FormulaId Checker::check_builtin(TreeRef ref, Scope& scope, std::string_view name, bool& known) {
  struct Entry {
    std::string_view name;
    Op op;
  };
  static constexpr Entry one_ratio[] = {{"exp", Op::exponential}, {"ln", Op::logarithm}, {"log10", Op::logarithm10}};
  static constexpr Entry rounding[] = {{"ceil", Op::ceiling}, {"floor", Op::floor}, {"round", Op::round}};
  known = true;
  const Span at = span(ref);
  const std::uint32_t count = node(ref).count - 1;
  const auto arity = [&](std::uint32_t wanted) {
    if (count == wanted) return true;
    report(Code::wrong_arguments, at,
           fmt::format("`{}` takes {} argument{}, and here are {}", name, wanted, wanted == 1 ? "" : "s", count))
        .help.push_back(fmt::format("write `{}({})`", name, wanted == 1 ? "x" : "DATE, NUMBER"));
    return false;
  };
  const auto make = [&](Op op, Type type, std::initializer_list<FormulaId> arguments) {
    Formula formula;
    formula.op = FormulaOp::arithmetic;
    formula.a = static_cast<std::uint32_t>(op);
    formula.type = type;
    formula.span = at;
    return add(formula, arguments);
  };
  if (name == "min" || name == "max") {
    if (count < 2) {
      report(Code::wrong_arguments, at, fmt::format("`{}` takes two or more arguments", name))
          .help.push_back("of a series, write `least(…)` or `greatest(…)`");
      return error(at);
    }
    FormulaId result = check(child(ref, 1), scope);
    for (std::uint32_t i = 2; i <= count; ++i) {
      const FormulaId next = check(child(ref, i), scope);
      if (is_error(result) || is_error(next)) return error(at);
      const bool points = type(result).tag == TypeTag::point && type(result) == type(next);
      const auto a = dimension_of(result);
      const auto b = dimension_of(next);
      if (!points && !(a && b && *a == *b)) {
        report_mismatch(
            Code::dimension_mismatch, at,
            fmt::format("`{}` needs like things: {} and {}", name, describe(type(result)), describe(type(next))),
            result, next, scope);
        return error(at);
      }
      result = make(name == "min" ? Op::minimum : Op::maximum, type(result), {result, next});
    }
    return result;
  }
  for (const Entry& entry : one_ratio) {
    if (entry.name != name) continue;
    if (!arity(1)) return error(at);
    const FormulaId x = check(child(ref, 1), scope);
    if (is_error(x)) return x;
    if (dimension_of(x) != ratio) {
      report(Code::dimension_mismatch, formula(x).span,
             fmt::format("`{}` needs a ratio, and this is {}", name, describe(type(x))))
          .help.push_back("divide by a unit first, for example `x / 1 mm`");
      return error(at);
    }
    return make(entry.op, quantity(ratio), {x});
  }
  for (const Entry& entry : rounding) {
    if (entry.name == name) return check_rounding(ref, scope, static_cast<std::uint32_t>(entry.op));
  }
  if (name == "abs" || name == "sqrt") {
    if (!arity(1)) return error(at);
    const FormulaId x = check(child(ref, 1), scope);
    if (is_error(x)) return x;
    const auto dimension = dimension_of(x);
    DimensionId root = ratio;
    if (!dimension || (name == "sqrt" && !program_.dimensions.power(*dimension, 6, root))) {
      return needs_quantity(x, name);
    }
    return name == "abs" ? make(Op::absolute, type(x), {x}) : make(Op::square_root, quantity(root), {x});
  }
  if (name == "months_after") {
    if (!arity(2)) return error(at);
    const Type date{TypeTag::point, program_.dimensions.time, 0};
    const FormulaId from = check(child(ref, 1), scope);
    const FormulaId months = check(child(ref, 2), scope);
    if (is_error(from) || is_error(months)) return error(at);
    if (!expect_type(from, date, span(child(ref, 1)), "the first argument of `months_after`", scope) ||
        !expect_type(months, quantity(ratio), span(child(ref, 2)), "the number of months", scope)) {
      return error(at);
    }
    return make(Op::months_after, date, {from, months});
  }
  if (name == "given") {
    if (!arity(1)) return error(at);
    const FormulaId x = check(child(ref, 1), scope);
    if (is_error(x)) return x;
    const bool is_field = formula(x).op == FormulaOp::get;
    if (!is_field && type(x).tag != TypeTag::optional && type(x).tag != TypeTag::reference) {
      report(Code::wrong_type, formula(x).span,
             fmt::format("`given` asks for a field or an optional reference, and this is {}", describe(type(x))))
          .help.push_back("write `given(x.field)`");
      return error(at);
    }
    Formula formula;
    formula.op = FormulaOp::given;
    formula.type = flag_type();
    formula.span = at;
    return add(formula, {x});
  }
  known = false;
  return none;
}

FormulaId Checker::needs_quantity(FormulaId x, std::string_view function) {
  report(Code::wrong_type, formula(x).span,
         fmt::format("`{}` needs a quantity, and this is {}", function, describe(type(x))))
      .help.push_back("write a number, or the name of a field that is one");
  return error(formula(x).span);
}

/// `ceil(x)` of ratios and countables, `ceil(x, step)` of anything.
FormulaId Checker::check_rounding(TreeRef ref, Scope& scope, std::uint32_t op) {
  const Span at = span(ref);
  const std::string_view name = text(data(child(ref, 0)));
  const std::uint32_t count = node(ref).count - 1;
  if (count != 1 && count != 2) {
    report(Code::wrong_arguments, at, fmt::format("`{}` takes a quantity and, where it is not a count, a step", name))
        .help.push_back(fmt::format("write `{0}(x)` or `{0}(x, 0.5 UNIT)`", name));
    return error(at);
  }
  const FormulaId x = check(child(ref, 1), scope);
  const FormulaId step = count == 2 ? check(child(ref, 2), scope) : none;
  if (is_error(x) || (step != none && is_error(step))) return error(at);
  const auto dimension = dimension_of(x);
  if (!dimension) {
    return needs_quantity(x, name);
  }
  if (step == none) {
    if (!program_.dimensions.is_countable(*dimension)) {
      report(Code::rounding_step, at, fmt::format("`{}` of {} needs a step", name, describe(type(x))))
          .help.push_back(fmt::format("write `{}(x, 0.5 UNIT)`", name));
      return error(at);
    }
    Formula formula;
    formula.op = FormulaOp::arithmetic;
    formula.a = op;
    formula.type = type(x);
    formula.span = at;
    return add(formula, {x});
  }
  if (dimension_of(step) != dimension) {
    report_mismatch(Code::dimension_mismatch, at, fmt::format("the step of `{}` is in another dimension", name), step,
                    x, scope);
    return error(at);
  }
  Formula formula;
  formula.op = FormulaOp::step;
  formula.a = op;
  formula.type = type(x);
  formula.span = at;
  return add(formula, {x, step});
}

LedgerId Checker::ledger_of(TreeRef member, const Scope& scope) {
  if (kind_of(member) != NodeKind::member || kind_of(child(member, 0)) != NodeKind::name) return none;
  const Symbol name = data(child(member, 0));
  for (const Local& local : scope.locals) {
    if (local.name == name) return none;
  }
  const auto found = ledger_names_.find(name);
  if (found == ledger_names_.end()) return none;
  const bool also_field = scope.kind != none && program_.kinds[scope.kind].slots.count(name) != 0;
  const bool also_instance = scope.instances && program_.draft_names.count(name) != 0;
  if (!also_field && !also_instance) return found->second;
  return has_member(program_.ledgers[found->second], data(child(member, 1))) ? found->second : none;
}

/// A category or value of the ledger.
bool Checker::has_member(const Ledger& ledger, Symbol word) const {
  for (const Category& category : ledger.categories) {
    if (category.name == word) return true;
  }
  const Symbol queries[] = {
      words_.total,     words_.of,         words_.before, words_.through,        words_.out_before, words_.out_through,
      words_.in_before, words_.in_through, words_.lowest, words_.lowest_through, words_.lowest_date};
  return std::find(std::begin(queries), std::end(queries), word) != std::end(queries);
}

FormulaId Checker::check_ledger(TreeRef ref, LedgerId ledger_id, TreeRef member, const std::vector<TreeRef>& arguments,
                                Scope& scope) {
  const Ledger& ledger = program_.ledgers[ledger_id];
  const TreeRef path = kind_of(ref) == NodeKind::call ? child(ref, 0) : ref;
  use(child(path, 0), Named::ledger, ledger_id);
  const Symbol word = data(member);
  const Type date{TypeTag::point, program_.dimensions.time, 0};
  struct Entry {
    Symbol word;
    LedgerQuery query;
    bool takes_date, needs_dated;
  };
  const Entry entries[] = {{words_.total, LedgerQuery::total, false, false},
                           {words_.of, LedgerQuery::of, false, false},
                           {words_.before, LedgerQuery::before, true, true},
                           {words_.through, LedgerQuery::through, true, true},
                           {words_.out_before, LedgerQuery::out_before, true, true},
                           {words_.out_through, LedgerQuery::out_through, true, true},
                           {words_.in_before, LedgerQuery::in_before, true, true},
                           {words_.in_through, LedgerQuery::in_through, true, true},
                           {words_.lowest, LedgerQuery::lowest, false, true},
                           {words_.lowest_through, LedgerQuery::lowest_through, true, true},
                           {words_.lowest_date, LedgerQuery::lowest_date, false, true}};
  Formula formula;
  formula.op = FormulaOp::ledger;
  formula.a = ledger_id;
  formula.span = span(ref);
  formula.type = quantity(ledger.dimension);
  for (std::uint32_t i = 0; i < ledger.categories.size(); ++i) {
    if (ledger.categories[i].name != word || !arguments.empty()) continue;
    use(member, Named::category, ledger_id, i);
    formula.b = static_cast<std::uint32_t>(LedgerQuery::category);
    formula.c = i;
    return add(formula);
  }
  for (const Entry& entry : entries) {
    if (entry.word != word) continue;
    if (entry.needs_dated && !ledger.dated) {
      report(Code::posting_date, span(member),
             fmt::format("the ledger `{}` is not dated, so it has no `{}`", text(ledger.name), text(word)))
          .help.push_back(fmt::format("write `{}.total`, or declare the ledger as `dated`", text(ledger.name)));
      return error(span(ref));
    }
    const std::size_t wanted = entry.takes_date || entry.query == LedgerQuery::of ? 1 : 0;
    if (arguments.size() != wanted) {
      const std::string_view argument = wanted == 0 ? "" : entry.takes_date ? "(DATE)" : "(NAME)";
      report(
          Code::wrong_arguments, span(ref),
          fmt::format("`{}.{}` takes {}", text(ledger.name), text(word), wanted == 0 ? "no argument" : "one argument"))
          .help.push_back(fmt::format("write `{}.{}{}`", text(ledger.name), text(word), argument));
      return error(span(ref));
    }
    formula.b = static_cast<std::uint32_t>(entry.query);
    if (entry.query == LedgerQuery::lowest_date) formula.type = date;
    if (wanted == 0) return add(formula);
    const FormulaId argument = check(arguments[0], scope);
    if (is_error(argument)) return error(span(ref));
    if (entry.takes_date &&
        !expect_type(argument, date, span(arguments[0]), fmt::format("the argument of `{}`", text(word)), scope)) {
      return error(span(ref));
    }
    if (!entry.takes_date && type(argument).tag != TypeTag::reference && type(argument).tag != TypeTag::optional) {
      report(Code::wrong_type, span(arguments[0]),
             fmt::format("`of` asks for an instance, and this is {}", describe(type(argument))))
          .help.push_back(fmt::format("write `{}.of(NAME)`, or `{}.of(this)`", text(ledger.name), text(ledger.name)));
      return error(span(ref));
    }
    return add(formula, {argument});
  }
  if (damaged(ledger.name)) return error(span(ref));  // an instance of that name may be meant
  Diagnostic& diagnostic = report(Code::unknown_category, span(member),
                                  fmt::format("the ledger `{}` has no `{}`", text(ledger.name), text(word)));
  std::vector<std::string_view> names;
  for (const Category& category : ledger.categories) names.push_back(text(category.name));
  for (const Entry& entry : entries) names.push_back(text(entry.word));
  suggest(diagnostic, text(word), names);
  return error(span(ref));
}

}  // namespace sprue
