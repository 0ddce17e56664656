// Expressions: numbers, arithmetic with dimensions and points, comparisons.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lang/check/checker.hpp"
#include "lang/diagnostics/fixes.hpp"
#include "lang/graph/graph.hpp"

namespace sprue {
Formula Checker::arithmetic_formula(Op op, Type type, Span span) {
  Formula formula;
  formula.op = FormulaOp::arithmetic;
  formula.a = static_cast<std::uint32_t>(op);
  formula.type = type;
  formula.span = span;
  return formula;
}

FormulaId Checker::check(TreeRef ref, Scope& scope, const Type* expected) {
  switch (kind_of(ref)) {
    case NodeKind::number:
      return check_number(ref, span(ref), false);
    case NodeKind::date: {
      Formula formula;
      formula.op = FormulaOp::constant;
      formula.type = {TypeTag::point, program_.dimensions.time, 0};
      formula.a = none;
      formula.value = static_cast<std::int32_t>(data(ref));
      formula.span = span(ref);
      return add(formula);
    }
    case NodeKind::string: {
      Formula formula;
      formula.op = FormulaOp::text;
      formula.type = {TypeTag::text, 0, 0};
      formula.a = data(ref);
      formula.span = span(ref);
      return add(formula);
    }
    case NodeKind::name:
      return check_name(ref, scope, expected);
    case NodeKind::the_only:
      return check_the_only(ref);
    case NodeKind::member:
      return check_member_access(ref, scope);
    case NodeKind::call:
      return check_call(ref, scope);
    case NodeKind::index:
      return check_index(ref, scope);
    case NodeKind::unary:
      return check_unary(ref, scope);
    case NodeKind::binary:
      return node(ref).op == Operator::otherwise ? check_otherwise(ref, scope, expected) : check_binary(ref, scope);
    case NodeKind::conditional:
      return check_conditional(ref, scope, expected);
    case NodeKind::aggregate:
      return check_aggregate(ref, scope);
    case NodeKind::series:
      return check_series(ref, scope, expected);
    case NodeKind::comprehension:
      return check_comprehension(ref, scope);
    default:
      return error(span(ref));
  }
}

/// A number, with the minus before it: `-20 degC` is a point below zero, not the opposite of one above.
FormulaId Checker::check_number(TreeRef ref, Span at, bool negative) {
  Number number = number_at(ref);
  if (negative) number = {-number.value, number.unit};
  const Unit* unit = read_unit(number.unit, span(ref));
  if (unit == nullptr) return error(span(ref));
  if (unit->bare_money && number.value != 0) {
    report(Code::unknown_unit, span(ref), "an amount of money without a currency")
        .help.push_back("write the currency's code, for example EUR; only `0 money` needs none");
    return error(span(ref));
  }
  Formula formula;
  formula.op = FormulaOp::constant;
  formula.type = {unit->point ? TypeTag::point : TypeTag::quantity, unit->dimension, 0};
  const Amount amount = amount_of(number, *unit);
  formula.value = amount.value;
  formula.a = amount.currency;
  formula.b = static_cast<std::uint32_t>(amount.power);
  formula.span = at;
  if (!std::isfinite(formula.value)) {
    report(Code::bad_number, span(ref), "this number is too large");
    return error(span(ref));
  }
  return add(formula);
}

FormulaId Checker::check_unary(TreeRef ref, Scope& scope) {
  if (node(ref).op == Operator::negate && kind_of(child(ref, 0)) == NodeKind::number)
    return check_number(child(ref, 0), span(ref), true);
  const FormulaId inner = check(child(ref, 0), scope);
  if (is_error(inner)) return error(span(ref));
  if (node(ref).op == Operator::logical_not) {
    if (!expect_type(inner, flag_type(), span(ref), "what `not` turns", scope)) return error(span(ref));
    return add(arithmetic_formula(Op::logical_not, flag_type(), span(ref)), {inner});
  }
  if (formula(inner).op == FormulaOp::constant && type(inner).tag == TypeTag::quantity) {
    Formula negated = formula(inner);
    negated.value = -negated.value;
    negated.span = span(ref);
    return add(negated);
  }
  if (type(inner).tag == TypeTag::quantity || type(inner).tag == TypeTag::whole) {
    return add(arithmetic_formula(Op::negate, type(inner), span(ref)), {inner});
  }
  report(Code::wrong_type, span(ref), fmt::format("cannot negate {}", describe(type(inner))));
  return error(span(ref));
}

FormulaId Checker::check_binary(TreeRef ref, Scope& scope) {
  switch (node(ref).op) {
    case Operator::add:
      return check_sum(ref, scope, false);
    case Operator::subtract:
      return check_sum(ref, scope, true);
    case Operator::power:
      return check_power(ref, scope);
    case Operator::is:
    case Operator::is_not:
      return check_is(ref, scope);
    case Operator::logical_and:
    case Operator::logical_or: {
      const FormulaId a = check_condition(child(ref, 0), scope, "a condition");
      const FormulaId b = check_condition(child(ref, 1), scope, "a condition");
      if (is_error(a) || is_error(b)) return error(span(ref));
      return add(arithmetic_formula(node(ref).op == Operator::logical_and ? Op::logical_and : Op::logical_or,
                                    flag_type(), span(ref)),
                 {a, b});
    }
    case Operator::multiply:
    case Operator::divide: {
      const bool divide = node(ref).op == Operator::divide;
      const FormulaId a = check(child(ref, 0), scope);
      const FormulaId b = check(child(ref, 1), scope);
      if (is_error(a) || is_error(b)) return error(span(ref));
      const auto left = dimension_of(a);
      const auto right = dimension_of(b);
      if (!left || !right) {
        const FormulaId bad = left ? b : a;
        Diagnostic& diagnostic =
            report(Code::wrong_type, formula(bad).span,
                   fmt::format("cannot {} {}", divide ? "divide with" : "multiply", describe(type(bad))));
        if (type(bad).tag == TypeTag::series)
          diagnostic.help.push_back("write `[v * 2 for v in SERIES]` to change each value");
        if (type(bad).tag == TypeTag::point) diagnostic.help.push_back("take the difference of two points first");
        return error(span(ref));
      }
      const bool whole = !divide && type(a).tag == TypeTag::whole && type(b).tag == TypeTag::whole;
      const Type result = whole ? type(a)
                                : quantity(divide ? program_.dimensions.divide(*left, *right)
                                                  : program_.dimensions.multiply(*left, *right));
      if (program_.dimensions.took_too_high_power()) {
        report(Code::bad_power, span(ref), fmt::format("this has a higher power than {}", limits::power));
        return error(span(ref));
      }
      return add(arithmetic_formula(divide ? Op::divide : Op::multiply, result, span(ref)), {a, b});
    }
    default:
      return check_comparison(ref, scope);
  }
}

/// A whole number, or a plain number that is one.
bool Checker::is_whole(FormulaId id) const {
  const Formula& f = formula(id);
  return f.type.tag == TypeTag::whole ||
         (f.op == FormulaOp::constant && f.type == quantity(ratio) && f.value == std::floor(f.value));
}

/// The type that holds both: of a branch, or of the sides of `otherwise`. Nothing where there is none.
std::optional<Type> Checker::common_type(FormulaId a, FormulaId b) const {
  const bool one_whole = type(a).tag == TypeTag::whole || type(b).tag == TypeTag::whole;
  if (one_whole && is_whole(a) && is_whole(b)) return Type{TypeTag::whole, 0, 0};
  if (fits(type(a), type(b))) return type(b);
  if (fits(type(b), type(a))) return type(a);
  return std::nullopt;
}

FormulaId Checker::check_sum(TreeRef ref, Scope& scope, bool subtract) {
  const FormulaId a = check(child(ref, 0), scope);
  const FormulaId b = check(child(ref, 1), scope);
  if (is_error(a) || is_error(b)) return error(span(ref));
  const Op op = subtract ? Op::subtract : Op::add;
  const std::string_view verb = subtract ? "subtract" : "add";
  const Type left = type(a);
  const Type right = type(b);
  if ((left.tag == TypeTag::whole && is_whole(b)) || (right.tag == TypeTag::whole && is_whole(a))) {
    return add(arithmetic_formula(op, {TypeTag::whole, 0, 0}, span(ref)), {a, b});
  }
  const auto dimension_a = dimension_of(a);
  const auto dimension_b = dimension_of(b);
  if (dimension_a && dimension_b) {
    if (*dimension_a == *dimension_b) return add(arithmetic_formula(op, quantity(*dimension_a), span(ref)), {a, b});
    Diagnostic& diagnostic =
        report_mismatch(Code::dimension_mismatch, span(ref),
                        fmt::format("cannot {} {} {} {}", verb, program_.dimensions.text(*dimension_b),
                                    subtract ? "from" : "to", program_.dimensions.text(*dimension_a)),
                        a, b, scope);
    const std::string_view second = source_text(child(ref, 1));
    if (*dimension_b == ratio && second.ends_with("%")) {
      diagnostic.help.back() =
          fmt::format("a percentage is taken of something: `x * (1 {} {})`", subtract ? "-" : "+", second);
    } else if (subtract && kind_of(child(ref, 0)) == NodeKind::number && kind_of(child(ref, 1)) == NodeKind::number &&
               source_text(ref).find(' ') > source_text(ref).find('-')) {  // 10-12 g
      diagnostic.help.back() =
          fmt::format("for a range write `unknown within {} .. {}`, or a value and then `within …`",
                      source_text(child(ref, 0)), second);
    }
    return error(span(ref));
  }
  if (left.tag == TypeTag::point && right.tag == TypeTag::point && left.id == right.id) {
    const bool date = left.id == program_.dimensions.time;
    if (subtract) {
      const FormulaId difference = add(arithmetic_formula(op, quantity(left.id), span(ref)), {a, b});
      if (!date) return difference;
      return add(arithmetic_formula(Op::multiply, quantity(left.id), span(ref)),
                 {difference, seconds_a_day(span(ref))});
    }
    report(Code::point_arithmetic, span(ref), fmt::format("cannot add {} to {}", describe(right), describe(left)))
        .help.push_back(date ? "add a duration to a date, or subtract two dates to get a duration"
                             : "add a difference (in K), or subtract two points to get one");
    return error(span(ref));
  }
  const bool moved = left.tag == TypeTag::point && right.tag == TypeTag::quantity && left.id == right.id;
  const bool moved_back =
      !subtract && left.tag == TypeTag::quantity && right.tag == TypeTag::point && left.id == right.id;
  if (moved || moved_back) {
    const Type point{TypeTag::point, left.id, 0};
    if (left.id != program_.dimensions.time) return add(arithmetic_formula(op, point, span(ref)), {a, b});
    // A date is a calendar day: the one that contains the moment come to.
    const FormulaId days =
        add(arithmetic_formula(Op::divide, quantity(ratio), span(ref)), {moved ? b : a, seconds_a_day(span(ref))});
    const FormulaId moment = moved ? add(arithmetic_formula(op, point, span(ref)), {a, days})
                                   : add(arithmetic_formula(op, point, span(ref)), {days, b});
    return add(arithmetic_formula(Op::floor, point, span(ref)), {moment});
  }
  if (left.tag == TypeTag::series || right.tag == TypeTag::series) {
    report(Code::wrong_type, span(ref), fmt::format("cannot {} {} and {}", verb, describe(left), describe(right)))
        .help.push_back("write `[v + 1 for v in SERIES]` to change each value, `sum(SERIES)` to add them up");
    return error(span(ref));
  }
  report_mismatch(Code::point_arithmetic, span(ref),
                  fmt::format("cannot {} {} {} {}", verb, describe(right), subtract ? "from" : "to", describe(left)), a,
                  b, scope);
  return error(span(ref));
}

/// Durations are in seconds, dates in days.
FormulaId Checker::seconds_a_day(Span at) {
  Formula day;
  day.op = FormulaOp::constant;
  day.type = quantity(program_.dimensions.time);
  day.value = 86400;
  day.a = none;
  day.span = at;
  return add(day);
}

FormulaId Checker::check_power(TreeRef ref, Scope& scope) {
  const FormulaId a = check(child(ref, 0), scope);
  const FormulaId b = check(child(ref, 1), scope);
  if (is_error(a) || is_error(b)) return error(span(ref));
  const auto base = dimension_of(a);
  const auto exponent = dimension_of(b);
  if (!base || !exponent || *exponent != ratio) {
    report(Code::bad_power, span(ref), "a power needs a quantity and a plain number").help.push_back("write `x ^ 2`");
    return error(span(ref));
  }
  DimensionId result = ratio;
  if (*base != ratio) {
    const Formula& e = formula(b);
    const double twelfths = e.value * 12;
    if (e.op != FormulaOp::constant || twelfths != std::floor(twelfths) || std::abs(twelfths) > 1200 ||
        !program_.dimensions.power(*base, static_cast<int>(twelfths), result)) {
      report(Code::bad_power, span(ref),
             fmt::format("{} to this power is no quantity", program_.dimensions.text(*base)))
          .help.push_back("divide by a unit first: `(area / 1 cm^2) ^ 0.7`");
      return error(span(ref));
    }
  }
  return add(arithmetic_formula(Op::power, quantity(result), span(ref)), {a, b});
}

FormulaId Checker::check_comparison(TreeRef ref, Scope& scope) {
  const Operator op = node(ref).op;
  const FormulaId a = check(child(ref, 0), scope);
  const Type left_type = type(a);
  const FormulaId b = check(child(ref, 1), scope, &left_type);
  if (is_error(a) || is_error(b)) return error(span(ref));
  if (type(a).tag == TypeTag::flag && reported_in(span(ref))) return error(span(ref));  // a chain of comparisons
  const bool equality = op == Operator::equal || op == Operator::not_equal;
  const Type right_type = type(b);
  const auto left = dimension_of(a);
  const auto right = dimension_of(b);
  const bool same_points = left_type.tag == TypeTag::point && left_type == right_type;
  const bool same_flags = equality && left_type.tag == TypeTag::flag && left_type == right_type;
  const bool same_choices = equality && left_type.tag == TypeTag::choice && left_type == right_type;
  if (left && right && *left != *right) {
    report_mismatch(
        Code::dimension_mismatch, span(ref),
        fmt::format("cannot compare {} with {}", program_.dimensions.text(*left), program_.dimensions.text(*right)), a,
        b, scope);
    return error(span(ref));
  }
  if (!(left && right) && !same_points && !same_flags && !same_choices) {
    Diagnostic& diagnostic =
        report(Code::wrong_type, span(ref),
               fmt::format("cannot compare {} with {}", describe(left_type), describe(right_type)));
    if (left_type.tag == TypeTag::reference) diagnostic.help.push_back("write `x is y` for the same instance");
    for (const auto& [date, other] : {std::pair{a, b}, std::pair{b, a}}) {
      if (type(date).tag == TypeTag::point && type(date).id == program_.dimensions.time)
        advise_date(diagnostic, formula(other).span);
    }
    return error(span(ref));
  }
  const bool near = scope.tolerant;
  const auto make = [&](Op which, FormulaId x, FormulaId y) {
    return add(arithmetic_formula(which, flag_type(), span(ref)), {x, y});
  };
  switch (op) {
    case Operator::less:
      return make(near ? Op::near_less : Op::less, a, b);
    case Operator::less_equal:
      return make(near ? Op::near_less_equal : Op::less_equal, a, b);
    case Operator::greater:
      return make(near ? Op::near_less : Op::less, b, a);
    case Operator::greater_equal:
      return make(near ? Op::near_less_equal : Op::less_equal, b, a);
    case Operator::equal:
      return make(near ? Op::near_equal : Op::equal, a, b);
    default: {
      const FormulaId equal = make(near ? Op::near_equal : Op::equal, a, b);
      return add(arithmetic_formula(Op::logical_not, flag_type(), span(ref)), {equal});
    }
  }
}

}  // namespace sprue
