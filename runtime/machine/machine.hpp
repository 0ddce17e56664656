// Evaluates a cost graph.
#pragma once

#include <vector>

#include "lang/graph/graph.hpp"

namespace sprue {

/// The value of every node, from the stated inputs.
std::vector<double> evaluate_all(const Graph& graph);

}  // namespace sprue
