// Summaries of samples. Knows numbers only.
#pragma once

#include <span>
#include <vector>

namespace sprue {

struct Moments {
  std::size_t count = 0;
  double mean = 0;
  double deviation = 0;   // standard, of the sample (n - 1)
  double mean_error = 0;  // standard error of the mean
};
Moments moments_of(std::span<const double> values);

/// The quantile of sorted values, between neighbors by proportion (R's type 7, numpy's default).
double quantile_of_sorted(std::span<const double> sorted, double p);

/// Between which values the true quantile lies in 95 of 100 samples: order statistics, free of the distribution.
struct Interval {
  double low = 0;
  double high = 0;
};
Interval quantile_interval(std::span<const double> sorted, double p);

/// Ranks from 1 on; equal values share the mean of theirs.
std::vector<double> ranks_of(std::span<const double> values);

/// Pearson's correlation; 0 where a side does not vary. Of ranks it is Spearman's.
double correlation(std::span<const double> a, std::span<const double> b);

/// A first-order and a total Sobol index with their standard errors. `a` and `b` are the model at two independent
/// samples, `mixed` at the first with one input of the second. A. Saltelli and others, Computer Physics Communications
/// 181 (2010); the total index after M. Jansen (1999).
struct SobolIndex {
  double first = 0, first_error = 0;
  double total = 0, total_error = 0;
};
SobolIndex sobol_index(std::span<const double> a, std::span<const double> b, std::span<const double> mixed);

}  // namespace sprue
