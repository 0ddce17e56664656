// git as a child process: rev-parse, cat-file, diff. Nothing it runs here starts a hook, a filter or a pager.
#include "runtime/cli/git.hpp"

#include <fmt/format.h>

#include "runtime/cli/process.hpp"

namespace sprue {
namespace fs = std::filesystem;

namespace {

Finished git(const fs::path& folder, std::vector<std::string> arguments, std::string_view input = {}) {
  std::vector<std::string> all{"git", "-C", folder.string(), "-c", "core.fsmonitor=false", "--no-pager"};
  all.insert(all.end(), std::make_move_iterator(arguments.begin()), std::make_move_iterator(arguments.end()));
  return run_program(all, input);
}

std::string first_line(std::string_view text) {
  return std::string(text.substr(0, text.find('\n')));
}

}  // namespace

FoundRevision find_revision(const std::string& name, const fs::path& near) {
  FoundRevision found;
  found.revision.name = name;
  const Finished top = git(near, {"rev-parse", "--show-toplevel"});
  if (!top.started) {
    found.problem = "git could not be run; is it installed?";
  } else if (top.code != 0) {
    found.problem = "this folder is in no git repository";
  }
  if (!found.problem.empty()) return found;
  found.revision.top = first_line(top.out);
  const Finished commit = git(near, {"rev-parse", "--verify", "--quiet", "--end-of-options", name + "^{commit}"});
  if (commit.code != 0) {
    found.problem = "git knows no such revision";
    return found;
  }
  found.revision.commit = first_line(commit.out);
  return found;
}

FileText Revision::read(const std::string& path) const {
  // One request is one line.
  if (path.find_first_of(std::string_view("\n\0", 2)) != std::string::npos)
    return {{}, "its name has a line end in it"};
  const Finished blob = git(top, {"cat-file", "--batch", "--follow-symlinks"}, fmt::format("{}:{}\n", commit, path));
  if (!blob.started || blob.code != 0) return {{}, fmt::format("git failed: {}", first_line(blob.err))};
  // "<name> blob <size>\n<text>\n", or "<request> missing", or "dangling …", "symlink …" for links that lead nowhere
  // here.
  const std::string head = first_line(blob.out);
  const std::size_t kind = head.find(' ');
  if (kind == std::string::npos || head.compare(kind, 6, " blob ") != 0) {
    if (head.compare(std::min(kind, head.size()), 6, " tree ") == 0) return {{}, "this is a folder, not a file"};
    if (head.starts_with("symlink") || head.starts_with("dangling") || head.starts_with("loop") ||
        head.starts_with("notdir"))
      return {{}, "its symbolic link leads out of the repository or nowhere"};
    return {{}, fmt::format("no such file at {}", name)};
  }
  FileText file;
  file.text = blob.out.substr(head.size() + 1);
  if (!file.text.empty()) file.text.pop_back();
  return file;
}

std::optional<std::string> Revision::renamed_from(const std::string& path) const {
  // Against the index: to look at the working tree might run a filter.
  const Finished diff = git(top, {"diff", "--no-ext-diff", "--no-textconv", "--cached", "--name-status",
                                  "--find-renames", "--diff-filter=R", "-z", commit, "--"});
  // "R<likeness>", old path and new path, each ended by NUL.
  std::string_view rest = diff.out;
  while (!rest.empty()) {
    std::string_view parts[3];
    for (std::string_view& part : parts) {
      part = rest.substr(0, rest.find('\0'));
      rest.remove_prefix(std::min(part.size() + 1, rest.size()));
    }
    if (parts[2] == path) return std::string(parts[1]);
  }
  return std::nullopt;
}

Loader Revision::loader() const {
  const Loader modules = project_loader(top);
  return [revision = *this, modules](std::string_view used, bool is_module, std::string_view from) -> Loaded {
    if (is_module || from.starts_with("std.")) return modules(used, is_module, from);
    Loaded loaded;
    const std::string prefix = revision.name + ":";
    const fs::path relative{std::string(used)};
    const fs::path path =
        (fs::path(std::string(from.substr(prefix.size()))).parent_path() / relative).lexically_normal();
    if (used.empty() || relative.is_absolute() || path.generic_string().starts_with("..")) {
      loaded.problem = fmt::format("`{}` lies outside the project", used);
      return loaded;
    }
    FileText file = revision.read(path.generic_string());
    if (!file.problem.empty()) {
      loaded.problem = fmt::format("cannot use `{}`: {}", used, file.problem);
      return loaded;
    }
    loaded.name = prefix + path.generic_string();
    loaded.text = std::move(file.text);
    return loaded;
  };
}

}  // namespace sprue
