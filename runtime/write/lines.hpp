// Figures in the canonical, diffable form: `path = value unit` a line, sorted by path, nothing aligned, nothing footed.
#pragma once

#include <string>
#include <vector>

#include "runtime/view/figures.hpp"

namespace sprue {

std::string write_lines(const Program& program, const std::vector<Figure>& figures);

}  // namespace sprue
