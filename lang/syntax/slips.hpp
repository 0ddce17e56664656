// The usual slips of people who come from other notations: reported with what to write instead, and read as they were
// meant. Knows what beginners write; knows no rule.
#pragma once

#include <cstdint>
#include <string_view>

#include "lang/syntax/builder.hpp"

namespace sprue::slips {

// Literals. Each pushes the leaf that is meant and returns the offset behind it, or returns 0 where there is no slip.

/// What may not follow the digits of the number from `begin` to `end`: a unit without a space, ` %`, a decimal comma,
/// more points, a date in another order.
std::uint32_t number_tail(TreeBuilder& b, std::uint32_t begin, std::uint32_t end, Number number);
/// Spaces inside the unit that stands from `unit` to `end`.
std::uint32_t spaced_unit(TreeBuilder& b, std::uint32_t begin, std::uint32_t unit, std::uint32_t end, Number number);
std::uint32_t spaced_dims(TreeBuilder& b, std::uint32_t begin, std::uint32_t end);
/// A text in other quotes.
std::uint32_t odd_quoted(TreeBuilder& b, std::uint32_t begin);
std::uint32_t unterminated(TreeBuilder& b, std::uint32_t begin);

// Reported only; the reader goes on.
void unknown_escape(TreeBuilder& b, std::uint32_t at);
void no_such_day(TreeBuilder& b, std::uint32_t begin, std::uint32_t end);
void conditional_inside(TreeBuilder& b, std::uint32_t at);
/// A declared name with capitals or `-`; returns where it ends.
std::uint32_t new_name(TreeBuilder& b, std::uint32_t begin, std::uint32_t end);

/// An operator of another notation: the one that is meant, and its length; 0 where there is none.
struct Meant {
  Operator op = Operator::none;
  std::uint32_t length = 0;
};
Meant binary_operator(TreeBuilder& b, std::uint32_t at);
Meant prefix_operator(TreeBuilder& b, std::uint32_t at);

/// A sign that stands where `wanted` (`:` or `=`) belongs, `typed` where a type follows; its length, or 0.
std::uint32_t wrong_sign(TreeBuilder& b, std::uint32_t at, char wanted, bool typed);

/// A comment of another language or a `;`, behind which reading goes on; `at` itself where there is none.
bool is_foreign_end(const char* p);
std::uint32_t foreign_end(TreeBuilder& b, std::uint32_t at);

/// A block whose `{` stands on a later line or is missing.
struct BlockStart {
  bool found = false;
  std::uint32_t opener = 0;
  std::uint32_t end = 0;
};
BlockStart block_start(TreeBuilder& b, std::uint32_t at);

}  // namespace sprue::slips
