// Writes small graphs by hand. Nothing is folded or shared, so that a test sees the nodes it wrote.
#pragma once

#include <initializer_list>

#include "lang/graph/graph.hpp"

namespace sprue::testing {

struct Sketch {
  Graph graph;

  GraphId constant(double value) {
    graph.constants.push_back(value);
    return add({Op::constant, static_cast<GraphId>(graph.constants.size() - 1), 0, 0});
  }
  GraphId input(double stated) {
    graph.inputs.push_back(stated);
    return add({Op::input, static_cast<GraphId>(graph.inputs.size() - 1), 0, 0});
  }
  GraphId make(Op op, GraphId a, GraphId b = 0, GraphId c = 0) { return add({op, a, b, c}); }
  GraphId list(Op op, std::initializer_list<GraphId> operands) {
    const auto first = static_cast<GraphId>(graph.operands.size());
    graph.operands.insert(graph.operands.end(), operands);
    return add({op, first, static_cast<GraphId>(operands.size()), 0});
  }

 private:
  GraphId add(GraphNode node) {
    graph.nodes.push_back(node);
    return static_cast<GraphId>(graph.nodes.size() - 1);
  }
};

}  // namespace sprue::testing
