// The facts behind an input: where it is stated, its range and its source.
#pragma once

#include <optional>
#include <string>

#include "lang/graph/lowered.hpp"

namespace sprue {

/// "exchange.USD".
std::string exchange_path(const Program& program, std::uint32_t currency);
/// "lid.body.weight", "exchange.USD".
std::string input_path(const Program& program, const Lowered& lowered, const InputOrigin& origin);

/// Type of the field; a ratio for an exchange rate.
Type input_type(const Program& program, const Lowered& lowered, const InputOrigin& origin);

/// The currency it is stated in; no_currency where it is no money, and for an exchange rate.
std::uint32_t currency_of(const Program& program, const Lowered& lowered, const InputOrigin& origin);

/// Whether a quantity counts things: pieces, units, tools, but not pieces a unit.
bool is_count(const Program& program, DimensionId dimension);

/// An input as text, in the currency it is stated in.
std::string input_text(const Program& program, const Lowered& lowered, const InputOrigin& origin, double value);

/// Range and source; nothing where neither is stated.
const Facts* facts_of(const Program& program, const Lowered& lowered, const InputOrigin& origin);

}  // namespace sprue
