// Following an input back to what was written.
#include "runtime/study/facts.hpp"

#include <fmt/format.h>

#include "runtime/write/number.hpp"

namespace sprue {

std::string exchange_path(const Program& program, std::uint32_t currency) {
  return fmt::format("exchange.{}", program.text(program.units->currencies()[currency].name));
}

std::string input_path(const Program& program, const Lowered& lowered, const InputOrigin& origin) {
  if (origin.is_exchange()) return exchange_path(program, program.exchanges[origin.slot].currency);
  const Kind& kind = program.kinds[lowered.instances.all[origin.instance].kind];
  return fmt::format("{}.{}", lowered.instances.path(program, origin.instance),
                     program.text(kind.fields[origin.slot].name));
}

Type input_type(const Program& program, const Lowered& lowered, const InputOrigin& origin) {
  if (origin.is_exchange()) return {TypeTag::quantity, ratio, 0};
  return shown_type(program.kinds[lowered.instances.all[origin.instance].kind].fields[origin.slot]);
}

std::uint32_t currency_of(const Program& program, const Lowered& lowered, const InputOrigin& origin) {
  if (origin.is_exchange()) return no_currency;
  if (const Given* given = lowered.instances.given(origin.instance, origin.slot); given != nullptr)
    return given->currency;
  const FormulaId stated = program.kinds[lowered.instances.all[origin.instance].kind].fields[origin.slot].formula;
  return program.formulas[stated].amount().currency;
}

bool is_count(const Program& program, DimensionId dimension) {
  const auto& factors = program.dimensions.factors(dimension);
  return factors.size() == 1 && factors[0].twelfths == 12 && program.dimensions.is_countable_base(factors[0].base);
}

bool is_stepped(const Program& program, const Type& type) {
  return type.tag == TypeTag::whole || (type.tag == TypeTag::point && type.id == program.dimensions.time) ||
         (type.tag == TypeTag::quantity && is_count(program, type.id));
}

Shown input_shown(const Program& program, const Lowered& lowered, const InputOrigin& origin) {
  if (origin.is_exchange()) return {{}, 1, 4};
  const Type type = input_type(program, lowered, origin);
  std::string_view name;
  const Unit* const unit = type.tag == TypeTag::point ? program.units->point_unit(type.id, name) : nullptr;
  if (unit != nullptr) return {std::string(name), 1, shown_as(program, type.id).places, unit->zero};
  if (type.tag != TypeTag::quantity) return {{}, 1, 0};
  Shown shown = shown_as(program, type.id);
  const std::uint32_t currency = currency_of(program, lowered, origin);
  if (currency == none || currency == program.report_currency || program.report_currency == no_currency) return shown;
  // Units are shown with the report currency's name.
  const auto& currencies = program.units->currencies();
  const std::string_view report = program.text(currencies[program.report_currency].name);
  const std::size_t at = shown.unit.find(report);
  if (at != std::string::npos) shown.unit.replace(at, report.size(), program.text(currencies[currency].name));
  return shown;
}

std::string input_text(const Program& program, const Lowered& lowered, const InputOrigin& origin, double value) {
  const Type type = input_type(program, lowered, origin);
  if (type.tag != TypeTag::quantity || percent_places(type)) return text_of(program, type, value);
  const Shown shown = input_shown(program, lowered, origin);
  return decimal(value / shown.factor, shown.places) + (shown.unit.empty() ? "" : " " + shown.unit);
}

bool is_stated(const Program& program, const Lowered& lowered, const InputOrigin& origin) {
  if (origin.is_exchange()) return !program.from_library(program.exchanges[origin.slot].span);
  if (const Given* given = lowered.instances.given(origin.instance, origin.slot); given != nullptr)
    return !program.from_library(given->span);
  return !program.from_library(program.kinds[lowered.instances.all[origin.instance].kind].fields[origin.slot].span);
}

const Facts* facts_of(const Program& program, const Lowered& lowered, const InputOrigin& origin) {
  std::uint32_t facts = none;
  if (origin.is_exchange()) {
    facts = program.exchanges[origin.slot].facts;
  } else if (const Given* given = lowered.instances.given(origin.instance, origin.slot); given != nullptr) {
    facts = given->facts;
  } else {
    facts = program.kinds[lowered.instances.all[origin.instance].kind].fields[origin.slot].facts;
  }
  return facts == none ? nullptr : &program.facts[facts];
}

}  // namespace sprue
