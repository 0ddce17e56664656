// A git repository of its own, for tests with a real git.
#pragma once

#include <string>
#include <vector>

#include "tests/support/golden.hpp"

namespace sprue::testing {

class Repository {
 public:
  Repository();

  std::filesystem::path path() const { return folder_.path(); }
  void put(const std::string& file, const std::string& text) const;
  /// `git ARGS…` at the top; must succeed unless `may_fail`. Its standard output.
  std::string git(const std::vector<std::string>& arguments, bool may_fail = false) const;
  /// Everything as it stands.
  void commit(const std::string& message) const;

 private:
  TemporaryFolder folder_;
};

/// A command line for sh, in a folder, with the built `sprue` on PATH.
Run shell(const std::filesystem::path& folder, const std::string& command);

}  // namespace sprue::testing
