// Figures in the canonical, diffable form: `path = value unit` a line, sorted by path, nothing aligned.
#pragma once

#include <string>
#include <vector>

#include "runtime/view/figures.hpp"

namespace sprue {

/// The value as a line has it: "12.3456 EUR/unit", "unknown".
std::string figure_text(const Program& program, const Figure& figure);

std::string write_lines(const Program& program, const std::vector<Figure>& figures);

}  // namespace sprue
