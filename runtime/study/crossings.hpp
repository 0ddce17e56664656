// Where a condition turns true or false as one input moves. Knows lanes, not what the condition says.
#pragma once

#include <vector>

#include "runtime/ledger/evaluation.hpp"

namespace sprue {

struct Crossing {
  double before = 0;  // the last value of the input on this side, as exactly as doubles go (or whole numbers)
  double after = 0;   // the first on the other
  bool becomes_true = false;
  bool at_point = false;  // it turns back at once: true (or false) at one value alone, between `before` and `after`
  double point = 0;       // that value
};

struct SearchRange {
  double low = 0;
  double high = 0;
  bool whole = false;  // whole numbers alone

  /// Values closer together than this are one value: the tolerance of the language, of the largest value looked at.
  /// Whole numbers are never one.
  double tolerance() const;
};

struct Crossings {
  std::vector<Crossing> found;  // by rising input
  bool true_at_low = false, true_at_high = false;
  std::size_t tried = 0;       // values of the input on the first grid
  std::size_t unsound = 0;     // of those, how many give no sound program
  double nearest = 0;          // where the two sides of a comparison come nearest, of those tried
  double left = 0, right = 0;  // the sides there
  bool has_sides = false;
};

/// Looks at a grid over the range, then closes in on every change of truth, and on every value between two points of
/// the grid at which the sides of a comparison meet. A condition that turns twice between two points may be missed.
///
/// Turns that only rounding makes are one turn: those that are one value of the input, and those between which the
/// sides change by no more than their rounding errors. A comparison turns where its sides meet, not where the tolerance
/// of the language begins.
Crossings find_crossings(const Evaluation& evaluation, const Check& condition, std::uint32_t input, SearchRange range);

}  // namespace sprue
