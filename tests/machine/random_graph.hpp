// Random graphs over every operation, with numbers that reach the corners: zeros, halves, whole numbers missed by a
// hair, infinities. The same on every platform; a graph unfolds to small trees, so that the oracle can walk them.
#pragma once

#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

#include "lang/graph/graph.hpp"

namespace sprue::testing {

/// A multiplicative congruential generator with a scrambled output; not for statistics.
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(2 * seed + 1) {}

  std::uint64_t bits() {
    state_ *= 0xD1342543DE82EF95U;
    return (state_ ^ (state_ >> 31U)) * 0x9E3779B97F4A7C15U;
  }
  std::uint32_t below(std::uint32_t limit) { return static_cast<std::uint32_t>((bits() >> 33U) % limit); }
  bool one_in(std::uint32_t n) { return below(n) == 0; }
  double unit() { return static_cast<double>(bits() >> 11U) * 0x1p-53; }
  double between(double low, double high) { return low + (high - low) * unit(); }

  /// A number of the kind models have, or one they should not have.
  double number() {
    static constexpr std::array corners{0.0,
                                        -0.0,
                                        1.0,
                                        -1.0,
                                        2.0,
                                        0.5,
                                        -2.5,
                                        3.0,
                                        10.0,
                                        1.0 - 1e-10,
                                        7.0 + 5e-9,
                                        20731.0,
                                        1e300,
                                        -1e300,
                                        1e-310,
                                        std::numeric_limits<double>::infinity(),
                                        -std::numeric_limits<double>::infinity(),
                                        std::numeric_limits<double>::quiet_NaN()};
    switch (below(8)) {
      case 0:
        return corners[below(static_cast<std::uint32_t>(corners.size()))];
      case 1:
        return static_cast<double>(below(9)) - 4;
      case 2:
        return between(-2, 2);
      case 3:
        return 20000 + static_cast<double>(below(6));
      case 4:
        return between(0, 1);
      default:
        return between(0, 100);
    }
  }

 private:
  std::uint64_t state_;
};

class RandomGraph {
 public:
  RandomGraph(Random& random, std::size_t size) : random_(random) {
    leaf(true);
    leaf(true);
    leaf(false);
    while (graph_.size() < size) {
      if (random_.one_in(8)) {
        leaf(random_.one_in(2));
      } else {
        operation(static_cast<Op>(2 + random_.below(op_count - 2)));
      }
    }
  }

  Graph take() { return std::move(graph_); }

 private:
  static constexpr std::uint32_t op_count = static_cast<std::uint32_t>(Op::lowest_date) + 1;
  static constexpr std::size_t tree_limit = 150;

  void leaf(bool input) {
    std::vector<double>& values = input ? graph_.inputs : graph_.constants;
    values.push_back(random_.number());
    if (!input) constants_.push_back(static_cast<GraphId>(graph_.size()));
    add({input ? Op::input : Op::constant, static_cast<GraphId>(values.size() - 1), 0, 0}, 1);
  }

  void operation(Op op) {
    GraphNode node{op, 0, 0, 0};
    std::size_t tree = 1;
    const auto pick = [&] {
      const auto size = static_cast<std::uint32_t>(graph_.size());
      // Mostly recent nodes, so that the graph grows deep.
      const GraphId id = random_.one_in(3) ? random_.below(size) : size - 1 - random_.below(size < 12 ? size : 12);
      const GraphId affordable = tree + trees_[id] > tree_limit ? random_.below(3) : id;
      tree += trees_[affordable];
      return affordable;
    };
    if (info(op).operands < 0) {
      node.a = static_cast<GraphId>(graph_.operands.size());
      node.b = 2 * random_.below(7);
      const bool fixed_dates = random_.one_in(2);
      for (GraphId i = 0; i < node.b; ++i) {
        const bool fixed = fixed_dates && i % 2 == 0;
        graph_.operands.push_back(fixed ? constants_[random_.below(static_cast<std::uint32_t>(constants_.size()))]
                                        : pick());
      }
      tree += node.b;
    } else {
      node.a = pick();
      if (info(op).operands > 1) node.b = pick();
      if (info(op).operands > 2) node.c = pick();
    }
    add(node, tree);
  }

  void add(GraphNode node, std::size_t tree) {
    graph_.nodes.push_back(node);
    trees_.push_back(tree);
  }

  Random& random_;
  Graph graph_;
  std::vector<GraphId> constants_;
  std::vector<std::size_t> trees_;  // nodes each node unfolds to
};

inline Graph random_graph(Random& random, std::size_t size) {
  return RandomGraph(random, size).take();
}

}  // namespace sprue::testing
