// Where texts come from: files inside the project root and the built-in modules. Knows the file system, not the
// language.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>

#include "lang/check/load.hpp"

namespace sprue {

/// The whole file, or why it cannot be read.
struct FileText {
  std::string text;
  std::string problem;  // empty: fine
};
FileText read_file(const std::filesystem::path& path);

/// Writes beside the target and renames, so that a failure never leaves half a file. Empty, or what went wrong.
std::string write_file(const std::filesystem::path& path, std::string_view text);

/// The nearest folder at or above the file's that holds `.git`, else the file's own folder. `use` cannot leave it.
std::filesystem::path project_root(const std::filesystem::path& file);

/// Follows `use`: `std.` modules from the binary, relative paths from inside `root`, read by `read` at their absolute
/// paths.
Loader project_loader(std::filesystem::path root,
                      std::function<FileText(const std::filesystem::path&)> read = read_file);

}  // namespace sprue
