// Planning: which nodes are live, which of them vary, their order, their registers.
#include "runtime/machine/plan.hpp"

#include <algorithm>

#include "runtime/machine/lowest.hpp"
#include "runtime/machine/schedule.hpp"
#include "runtime/machine/single.hpp"

namespace sprue {

class Planner {
 public:
  Planner(Plan& plan, const Graph& graph, std::span<const GraphId> outputs,
          std::span<const std::uint32_t> varying_inputs)
      : plan_(plan), graph_(graph), roles_(graph.size(), dead), places_(graph.size(), nowhere) {
    mark_live(outputs);
    mark_varying(varying_inputs);
    evaluate_hoisted();
    find_dependencies();
    place_outputs(outputs);
    emit_all();
  }

 private:
  enum Role : std::uint8_t { dead, hoisted, lane_input, computed };
  static constexpr std::uint32_t nowhere = 0xFFFFFFFFU;

  void mark_live(std::span<const GraphId> outputs) {
    for (const GraphId output : outputs) roles_[output] = hoisted;
    for (std::size_t id = graph_.size(); id-- > 0;) {
      if (roles_[id] == dead) continue;
      ++plan_.counters_.live;
      for_each_operand(graph_, graph_.nodes[id], [this](GraphId operand) { roles_[operand] = hoisted; });
    }
    plan_.counters_.nodes = graph_.size();
  }

  void mark_varying(std::span<const std::uint32_t> varying_inputs) {
    std::vector<bool> varies(graph_.inputs.size(), false);
    for (const std::uint32_t input : varying_inputs) varies[input] = true;
    std::vector<std::uint32_t> rows(graph_.inputs.size(), nowhere);
    for (GraphId id = 0; id < graph_.size(); ++id) {
      if (roles_[id] == dead) continue;
      const GraphNode& node = graph_.nodes[id];
      if (node.op == Op::input && varies[node.a]) {
        roles_[id] = lane_input;
        std::uint32_t& row = rows[node.a];
        if (row == nowhere) {
          row = static_cast<std::uint32_t>(plan_.inputs_.size());
          plan_.inputs_.push_back(node.a);
        }
        places_[id] = row;
        continue;
      }
      bool varying = false;
      for_each_operand(graph_, node, [&](GraphId operand) { varying = varying || roles_[operand] != hoisted; });
      if (varying) {
        roles_[id] = computed;
        places_[id] = static_cast<std::uint32_t>(nodes_.size());
        nodes_.push_back(id);
      } else {
        ++plan_.counters_.hoisted;
      }
    }
  }

  void evaluate_hoisted() {
    values_.resize(graph_.size());
    std::vector<std::uint8_t> wanted(graph_.size());
    for (std::size_t id = 0; id < graph_.size(); ++id) wanted[id] = roles_[id] == hoisted ? 1 : 0;
    evaluate_wanted(graph_, wanted, values_);
  }

  void find_dependencies() {
    dependencies_.first.reserve(nodes_.size() + 1);
    for (const GraphId id : nodes_) {
      const std::size_t start = dependencies_.of.size();
      const bool list = info(graph_.nodes[id].op).operands < 0;
      for_each_operand(graph_, graph_.nodes[id], [&](GraphId operand) {
        if (roles_[operand] != computed) return;
        const auto begin = dependencies_.of.begin() + static_cast<std::ptrdiff_t>(start);
        // An operand used twice counts once; in a long list it may count again.
        if (!list && std::find(begin, dependencies_.of.end(), places_[operand]) != dependencies_.of.end()) return;
        dependencies_.of.push_back(places_[operand]);
      });
      dependencies_.first.push_back(static_cast<std::uint32_t>(dependencies_.of.size()));
    }
    uses_left_.assign(nodes_.size(), 0);
    for (const std::uint32_t used : dependencies_.of) ++uses_left_[used];
  }

  /// A computed output is written straight to its row.
  void place_outputs(std::span<const GraphId> outputs) {
    rows_.assign(nodes_.size(), nowhere);
    kept_.assign(nodes_.size(), false);
    auto row = static_cast<std::uint32_t>(plan_.inputs_.size());
    for (const GraphId output : outputs) {
      if (roles_[output] == computed && !kept_[places_[output]]) {
        kept_[places_[output]] = true;
        rows_[places_[output]] = row;
      }
      plan_.outputs_.push_back(operand_of(output));
      ++row;
    }
    first_register_ = row;
  }

