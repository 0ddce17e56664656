// What `sprue_bench` can do. Each prints what it found and returns its exit code: 1 where a program was refused.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "lang/diagnostics/diagnostic.hpp"
#include "lang/source/source.hpp"

namespace sprue::bench {

int stages(const std::vector<std::string>& arguments);
int studies(const std::vector<std::string>& arguments);
int serve(const std::vector<std::string>& arguments);
int load(const std::vector<std::string>& arguments);
int write(const std::vector<std::string>& arguments);

/// Whether a program was refused: then why is said. `what`: "300 parts".
bool refused(std::string_view what, const Diagnostics& diagnostics, const Sources& sources);

/// A whole number above zero; 0 where the text is none.
int size_of(const std::string& text);

}  // namespace sprue::bench
