// Lanes with their requirements.
#include "runtime/study/lanes.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "runtime/machine/machine.hpp"

namespace sprue {

std::uint32_t input_of(const Lowered& lowered, InstanceId instance, Slot slot) {
  for (std::uint32_t i = 0; i < lowered.inputs.size(); ++i) {
    if (lowered.inputs[i].instance == instance && lowered.inputs[i].slot == slot) return i;
  }
  return none;
}

std::vector<GraphId> with_requirements(const Evaluation& evaluation, std::span<const GraphId> outputs) {
  std::vector<GraphId> wanted(outputs.begin(), outputs.end());
  for (const Check& check : evaluation.lowered.requirements) {
    // A table that nobody asks outside its keys says nothing.
    const bool idle = evaluation.sound && evaluation.value(check.node) == 0;
    if (!idle && !evaluation.absent(check.node)) wanted.push_back(check.node);
  }
  return wanted;
}

std::vector<std::optional<std::vector<double>>> evaluate_lanes(const Evaluation& evaluation,
                                                               std::span<const GraphId> outputs,
                                                               std::span<const Lane> lanes) {
  const Graph& graph = evaluation.lowered.graph;
  const std::vector<GraphId> wanted = with_requirements(evaluation, outputs);
  std::map<std::uint32_t, std::vector<double>> rows;
  for (std::size_t lane = 0; lane < lanes.size(); ++lane) {
    for (const auto& [input, value] : lanes[lane]) {
      auto& row = rows[input];
      if (row.empty()) row.assign(lanes.size(), graph.inputs[input]);
      row[lane] = value;
    }
  }
  std::vector<std::uint32_t> varying;
  Lanes batch;
  batch.count = lanes.size();
  for (const auto& [input, row] : rows) {
    varying.push_back(input);
    batch.varying.push_back({input, row});
  }
  const Results results = evaluate(Plan(graph, wanted, varying), batch);
  std::vector<std::optional<std::vector<double>>> out;
  for (std::size_t lane = 0; lane < lanes.size(); ++lane) {
    std::vector<double> values;
    for (std::size_t o = 0; o < outputs.size(); ++o) values.push_back(results[o][lane]);
    bool sound = std::all_of(values.begin(), values.end(), [](double value) { return std::isfinite(value); });
    for (std::size_t o = outputs.size(); o < wanted.size(); ++o) sound = sound && results[o][lane] != 0;
    if (sound) {
      out.emplace_back(std::move(values));
    } else {
      out.emplace_back();
    }
  }
  return out;
}

}  // namespace sprue
