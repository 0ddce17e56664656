// Tables for a width of so many characters: which columns stand, how wide, in how many blocks; texts broken into lines.
// Knows no format.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "runtime/view/document.hpp"

namespace sprue {

/// Characters of a text, each as wide as it is shown.
std::size_t shown_width(std::string_view text);

/// Lines of at most `width` characters, broken at blanks; a longer word behind `_`, `.` or `/`, or where it must be.
std::vector<std::string> broken(std::string_view text, std::size_t width);

/// As much as fits, with `…` for what does not.
std::string cut_short(std::string_view text, std::size_t width);

/// A table without the columns of numbers that are zero, or nothing, throughout; how many they were.
struct Trimmed {
  Table table;
  std::size_t left_out = 0;
};
Trimmed without_zero_columns(const Table& table);
/// The sentence that says so; empty where there are none.
std::string left_out_note(std::size_t columns);

/// Some of a table's columns, side by side within the width.
struct ColumnBlock {
  std::vector<std::size_t> columns;
  std::vector<std::size_t> widths;
};
/// Every column once, the first in each block.
std::vector<ColumnBlock> blocks_of(const Table& table, const std::vector<std::string>& heads,
                                   const std::vector<std::vector<std::string>>& cells, std::size_t width);

}  // namespace sprue
