// The loops, one for each op and choice of varying operands, written for the compiler to vectorize.
#include "runtime/machine/kernels.hpp"

#include <array>
#include <utility>

#include "lang/graph/arithmetic_operations.hpp"

namespace sprue {
namespace {

using arithmetic::operand_count;

template <Op op, unsigned varying>
void run(double* __restrict out, const double* a, const double* b, const double* c, std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) {
    const double x = (varying & varies_a) != 0 ? a[i] : *a;
    const double y = operand_count(op) < 2 ? 0.0 : (varying & varies_b) != 0 ? b[i] : *b;
    const double z = operand_count(op) < 3 ? 0.0 : (varying & varies_c) != 0 ? c[i] : *c;
    out[i] = arithmetic::operate<op>(x, y, z);
  }
}

template <Op op, unsigned varying>
constexpr Kernel pick() {
  constexpr unsigned choices = operand_count(op) > 0 ? 1U << operand_count(op) : 0;
  if constexpr (varying > 0 && varying < choices) return &run<op, varying>;
  return nullptr;
}

template <Op op, unsigned... varying>
constexpr std::array<Kernel, 8> row(std::integer_sequence<unsigned, varying...>) {
  return {pick<op, varying>()...};
}

constexpr std::array kernels{
#define SPRUE_OP(name, operands) row<Op::name>(std::make_integer_sequence<unsigned, 8>{}),
    SPRUE_OPS(SPRUE_OP)
#undef SPRUE_OP
};

}  // namespace

Kernel kernel_of(Op op, unsigned varying) { return kernels[static_cast<std::size_t>(op)][varying]; }

}  // namespace sprue
