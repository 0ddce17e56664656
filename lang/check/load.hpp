// Follows `use` from the main file. Knows names of modules; the caller knows where texts come from, so this does no
// I/O.
#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "lang/check/model.hpp"

namespace sprue {

/// What a `use` leads to: a canonical name (equal for the same file), and its text, or why it cannot be had.
struct Loaded {
  std::string name;
  std::string text;
  std::string problem;  // empty: fine
  std::string help;
};

/// `used` is a module name ("std.units") or a relative path; `from` is the canonical name of the file that says it.
using Loader = std::function<Loaded(std::string_view used, bool is_module, std::string_view from)>;

/// Parses `main` and all it uses into program.trees; the main file's tree is the first.
void load(Program& program, Sources& sources, SourceId main, const Loader& loader, Diagnostics& diagnostics);

}  // namespace sprue
