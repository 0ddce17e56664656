// One scenario evaluated once: the lowered graph with the value of every node, and what did not hold.
#pragma once

#include <vector>

#include "lang/graph/lowered.hpp"

namespace sprue {

/// A caution and the instances it applies to.
struct Applied {
  const Caution* caution = nullptr;
  std::vector<InstanceId> instances;
};

struct Evaluation {
  Lowered lowered;
  std::vector<double> values;           // by node
  std::vector<bool> expectations_hold;  // by index of Program::expectations
  std::vector<Applied> cautions;        // those that apply, in the order of their first instances
  bool sound = false;                   // the figures can be used

  double value(GraphId node) const { return values[node]; }
  bool incomplete(GraphId node) const { return (lowered.marks[node] & 1U) != 0; }
  bool absent(GraphId node) const { return (lowered.marks[node] & 2U) != 0; }
};

/// Lowers and evaluates. Failed requirements, tables left at the side and results that are no finite number are
/// reported as errors; failed expectations are reported too but leave the figures sound.
Evaluation evaluate(const Program& program, std::uint32_t scenario, const LowerOptions& options,
                    Diagnostics& diagnostics);

}  // namespace sprue
