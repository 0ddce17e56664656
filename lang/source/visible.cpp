// One character after the other.
#include "lang/source/visible.hpp"

#include <fmt/format.h>

#include "lang/source/utf8.hpp"

namespace sprue {
namespace {

/// Of a well-formed sequence of `length` bytes.
unsigned code_point(const char* p, std::size_t length) {
  unsigned code = static_cast<unsigned char>(*p) & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) code = (code << 6U) | (static_cast<unsigned char>(p[i]) & 0x3FU);
  return code;
}

bool is_hidden(unsigned code) {
  const bool control = code < 0xA0;  // C1; those of one byte are looked at before
  const bool direction = code == 0x61C || code == 0x200E || code == 0x200F || (code >= 0x2028 && code <= 0x202E) ||
                         (code >= 0x2066 && code <= 0x2069);
  return control || direction;
}

}  // namespace

std::string visible(std::string_view text, bool keep_lines) {
  std::string out;
  out.reserve(text.size());
  const char* const end = text.data() + text.size();
  for (const char* p = text.data(); p != end;) {
    const auto byte = static_cast<unsigned char>(*p);
    if (byte < 0x80) {
      if (*p == '\t' || (*p == '\n' && !keep_lines)) {
        out += ' ';
      } else if ((byte < 0x20 && *p != '\n') || byte == 0x7F) {
        out += fmt::format("\\u{{{:X}}}", byte);
      } else {
        out += *p;
      }
      ++p;
      continue;
    }
    const std::size_t length = utf8_length(p, end);
    if (length == 0) {
      out += fmt::format("\\x{{{:02X}}}", byte);
      ++p;
      continue;
    }
    const unsigned code = code_point(p, length);
    if (is_hidden(code)) {
      out += fmt::format("\\u{{{:X}}}", code);
    } else {
      out.append(p, length);
    }
    p += length;
  }
  return out;
}

}  // namespace sprue
