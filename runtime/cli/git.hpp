// Files as they stand at a revision, read through git; the working tree is not touched. Knows git's plumbing.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "lang/check/load.hpp"
#include "runtime/cli/project.hpp"

namespace sprue {

/// A repository with a working tree.
struct Repository {
  std::filesystem::path top;  // of the working tree
  std::filesystem::path git_dir;
  bool own_environment = true;  // what git's variables say is about another one: they are taken away
};

struct Revision {
  Repository repository;
  std::string tree;  // full name of a commit, or of a tree made of the index
  std::string name;  // as the user wrote it; empty: the index

  bool is_index() const { return name.empty(); }
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
  std::string help;
};

/// `name` is anything git takes for a commit; empty is the index, as in git's `:FILE`. The repository is the one that
/// `near`, a folder, lies in, whatever the environment says of another: a hook's does.
FoundRevision find_revision(const std::string& name, const std::filesystem::path& near);

}  // namespace sprue
