// Where texts come from: files inside the project root and the built-in modules. Knows the file system, not the
// language.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>

#include "lang/check/load.hpp"
#include "runtime/cli/file.hpp"

namespace sprue {

/// The file a source was read from, with links followed, where it may be rewritten: a regular file inside `root`, and
/// no built-in module. Empty otherwise.
std::filesystem::path own_file(const std::string& source_name, const std::filesystem::path& root);

/// A file that is named by the user. One that lies in a repository, and that a symbolic link leads out of it, is
/// refused, as `use` does: the link may be somebody else's.
FileText read_named_file(const std::filesystem::path& file);

/// The nearest folder at or above the file's that holds `.git`, else the file's own folder. `use` cannot leave it.
std::filesystem::path project_root(const std::filesystem::path& file);

/// Follows `use`: `std.` modules from the binary, relative paths from inside `root`, read by `read` at their absolute
/// paths.
Loader project_loader(std::filesystem::path root,
                      std::function<FileText(const std::filesystem::path&)> read = read_file);

}  // namespace sprue
