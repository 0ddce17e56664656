// Comparing an evaluation with a committed figures file.
#pragma once

#include <string>

#include "runtime/cli/commands.hpp"
#include "runtime/ledger/evaluation.hpp"

namespace sprue {

/// Prints the lines that differ, with the relative change of numbers. An exit code.
int compare_figures(const Program& program, const Evaluation& evaluation, const std::string& file, Streams streams);

}  // namespace sprue
