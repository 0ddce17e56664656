// Where texts come from: files inside the project root and the built-in modules. Knows the file system, not the
// language.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "lang/check/load.hpp"
#include "runtime/cli/file.hpp"

namespace sprue {

/// The nearest folder at or above the file's that holds `.git`, else the file's own folder. `use` cannot leave it.
std::filesystem::path project_root(const std::filesystem::path& file);

/// Follows `use`: `std.` modules from the binary, relative paths from inside `root`.
Loader project_loader(std::filesystem::path root);

}  // namespace sprue
