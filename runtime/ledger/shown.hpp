// How a value is shown: which unit, how many decimals. Decided by declarations alone, never by the value.
#pragma once

#include <optional>
#include <string>

#include "lang/check/model.hpp"

namespace sprue {

/// `(value - zero) / factor` with `places` decimals, then the unit's text (empty for ratios).
struct Shown {
  std::string unit;
  double factor = 1;
  int places = 6;
  double zero = 0;  // of points, of temperature for example
};

Shown shown_as(const Program& program, DimensionId dimension);

/// A field's type as people see it: a ratio that `show … in percent` names says so in its `key`, which a quantity does
/// not use otherwise. What is shown of a type without it is the plain number.
Type shown_type(const Field& field);
/// The same of an expression: a percentage where it is such a field.
Type shown_type(const Program& program, FormulaId formula);
/// The type in which both sides of a comparison are shown: a percentage where one of them is.
Type sides_type(const Program& program, FormulaId condition);
/// Decimals of a type's percentage; none: it is not shown in percent.
std::optional<int> percent_places(const Type& type);
Shown shown_as(const Program& program, const Type& type);

/// True for what has a node of the graph as value.
bool is_number(const Type& type);

/// "12.3456 EUR/unit", "2026-10-05", "yes", "air".
std::string text_of(const Program& program, const Type& type, double value);
/// Of two quantities: of percentages in points.
std::string difference_text(const Program& program, const Type& type, double value);

}  // namespace sprue
