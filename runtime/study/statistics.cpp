// Sums in the order of the sample, so that equal samples give equal bits.
#include "runtime/study/statistics.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace sprue {

Moments moments_of(std::span<const double> values) {
  Moments moments;
  double squares = 0;
  for (const double value : values) {  // Welford
    ++moments.count;
    const double before = value - moments.mean;
    moments.mean += before / static_cast<double>(moments.count);
    squares += before * (value - moments.mean);
  }
  if (moments.count > 1) {
    const auto n = static_cast<double>(moments.count);
    moments.deviation = std::sqrt(squares / (n - 1));
    moments.mean_error = moments.deviation / std::sqrt(n);
  }
  return moments;
}

double quantile_of_sorted(std::span<const double> sorted, double p) {
  if (sorted.empty()) return 0;
  const double place = p * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(place);
  if (below + 1 >= sorted.size()) return sorted.back();
  return sorted[below] + (place - static_cast<double>(below)) * (sorted[below + 1] - sorted[below]);
}

Interval quantile_interval(std::span<const double> sorted, double p) {
  if (sorted.empty()) return {};
  const auto n = static_cast<double>(sorted.size());
  const double reach = 1.959963984540054 * std::sqrt(n * p * (1 - p));
  const auto at = [&](double rank) { return sorted[static_cast<std::size_t>(std::clamp(rank, 1.0, n)) - 1]; };
  return {at(std::floor(n * p - reach)), at(std::ceil(n * p + reach) + 1)};
}

std::vector<double> ranks_of(std::span<const double> values) {
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return values[a] != values[b] ? values[a] < values[b] : a < b; });
  std::vector<double> ranks(values.size());
  for (std::size_t begin = 0; begin < order.size();) {
    std::size_t end = begin + 1;
    while (end < order.size() && values[order[end]] == values[order[begin]]) ++end;
    const double rank = (static_cast<double>(begin + end) + 1) / 2;
    for (; begin < end; ++begin) ranks[order[begin]] = rank;
  }
  return ranks;
}

double correlation(std::span<const double> a, std::span<const double> b) {
  const double mean_a = moments_of(a).mean;
  const double mean_b = moments_of(b).mean;
  double together = 0;
  double of_a = 0;
  double of_b = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    together += (a[i] - mean_a) * (b[i] - mean_b);
    of_a += (a[i] - mean_a) * (a[i] - mean_a);
    of_b += (b[i] - mean_b) * (b[i] - mean_b);
  }
  return of_a > 0 && of_b > 0 ? together / std::sqrt(of_a * of_b) : 0;
}

SobolIndex sobol_index(std::span<const double> a, std::span<const double> b, std::span<const double> mixed) {
  std::vector<double> all(a.begin(), a.end());
  all.insert(all.end(), b.begin(), b.end());
  const Moments moments = moments_of(all);
  const double variance = moments.deviation * moments.deviation;
  if (!(variance > 0)) return {};
  std::vector<double> first;
  std::vector<double> total;
  for (std::size_t i = 0; i < a.size(); ++i) {
    first.push_back((b[i] - moments.mean) * (mixed[i] - a[i]) / variance);
    total.push_back(0.5 * (a[i] - mixed[i]) * (a[i] - mixed[i]) / variance);
  }
  const Moments of_first = moments_of(first);
  const Moments of_total = moments_of(total);
  return {of_first.mean, of_first.mean_error, of_total.mean, of_total.mean_error};
}

}  // namespace sprue
