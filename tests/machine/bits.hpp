// Comparing doubles bit for bit. All that is not a number counts as the same.
#pragma once

#include <bit>
#include <cmath>
#include <cstdint>

namespace sprue::testing {

inline std::uint64_t bits(double x) {
  return std::isnan(x) ? 0x7FF8000000000000U : std::bit_cast<std::uint64_t>(x);
}
inline bool same_bits(double a, double b) {
  return bits(a) == bits(b);
}

}  // namespace sprue::testing
