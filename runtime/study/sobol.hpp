// Points of Sobol's sequence with the direction numbers of Joe and Kuo.
#pragma once

#include <cstdint>

namespace sprue {

/// Dimensions there are direction numbers for.
std::size_t sobol_dimensions();

/// Coordinate `dimension` of point `index` in the order of the Gray code, as 32 bits behind the point; point 0 is the
/// origin.
std::uint32_t sobol_bits(std::size_t dimension, std::uint32_t index);

}  // namespace sprue
