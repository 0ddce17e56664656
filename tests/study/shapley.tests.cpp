// Shapley values against published games, and estimates against the exact.
#include <algorithm>
#include <cmath>

#include "runtime/study/shapley.hpp"
#include "tests/catch.hpp"

using namespace sprue;

namespace {

/// What each set of players is worth, by a rule on the set's bits.
template <class Rule>
std::vector<double> game(unsigned players, Rule&& rule) {
  std::vector<double> values;
  for (std::uint32_t set = 0; set < (1U << players); ++set) values.push_back(rule(set));
  return values;
}

/// A landing strip costs what its largest user needs.
std::vector<double> landing_strip(const std::vector<double>& costs) {
  return game(static_cast<unsigned>(costs.size()), [&](std::uint32_t set) {
    double most = 0;
    for (std::size_t i = 0; i < costs.size(); ++i) most = (set >> i & 1U) != 0 ? std::max(most, costs[i]) : most;
    return most;
  });
}

void check(const std::vector<double>& found, const std::vector<double>& published) {
  REQUIRE(found.size() == published.size());
  for (std::size_t i = 0; i < found.size(); ++i) CHECK(found[i] == Approx(published[i]).epsilon(1e-12));
}

}  // namespace

TEST_CASE("the landing strip of Littlechild and Owen", "[study][published]") {
  // S. C. Littlechild, G. Owen, A simple expression for the Shapley value in a special case, Management Science 20
  // (1973).
  check(shapley_values(landing_strip({8, 11, 13, 18}), 4), {2, 3, 4, 9});
  check(shapley_values(landing_strip({40, 50, 60, 70, 80, 90}), 6),
        {40 / 6.0, 52 / 6.0, 67 / 6.0, 87 / 6.0, 117 / 6.0, 177 / 6.0});
}

TEST_CASE("gloves and investors", "[study][published]") {
  // Two left gloves, one right glove, a pair is worth 1: a textbook game, from memory.
  check(shapley_values(game(3, [](std::uint32_t set) { return (set & 4U) != 0 && (set & 3U) != 0 ? 1.0 : 0.0; }), 3),
        {1 / 6.0, 1 / 6.0, 2 / 3.0});
  // Three investors: the game of the manual of R's package GameTheory (after Lemaire); its values worked out by hand.
  check(shapley_values(std::vector<double>{0, 46125, 17437.5, 69187.5, 5812.5, 53812.5, 30750, 90000}, 3),
        {51750, 25875, 12375});
}

TEST_CASE("who adds nothing gets nothing, and one player gets all", "[study]") {
  const auto shares = shapley_values(game(3, [](std::uint32_t set) { return static_cast<double>(set & 3U); }), 3);
  CHECK(shares[2] == 0);
  check(shapley_values(std::vector<double>{3, 10}, 1), {7});
  CHECK(shapley_values(std::vector<double>{5}, 0).empty());
}

TEST_CASE("estimates add up, lie within their error and do not change from run to run", "[study]") {
  const std::vector<double> costs{8, 11, 13, 18, 25, 7, 31};
  const std::vector<double> values = landing_strip(costs);
  const auto orders = shuffled_orders(7, 100);
  REQUIRE(orders.size() == 200);
  CHECK(orders == shuffled_orders(7, 100));
  std::vector<std::vector<double>> steps;
  for (const auto& order : orders) {
    std::uint32_t set = 0;
    steps.push_back({values[0]});
    for (const std::uint32_t player : order) steps.back().push_back(values[set |= 1U << player]);
  }
  const auto estimates = shapley_estimates(orders, steps);
  const auto exact = shapley_values(values, 7);
  double sum = 0;
  for (std::size_t i = 0; i < exact.size(); ++i) {
    sum += estimates[i].value;
    CHECK(std::abs(estimates[i].value - exact[i]) <= 4 * estimates[i].error + 1e-12);
    CHECK(estimates[i].error < 0.1 * exact[i] + 0.2);
  }
  CHECK(sum == Approx(31).epsilon(1e-12));
}
