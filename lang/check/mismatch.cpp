// What to say where types or dimensions do not fit: both sides factor by factor, and the one missing factor if there is
// one.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lang/check/checker.hpp"
#include "lang/diagnostics/fixes.hpp"
#include "lang/syntax/text.hpp"

namespace sprue {
namespace {

std::string factor_text(const Dimensions& dimensions, const Factor& factor) {
  const std::string name{dimensions.base_name(factor.base)};
  const int over = std::abs(factor.twelfths);
  if (over == 12) return name;
  return over % 12 == 0 ? fmt::format("{}^{}", name, over / 12) : fmt::format("{}^{}", name, over / 12.0);
}

bool is_name(std::string_view word) {
  return !word.empty() && text::is_letter(word.front()) && std::all_of(word.begin(), word.end(), text::is_word);
}

/// `1/2`: numbers alone, of which no field is a factor.
bool is_arithmetic(std::string_view written) {
  return written.find_first_not_of("0123456789._ +-*/()%") == written.npos;
}

}  // namespace

std::string Checker::describe(const Type& type) const {
  const auto kind = [&] { return text(program_.kinds[type.id].name); };
  switch (type.tag) {
    case TypeTag::error:
      return "something unsound";
    case TypeTag::quantity:
      return type.id == ratio ? "a ratio" : fmt::format("a quantity in {}", program_.dimensions.text(type.id));
    case TypeTag::point:
      return type.id == program_.dimensions.time ? "a date"
                                                 : fmt::format("a point of {}", program_.dimensions.text(type.id));
    case TypeTag::flag:
      return "a flag (yes or no)";
    case TypeTag::text:
      return "a text";
    case TypeTag::whole:
      return "a whole number";
    case TypeTag::choice: {
      std::string names;
      for (const Symbol name : program_.choices[type.id])
        names += fmt::format("{}{}", names.empty() ? "" : ", ", text(name));
      return fmt::format("a choice of {}", names);
    }
    case TypeTag::series:
      return fmt::format("a series of {}", program_.dimensions.text(type.id));
    case TypeTag::table:
      return fmt::format("a table of {} to {}", program_.dimensions.text(type.key), program_.dimensions.text(type.id));
    case TypeTag::curve:
      return fmt::format("a curve of {} to {}", program_.dimensions.text(type.key), program_.dimensions.text(type.id));
    case TypeTag::reference:
      return fmt::format("one {}", kind());
    case TypeTag::optional:
      return fmt::format("an optional {}", kind());
    case TypeTag::many:
      return fmt::format("a list of references to {}", kind());
    case TypeTag::list:
      return fmt::format("a list of {}", kind());
    case TypeTag::set:
      return fmt::format("a set of {}", kind());
  }
  return {};
}

bool Checker::fits(const Type& given, const Type& wanted) const {
  if (given.tag == TypeTag::error || wanted.tag == TypeTag::error || given == wanted) return true;
  const auto refers = [](TypeTag tag) { return tag == TypeTag::reference || tag == TypeTag::optional; };
  const auto collects = [](TypeTag tag) { return tag == TypeTag::many || tag == TypeTag::list || tag == TypeTag::set; };
  if (refers(given.tag) && refers(wanted.tag)) return program_.is_a(given.id, wanted.id);
  if (collects(given.tag) && wanted.tag == TypeTag::many) return program_.is_a(given.id, wanted.id);
  if (given.tag == TypeTag::whole) return wanted.tag == TypeTag::quantity && wanted.id == ratio;
  return false;
}

/// Two lines, one a side, the shared factors first and under each other; then the missing factor, and a field that has
/// it and is none of the sides.
void Checker::note_dimensions(Diagnostic& diagnostic, std::string_view left_word, DimensionId left,
                              std::string_view right_word, DimensionId right, const Scope* scope,
                              std::initializer_list<std::string_view> sides) {
  Dimensions& dimensions = program_.dimensions;
  std::string over[2];
  std::string under[2];
  const auto put = [&](const Factor* a, const Factor* b) {
    const Factor* const both[2] = {a, b};
    const bool is_over = (a != nullptr ? a : b)->twelfths > 0;
    std::string cell[2];
    for (int i = 0; i < 2; ++i) {
      if (both[i] != nullptr) cell[i] = (is_over ? " * " : " / ") + factor_text(dimensions, *both[i]);
    }
    const std::size_t width = std::max(cell[0].size(), cell[1].size());
    for (int i = 0; i < 2; ++i) (is_over ? over : under)[i] += cell[i] + std::string(width - cell[i].size(), ' ');
  };
  const auto& a = dimensions.factors(left);
  const auto& b = dimensions.factors(right);
  const auto twin = [](const std::vector<Factor>& factors, const Factor& factor) -> const Factor* {
    for (const Factor& other : factors) {
      if (other.base == factor.base && (other.twelfths > 0) == (factor.twelfths > 0)) return &other;
    }
    return nullptr;
  };
  for (const Factor& factor : a) {
    if (const Factor* other = twin(b, factor)) put(&factor, other);
  }
  for (const Factor& factor : a) {
    if (twin(b, factor) == nullptr) put(&factor, nullptr);
  }
  for (const Factor& factor : b) {
    if (twin(a, factor) == nullptr) put(nullptr, &factor);
  }
  const std::string_view words[2] = {left_word, right_word};
  const std::size_t word_width = std::max(left_word.size(), right_word.size());
  std::string lines;
  for (int i = 0; i < 2; ++i) {
    std::string product = over[i] + under[i];
    if (product.rfind(" * ", 0) == 0) {
      product = product.substr(3);
    } else if (product.find_first_not_of(' ') == std::string::npos) {
      product = "ratio";
    } else if (product.rfind(" / ", 0) == 0) {
      product = "1" + product;
    }
    product.erase(product.find_last_not_of(' ') + 1);
    lines += fmt::format("{}{:<{}} {}", i == 0 ? "" : "\n", fmt::format("{}:", words[i]), word_width + 1, product);
  }
  diagnostic.notes.push_back(std::move(lines));

  const DimensionId missing = dimensions.divide(right, left);
  if (missing == ratio || dimensions.factors(missing).size() > 2) {
    diagnostic.help.push_back(fmt::format("it must be in {}", dimensions.text(right)));
    return;
  }
  const DimensionId inverse = dimensions.divide(left, right);
  std::vector<std::string> fields;
  if (scope != nullptr && scope->kind != none) {
    for (const Field& field : program_.kinds[scope->kind].fields) {
      if (std::find(sides.begin(), sides.end(), text(field.name)) != sides.end()) continue;
      if (field.type == quantity(missing))
        fields.push_back(fmt::format("multiply by `{}` ({})", text(field.name), dimensions.text(missing)));
      if (field.type == quantity(inverse))
        fields.push_back(fmt::format("divide by `{}` ({})", text(field.name), dimensions.text(inverse)));
    }
  }
  if (fields.size() == 1 || fields.size() == 2) {
    std::string choices = fields[0];
    if (fields.size() == 2) choices += " or " + fields[1];
    diagnostic.help.push_back(
        fmt::format("to turn {} into {}, {}", dimensions.text(left), dimensions.text(right), choices));
  } else {
    diagnostic.help.push_back(fmt::format("to turn {} into {}, multiply by a quantity in {} or divide by one in {}",
                                          dimensions.text(left), dimensions.text(right), dimensions.text(missing),
                                          dimensions.text(inverse)));
  }
}

/// A unit of the dimension, for examples: of base units, and the currency reported in.
std::string Checker::unit_text(DimensionId dimension) const {
  const Dimensions& dimensions = program_.dimensions;
  std::string over;
  std::string under;
  for (const Factor& factor : dimensions.factors(dimension)) {
    const bool money = factor.base == dimensions.factors(dimensions.money)[0].base;
    std::string unit = money && program_.report_currency != no_currency
                           ? std::string(text(program_.units->currencies()[program_.report_currency].name))
                           : program_.units->base_unit_text(factor.base);
    const int power = std::abs(factor.twelfths) / 12;
    if (power > 1) unit += fmt::format("^{}", power);
    if (factor.twelfths > 0) {
      over += (over.empty() ? "" : "*") + unit;
    } else {
      under += "/" + unit;
    }
  }
  return (over.empty() ? "1" : over) + under;
}

/// `11 g` as `11 g/pc`, `2` as `2 pc/shot` where that makes it what is wanted; empty where it does not, or where
/// several units would and the other side shows none.
std::string Checker::with_missing_unit(Span amount, DimensionId is, DimensionId wanted, FormulaId other) {
  Dimensions& dimensions = program_.dimensions;
  const std::string_view written = sources_.text(amount);
  const std::size_t digits_end = std::min(written.find_first_not_of("0123456789_.-"), written.size());
  if (is == ratio) {
    if (digits_end != written.size() || wanted == ratio) return {};
    if (other != none && is_literal(other)) {
      const std::string_view shown = sources_.text(formula(other).span);
      const std::size_t unit = shown.find(' ');
      if (unit != std::string_view::npos) return fmt::format("{}{}", written, shown.substr(unit));
    }
    for (const Factor& factor : dimensions.factors(wanted)) {
      const std::string& name = program_.units->base_unit_text(factor.base);
      const bool countable = name == dimensions.base_name(factor.base);
      if (!countable || program_.units->named(program_.symbols.intern(name)) == nullptr) return {};
    }
    return fmt::format("{} {}", written, unit_text(wanted));
  }
  if (digits_end != written.size() && text::is_letter(written[digits_end])) return {};  // a slip that has been told
  const DimensionId missing = dimensions.divide(wanted, is);
  for (const Factor& factor : dimensions.factors(missing)) {
    if (factor.twelfths > 0) return {};
    for (const Factor& there : dimensions.factors(is)) {
      if (there.base == factor.base) return {};
    }
  }
  return missing == ratio ? std::string() : std::string(written) + unit_text(missing).substr(1);
}

bool Checker::is_literal(FormulaId id) const {
  return formula(id).op == FormulaOp::constant && type(id).tag == TypeTag::quantity;
}

/// What to write for an amount of the wrong dimension; `other` stands on the other side, or is none.
void Checker::advise_amount(Diagnostic& diagnostic, FormulaId literal, DimensionId wanted, FormulaId other) {
  const Span at = formula(literal).span;
  const std::string needed = program_.dimensions.text(wanted);
  const std::string whole = with_missing_unit(at, type(literal).id, wanted, other);
  std::string& help = diagnostic.help.back();
  if (!whole.empty()) {
    help = fmt::format("write `{}`, an amount in {}", whole, needed);
    propose(diagnostic, at, whole);
  } else if (wanted == ratio) {
    help = "write a plain number or a share, as in `5%`";
  } else {
    const std::string unit = unit_text(wanted);
    help = fmt::format("write an amount in {}", needed);
    if (unit != needed) help += fmt::format(", with a unit like {}", unit);
  }
}

/// How the day is written that stands `at`.
void Checker::advise_date(Diagnostic& diagnostic, Span at) const {
  const std::string_view written = sources_.text(at);
  const bool month = written.size() == 7 && written[4] == '-';
  const bool digits = written.size() == 8 && std::all_of(written.begin(), written.end(), text::is_digit);
  if (month) {
    diagnostic.help.push_back(fmt::format("write the day, too: {}-01", written));
    propose(diagnostic, at, fmt::format("{}-01", written));
  } else if (digits) {
    const std::string date = fmt::format("{}-{}-{}", written.substr(0, 4), written.substr(4, 2), written.substr(6));
    diagnostic.help.push_back(fmt::format("write `{}`", date));
    propose(diagnostic, at, date);
  } else {
    diagnostic.help.push_back("write a date as 2026-10-05");
  }
}

Diagnostic& Checker::report_mismatch(Code code, Span at, std::string message, FormulaId left, FormulaId right,
                                     const Scope& scope) {
  Diagnostic& diagnostic = report(code, at, std::move(message));
  const auto a = dimension_of(left);
  const auto b = dimension_of(right);
  if (a && b) {
    const std::string_view sides[] = {sources_.text(formula(left).span), sources_.text(formula(right).span)};
    note_dimensions(diagnostic, "left", *a, "right", *b, &scope, {sides[0], sides[1]});
    // An amount is easier to write anew than what stands on the other side.
    const auto writes = [&](FormulaId literal, DimensionId is, DimensionId wanted, FormulaId other) {
      const bool bare = is == ratio && !is_literal(other);
      if (!is_literal(literal) || (!bare && with_missing_unit(formula(literal).span, is, wanted, other).empty()))
        return false;
      advise_amount(diagnostic, literal, wanted, other);
      return true;
    };
    if (!writes(right, *b, *a, left)) writes(left, *a, *b, right);
  } else {
    diagnostic.labels.push_back({formula(left).span, "this is " + describe(type(left))});
    diagnostic.labels.push_back({formula(right).span, "this is " + describe(type(right))});
  }
  return diagnostic;
}

bool Checker::expect_type(FormulaId given, const Type& wanted, Span at, std::string_view what, const Scope& scope) {
  const Type& is = type(given);
  if (fits(is, wanted)) return true;
  if (wanted.tag == TypeTag::whole && formula(given).op == FormulaOp::constant && is == quantity(ratio)) {
    if (formula(given).value == std::trunc(formula(given).value)) return true;
  }
  const auto a = dimension_of(given);
  if (a && wanted.tag == TypeTag::quantity) {
    Diagnostic& diagnostic = report(Code::dimension_mismatch, at,
                                    fmt::format("{} is {}, and this is {}", what, describe(wanted), describe(is)));
    const bool literal = is_literal(given) || is_arithmetic(sources_.text(at));
    const std::string_view field = what.size() > 2 ? what.substr(1, what.size() - 2) : what;
    note_dimensions(diagnostic, "given", *a, "needed", wanted.id, literal ? nullptr : &scope, {field});
    if (literal) advise_amount(diagnostic, given, wanted.id, none);
    return false;
  }
  Diagnostic& diagnostic =
      report(Code::wrong_type, at, fmt::format("{} is {}, and this is {}", what, describe(wanted), describe(is)));
  const bool refers = wanted.tag == TypeTag::reference || wanted.tag == TypeTag::optional;
  const std::string_view written = sources_.text(at);
  const bool quoted = written.size() > 1 && written.front() == '"' && written.back() == '"';
  const std::string_view inside = quoted ? written.substr(1, written.size() - 2) : std::string_view();
  if (is.tag == TypeTag::reference && (wanted.tag == TypeTag::quantity || wanted.tag == TypeTag::point)) {
    diagnostic.help.push_back("name one of its fields: `NAME.field`");
  } else if (is.tag == TypeTag::text && (refers || wanted.tag == TypeTag::choice) && is_name(inside)) {
    diagnostic.help.push_back("write the name without quotes");
    propose(diagnostic, at, std::string(inside));
  } else if (is.tag == TypeTag::text && wanted.tag == TypeTag::quantity) {
    diagnostic.help.push_back("write an amount: a number and its unit, without quotes");
  } else if (wanted.tag == TypeTag::point && wanted.id == program_.dimensions.time) {
    advise_date(diagnostic, at);
  } else if (wanted.tag == TypeTag::flag) {
    diagnostic.help.push_back("write yes, no or a condition");
  } else if (wanted.tag == TypeTag::point) {
    diagnostic.help.push_back("write a point with its unit, for example 230 degC");
  } else if (wanted.tag == TypeTag::series) {
    diagnostic.help.push_back("write a series as [1, 2, 3 x 4]");
  } else if (wanted.tag == TypeTag::whole) {
    diagnostic.help.push_back("write a whole number without a unit");
  } else if (wanted.tag == TypeTag::many && is.tag == TypeTag::reference && program_.is_a(is.id, wanted.id)) {
    const std::string list = fmt::format("[{}]", sources_.text(at));
    diagnostic.help.push_back(fmt::format("write a list: `{}`", list));
    propose(diagnostic, at, list);
  } else if (scope.instances && refers) {
    diagnostic.help.push_back(advise_instance(wanted.id));
  }
  return false;
}

}  // namespace sprue
