// Largest remainders.
#include "runtime/write/footing.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numeric>

#include "runtime/write/number.hpp"

namespace sprue {
namespace {

double scale_of(int places) {
  double scale = 1;
  for (int i = 0; i < places; ++i) scale *= 10;
  return scale;
}

}  // namespace

long long last_places_of(std::string digits) {
  digits.erase(std::remove(digits.begin(), digits.end(), '.'), digits.end());
  return std::strtoll(digits.c_str(), nullptr, 10);
}

long long last_places(double value, int places) {
  return last_places_of(decimal(value, places));
}

std::vector<long long> foot(const std::vector<double>& values, double total, int places) {
  const double scale = scale_of(places);
  const auto too_large = [&](double value) { return !(std::fabs(value) * scale < 1e15); };
  if (too_large(total) || std::any_of(values.begin(), values.end(), too_large)) return {};
  std::vector<long long> units;
  std::vector<double> remainders;
  for (const double value : values) {
    units.push_back(static_cast<long long>(std::floor(value * scale)));
    remainders.push_back(value * scale - static_cast<double>(units.back()));
  }
  const long long wanted = last_places(total, places);
  long long missing = wanted - std::accumulate(units.begin(), units.end(), 0LL);
  // Where the rows do not sum to the total by themselves, nothing sensible can be shifted: show them as they are.
  if (missing < 0 || missing > static_cast<long long>(values.size())) {
    for (std::size_t i = 0; i < values.size(); ++i) units[i] = last_places(values[i], places);
    return units;
  }
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), 0U);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return remainders[a] > remainders[b]; });
  for (std::size_t i = 0; missing > 0; ++i, --missing) ++units[order[i]];
  return units;
}

double from_last_places(long long units, int places) {
  return static_cast<double>(units) / scale_of(places);
}

}  // namespace sprue
