// How a value is shown: which unit, how many decimals. Decided by declarations alone, never by the value.
#pragma once

#include <string>

#include "lang/check/model.hpp"

namespace sprue {

/// `value / factor` with `places` decimals, then the unit's text (empty for ratios).
struct Shown {
  std::string unit;
  double factor = 1;
  int places = 6;
};

Shown shown_as(const Program& program, DimensionId dimension);

/// True for what has a node of the graph as value.
bool is_number(const Type& type);

/// "12.3456 EUR/unit", "2026-10-05", "yes", "air".
std::string text_of(const Program& program, const Type& type, double value);

}  // namespace sprue
