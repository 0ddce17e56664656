// The order in which values are computed, so that few of them are alive at a time. Knows who depends on whom, not what
// is computed.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

namespace sprue {

/// Values numbered so that each depends on smaller numbers only: those of value i are of[first[i]] up to of[first[i +
/// 1]].
struct Dependencies {
  std::vector<std::uint32_t> first{0};
  std::vector<std::uint32_t> of;

  std::size_t size() const { return first.size() - 1; }
  std::span<const std::uint32_t> operator[](std::size_t i) const {
    return std::span(of).subspan(first[i], first[i + 1] - first[i]);
  }
};

/// As numbered, except that a value comes as soon as it can if that ends the life of another, or if it is `kept`, that
/// is, stored outside the working set: running sums then follow their terms instead of waiting for all of them.
std::vector<std::uint32_t> schedule(const Dependencies& dependencies, const std::vector<bool>& kept);

}  // namespace sprue
