// The walk from one version's headlines to the other's: what each change contributed, whatever the order they are made
// in.
#pragma once

#include <string>
#include <vector>

#include "runtime/study/between.hpp"
#include "runtime/study/shapley.hpp"

namespace sprue {

/// More groups of changes than this are divided by an estimate.
inline constexpr std::size_t exact_groups = 12;

struct Walk {
  /// Changes that are made together: one makes no sound program without the others. Indices into Changes::list.
  std::vector<std::vector<std::uint32_t>> groups;
  /// By headline, by group. They add up to the difference.
  std::vector<std::vector<Estimate>> bars;
  bool exact = true;                  // Shapley values; otherwise estimates with their standard errors
  std::size_t orders = 0;             // of an estimate
  std::vector<double> before, after;  // by headline
  bool found = false;                 // false: the text between the versions could not be evaluated
  BetweenCounters counters;
};

/// The headlines must be known in both versions.
Walk walk(const Changes& changes, const std::vector<HeadlineKey>& headlines, const Loader& library);

}  // namespace sprue
