// What to compute, in which order and where to keep it, when a graph is evaluated over many lanes for some outputs:
// nodes no output needs are left out, nodes that are the same in all lanes are computed here and now, once, and the
// rest becomes instructions on a small set of registers. A plan stands on its own; the graph may go.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "lang/graph/graph.hpp"
#include "runtime/machine/kernels.hpp"

namespace sprue {

struct PlanCounters {
  std::size_t nodes = 0;         // of the graph
  std::size_t live = 0;          // needed by an output
  std::size_t hoisted = 0;       // live and the same in all lanes: evaluated once
  std::size_t instructions = 0;  // live, computed in every lane
  std::size_t registers = 0;     // at most alive at a time

  bool operator==(const PlanCounters&) const = default;
};

/// A value the machine reads: a row (of an input, an output or a register) if it varies by lane, else a scalar.
struct Operand {
  std::uint32_t index = 0;
  bool varying = false;
};

struct Instruction {
  Kernel kernel = nullptr;  // none for a list
  std::uint32_t out = 0;    // row
  std::uint32_t a = 0;      // an index as in Operand; for a list the place in Plan::lists
  std::uint32_t b = 0;
  std::uint32_t c = 0;
  std::uint8_t varying = 0;  // varies_a and so on
};

/// A list operation: dates and amounts in turn, in `Plan::list_operands`.
struct DatedList {
  std::uint32_t first = 0;
  std::uint32_t steps = 0;
  bool wants_date = false;
  bool fixed = false;  // no date varies, and the steps are in the order of their dates
};

/// Rows are numbered: inputs, then outputs, then registers.
class Plan {
 public:
  /// `varying_inputs` are indices into Graph::inputs; all others have their stated value in every lane.
  Plan(const Graph& graph, std::span<const GraphId> outputs, std::span<const std::uint32_t> varying_inputs);

  const PlanCounters& counters() const { return counters_; }

  std::span<const std::uint32_t> inputs() const { return inputs_; }  // that vary and matter, by row
  std::span<const Operand> outputs() const { return outputs_; }      // where each is found
  std::span<const Instruction> instructions() const { return instructions_; }
  std::span<const double> scalars() const { return scalars_; }
  std::span<const DatedList> lists() const { return lists_; }
  std::span<const Operand> list_operands() const { return list_operands_; }

 private:
  friend class Planner;

  PlanCounters counters_;
  std::vector<std::uint32_t> inputs_;
  std::vector<Operand> outputs_;
  std::vector<Instruction> instructions_;
  std::vector<double> scalars_;
  std::vector<DatedList> lists_;
  std::vector<Operand> list_operands_;
};

}  // namespace sprue
