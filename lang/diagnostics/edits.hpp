// How far two words are from each other.
#pragma once

#include <cstddef>
#include <string_view>

namespace sprue {

/// Edits (insert, drop, replace, swap neighbors) between two words, ignoring case; many for very long ones.
std::size_t edits_between(std::string_view a, std::string_view b);

}  // namespace sprue
