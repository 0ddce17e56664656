// What a range says about a value: distributions by their quantiles.
#pragma once

#include <cstddef>
#include <cstdint>

#include "runtime/machine/vectors.hpp"

namespace sprue {

enum class Shape : std::uint8_t { triangular, pert, uniform, normal };

/// Triangular and PERT: from low over the mode to high (PERT: the beta distribution with mean (low + 4 mode + high) /
/// 6). Uniform: from low to high. Normal: mean `mode`, standard deviation (high - low) / 2.
struct Distribution {
  Shape shape{};
  double low = 0, mode = 0, high = 0;
};

double mean_of(const Distribution& distribution);
double variance_of(const Distribution& distribution);

/// The value below which a share `p` of all lies, 0 < p < 1.
double quantile_of(const Distribution& distribution, double p);

/// Each share of the row becomes its quantile; every width gives the same.
void quantiles_of_row(const Distribution& distribution, std::size_t count, double* row,
                      Vectors vectors = widest_vectors());

}  // namespace sprue
