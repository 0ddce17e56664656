// Builds the cost graph: folds constants, shares equal nodes, carries the marks of what is unknown.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "lang/graph/graph.hpp"

namespace sprue {

/// Marks of a node; they spread to everything computed from it.
inline constexpr std::uint8_t mark_incomplete = 1;  // rests on an open question
inline constexpr std::uint8_t mark_absent = 2;      // is itself an open question without any range: there is no figure
inline constexpr std::uint8_t mark_broken = 4;      // an error was reported

class GraphBuilder {
 public:
  GraphBuilder();

  GraphId constant(double value);
  GraphId input(double stated, std::uint8_t marks = 0);
  GraphId make(Op op, GraphId a = 0, GraphId b = 0, GraphId c = 0);
  GraphId make_list(Op op, const std::vector<GraphId>& operands);
  GraphId select(GraphId condition, GraphId yes, GraphId no) { return make(Op::select, condition, yes, no); }
  /// The result of a question that only some can be asked: whether this node is demanded tells whether it was.
  GraphId asked(GraphId allowed, GraphId result) {
    return find_or_add(Op::select, allowed, result, result, marks_[result]);
  }
  /// Zero with the mark: added to a sum that leaves something out.
  GraphId incomplete_zero();
  /// A node with the mark "broken", for use after an error.
  GraphId broken();

  bool is_constant(GraphId id) const { return graph_.nodes[id].op == Op::constant && marks_[id] == 0; }
  double value(GraphId id) const { return graph_.constants[graph_.nodes[id].a]; }
  std::uint8_t marks(GraphId id) const { return marks_[id]; }
  std::size_t size() const { return graph_.nodes.size(); }

  Graph& graph() { return graph_; }
  /// From now on every operation gets a node of its own.
  void share_nothing() { shares_ = false; }
  /// Room for about so many.
  void reserve(std::size_t nodes, std::size_t inputs);
  std::vector<std::uint8_t>& all_marks() { return marks_; }
  /// Only so many nodes and inputs are kept, and no more are made.
  void forget_from(std::size_t nodes, std::size_t inputs);

 private:
  GraphId raw(Op op, GraphId a, GraphId b, GraphId c, std::uint8_t marks);
  GraphId find_or_add(Op op, GraphId a, GraphId b, GraphId c, std::uint8_t marks);

  Graph graph_;
  std::vector<std::uint8_t> marks_;
  struct Known {
    std::uint32_t tag = 0;  // of the hash: most nodes that are not equal are told apart without a look at them
    GraphId node = no_node;
  };
  using RecentPair = std::array<Known, 2>;
  std::vector<RecentPair> recent_;     // by hash, the last two nodes of it
  std::vector<Known> constant_table_;  // open addressing; no_node is free
  std::size_t constant_entries_ = 0;
  bool shares_ = true;
  GraphId incomplete_ = no_node;
  GraphId broken_ = no_node;
};

}  // namespace sprue
