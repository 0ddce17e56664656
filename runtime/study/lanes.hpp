// Evaluating one scenario again with other inputs, many at a time.
#pragma once

#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "runtime/ledger/evaluation.hpp"

namespace sprue {

/// Inputs that differ from what is stated: index into Graph::inputs, and the value in its place.
using Lane = std::vector<std::pair<std::uint32_t, double>>;

/// The index of a field's input; none where the field is a formula or no figure needs it.
std::uint32_t input_of(const Lowered& lowered, InstanceId instance, Slot slot);

/// The outputs, and behind them each requirement that says something of this scenario.
std::vector<GraphId> with_requirements(const Evaluation& evaluation, std::span<const GraphId> outputs);

/// The values of the outputs for each lane; nothing where a requirement fails there or a value is no finite number.
std::vector<std::optional<std::vector<double>>> evaluate_lanes(const Evaluation& evaluation,
                                                               std::span<const GraphId> outputs,
                                                               std::span<const Lane> lanes);

}  // namespace sprue
