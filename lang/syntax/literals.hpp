// Reads names, dimensions, numbers, dates and texts into leaves, and reports those that are not well formed. Knows how
// words are written; knows no statement.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

#include "lang/syntax/builder.hpp"

namespace sprue {

// Each reads at `at`, pushes the leaf and returns the offset behind it; 0 where nothing of the sort begins.
std::uint32_t read_name(TreeBuilder& builder, std::uint32_t at);  // a reference; no joining word
/// The same for a kind, whose name begins statements: no word that does already.
std::uint32_t read_kind_name(TreeBuilder& b, std::uint32_t at);
std::uint32_t read_new_name(TreeBuilder& builder, std::uint32_t at);  // one that is declared: lower_snake
std::uint32_t read_dims(TreeBuilder& builder, std::uint32_t at);
std::uint32_t read_integer(TreeBuilder& builder, std::uint32_t at);
std::uint32_t read_number(TreeBuilder& builder, std::uint32_t at);
std::uint32_t read_date(TreeBuilder& builder, std::uint32_t at);
std::uint32_t read_string(TreeBuilder& builder, std::uint32_t at);

/// `name: 4.20 EUR/kg` and nothing more before the entry ends: what large files are made of, read in one go.
std::uint32_t read_plain_given(TreeBuilder& builder, std::uint32_t at);

/// Days since 1970-01-01 of `2026-10-05`; nothing where that is no day of the calendar, which is the Gregorian from its
/// first whole year, 1583, on: ISO 8601-1:2019, 4.3.2 leaves years before it to mutual agreement.
std::optional<std::int32_t> day_of(std::string_view text);

}  // namespace sprue
