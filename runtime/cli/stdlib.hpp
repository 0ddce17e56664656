// The standard library as compiled into the binary. Knows names and text, nothing of what the modules say.
#pragma once

#include <string_view>
#include <vector>

namespace sprue {

struct StandardModule {
  std::string_view name;  // "std.units"
  std::string_view text;
};

/// Every module under stdlib/, sorted by name.
std::vector<StandardModule> standard_modules();

}  // namespace sprue
