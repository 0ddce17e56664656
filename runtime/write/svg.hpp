// Charts as SVG: titled, with units, distinguishable without color, named for those who cannot see them.
#pragma once

#include <string>

#include "runtime/view/document.hpp"

namespace sprue {

/// A whole image. `prefix` keeps the ids of several on one page apart.
std::string write_svg(const BarChart& chart, const std::string& prefix = {});
std::string write_svg(const LineChart& chart, const std::string& prefix = {});

}  // namespace sprue
