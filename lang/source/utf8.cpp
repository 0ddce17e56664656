// By the first byte, then by what may follow it.
#include "lang/source/utf8.hpp"

namespace sprue {

std::size_t utf8_length(const char* p, const char* end) {
  const auto byte = [&](std::ptrdiff_t i) { return p + i < end ? static_cast<unsigned char>(p[i]) : 0U; };
  const auto follows = [&](std::ptrdiff_t i) { return (byte(i) & 0xC0U) == 0x80U; };
  const unsigned first = byte(0);
  if (first >= 0xC2 && first <= 0xDF) return follows(1) ? 2 : 0;
  if (first >= 0xE0 && first <= 0xEF) {
    if (!follows(1) || !follows(2)) return 0;
    if ((first == 0xE0 && byte(1) < 0xA0) || (first == 0xED && byte(1) > 0x9F)) return 0;
    return 3;
  }
  if (first >= 0xF0 && first <= 0xF4) {
    if (!follows(1) || !follows(2) || !follows(3)) return 0;
    if ((first == 0xF0 && byte(1) < 0x90) || (first == 0xF4 && byte(1) > 0x8F)) return 0;
    return 4;
  }
  return 0;
}

}  // namespace sprue
