// Philox4x32-10: random bits as a pure function of a counter and a key. J. K. Salmon, M. A. Moraes, R. O. Dror, D. E.
// Shaw, Parallel random numbers: as easy as 1, 2, 3 (SC11, 2011).
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

#include "runtime/machine/vectors.hpp"

namespace sprue {

using PhiloxCounter = std::array<std::uint32_t, 4>;
using PhiloxKey = std::array<std::uint32_t, 2>;

constexpr PhiloxCounter philox(PhiloxCounter counter, PhiloxKey key) {
  for (int round = 0; round < 10; ++round) {
    const std::uint64_t a = std::uint64_t{0xD2511F53} * counter[0];
    const std::uint64_t b = std::uint64_t{0xCD9E8D57} * counter[2];
    counter = {static_cast<std::uint32_t>(b >> 32U) ^ counter[1] ^ key[0], static_cast<std::uint32_t>(b),
               static_cast<std::uint32_t>(a >> 32U) ^ counter[3] ^ key[1], static_cast<std::uint32_t>(a)};
    key[0] += 0x9E3779B9;
    key[1] += 0xBB67AE85;
  }
  return counter;
}

/// A stream of numbers: what it is for, and the seed of the run.
struct Stream {
  std::uint64_t seed = 0;
  std::uint64_t name = 0;  // name_of_stream()
};

/// 64 bits of a name, such as an input's path.
std::uint64_t name_of_stream(std::string_view text);

/// The number between 0 and 1, neither of them, at a place of a stream.
double uniform_at(const Stream& stream, std::uint64_t place);

/// The same for `count` places from `first` on; every width gives the same.
void uniform_row(const Stream& stream, std::uint64_t first, std::size_t count, double* out,
                 Vectors vectors = widest_vectors());

}  // namespace sprue
