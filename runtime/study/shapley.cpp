// Weights by the size of the set; sampling by orders in antithetic pairs.
#include "runtime/study/shapley.hpp"

#include <bit>
#include <cmath>
#include <numeric>
#include <random>

namespace sprue {

std::vector<double> shapley_values(std::span<const double> values, unsigned players) {
  // weights[s] = s! (n - s - 1)! / n!
  std::vector<double> weights(players);
  if (players > 0) weights[0] = 1.0 / players;
  for (unsigned s = 1; s < players; ++s) weights[s] = weights[s - 1] * s / (players - s);
  std::vector<double> shares(players, 0);
  for (std::uint32_t set = 0; set < values.size(); ++set) {
    const auto size = static_cast<unsigned>(std::popcount(set));
    for (unsigned player = 0; player < players; ++player) {
      const std::uint32_t with = set | (1U << player);
      if (with != set) shares[player] += weights[size] * (values[with] - values[set]);
    }
  }
  return shares;
}

std::vector<std::vector<std::uint32_t>> shuffled_orders(std::uint32_t players, std::size_t pairs) {
  std::mt19937_64 random(players);
  std::vector<std::vector<std::uint32_t>> orders;
  std::vector<std::uint32_t> order(players);
  std::iota(order.begin(), order.end(), 0U);
  for (std::size_t i = 0; i < pairs; ++i) {
    for (std::uint32_t last = players; last > 1; --last) {
      // The bias of the remainder is below 2^-50 for any number of players that fits in memory.
      std::swap(order[last - 1], order[static_cast<std::uint32_t>(random() % last)]);
    }
    orders.push_back(order);
    orders.emplace_back(order.rbegin(), order.rend());
  }
  return orders;
}

std::vector<Estimate> shapley_estimates(const std::vector<std::vector<std::uint32_t>>& orders,
                                        const std::vector<std::vector<double>>& steps) {
  const std::size_t players = orders.empty() ? 0 : orders.front().size();
  const auto pairs = static_cast<double>(orders.size() / 2);
  std::vector<Estimate> estimates(players);
  std::vector<double> squares(players, 0);
  std::vector<double> pair(players, 0);
  for (std::size_t o = 0; o < orders.size(); ++o) {
    for (std::size_t i = 0; i < players; ++i) {
      const double added = (steps[o][i + 1] - steps[o][i]) / 2;
      pair[orders[o][i]] = o % 2 == 0 ? added : pair[orders[o][i]] + added;
    }
    if (o % 2 == 0) continue;
    for (std::size_t p = 0; p < players; ++p) {
      const double before = estimates[p].value;  // Welford's running mean and squares
      estimates[p].value += (pair[p] - before) / (static_cast<double>(o / 2) + 1);
      squares[p] += (pair[p] - before) * (pair[p] - estimates[p].value);
    }
  }
  for (std::size_t p = 0; p < players; ++p)
    estimates[p].error = pairs > 1 ? std::sqrt(squares[p] / (pairs - 1) / pairs) : 0;
  return estimates;
}

}  // namespace sprue
