// The units an amount may be written in.
#pragma once

#include <string>
#include <vector>

#include "lang/check/model.hpp"

namespace sprue::serve {

/// For a quantity, point or series, the likeliest first; each once.
std::vector<std::string> units_for(const Program& program, const Type& type);

}  // namespace sprue::serve
