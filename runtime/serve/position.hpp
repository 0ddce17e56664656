// Places as the protocol counts them: lines from 0, characters in UTF-16 or UTF-8 code units. Knows texts; knows no
// language.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "runtime/serve/json_value.hpp"

namespace sprue::serve {

enum class PositionEncoding : std::uint8_t { utf16, utf8 };

struct Position {
  std::uint32_t line = 0;
  std::uint32_t character = 0;
};

/// The lines of one text, which must stay where it is. Lines end in LF, CRLF or CR.
class Lines {
 public:
  Lines(std::string_view text, PositionEncoding encoding);

  Position position(std::uint32_t offset) const;
  /// A place behind the end of its line is the end of the line; behind the last line, the end of the text.
  std::uint32_t offset(Position position) const;
  Json range(std::uint32_t begin, std::uint32_t end) const;

 private:
  std::string_view text_;
  PositionEncoding encoding_;
  std::vector<std::uint32_t> starts_;
};

/// `{"line": …, "character": …}`; what is no number counts as 0.
Position position_of(const Json& json);
Json to_json(Position position);

/// In code units of the encoding.
std::uint32_t length_of(std::string_view text, PositionEncoding encoding);

}  // namespace sprue::serve
