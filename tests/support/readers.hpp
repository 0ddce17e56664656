// Strict readers of what the writers write, for tests: each says what is wrong with a text, or nothing. They share no
// code with the writers.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace sprue::testing {

/// RFC 8259: one value and nothing else.
std::string json_problem(std::string_view text);

/// RFC 4180: the rows; none where the text is no CSV.
std::vector<std::vector<std::string>> csv_rows(std::string_view text);

/// Tags close in the order they were opened; only void ones stay open; attributes are quoted.
std::string html_problem(std::string_view text);

/// Whether a number that is none was printed: `nan` or `inf` as a word of its own.
bool has_no_number(std::string_view text);

}  // namespace sprue::testing
