// Random programs that are well formed, in every layout the grammar allows: odd spaces, line ends, comments.
#pragma once

#include <cstdint>
#include <string>

namespace sprue::testing {

/// The same seed gives the same text everywhere.
std::string random_program(std::uint32_t seed);

/// The text with a few bytes dropped, doubled, swapped or replaced.
std::string damaged(const std::string& text, std::uint32_t seed);

}  // namespace sprue::testing
