// Files as they stand at a revision, read through git; the working tree is not touched. Knows git's plumbing.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "lang/check/load.hpp"
#include "runtime/cli/project.hpp"

namespace sprue {

struct Revision {
  std::filesystem::path top;  // of the working tree
  std::string commit;         // full name
  std::string name;           // as the user wrote it

  /// A file by its path from the top, symbolic links inside the tree followed. `problem` says why it cannot be had.
  FileText read(const std::string& path) const;
  /// Where a file of today stood then, if git takes it for renamed.
  std::optional<std::string> renamed_from(const std::string& path) const;
  /// Follows `use` within the revision; built-in modules come from the binary.
  Loader loader() const;
};

struct FoundRevision {
  Revision revision;
  std::string problem;  // empty: fine
};

/// `name` is anything git takes for a commit. The repository is the one that `near`, a folder, lies in.
FoundRevision find_revision(const std::string& name, const std::filesystem::path& near);

}  // namespace sprue