  void emit_all() {
    plan_.instructions_.reserve(nodes_.size());
    for (const std::uint32_t number : schedule(dependencies_, kept_)) emit(number);
    plan_.counters_.instructions = nodes_.size();
    plan_.counters_.registers = registers_;
  }

  void emit(std::uint32_t number) {
    if (!kept_[number]) rows_[number] = take_register();
    const GraphNode& node = graph_.nodes[nodes_[number]];
    const int operands = info(node.op).operands;
    Instruction instruction;
    instruction.out = rows_[number];
    if (operands < 0) {
      instruction.a = static_cast<std::uint32_t>(plan_.lists_.size());
      emit_list(node);
    } else {
      const auto use = [&](GraphId id, std::uint32_t& index, unsigned bit) {
        const Operand operand = operand_of(id);
        index = operand.index;
        if (operand.varying) instruction.varying |= static_cast<std::uint8_t>(bit);
      };
      use(node.a, instruction.a, varies_a);
      if (operands > 1) use(node.b, instruction.b, varies_b);
      if (operands > 2) use(node.c, instruction.c, varies_c);
      instruction.kernel = kernel_of(node.op, instruction.varying, vectors_);
    }
    plan_.instructions_.push_back(instruction);
    // Only now, so that no result overlaps an operand.
    for (const std::uint32_t used : dependencies_[number]) {
      if (--uses_left_[used] == 0 && !kept_[used]) free_.push_back(rows_[used]);
    }
  }

  void emit_list(const GraphNode& node) {
    DatedList list;
    list.first = static_cast<std::uint32_t>(plan_.list_operands_.size());
    list.steps = node.b / 2;
    list.wants_date = node.op == Op::lowest_date;
    list.fixed = true;
    const GraphId* const operands = graph_.operands.data() + node.a;
    std::vector<DatedAmount> order(list.steps);
    for (std::uint32_t i = 0; i < list.steps; ++i) {
      list.fixed = list.fixed && roles_[operands[2 * i]] == hoisted;
      order[i] = {values_[operands[2 * i]], 0, i};
    }
    list.fixed = list.fixed && order_by_date(order);
    for (std::uint32_t i = 0; i < list.steps; ++i) {
      const std::uint32_t step = list.fixed ? order[i].rank : i;
      plan_.list_operands_.push_back(operand_of(operands[2 * step]));
      plan_.list_operands_.push_back(operand_of(operands[2 * step + 1]));
    }
    plan_.lists_.push_back(list);
  }

  Operand operand_of(GraphId id) {
    if (roles_[id] == computed) return {rows_[places_[id]], true};
    if (roles_[id] == lane_input) return {places_[id], true};
    if (places_[id] == nowhere) {
      places_[id] = static_cast<std::uint32_t>(plan_.scalars_.size());
      plan_.scalars_.push_back(values_[id]);
    }
    return {places_[id], false};
  }

  std::uint32_t take_register() {
    if (free_.empty()) return first_register_ + registers_++;
    const std::uint32_t row = free_.back();
    free_.pop_back();
    return row;
  }

  Plan& plan_;
  const Graph& graph_;
  const Vectors vectors_ = widest_vectors();
  std::vector<Role> roles_;
  std::vector<std::uint32_t> places_;  // by node: its number if computed, its
                                       // row if an input, else its scalar
  std::vector<double> values_;         // by node, of those hoisted
  std::vector<GraphId> nodes_;         // by number, as the following
  Dependencies dependencies_;
  std::vector<std::uint32_t> uses_left_;
  std::vector<std::uint32_t> rows_;
  std::vector<bool> kept_;
  std::vector<std::uint32_t> free_;
  std::uint32_t first_register_ = 0;
  std::uint32_t registers_ = 0;
};

Plan::Plan(const Graph& graph, std::span<const GraphId> outputs, std::span<const std::uint32_t> varying_inputs) {
  const Planner planner(*this, graph, outputs, varying_inputs);
}

}  // namespace sprue
