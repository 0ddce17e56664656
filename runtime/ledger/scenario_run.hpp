// Scenarios of a program evaluated one after another, within one limit for all of them.
#pragma once

#include <optional>

#include "lang/limits/limits.hpp"
#include "runtime/ledger/evaluation.hpp"

namespace sprue {

class ScenarioRun {
 public:
  /// `most` operations, or turns of loops and calls, of all scenarios together.
  explicit ScenarioRun(const Program& program, std::size_t most = limits::run_steps) : program_(program), most_(most) {}

  /// Nothing, and reported, where those before it reached the limit.
  std::optional<Evaluation> next(std::uint32_t scenario, Diagnostics& diagnostics);

 private:
  const Program& program_;
  std::size_t most_;
  std::size_t taken_ = 0;
};

}  // namespace sprue
