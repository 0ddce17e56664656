// Plain facts: an amount as written, or an open question, with its range and its source.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lang/check/checker.hpp"
#include "lang/diagnostics/fixes.hpp"
#include "lang/syntax/words.hpp"

namespace sprue {

/// The amount of a number or date of the type, with or without a minus before it. Nothing where the value is none;
/// then nothing is said either.
std::optional<Amount> Checker::plain_fact(TreeRef value, const Type& wanted) {
  const bool negative = kind_of(value) == NodeKind::unary && node(value).op == Operator::negate;
  const TreeRef inner = negative ? child(value, 0) : value;
  if (kind_of(inner) == NodeKind::date) {
    if (negative || wanted != Type{TypeTag::point, program_.dimensions.time, 0}) return std::nullopt;
    return Amount{static_cast<double>(static_cast<std::int32_t>(data(inner)))};
  }
  if (kind_of(inner) != NodeKind::number) return std::nullopt;
  Number number = number_at(inner);
  if (negative) number.value = -number.value;
  Units::Problem problem;
  const Unit* const unit = program_.units->unit(number.unit, problem);
  if (unit == nullptr || unit->bare_money) return std::nullopt;
  if (wanted != Type{unit->point ? TypeTag::point : TypeTag::quantity, unit->dimension, 0}) return std::nullopt;
  const Amount amount = amount_of(number, *unit);
  if (!std::isfinite(amount.value)) return std::nullopt;
  if (amount.currency != no_currency) read_unit(number.unit, span(inner));  // says what rate is missing
  return amount;
}

Amount Checker::amount_of(const Number& number, const Unit& unit) {
  return {number.value * unit.factor + unit.zero, unit.currency_power == 0 ? no_currency : unit.currency,
          unit.currency_power};
}

void Checker::check_unknown(TreeRef value, const Type& wanted, std::string_view what) {
  if (wanted.tag == TypeTag::quantity || wanted.tag == TypeTag::point || wanted.tag == TypeTag::error) return;
  report(Code::wrong_type, span(value), fmt::format("{} is {} and cannot be unknown", what, describe(wanted)))
      .help.push_back("only quantities and dates can be open questions");
}

/// True where the value is a plain fact or an open question; no name needs to be known for it.
bool Checker::check_fact(KindId kind, Given& given, TreeRef where) {
  const Field& field = program_.kinds[kind].fields[given.slot];
  const TreeRef value = child(where, 1);
  Amount amount;
  if (kind_of(value) == NodeKind::unknown) {
    given.unknown = true;
    check_unknown(value, field.type, fmt::format("`{}`", text(field.name)));
  } else {
    const auto fact = plain_fact(value, field.type);
    if (!fact) return false;
    amount = *fact;
    given.literal = true;
    warn_thousands(value, field.type);
    if (amount.value > 1 && !field.required && kind_of(value) == NodeKind::number &&
        (number_at(value).unit == words_.percent || number_at(value).unit == 0))
      large_shares_.push_back({kind, given.slot, span(value)});
  }
  if (node(where).count > 2 || given.unknown) {
    std::vector<TreeRef> facts;
    for (std::uint32_t i = 2; i < node(where).count; ++i) facts.push_back(child(where, i));
    given.facts = check_facts(facts, value, field.type, amount, true);
  }
  given.set(amount);
  return true;
}

/// `6.400 USD/tool`: where a point groups thousands, six thousand four hundred. Money and counts are asked about, in
/// the values of fields: a whole part of 1 to 999 with just three decimals.
void Checker::warn_thousands(TreeRef value, const Type& type) {
  const TreeRef inner = kind_of(value) == NodeKind::unary ? child(value, 0) : value;
  if (kind_of(inner) != NodeKind::number || type.tag != TypeTag::quantity || program_.from_library(span(inner))) return;
  const std::vector<Factor>& factors = program_.dimensions.factors(type.id);
  const std::uint32_t money = program_.dimensions.factors(program_.dimensions.money).front().base;
  const bool counts = std::any_of(factors.begin(), factors.end(), [&](const Factor& factor) {
    return factor.twelfths > 0 && (factor.base == money || program_.dimensions.is_countable_base(factor.base));
  });
  if (!counts) return;
  const std::string_view written = source_text(inner);
  const std::string_view digits = written.substr(0, written.find_first_not_of("0123456789.", 0));
  const std::size_t point = digits.find('.');
  if (point == digits.npos || point < 1 || point > 3 || digits.size() - point != 4 || digits.front() == '0' ||
      digits.find('.', point + 1) != digits.npos || reported_in(span(inner)))
    return;
  const std::string grouped = fmt::format("{}_{}", digits.substr(0, point), digits.substr(point + 1));
  const std::string exact = fmt::format("{}0", digits);
  Span at = span(inner);
  at.end = at.begin + static_cast<std::uint32_t>(digits.size());
  Diagnostic& diagnostic =
      report(Code::thousands_point, at,
             fmt::format("the point in `{}` is a decimal point and does not group thousands", digits));
  diagnostic.help.push_back(fmt::format("write `{}` for thousands, or `{}` to keep the value", grouped, exact));
  propose(diagnostic, at, grouped);
  propose(diagnostic, at, exact);
}

/// Shares above 100% of fields that are usually below it.
void Checker::warn_large_shares() {
  for (const LargeShare& share : large_shares_) {
    const Field& field = program_.kinds[share.kind].fields[share.slot];
    if (!field.literal) continue;
    const Formula& usual = formula(field.formula);
    if (!(usual.value >= 0 && usual.value <= 1)) continue;
    const std::string_view written = sources_.text(share.span);
    const bool bare = !written.ends_with("%");  // 98 where 98% is meant
    if (bare && !sources_.text(usual.span).ends_with("%")) continue;
    Diagnostic& diagnostic =
        report(Code::suspicious_ratio, share.span,
               fmt::format("`{}` is above 100%, and {} is usual", text(field.name), sources_.text(usual.span)));
    diagnostic.help.push_back(bare ? fmt::format("for a percentage write `{}%`", written)
                                   : "write a share as 5%, a factor as 1.05");
    if (bare) propose(diagnostic, share.span, fmt::format("{}%", written));
  }
  large_shares_.clear();
}

/// Ranges and sources after a value. Numbers without a unit take the value's unit. Index into Program::facts, or none.
std::uint32_t Checker::check_facts(const std::vector<TreeRef>& nodes, TreeRef value, const Type& type, Amount& amount,
                                   bool literal) {
  Facts facts;
  facts.span = nodes.empty() ? span(value) : span(nodes.front()).to(span(nodes.back()));
  const auto number_of = [&](TreeRef ref) -> std::optional<Number> {
    const TreeRef inner = kind_of(ref) == NodeKind::unary ? child(ref, 0) : ref;
    if (kind_of(inner) != NodeKind::number) return std::nullopt;
    return number_at(inner);
  };
  Symbol inherited = 0;
  if (const auto number = number_of(value)) inherited = number->unit;
  const bool unknown = kind_of(value) == NodeKind::unknown;
  const auto read = [&](TreeRef ref, double& out) {
    const auto number = number_of(ref);
    if (kind_of(ref) == NodeKind::date) {
      out = static_cast<std::int32_t>(data(ref));
      return type.tag == TypeTag::point;
    }
    if (!number) {
      report(Code::bad_range, span(ref), "a bound of a range is a plain number")
          .help.push_back("write `within 27 .. 38`");
      return false;
    }
    const Unit* unit = read_unit(number->unit == 0 ? inherited : number->unit, span(ref));
    if (unit == nullptr) return false;
    if (unit->dimension != type.id && type.tag != TypeTag::error) {
      Diagnostic& diagnostic =
          report(Code::dimension_mismatch, span(ref), "the range is in another dimension than its value");
      note_dimensions(diagnostic, "range", unit->dimension, "value", type.id, nullptr);
      if (const std::string whole = with_missing_unit(span(ref), unit->dimension, type.id, none); !whole.empty()) {
        diagnostic.help.back() = fmt::format("write `{}`", whole);
        propose(diagnostic, span(ref), whole);
      }
      return false;
    }
    if (unknown && unit->currency != no_currency) {
      amount.currency = unit->currency;
      amount.power = unit->currency_power;
    } else if (unit->currency != no_currency && amount.currency != unit->currency) {
      report(Code::bad_range, span(ref), "the range is in another currency than its value")
          .help.push_back("write the bounds in the currency of the value; the exchange rate has a range of its own");
      return false;
    }
    const double sign = kind_of(ref) == NodeKind::unary ? -1 : 1;
    out = sign * number->value * unit->factor + unit->zero;
    return true;
  };
  for (const TreeRef ref : nodes) {
    if (kind_of(ref) != NodeKind::source && !literal && reported_in(span(value))) continue;
    if (kind_of(ref) != NodeKind::source && !literal) {
      report(Code::bad_range, span(ref), "only a plain fact carries a range, and this is a formula")
          .help.push_back("put the range on the facts the formula uses");
      continue;
    }
    if (kind_of(ref) == NodeKind::within || kind_of(ref) == NodeKind::plus_minus) {
      if (facts.ranged)
        report(Code::bad_range, span(ref), "a second range for one value").help.push_back("keep one of the two");
      facts.shape = data(ref);
      const std::string_view shape = text(facts.shape);
      const bool known =
          facts.shape == 0 || std::find(words::shapes.begin(), words::shapes.end(), shape) != words::shapes.end();
      if (!known || (shape == "normal") > (kind_of(ref) == NodeKind::plus_minus)) {
        report(Code::bad_range, span(ref), fmt::format("a range cannot be `{}`", shape))
            .help.push_back("write `within LOW .. HIGH as triangular`, `as pert`, `as uniform`, or `+- X as normal`");
      }
    }
    if (kind_of(ref) == NodeKind::within) {
      const TreeRef low = child(ref, 0);
      const TreeRef high = child(ref, 1);
      if (inherited == 0) {
        const auto a = number_of(low);
        const auto b = number_of(high);
        if (b && b->unit != 0) inherited = b->unit;
        if (inherited == 0 && a) inherited = a->unit;
      }
      if (!read(low, facts.low) || !read(high, facts.high)) continue;
      facts.ranged = true;
      if (unknown) amount.value = facts.low + (facts.high - facts.low) / 2;
      if (!(facts.low <= facts.high)) {
        Diagnostic& diagnostic = report(Code::bad_range, span(ref), "the low end of the range is above the high end");
        diagnostic.help.push_back("write the low end first");
        propose(diagnostic, span(low).to(span(high)),
                fmt::format("{} .. {}", sources_.text(span(high)), sources_.text(span(low))));
      } else if (amount.value < facts.low || amount.value > facts.high) {
        report(Code::bad_range, span(ref), "the range does not contain its value")
            .labels.push_back({span(value), "the value"});
      }
    } else if (kind_of(ref) == NodeKind::plus_minus) {
      const auto number = number_of(child(ref, 0));
      double width = 0;
      if (number && text(number->unit) == "%") {
        facts.relative = true;
        width = std::abs(amount.value) * number->value * 0.01;
      } else {
        if (!read(child(ref, 0), width)) continue;
        const Unit* const unit = program_.units->named(number && number->unit != 0 ? number->unit : inherited);
        if (unit != nullptr) width -= unit->zero;  // of points, a difference
      }
      facts.ranged = true;
      facts.low = amount.value - width;
      facts.high = amount.value + width;
      if (facts.shape == 0) facts.shape = program_.symbols.intern("uniform");
    } else if (kind_of(ref) == NodeKind::source) {
      if (facts.source != 0)
        report(Code::bad_source, span(ref), "a second source for one value").help.push_back("keep one of the two");
      facts.source = data(ref);
      if (std::find(words::sources.begin(), words::sources.end(), text(facts.source)) == words::sources.end()) {
        Diagnostic& diagnostic =
            report(Code::bad_source, span(ref), fmt::format("`{}` is no kind of source", text(facts.source)));
        suggest(diagnostic, text(facts.source), {words::sources.begin(), words::sources.end()});
        diagnostic.notes.push_back(fmt::format("sources: {}", fmt::join(words::sources, ", ")));
      }
      for (const TreeRef part : children(ref)) {
        if (kind_of(part) == NodeKind::string) facts.source_text = data(part);
        if (kind_of(part) == NodeKind::on_date) facts.on = static_cast<std::int32_t>(data(child(part, 0)));
        if (kind_of(part) == NodeKind::until_date) facts.until = static_cast<std::int32_t>(data(child(part, 0)));
      }
      if (facts.on && facts.until && *facts.until < *facts.on) {
        report(Code::bad_source, span(ref), "the source ends before it begins")
            .help.push_back("write `on` the date it was given, `until` the last day it holds");
      }
    }
  }
  program_.facts.push_back(facts);
  return static_cast<std::uint32_t>(program_.facts.size() - 1);
}

}  // namespace sprue
