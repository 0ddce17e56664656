// A graph at one lane, node by node. Cheap enough for millions of nodes; nothing is planned or allocated per node.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "lang/graph/graph.hpp"

namespace sprue {

/// The value of every node, from the stated inputs.
std::vector<double> evaluate_all(const Graph& graph);

/// The values of some nodes, from the stated inputs.
std::vector<double> evaluate_once(const Graph& graph, std::span<const GraphId> outputs);

/// Fills in the values of the nodes that are wanted (not 0), whose operands must be wanted too.
void evaluate_wanted(const Graph& graph, std::span<const std::uint8_t> wanted, std::span<double> values);

}  // namespace sprue
