// The recurrence m(k) = 2 a1 m(k-1) ^ 4 a2 m(k-2) ^ … ^ 2^s m(k-s) ^ m(k-s) of each dimension's polynomial.
#include "runtime/study/sobol.hpp"

#include <array>
#include <bit>
#include <initializer_list>
#include <vector>

namespace sprue {
namespace {

using Directions = std::array<std::uint32_t, 32>;

/// `polynomial` has a bit for each power, the leading and the constant one included.
Directions directions(std::uint32_t polynomial, std::initializer_list<std::uint32_t> initial) {
  Directions v{};
  const auto degree = static_cast<std::size_t>(std::bit_width(polynomial) - 1);
  std::array<std::uint32_t, 32> m{};
  std::size_t k = 0;
  for (const std::uint32_t number : initial) m[k++] = number;
  for (; k < 32; ++k) {
    if (degree == 0) {  // the first dimension: all ones
      m[k] = 1;
      continue;
    }
    m[k] = m[k - degree] ^ (m[k - degree] << degree);
    for (std::size_t i = 1; i < degree; ++i) {
      if ((polynomial >> (degree - i) & 1U) != 0) m[k] ^= m[k - i] << i;
    }
  }
  for (std::size_t i = 0; i < 32; ++i) v[i] = m[i] << (31 - i);
  return v;
}

const std::vector<Directions>& table() {
  static const std::vector<Directions> all{
#define SPRUE_SOBOL(polynomial, ...) directions(polynomial, {__VA_ARGS__}),
#include "runtime/study/sobol_directions.def"
#undef SPRUE_SOBOL
  };
  return all;
}

}  // namespace

std::size_t sobol_dimensions() {
  return table().size();
}

std::uint32_t sobol_bits(std::size_t dimension, std::uint32_t index) {
  const Directions& v = table()[dimension];
  std::uint32_t bits = 0;
  std::size_t i = 0;
  for (std::uint32_t gray = index ^ (index >> 1U); gray != 0; gray >>= 1U, ++i) {
    if ((gray & 1U) != 0) bits ^= v[i];
  }
  return bits;
}

}  // namespace sprue
