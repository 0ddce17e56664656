// A block of Philox serves two places: 64 bits each.
#include "runtime/study/philox.hpp"

#include <bit>

#include "runtime/machine/vectors.hpp"

#if SPRUE_WIDE_VECTORS
#if defined(__GNUC__) && !defined(__clang__)
// GCC 12 warns falsely of its own intrinsics.
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif
#include <immintrin.h>
#endif

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

void fill_baseline(const Stream& stream, std::uint64_t first, std::size_t blocks, double* out) {
  for (std::size_t done = 0; done < blocks; ++done) {
    const PhiloxCounter words = block_at(stream, first + done);
    out[2 * done] = unit_interval(half_of(words, 0));
    out[2 * done + 1] = unit_interval(half_of(words, 1));
  }
}

#if SPRUE_WIDE_VECTORS
// Blocks side by side, a word in each 64-bit lane: the multiplication takes the lower half of a lane and gives all of
// it, so what is left in the upper halves does no harm until the end. Compilers do not find this by themselves.
constexpr std::size_t chains = 4;  // that do not wait for each other

SPRUE_AVX2 void fill_avx2(const Stream& stream, std::uint64_t first, std::size_t blocks, double* out) {
  constexpr std::size_t lanes = 4;
  const __m256i a_factor = _mm256_set1_epi64x(0xD2511F53);
  const __m256i b_factor = _mm256_set1_epi64x(0xCD9E8D57);
  const __m256i lower = _mm256_set1_epi64x(0xFFFFFFFF);
  const __m256i one = _mm256_set1_epi64x(0x3FF0000000000000);
  const auto unit = _mm256_set1_pd(0x1.fffffffffffffp-1);
  std::size_t done = 0;
  for (; done + chains * lanes <= blocks; done += chains * lanes) {
    alignas(64) std::uint64_t start[chains * lanes];
    for (std::size_t i = 0; i < chains * lanes; ++i) start[i] = first + done + i;
    __m256i x0[chains];
    __m256i x1[chains];
    __m256i x2[chains];
    __m256i x3[chains];
    for (std::size_t c = 0; c < chains; ++c) {
      x0[c] = _mm256_load_si256(reinterpret_cast<const __m256i*>(start + c * lanes));
      x1[c] = _mm256_srli_epi64(x0[c], 32);
      x2[c] = _mm256_set1_epi64x(static_cast<long long>(stream.name));
      x3[c] = _mm256_srli_epi64(x2[c], 32);
    }
    auto key0 = static_cast<std::uint32_t>(stream.seed);
    auto key1 = static_cast<std::uint32_t>(stream.seed >> 32U);
    for (int round = 0; round < 10; ++round) {
      for (std::size_t c = 0; c < chains; ++c) {
        const __m256i a = _mm256_mul_epu32(x0[c], a_factor);
        const __m256i b = _mm256_mul_epu32(x2[c], b_factor);
        x0[c] = _mm256_xor_si256(_mm256_srli_epi64(b, 32), _mm256_xor_si256(x1[c], _mm256_set1_epi64x(key0)));
        x2[c] = _mm256_xor_si256(_mm256_srli_epi64(a, 32), _mm256_xor_si256(x3[c], _mm256_set1_epi64x(key1)));
        x1[c] = b;
        x3[c] = a;
      }
      key0 += 0x9E3779B9U;
      key1 += 0xBB67AE85U;
    }
    alignas(64) double even[chains * lanes];
    alignas(64) double odd[chains * lanes];
    for (std::size_t c = 0; c < chains; ++c) {
      const __m256i first_half = _mm256_or_si256(_mm256_slli_epi64(x1[c], 32), _mm256_and_si256(x0[c], lower));
      const __m256i second_half = _mm256_or_si256(_mm256_slli_epi64(x3[c], 32), _mm256_and_si256(x2[c], lower));
      _mm256_store_pd(
          even + c * lanes,
          _mm256_sub_pd(_mm256_castsi256_pd(_mm256_or_si256(_mm256_srli_epi64(first_half, 12), one)), unit));
      _mm256_store_pd(
          odd + c * lanes,
          _mm256_sub_pd(_mm256_castsi256_pd(_mm256_or_si256(_mm256_srli_epi64(second_half, 12), one)), unit));
    }
    for (std::size_t i = 0; i < chains * lanes; ++i) {
      out[2 * (done + i)] = even[i];
      out[2 * (done + i) + 1] = odd[i];
    }
  }
  fill_baseline(stream, first + done, blocks - done, out + 2 * done);
}
SPRUE_AVX512 void fill_avx512(const Stream& stream, std::uint64_t first, std::size_t blocks, double* out) {
  constexpr std::size_t lanes = 8;
  const __m512i a_factor = _mm512_set1_epi64(0xD2511F53);
  const __m512i b_factor = _mm512_set1_epi64(0xCD9E8D57);
  const __m512i lower = _mm512_set1_epi64(0xFFFFFFFF);
  const __m512i one = _mm512_set1_epi64(0x3FF0000000000000);
  const auto unit = _mm512_set1_pd(0x1.fffffffffffffp-1);
  std::size_t done = 0;
  for (; done + chains * lanes <= blocks; done += chains * lanes) {
    alignas(64) std::uint64_t start[chains * lanes];
    for (std::size_t i = 0; i < chains * lanes; ++i) start[i] = first + done + i;
    __m512i x0[chains];
    __m512i x1[chains];
    __m512i x2[chains];
    __m512i x3[chains];
    for (std::size_t c = 0; c < chains; ++c) {
      x0[c] = _mm512_load_si512(reinterpret_cast<const __m512i*>(start + c * lanes));
      x1[c] = _mm512_srli_epi64(x0[c], 32);
      x2[c] = _mm512_set1_epi64(static_cast<long long>(stream.name));
      x3[c] = _mm512_srli_epi64(x2[c], 32);
    }
    auto key0 = static_cast<std::uint32_t>(stream.seed);
    auto key1 = static_cast<std::uint32_t>(stream.seed >> 32U);
    for (int round = 0; round < 10; ++round) {
      for (std::size_t c = 0; c < chains; ++c) {
        const __m512i a = _mm512_mul_epu32(x0[c], a_factor);
        const __m512i b = _mm512_mul_epu32(x2[c], b_factor);
        x0[c] = _mm512_xor_si512(_mm512_srli_epi64(b, 32), _mm512_xor_si512(x1[c], _mm512_set1_epi64(key0)));
        x2[c] = _mm512_xor_si512(_mm512_srli_epi64(a, 32), _mm512_xor_si512(x3[c], _mm512_set1_epi64(key1)));
        x1[c] = b;
        x3[c] = a;
      }
      key0 += 0x9E3779B9U;
      key1 += 0xBB67AE85U;
    }
    alignas(64) double even[chains * lanes];
    alignas(64) double odd[chains * lanes];
    for (std::size_t c = 0; c < chains; ++c) {
      const __m512i first_half = _mm512_or_si512(_mm512_slli_epi64(x1[c], 32), _mm512_and_si512(x0[c], lower));
      const __m512i second_half = _mm512_or_si512(_mm512_slli_epi64(x3[c], 32), _mm512_and_si512(x2[c], lower));
      _mm512_store_pd(
          even + c * lanes,
          _mm512_sub_pd(_mm512_castsi512_pd(_mm512_or_si512(_mm512_srli_epi64(first_half, 12), one)), unit));
      _mm512_store_pd(
          odd + c * lanes,
          _mm512_sub_pd(_mm512_castsi512_pd(_mm512_or_si512(_mm512_srli_epi64(second_half, 12), one)), unit));
    }
    for (std::size_t i = 0; i < chains * lanes; ++i) {
      out[2 * (done + i)] = even[i];
      out[2 * (done + i) + 1] = odd[i];
    }
  }
  fill_baseline(stream, first + done, blocks - done, out + 2 * done);
}
#endif

using Fill = void (*)(const Stream&, std::uint64_t, std::size_t, double*);

Fill fill_of([[maybe_unused]] Vectors vectors) {
#if SPRUE_WIDE_VECTORS
  if (vectors == Vectors::avx512) return fill_avx512;
  if (vectors == Vectors::avx2) return fill_avx2;
#endif
  return fill_baseline;
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

void uniform_row(const Stream& stream, std::uint64_t first, std::size_t count, double* out, Vectors vectors) {
  if (count > 0 && first % 2 != 0) {
    *out++ = uniform_at(stream, first++);
    --count;
  }
  fill_of(vectors)(stream, first / 2, count / 2, out);
  if (count % 2 != 0) out[count - 1] = uniform_at(stream, first + count - 1);
}

}  // namespace sprue
