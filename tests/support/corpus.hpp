// Cases kept as text: many in a file, each a title, a source and what is expected. SPRUE_UPDATE=1 rewrites what is
// expected.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace sprue::testing {

struct Case {
  std::string title;
  std::string source;
  std::string expected;
};

/// A file of cases:
///     === title
///     source
///     ---
///     expected
std::vector<Case> read_cases(const std::filesystem::path& file);
void write_cases(const std::filesystem::path& file, const std::vector<Case>& cases);

/// Compares what `answer` makes of each source with what is expected, one section a case.
void check_cases(const std::filesystem::path& file, const std::function<std::string(const Case&)>& answer);

}  // namespace sprue::testing
