// Derivatives of one value with respect to every input at once, by one sweep backwards through the graph.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "lang/graph/graph.hpp"

namespace sprue {

struct Gradient {
  std::vector<double> slope;           // by input: d output / d input, where the value stands now
  std::vector<std::uint8_t> in_steps;  // by input: it also moves the output by jumps (rounding, conditions, tables),
                                       // of which a slope knows nothing
};

/// `values` are those of evaluate_all(). Where two operands tie for the lesser or greater, each counts by half.
Gradient gradient(const Graph& graph, std::span<const double> values, GraphId output);

}  // namespace sprue
