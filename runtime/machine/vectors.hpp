// How wide the processor's vectors are, and how a function is compiled for each width. All widths give the same bits:
// none fuses or reorders arithmetic.
#pragma once

#include <cstdint>

#if defined(__x86_64__) && defined(__GNUC__)
#define SPRUE_AVX2 [[gnu::target("avx2")]]
#if defined(__clang__)
#define SPRUE_AVX512 [[gnu::target("avx512f,avx512dq,avx512vl,avx512bw")]]
#else
#define SPRUE_AVX512 [[gnu::target("avx512f,avx512dq,avx512vl,avx512bw,prefer-vector-width=512")]]
#endif
#define SPRUE_WIDE_VECTORS 1
#else
#define SPRUE_AVX2
#define SPRUE_AVX512
#define SPRUE_WIDE_VECTORS 0
#endif

namespace sprue {

/// How many lanes an instruction takes.
enum class Vectors : std::uint8_t { baseline, avx2, avx512 };

/// The widest this processor has.
Vectors widest_vectors();

}  // namespace sprue
