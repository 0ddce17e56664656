// The meaning of each operation of the graph on plain numbers, for every op that is not a leaf or a list: one
// definition for folding, for one lane and for many.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>

#include "lang/graph/arithmetic.hpp"
#include "lang/graph/arithmetic_core.hpp"
#include "lang/graph/graph.hpp"

namespace sprue::arithmetic {

inline constexpr std::array operand_counts{
#define SPRUE_OP(name, operands) operands,
    SPRUE_OPS(SPRUE_OP)
#undef SPRUE_OP
};

/// As info(op).operands.
constexpr int operand_count(Op op) {
  return operand_counts[static_cast<std::size_t>(op)];
}

/// Operands an op does not have are ignored.
template <Op op>
[[gnu::always_inline]] inline double operate(double a, [[maybe_unused]] double b, [[maybe_unused]] double c) {
  // clang-format off
  if constexpr (op == Op::add) return a + b;
  else if constexpr (op == Op::subtract) return a - b;
  else if constexpr (op == Op::multiply) return a * b;
  else if constexpr (op == Op::divide) return a / b;
  else if constexpr (op == Op::negate) return -a;
  else if constexpr (op == Op::minimum) return core::minimum(a, b);
  else if constexpr (op == Op::maximum) return core::maximum(a, b);
  else if constexpr (op == Op::absolute) return std::fabs(a);
  else if constexpr (op == Op::ceiling) return core::ceiling(a);
  else if constexpr (op == Op::floor) return core::floor(a);
  else if constexpr (op == Op::round) return core::round(a);
  else if constexpr (op == Op::square_root) return std::sqrt(a);
  else if constexpr (op == Op::exponential) return core::exponential(a);
  else if constexpr (op == Op::logarithm) return core::logarithm(a);
  else if constexpr (op == Op::logarithm10) return core::logarithm10(a);
  else if constexpr (op == Op::power) return core::power(a, b);
  else if constexpr (op == Op::less) return core::flag(a < b);
  else if constexpr (op == Op::less_equal) return core::flag(a <= b);
  else if constexpr (op == Op::equal) return core::flag(a == b);
  else if constexpr (op == Op::near_less) return core::near_less(a, b);
  else if constexpr (op == Op::near_less_equal) return core::near_less_equal(a, b);
  else if constexpr (op == Op::near_equal) return core::near_equal(a, b);
  else if constexpr (op == Op::logical_and) return a != 0.0 ? core::flag(b != 0.0) : 0.0;
  else if constexpr (op == Op::logical_or) return a != 0.0 ? 1.0 : core::flag(b != 0.0);
  else if constexpr (op == Op::logical_not) return core::flag(a == 0.0);
  else if constexpr (op == Op::select) return a != 0.0 ? b : c;
  else return months_after(a, b);
  // clang-format on
}

}  // namespace sprue::arithmetic
