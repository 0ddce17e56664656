// The loops, one for each op and choice of varying operands, written for the compiler to vectorize.
#include "runtime/machine/kernels.hpp"

#include <array>
#include <utility>

#include "lang/graph/arithmetic_operations.hpp"

namespace sprue {
namespace {

template <Op op, unsigned varying>
[[gnu::always_inline]] inline void loop(double* __restrict out, const double* a, const double* b, const double* c,
                                        std::size_t count) {
  constexpr int operands = arithmetic::operand_count(op);
  for (std::size_t i = 0; i < count; ++i) {
    const double x = (varying & varies_a) != 0 ? a[i] : *a;
    const double y = operands < 2 ? 0.0 : (varying & varies_b) != 0 ? b[i] : *b;
    const double z = operands < 3 ? 0.0 : (varying & varies_c) != 0 ? c[i] : *c;
    out[i] = arithmetic::operate<op>(x, y, z);
  }
}

// The same loop, compiled for each width.
template <Op op, unsigned varying>
void run_baseline(double* __restrict out, const double* a, const double* b, const double* c, std::size_t count) {
  loop<op, varying>(out, a, b, c, count);
}
template <Op op, unsigned varying>
SPRUE_AVX2 void run_avx2(double* __restrict out, const double* a, const double* b, const double* c, std::size_t count) {
  loop<op, varying>(out, a, b, c, count);
}
template <Op op, unsigned varying>
SPRUE_AVX512 void run_avx512(double* __restrict out, const double* a, const double* b, const double* c,
                             std::size_t count) {
  loop<op, varying>(out, a, b, c, count);
}

using Widths = std::array<Kernel, 3>;

template <Op op, unsigned varying>
constexpr Widths pick() {
  constexpr int operands = arithmetic::operand_count(op);
  constexpr unsigned choices = operands > 0 ? 1U << operands : 0;
  if constexpr (varying > 0 && varying < choices) {
    return {&run_baseline<op, varying>, &run_avx2<op, varying>, &run_avx512<op, varying>};
  }
  return {};
}

template <Op op, unsigned... varying>
constexpr std::array<Widths, 8> row(std::integer_sequence<unsigned, varying...>) {
  return {pick<op, varying>()...};
}

constexpr std::array kernels{
#define SPRUE_OP(name, operands) row<Op::name>(std::make_integer_sequence<unsigned, 8>{}),
    SPRUE_OPS(SPRUE_OP)
#undef SPRUE_OP
};

}  // namespace

Vectors widest_vectors() {
#if SPRUE_WIDE_VECTORS
  if (__builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512vl") && __builtin_cpu_supports("avx512bw")) {
    return Vectors::avx512;
  }
  if (__builtin_cpu_supports("avx2")) return Vectors::avx2;
#endif
  return Vectors::baseline;
}

Kernel kernel_of(Op op, unsigned varying, Vectors vectors) {
  return kernels[static_cast<std::size_t>(op)][varying][static_cast<std::size_t>(vectors)];
}

}  // namespace sprue
