// A stretch of source as people are shown it: on one line, without comments.
#pragma once

#include <string>
#include <string_view>

namespace sprue {

/// Blanks, line ends and comments become one space; quoted texts stay as they are.
std::string one_line(std::string_view source);

}  // namespace sprue
