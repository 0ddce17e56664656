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

/// How a figure answers to an input that moves a little, from one backward sweep.
struct Response {
  std::uint32_t input = 0;
  double slope = 0;       // of the figure, in base units of both
  double elasticity = 0;  // per cent of the figure for a per cent of the input; not finite where either is zero
  bool in_steps = false;  // it also moves the figure by jumps, of which a slope knows nothing
};

/// Inputs that move the figure at all: largest elasticity first, then those that move it by jumps alone; ties by path.
std::vector<Response> responses_of(const Program& program, const Evaluation& evaluation, GraphId figure);

/// Operations that drivers_of takes at most, for each figure.
std::size_t work_of_drivers(const Program& program, const Lowered& lowered);

/// Largest swing first, ties by path; inputs that do not move the figure are left out, and so are ends at which nothing
/// sound comes out.
std::vector<Driver> drivers_of(const Program& program, const Evaluation& evaluation, GraphId figure);

}  // namespace sprue
