// What moves a figure: each input that has a range, at its low and at its high end, all else as stated.
#pragma once

#include <string>
#include <vector>

#include "runtime/ledger/evaluation.hpp"

namespace sprue {

struct Driver {
  std::uint32_t input = 0;         // index into Lowered::inputs
  double low = 0, high = 0;        // ends of its range, in base units
  double at_low = 0, at_high = 0;  // the figure there
  double swing() const { return at_high > at_low ? at_high - at_low : at_low - at_high; }
};

/// Operations that drivers_of takes at most, for each figure.
std::size_t work_of_drivers(const Program& program, const Lowered& lowered);

/// Largest swing first, ties by path; inputs that do not move the figure are left out, and so are ends at which nothing
/// sound comes out.
std::vector<Driver> drivers_of(const Program& program, const Evaluation& evaluation, GraphId figure);

}  // namespace sprue
