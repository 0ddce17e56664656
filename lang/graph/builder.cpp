// Sharing of equal nodes and constant folding.
#include "lang/graph/builder.hpp"

#include <cmath>
#include <cstring>

#include "lang/graph/arithmetic_operations.hpp"

namespace sprue {
namespace {

std::uint64_t mix(std::uint64_t x) {
  x ^= x >> 32U;
  x *= 0x9E3779B97F4A7C15ULL;
  return x ^ (x >> 29U);
}

std::uint64_t hash_of(Op op, GraphId a, GraphId b, GraphId c) {
  const std::uint64_t low = (std::uint64_t{a} << 32U) | b;
  const std::uint64_t high = (std::uint64_t{c} << 8U) | static_cast<std::uint64_t>(op);
  return mix(mix(low) ^ (high * 0xD1B54A32D192ED03ULL));
}

std::uint64_t bits_of(double value) {
  std::uint64_t bits = 0;
  std::memcpy(&bits, &value, sizeof bits);
  return bits;
}

/// The result of one operation on plain numbers; leaves and lists are never folded.
double folded(Op op, double a, double b, double c) {
  switch (op) {
    case Op::constant:
    case Op::input:
    case Op::lowest:
    case Op::lowest_date:
      return 0;
#define SPRUE_FOLD(name) \
  case Op::name:         \
    return arithmetic::operate<Op::name>(a, b, c);
      SPRUE_FOLD(add)
      SPRUE_FOLD(subtract)
      SPRUE_FOLD(multiply)
      SPRUE_FOLD(divide)
      SPRUE_FOLD(negate)
      SPRUE_FOLD(minimum)
      SPRUE_FOLD(maximum)
      SPRUE_FOLD(absolute)
      SPRUE_FOLD(ceiling)
      SPRUE_FOLD(floor)
      SPRUE_FOLD(round)
      SPRUE_FOLD(square_root)
      SPRUE_FOLD(exponential)
      SPRUE_FOLD(logarithm)
      SPRUE_FOLD(logarithm10)
      SPRUE_FOLD(power)
      SPRUE_FOLD(less)
      SPRUE_FOLD(less_equal)
      SPRUE_FOLD(equal)
      SPRUE_FOLD(near_less)
      SPRUE_FOLD(near_less_equal)
      SPRUE_FOLD(near_equal)
      SPRUE_FOLD(logical_and)
      SPRUE_FOLD(logical_or)
      SPRUE_FOLD(logical_not)
      SPRUE_FOLD(select)
      SPRUE_FOLD(months_after)
#undef SPRUE_FOLD
  }
  return 0;
}

}  // namespace

GraphBuilder::GraphBuilder() : recent_(1U << 14U), constant_table_(1U << 8U) {}

void GraphBuilder::reserve(std::size_t nodes, std::size_t inputs) {
  graph_.inputs.reserve(inputs);
  graph_.nodes.reserve(nodes);
  marks_.reserve(nodes);
}

void GraphBuilder::forget_from(std::size_t nodes, std::size_t inputs) {
  graph_.nodes.resize(nodes);
  marks_.resize(nodes);
  graph_.inputs.resize(inputs);
}

GraphId GraphBuilder::raw(Op op, GraphId a, GraphId b, GraphId c, std::uint8_t marks) {
  graph_.nodes.push_back({op, a, b, c});
  marks_.push_back(marks);
  return static_cast<GraphId>(graph_.nodes.size() - 1);
}

GraphId GraphBuilder::constant(double value) {
  if (value == 0) value = 0;  // one zero
  const std::uint64_t bits = bits_of(value);
  if (2 * (constant_entries_ + 1) > constant_table_.size()) {
    std::vector<Known> table(constant_table_.size() * 2);
    for (const Known& known : constant_table_) {
      if (known.node == no_node) continue;
      std::size_t slot = known.tag & (table.size() - 1);
      while (table[slot].node != no_node) slot = (slot + 1) & (table.size() - 1);
      table[slot] = known;
    }
    constant_table_ = std::move(table);
  }
  const auto hash = static_cast<std::uint32_t>(mix(bits));
  std::size_t slot = hash & (constant_table_.size() - 1);
  while (constant_table_[slot].node != no_node) {
    const Known& known = constant_table_[slot];
    if (known.tag == hash && bits_of(this->value(known.node)) == bits) return known.node;
    slot = (slot + 1) & (constant_table_.size() - 1);
  }
  graph_.constants.push_back(value);
  const GraphId id = raw(Op::constant, static_cast<GraphId>(graph_.constants.size() - 1), 0, 0, 0);
  constant_table_[slot] = {hash, id};
  ++constant_entries_;
  return id;
}

GraphId GraphBuilder::input(double stated, std::uint8_t marks) {
  graph_.inputs.push_back(stated);
  return raw(Op::input, static_cast<GraphId>(graph_.inputs.size() - 1), 0, 0, marks);
}

GraphId GraphBuilder::incomplete_zero() {
  if (incomplete_ == no_node) {
    graph_.constants.push_back(0);
    incomplete_ = raw(Op::constant, static_cast<GraphId>(graph_.constants.size() - 1), 0, 0, mark_incomplete);
  }
  return incomplete_;
}

GraphId GraphBuilder::broken() {
  if (broken_ == no_node) {
    graph_.constants.push_back(0);
    broken_ = raw(Op::constant, static_cast<GraphId>(graph_.constants.size() - 1), 0, 0,
                  mark_absent | mark_incomplete | mark_broken);
  }
  return broken_;
}

GraphId GraphBuilder::make(Op op, GraphId a, GraphId b, GraphId c) {
  const int operands = info(op).operands;
  std::uint8_t marks = marks_[a];
  if (operands > 1) marks |= marks_[b];
  if (operands > 2) marks |= marks_[c];
  const bool constant_a = is_constant(a);
  const bool constant_b = operands > 1 && is_constant(b);
  if (op == Op::select && constant_a) return value(a) != 0 ? b : c;
  if (op == Op::select && b == c && marks_[a] == 0) return b;
  if (constant_a && (operands < 2 || constant_b) && (operands < 3 || is_constant(c))) {
    const double result = folded(op, value(a), operands > 1 ? value(b) : 0, operands > 2 ? value(c) : 0);
    if (std::isfinite(result)) return constant(result);
  }
  if (op == Op::multiply) {
    if (constant_a && value(a) == 1) return b;
    if (constant_b && value(b) == 1) return a;
  } else if (op == Op::divide) {
    if (constant_b && value(b) == 1) return a;
  } else if (op == Op::add) {
    if (constant_a && value(a) == 0) return b;
    if (constant_b && value(b) == 0) return a;
  } else if (op == Op::subtract) {
    if (constant_b && value(b) == 0) return a;
  }
  return find_or_add(op, a, operands > 1 ? b : 0, operands > 2 ? c : 0, marks);
}

GraphId GraphBuilder::make_list(Op op, const std::vector<GraphId>& operands) {
  std::uint8_t marks = 0;
  for (const GraphId id : operands) marks |= marks_[id];
  const auto first = static_cast<GraphId>(graph_.operands.size());
  graph_.operands.insert(graph_.operands.end(), operands.begin(), operands.end());
  return raw(op, first, static_cast<GraphId>(operands.size()), 0, marks);
}

/// Sharing is by a small table of recent nodes: equal formulas stand close together, and a table of everything would
/// cost more time than the few nodes it saves.
GraphId GraphBuilder::find_or_add(Op op, GraphId a, GraphId b, GraphId c, std::uint8_t marks) {
  if (!shares_) return raw(op, a, b, c, marks);
  const std::uint64_t hash = hash_of(op, a, b, c);
  const auto tag = static_cast<std::uint32_t>(hash >> 32U);
  RecentPair& pair = recent_[hash & (recent_.size() - 1)];
  for (const Known& recent : pair) {
    if (recent.tag != tag || recent.node == no_node) continue;
    const GraphNode& node = graph_.nodes[recent.node];
    if (node.op == op && node.a == a && node.b == b && node.c == c) return recent.node;
  }
  pair[1] = pair[0];
  pair[0] = {tag, raw(op, a, b, c, marks)};
  return pair[0].node;
}

}  // namespace sprue
