// How figures answer to one small step of each input, found by evaluating the program there. Knows inputs and lanes.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "runtime/ledger/evaluation.hpp"

namespace sprue {

/// One input, a step less and a step more.
struct Response {
  std::uint32_t input = 0;  // index into Lowered::inputs
  double step = 0;          // in base units
  bool relative = false;    // the step is one per cent; else a whole one
  /// Values of the figures there; nothing where no sound program comes out.
  std::optional<std::vector<double>> less, more;
};

/// What does not take part, and why.
struct HeldStill {
  std::size_t defaults = 0;  // of the library: inputs that reach a figure
  std::size_t zeros = 0;     // inputs of which one per cent is nothing
  std::size_t untried = 0;   // inputs with gentler slopes, where there are too many to evaluate each
  std::size_t tables = 0;    // what is stated and used, and is no single amount: tables and curves, …
  std::size_t series = 0;
  std::size_t choices = 0;  // … choices and flags, …
  std::size_t wholes = 0;   // … and whole numbers known before evaluation, which decide what is evaluated
};

struct Responses {
  std::vector<Response> tried;  // in the order of the inputs
  HeldStill held;
};

/// Inputs that somebody stated: written in the program's own files. With `defaults` also those of the library.
Responses responses_of(const Program& program, const Evaluation& evaluation, std::span<const GraphId> figures,
                       bool defaults);

/// How much a figure moves at most, to either side.
double effect_of(const Response& response, std::size_t figure, double stated);

}  // namespace sprue
