// The least running sum over dated amounts, for the list operations. Knows numbers only.
#pragma once

#include <cstdint>
#include <span>

#include "lang/graph/arithmetic_core.hpp"

namespace sprue {

struct DatedAmount {
  double date = 0;
  double amount = 0;
  std::uint32_t rank = 0;  // place among the operands, which orders equal dates
};

struct Lowest {
  double sum = 0;   // at most 0
  double date = 0;  // the first at which it is reached; the first of all where
                    // it is 0; 0 without any
};

/// Whether a running sum lies below an earlier one by more than sums differ that should be equal: the tolerance of the
/// language, taken of the largest sum passed until then.
inline bool undercuts(double sum, double earlier, double largest) {
  return earlier - sum > arithmetic::core::tolerance * largest;
}

/// Puts the steps in order. Not a number where a date or the sum of the amounts is not.
Lowest lowest(std::span<DatedAmount> steps);

/// Orders the steps unless a date is not a number: then false.
bool order_by_date(std::span<DatedAmount> steps);

}  // namespace sprue
