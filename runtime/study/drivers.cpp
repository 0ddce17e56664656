// One lane an end of a range.
#include "runtime/study/drivers.hpp"

#include <algorithm>

#include "runtime/study/facts.hpp"
#include "runtime/study/lanes.hpp"

namespace sprue {
namespace {

constexpr std::size_t lanes_at_a_time = 512;  // each lane of a batch takes room for every input that varies in it

}  // namespace

std::size_t work_of_drivers(const Program& program, const Lowered& lowered) {
  const auto ranged = std::count_if(lowered.inputs.begin(), lowered.inputs.end(), [&](const InputOrigin& origin) {
    const Facts* const facts = facts_of(program, lowered, origin);
    return facts != nullptr && facts->ranged;
  });
  return 2 * static_cast<std::size_t>(ranged) * lowered.graph.size();
}

std::vector<Driver> drivers_of(const Program& program, const Evaluation& evaluation, GraphId figure) {
  const Lowered& lowered = evaluation.lowered;
  std::vector<Driver> drivers;
  std::vector<Lane> lanes;
  for (std::uint32_t i = 0; i < lowered.inputs.size(); ++i) {
    const Facts* const facts = facts_of(program, lowered, lowered.inputs[i]);
    if (facts == nullptr || !facts->ranged) continue;
    drivers.push_back({i, facts->low, facts->high});
    lanes.push_back({{i, facts->low}});
    lanes.push_back({{i, facts->high}});
  }
  std::vector<std::optional<std::vector<double>>> results;
  for (std::size_t at = 0; at < lanes.size(); at += lanes_at_a_time) {
    const std::size_t count = std::min(lanes_at_a_time, lanes.size() - at);
    auto some = evaluate_lanes(evaluation, {&figure, 1}, std::span(lanes).subspan(at, count));
    results.insert(results.end(), std::make_move_iterator(some.begin()), std::make_move_iterator(some.end()));
  }
  const double stated = evaluation.value(figure);
  for (std::size_t i = 0; i < drivers.size(); ++i) {
    drivers[i].at_low = results[2 * i] ? (*results[2 * i])[0] : stated;
    drivers[i].at_high = results[2 * i + 1] ? (*results[2 * i + 1])[0] : stated;
  }
  std::erase_if(drivers, [](const Driver& driver) { return driver.swing() == 0; });
  std::stable_sort(drivers.begin(), drivers.end(), [&](const Driver& a, const Driver& b) {
    if (a.swing() != b.swing()) return a.swing() > b.swing();
    return input_path(program, lowered, lowered.inputs[a.input]) <
           input_path(program, lowered, lowered.inputs[b.input]);
  });
  return drivers;
}

}  // namespace sprue
