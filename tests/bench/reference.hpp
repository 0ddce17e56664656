// W(N) as a C++ program written by hand: once, and over blocks of trials. The same formulas, the same rounding,
// compiled for the same instruction sets as the machine's kernels.
#pragma once

#include <span>
#include <vector>

#include "tests/bench/workload.hpp"

namespace sprue::bench {

struct Figures {
  double landed = 0, margin = 0, tooling = 0;
};

Figures evaluate_by_hand(const Workload& w);

/// One row of values for each uncertain input, by part in the order of the columns, then those of the product.
std::size_t uncertain_inputs(const Workload& w);

/// `rows` holds `count` values of each uncertain input; figures go to three rows.
void evaluate_block_by_hand(const Workload& w, std::span<const double* const> rows, std::size_t count, double* landed,
                            double* margin, double* tooling);

/// Landed cost at each volume, everything else as stated.
void sweep_by_hand(const Workload& w, std::span<const double> volumes, double* landed);

}  // namespace sprue::bench
