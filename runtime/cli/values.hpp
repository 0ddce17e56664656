// Values of inputs as written on the command line: "12_000", "12_000 unit", "2027-01-31", lists and ranges of them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "runtime/cli/study.hpp"

namespace sprue {

/// In the input's own base units and currency. Without a unit it is in that of reports. Nothing, and said, where it is
/// no such value.
std::optional<double> read_value(Study& study, std::uint32_t input, const std::string& text, Streams streams);

/// "PATH=VALUE,VALUE…", "PATH=LOW..HIGH in N", "PATH=LOW..HIGH in N log".
struct Varied {
  std::string path;
  std::uint32_t input = none;
  std::vector<double> values;
  bool range = false;
};
/// The path alone; empty where there is none.
std::string varied_path(const std::string& text);
std::optional<Varied> read_varied(Study& study, const std::string& text, Streams streams);

}  // namespace sprue
