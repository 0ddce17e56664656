// How large and how deep things may be. Knows numbers; where they are held to is the affair of each stage.
#pragma once

#include <cstddef>
#include <string_view>

namespace sprue::limits {

#define SPRUE_LIMIT(name, value, what) inline constexpr std::size_t name = value;
#include "lang/limits/limits.def"
#undef SPRUE_LIMIT

struct Limit {
  std::string_view name;
  std::size_t value;
  std::string_view what;
};
inline constexpr Limit all[] = {
#define SPRUE_LIMIT(name, value, what) {#name, value, what},
#include "lang/limits/limits.def"
#undef SPRUE_LIMIT
};

}  // namespace sprue::limits
