// Running git and sh.
#include "tests/support/repository.hpp"

#include <fmt/format.h>
#include <stdexcept>

#include "runtime/cli/process.hpp"

namespace sprue::testing {

Repository::Repository() {
  git({"init", "--quiet", "--initial-branch=main"});
}

void Repository::put(const std::string& file, const std::string& text) const {
  const std::filesystem::path target = path() / file;
  std::filesystem::create_directories(target.parent_path());
  write(target, text);
}

std::string Repository::git(const std::vector<std::string>& arguments, bool may_fail) const {
  std::vector<std::string> all{"git",
                               "-C",
                               path().string(),
                               "-c",
                               "user.name=Test",
                               "-c",
                               "user.email=test@example.org",
                               "-c",
                               "commit.gpgsign=false"};
  all.insert(all.end(), arguments.begin(), arguments.end());
  const Finished done = run_program(all);
  if (done.code != 0 && !may_fail) throw std::runtime_error(fmt::format("git {}: {}", arguments.front(), done.err));
  return done.out;
}

void Repository::commit(const std::string& message) const {
  git({"add", "--all"});
  git({"commit", "--quiet", "--message", message});
}

Run shell(const std::filesystem::path& folder, const std::string& command) {
  const std::string bin = program_file().parent_path().string();
  const Finished done =
      run_program({"sh", "-c", fmt::format("cd \"$0\" && PATH=\"$1:$PATH\" && export PATH && {{ {}\n}}", command),
                   folder.string(), bin});
  return {done.code, done.out, done.err};
}

}  // namespace sprue::testing
