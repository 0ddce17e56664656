// One operation over a block of lanes. Knows arrays of doubles; no graph beyond its list of ops.
#pragma once

#include <cstddef>
#include <cstdint>

#include "lang/graph/graph.hpp"
#include "runtime/machine/vectors.hpp"

namespace sprue {

/// out[i] = op(a[i], b[i], c[i]). An operand that is the same in all lanes is read at its first place only. `out`
/// overlaps no operand.
using Kernel = void (*)(double* out, const double* a, const double* b, const double* c, std::size_t count);

/// Bits of the operands that vary by lane.
inline constexpr unsigned varies_a = 1;
inline constexpr unsigned varies_b = 2;
inline constexpr unsigned varies_c = 4;

/// The kernel of an op that is not a leaf or a list, with at least one operand that varies.
Kernel kernel_of(Op op, unsigned varying, Vectors vectors);

}  // namespace sprue
