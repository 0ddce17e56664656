// Expressions that choose or collect: `is`, `if`, `otherwise`, series and their indices.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lang/check/checker.hpp"
#include "lang/graph/graph.hpp"

namespace sprue {

/// `x is KIND` (a kind), `mode is air` (a choice), `x is y` (the same instance).
FormulaId Checker::check_is(TreeRef ref, Scope& scope) {
  const FormulaId a = check(child(ref, 0), scope);
  if (is_error(a)) return error(span(ref));
  const bool negated = node(ref).op == Operator::is_not;
  const TreeRef right = child(ref, 1);
  const Type left = type(a);
  const auto finish = [&](FormulaId test) {
    return negated ? add(arithmetic_formula(Op::logical_not, flag_type(), span(ref)), {test}) : test;
  };
  if (left.tag == TypeTag::choice) {
    const FormulaId b = check(right, scope, &left);
    if (!expect_type(b, left, span(right), "the left side", scope) || is_error(b)) return error(span(ref));
    return finish(add(arithmetic_formula(Op::equal, flag_type(), span(ref)), {a, b}));
  }
  if (left.tag != TypeTag::reference && left.tag != TypeTag::optional) {
    report(Code::wrong_type, span(ref),
           fmt::format("`is` compares choices and references, and this is {}", describe(left)))
        .help.push_back(left.tag == TypeTag::text ? "a text is only shown; what decides something is a `choice of a, b`"
                                                  : "write `=` for equal numbers");
    return error(span(ref));
  }
  if (kind_of(right) == NodeKind::name) {
    if (const auto kind = program_.kind_names.find(data(right)); kind != program_.kind_names.end()) {
      use(right, Named::kind, kind->second);
      if (!program_.is_a(kind->second, left.id) && !program_.is_a(left.id, kind->second)) {
        report(Code::constant_condition, span(ref),
               fmt::format("this is never so: {} is no {}", describe(left), text(data(right))));
      }
      Formula test;
      test.op = FormulaOp::kind_test;
      test.type = flag_type();
      test.a = kind->second;
      test.span = span(ref);
      return finish(add(test, {a}));
    }
  }
  const FormulaId b = check(right, scope, &left);
  if (is_error(b)) return error(span(ref));
  if (type(b).tag != TypeTag::reference && type(b).tag != TypeTag::optional) {
    report(Code::wrong_type, span(right),
           fmt::format("`is` compares with an instance or a kind, and this is {}", describe(type(b))))
        .help.push_back("write `x is NAME`, or `x.field = …` for one of its numbers");
    return error(span(ref));
  }
  Formula test;
  test.op = FormulaOp::same;
  test.type = flag_type();
  test.span = span(ref);
  return finish(add(test, {a, b}));
}

FormulaId Checker::check_conditional(TreeRef ref, Scope& scope, const Type* expected) {
  const FormulaId condition = check_condition(child(ref, 0), scope, "what follows `if`");
  const FormulaId yes = check(child(ref, 1), scope, expected);
  const Type wanted = expected != nullptr ? *expected : type(yes);
  const FormulaId no = check(child(ref, 2), scope, &wanted);
  if (is_error(condition) || is_error(yes) || is_error(no)) return error(span(ref));
  const std::optional<Type> common = common_type(yes, no);
  if (!common) {
    report_mismatch(Code::dimension_mismatch, span(ref),
                    fmt::format("the branches differ: {} and {}", describe(type(yes)), describe(type(no))), yes, no,
                    scope);
    return error(span(ref));
  }
  Formula formula;
  formula.op = FormulaOp::conditional;
  formula.type = *common;
  formula.span = span(ref);
  return add(formula, {condition, yes, no});
}

FormulaId Checker::check_otherwise(TreeRef ref, Scope& scope, const Type* expected) {
  const FormulaId x = check(child(ref, 0), scope, expected);
  const Type wanted = expected != nullptr ? *expected : type(x);
  const FormulaId y = check(child(ref, 1), scope, &wanted);
  if (is_error(x) || is_error(y)) return error(span(ref));
  const std::optional<Type> common = common_type(x, y);
  if (!common) {
    report_mismatch(
        Code::dimension_mismatch, span(ref),
        fmt::format("both sides of `otherwise` must be alike: {} and {}", describe(type(x)), describe(type(y))), x, y,
        scope);
    return error(span(ref));
  }
  Formula formula;
  formula.op = FormulaOp::otherwise;
  formula.type = *common;
  formula.span = span(ref);
  return add(formula, {x, y});
}

FormulaId Checker::check_series(TreeRef ref, Scope& scope, const Type* expected) {
  std::vector<FormulaId> items;
  Type item_type{};
  if (expected != nullptr && expected->tag == TypeTag::series) item_type = quantity(expected->id);
  for (const TreeRef item : children(ref)) {
    const bool repeated = kind_of(item) == NodeKind::repeated;
    const TreeRef value = repeated ? child(item, 0) : item;
    FormulaId checked = check(value, scope);
    if (is_error(checked)) return error(span(ref));
    if (item_type.tag == TypeTag::error) item_type = type(checked);
    if (!expect_type(checked, item_type, span(value), "a value of this series", scope)) return error(span(ref));
    if (repeated) {
      const TreeRef count = child(item, 1);
      const double times = number_at(count).value;
      if (!(times >= 1 && times <= limits::repetitions) || times != std::floor(times)) {
        report(Code::bad_number, span(count), fmt::format("a value repeats 1 to {} times", limits::repetitions));
        return error(span(ref));
      }
      Formula formula;
      formula.op = FormulaOp::repeated;
      formula.type = type(checked);
      formula.a = static_cast<std::uint32_t>(times);
      formula.span = span(item);
      checked = add(formula, {checked});
    }
    items.push_back(checked);
  }
  if (item_type.tag != TypeTag::quantity) {
    if (item_type.tag != TypeTag::error) {
      report(Code::wrong_type, span(ref),
             fmt::format("a series holds quantities, and this is {}", describe(item_type)));
      return error(span(ref));
    }
    item_type = quantity(ratio);
  }
  Formula formula;
  formula.op = FormulaOp::series;
  formula.type = {TypeTag::series, item_type.id, 0};
  formula.span = span(ref);
  return add_list(formula, items);
}

FormulaId Checker::check_index(TreeRef ref, Scope& scope) {
  const FormulaId series = check(child(ref, 0), scope);
  const FormulaId index = check(child(ref, 1), scope);
  if (is_error(series) || is_error(index)) return error(span(ref));
  if (type(series).tag != TypeTag::series) {
    Diagnostic& diagnostic = report(Code::wrong_type, span(ref),
                                    fmt::format("only a series has an index, and this is {}", describe(type(series))));
    if (type(series).tag == TypeTag::table || type(series).tag == TypeTag::curve)
      diagnostic.help.push_back(fmt::format("write `{}({})`", source_text(child(ref, 0)), source_text(child(ref, 1))));
    return error(span(ref));
  }
  if (!expect_type(index, {TypeTag::whole, 0, 0}, span(child(ref, 1)), "the index of a series", scope))
    return error(span(ref));
  Formula formula;
  formula.op = FormulaOp::index;
  formula.type = quantity(type(series).id);
  formula.span = span(ref);
  return add(formula, {series, index});
}

}  // namespace sprue
