// Results that are no finite number, and whether anything asked for depends on them.
#pragma once

#include <span>
#include <vector>

#include "lang/graph/graph.hpp"

namespace sprue {

/// Which nodes the outputs need, given the values: of a select only the condition and the branch it takes, of `and` and
/// `or` the right side only where the left one leaves it open.
std::vector<bool> demand(const Graph& graph, std::span<const double> values, std::span<const GraphId> outputs);

/// Demanded nodes whose value is not finite although all their operands are, in order.
std::vector<GraphId> faults_of(const Graph& graph, std::span<const double> values, const std::vector<bool>& demanded);

}  // namespace sprue
