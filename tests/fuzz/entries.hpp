// What is done with bytes that anyone could have written, one function for each way in. The fuzz targets and the tests
// of what was once found call the same. Each says what is wrong, or nothing; a crash says it, too.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace sprue::testing {

struct FuzzEntry {
  std::string_view name;
  std::function<std::string(std::string_view)> problem;
};

/// parse, format, check, evaluate, compare, gather, serve. Texts may use the standard library and no other file.
const std::vector<FuzzEntry>& fuzz_entries();

/// Parts one input into several texts.
inline constexpr std::string_view fuzz_cut = "\n====\n";

}  // namespace sprue::testing
