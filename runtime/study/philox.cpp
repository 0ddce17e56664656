// A block of Philox serves two places: 64 bits each.
#include "runtime/study/philox.hpp"

#include <bit>

#include "runtime/machine/vectors.hpp"

namespace sprue {
namespace {

/// 52 bits and a half between 0 and 1: the bits of a double between 1 and 2, less a little less than 1.
[[gnu::always_inline]] inline double unit_interval(std::uint64_t bits) {
  return std::bit_cast<double>((bits >> 12U) | 0x3FF0000000000000U) - 0x1.fffffffffffffp-1;
}

[[gnu::always_inline]] inline PhiloxCounter block_at(const Stream& stream, std::uint64_t block) {
  return philox({static_cast<std::uint32_t>(block), static_cast<std::uint32_t>(block >> 32U),
                 static_cast<std::uint32_t>(stream.name), static_cast<std::uint32_t>(stream.name >> 32U)},
                {static_cast<std::uint32_t>(stream.seed), static_cast<std::uint32_t>(stream.seed >> 32U)});
}

[[gnu::always_inline]] inline std::uint64_t half_of(const PhiloxCounter& words, std::uint64_t place) {
  return (place & 1U) == 0 ? (std::uint64_t{words[1]} << 32U) | words[0] : (std::uint64_t{words[3]} << 32U) | words[2];
}

/// Whole blocks, written for the compiler to vectorize: rounds outside, blocks inside.
[[gnu::always_inline]] inline void fill_blocks(const Stream& stream, std::uint64_t first, std::size_t blocks,
                                               double* out) {
  constexpr std::size_t group = 16;
  std::size_t done = 0;
  for (; done + group <= blocks; done += group) {
    std::uint64_t x0[group];
    std::uint64_t x1[group];
    std::uint64_t x2[group];
    std::uint64_t x3[group];
    for (std::size_t i = 0; i < group; ++i) {
      const std::uint64_t block = first + done + i;
      x0[i] = block & 0xFFFFFFFFU;
      x1[i] = block >> 32U;
      x2[i] = stream.name & 0xFFFFFFFFU;
      x3[i] = stream.name >> 32U;
    }
    auto key0 = static_cast<std::uint32_t>(stream.seed);
    auto key1 = static_cast<std::uint32_t>(stream.seed >> 32U);
    for (int round = 0; round < 10; ++round) {
      for (std::size_t i = 0; i < group; ++i) {
        const std::uint64_t a = (x0[i] & 0xFFFFFFFFU) * 0xD2511F53U;
        const std::uint64_t b = (x2[i] & 0xFFFFFFFFU) * 0xCD9E8D57U;
        x0[i] = (b >> 32U) ^ x1[i] ^ key0;
        x1[i] = b & 0xFFFFFFFFU;
        x2[i] = (a >> 32U) ^ x3[i] ^ key1;
        x3[i] = a & 0xFFFFFFFFU;
      }
      key0 += 0x9E3779B9U;
      key1 += 0xBB67AE85U;
    }
    for (std::size_t i = 0; i < group; ++i) {
      out[2 * (done + i)] = unit_interval((x1[i] << 32U) | (x0[i] & 0xFFFFFFFFU));
      out[2 * (done + i) + 1] = unit_interval((x3[i] << 32U) | (x2[i] & 0xFFFFFFFFU));
    }
  }
  for (; done < blocks; ++done) {
    const PhiloxCounter words = block_at(stream, first + done);
    out[2 * done] = unit_interval(half_of(words, 0));
    out[2 * done + 1] = unit_interval(half_of(words, 1));
  }
}

void fill_baseline(const Stream& stream, std::uint64_t first, std::size_t blocks, double* out) {
  fill_blocks(stream, first, blocks, out);
}
SPRUE_AVX2 void fill_avx2(const Stream& stream, std::uint64_t first, std::size_t blocks, double* out) {
  fill_blocks(stream, first, blocks, out);
}
SPRUE_AVX512 void fill_avx512(const Stream& stream, std::uint64_t first, std::size_t blocks, double* out) {
  fill_blocks(stream, first, blocks, out);
}

using Fill = void (*)(const Stream&, std::uint64_t, std::size_t, double*);

Fill widest_fill() {
  switch (widest_vectors()) {
    case Vectors::avx512:
      return fill_avx512;
    case Vectors::avx2:
      return fill_avx2;
    default:
      return fill_baseline;
  }
}

}  // namespace

std::uint64_t name_of_stream(std::string_view text) {
  // FNV-1a, then mixed so that names that differ little end far apart.
  std::uint64_t hash = 0xCBF29CE484222325U;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001B3U;
  hash = (hash ^ (hash >> 30U)) * 0xBF58476D1CE4E5B9U;
  hash = (hash ^ (hash >> 27U)) * 0x94D049BB133111EBU;
  return hash ^ (hash >> 31U);
}

double uniform_at(const Stream& stream, std::uint64_t place) {
  return unit_interval(half_of(block_at(stream, place / 2), place));
}

void uniform_row(const Stream& stream, std::uint64_t first, std::size_t count, double* out) {
  if (count > 0 && first % 2 != 0) {
    *out++ = uniform_at(stream, first++);
    --count;
  }
  widest_fill()(stream, first / 2, count / 2, out);
  if (count % 2 != 0) out[count - 1] = uniform_at(stream, first + count - 1);
}

}  // namespace sprue
