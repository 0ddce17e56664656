// What an evaluation took is what it unrolled to: operations that are left, or turns where they came to nothing.
#include "runtime/ledger/scenario_run.hpp"

#include <fmt/format.h>
#include <algorithm>

namespace sprue {

std::optional<Evaluation> ScenarioRun::next(std::uint32_t scenario, Diagnostics& diagnostics) {
  if (taken_ > most_) {
    const Span at = scenario == none ? Span{} : program_.scenarios[scenario].span;
    diagnostics
        .report(Code::graph_too_large, at,
                fmt::format("the scenarios before this one unroll to more than {} operations or turns together", most_))
        .help.push_back("name fewer at a time: `--scenario NAME`");
    return std::nullopt;
  }
  Evaluation evaluation = evaluate(program_, scenario, {}, diagnostics);
  taken_ += std::max(evaluation.lowered.graph.size(), evaluation.lowered.turns);
  return evaluation;
}

}  // namespace sprue
