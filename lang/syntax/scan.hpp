// One quick pass over a text before it is parsed: its comments, bytes that cannot stand in it, and whether its braces
// balance. Knows strings and comments; knows no grammar.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "lang/syntax/tree.hpp"

namespace sprue {

inline constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

struct BadByte {
  std::uint32_t begin = 0;
  std::uint32_t end = 0;
};

struct Scan {
  std::vector<Comment> comments;
  std::vector<BadByte> bad;  // at most one a line
  std::size_t unclosed = 0;  // `{` without a `}`
  std::size_t unopened = 0;  // `}` without a `{`
};

Scan scan(std::string_view text);

}  // namespace sprue
