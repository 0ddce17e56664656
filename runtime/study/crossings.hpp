// Where a condition turns true or false as one input moves. Knows lanes, not what the condition says.
#pragma once

#include <vector>

#include "runtime/ledger/evaluation.hpp"

namespace sprue {

struct Crossing {
  double before = 0;  // the last value of the input on this side, as exactly as doubles go (or whole numbers)
  double after = 0;   // the first on the other
  bool becomes_true = false;
};

struct SearchRange {
  double low = 0;
  double high = 0;
  bool whole = false;  // whole numbers alone
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

/// Looks at a grid over the range, then closes in on every change of truth. A condition that turns twice between two
/// points of the grid may be missed.
Crossings find_crossings(const Evaluation& evaluation, const Check& condition, std::uint32_t input, SearchRange range);

}  // namespace sprue
