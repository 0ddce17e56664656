// The facts behind an input: where it is stated, its range and its source.
#pragma once

#include <optional>
#include <string>

#include "lang/graph/lowered.hpp"
#include "runtime/ledger/shown.hpp"

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

/// Whether values of a type come in whole steps: days, whole numbers, counted things.
bool is_stepped(const Program& program, const Type& type);

/// How an input is shown: as its dimension is, in the currency that it is stated in. Dates have their day as number.
Shown input_shown(const Program& program, const Lowered& lowered, const InputOrigin& origin);
/// An input as text, in the currency it is stated in.
std::string input_text(const Program& program, const Lowered& lowered, const InputOrigin& origin, double value);

/// Whether somebody stated it: it is written in the program's own files, and no default of the library.
bool is_stated(const Program& program, const Lowered& lowered, const InputOrigin& origin);

/// Range and source; nothing where neither is stated.
const Facts* facts_of(const Program& program, const Lowered& lowered, const InputOrigin& origin);

}  // namespace sprue
