// Dividing a difference fairly among what caused it: Shapley values (Shapley 1953, "A value for n-person games").
// Knows numbers only.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

namespace sprue {

/// The Shapley value of each player. `values[s]` is what the set of players s is worth, bit by bit; there are
/// 2^players.
std::vector<double> shapley_values(std::span<const double> values, unsigned players);

/// `pairs` random orders of the players, each followed by its reverse. The same for the same numbers, everywhere.
std::vector<std::vector<std::uint32_t>> shuffled_orders(std::uint32_t players, std::size_t pairs);

/// A mean with its standard error.
struct Estimate {
  double value = 0;
  double error = 0;
};

/// Shapley values estimated from what each player adds in each order: `steps[o]` is the worth of the first 0, 1 …
/// players of orders[o]. Orders come in pairs, as above; the error is that of the mean over pairs. The estimates add up
/// to what all are worth less what none are, as exactly as the steps do.
std::vector<Estimate> shapley_estimates(const std::vector<std::vector<std::uint32_t>>& orders,
                                        const std::vector<std::vector<double>>& steps);

}  // namespace sprue
