// Units and decimals from `show`, currencies and base units.
#include "runtime/ledger/shown.hpp"

#include <fmt/format.h>
#include <cmath>

#include "runtime/write/number.hpp"

namespace sprue {
namespace {

std::string base_unit(const Program& program, std::uint32_t base) {
  const std::string_view name = program.dimensions.base_name(base);
  if (name == "money") {
    return program.report_currency == no_currency
               ? "money"
               : std::string(program.text(program.units->currencies()[program.report_currency].name));
  }
  return program.units->base_unit_text(base);
}

/// The product of base units: "kg/pc", "1/s", "EUR/unit".
std::string unit_text(const Program& program, DimensionId dimension) {
  std::string over;
  std::string under;
  for (const Factor& factor : program.dimensions.factors(dimension)) {
    const std::string name = base_unit(program, factor.base);
    const int power = std::abs(factor.twelfths);
    std::string text = name;
    if (power != 12) text += power % 12 == 0 ? fmt::format("^{}", power / 12) : fmt::format("^{}", power / 12.0);
    if (factor.twelfths > 0) {
      over += (over.empty() ? "" : "*") + text;
    } else {
      under += "/" + text;
    }
  }
  if (over.empty() && !under.empty()) over = "1";
  return over + under;
}

}  // namespace

Shown shown_as(const Program& program, DimensionId dimension) {
  for (const Show& show : program.shows) {
    if (show.dimension == dimension)
      return {show.unit.empty() ? unit_text(program, dimension) : show.unit, show.factor, show.places};
  }
  Shown shown{unit_text(program, dimension), 1, 6};
  if (dimension == program.dimensions.money && program.report_currency != no_currency) {
    shown.places = program.units->currencies()[program.report_currency].places;
  }
  return shown;
}

Type shown_type(const Field& field) {
  Type type = field.type;
  if (field.percent_places >= 0 && type.tag == TypeTag::quantity)
    type.key = static_cast<DimensionId>(field.percent_places + 1);
  return type;
}

Type shown_type(const Program& program, FormulaId id) {
  const Formula& formula = program.formulas[id];
  if (formula.op != FormulaOp::get) return formula.type;
  const Type& holder = program.formulas[program.arguments[formula.first]].type;
  const Field& field = program.kinds[holder.id].fields[formula.a];
  return field.type == formula.type ? shown_type(field) : formula.type;
}

Type sides_type(const Program& program, FormulaId id) {
  const Formula& condition = program.formulas[id];
  const Type first = shown_type(program, program.arguments[condition.first]);
  if (percent_places(first) || condition.count < 2) return first;
  const Type second = shown_type(program, program.arguments[condition.first + 1]);
  return percent_places(second) ? second : first;
}

std::optional<int> percent_places(const Type& type) {
  if (type.tag != TypeTag::quantity || type.key == 0) return std::nullopt;
  return static_cast<int>(type.key) - 1;
}

Shown shown_as(const Program& program, const Type& type) {
  const std::optional<int> percent = percent_places(type);
  return percent ? Shown{"%", 0.01, *percent} : shown_as(program, type.id);
}

bool is_number(const Type& type) {
  return type.tag == TypeTag::quantity || type.tag == TypeTag::point || type.tag == TypeTag::flag ||
         type.tag == TypeTag::choice || type.tag == TypeTag::whole;
}

std::string text_of(const Program& program, const Type& type, double value) {
  switch (type.tag) {
    case TypeTag::flag:
      return value != 0 ? "yes" : "no";
    case TypeTag::choice:
      return std::string(program.text(program.choices[type.id][static_cast<std::size_t>(value)]));
    case TypeTag::whole:
      return decimal(value, 0);
    case TypeTag::point:
      if (type.id == program.dimensions.time) return iso_date(value);
      if (std::string_view name; const Unit* unit = program.units->point_unit(type.id, name)) {
        return fmt::format("{} {}", decimal(value - unit->zero, shown_as(program, type.id).places), name);
      }
      [[fallthrough]];
    case TypeTag::quantity: {
      const Shown shown = shown_as(program, type);
      return decimal(value / shown.factor, shown.places) + (shown.unit.empty() ? "" : " " + shown.unit);
    }
    default:
      return {};
  }
}

std::string difference_text(const Program& program, const Type& type, double value) {
  std::string text = text_of(program, type, value);
  if (percent_places(type)) text.replace(text.size() - 1, 1, "points");
  return text;
}

}  // namespace sprue
