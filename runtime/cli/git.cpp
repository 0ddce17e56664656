// git as a child process: rev-parse, cat-file, ls-tree, write-tree, diff. Nothing it runs here starts a hook, a filter
// or a pager.
#include "runtime/cli/git.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cstdlib>
#include <iterator>

#include "runtime/cli/process.hpp"

namespace sprue {
namespace fs = std::filesystem;

namespace {

/// What git's hooks and scripts set to tell which repository they are about.
constexpr const char* about_a_repository[] = {"GIT_DIR",
                                              "GIT_WORK_TREE",
                                              "GIT_IMPLICIT_WORK_TREE",
                                              "GIT_COMMON_DIR",
                                              "GIT_INDEX_FILE",
                                              "GIT_OBJECT_DIRECTORY",
                                              "GIT_ALTERNATE_OBJECT_DIRECTORIES",
                                              "GIT_GRAFT_FILE",
                                              "GIT_SHALLOW_FILE",
                                              "GIT_PREFIX",
                                              "GIT_REPLACE_REF_BASE",
                                              "GIT_NO_REPLACE_OBJECTS"};

Finished git(const std::vector<std::string>& place, std::vector<std::string> arguments, bool own_environment,
             std::string_view input = {}) {
  std::vector<std::string> all{"git"};
  all.insert(all.end(), place.begin(), place.end());
  all.insert(all.end(), {"-c", "core.fsmonitor=false", "--no-pager", "--literal-pathspecs"});
  all.insert(all.end(), std::make_move_iterator(arguments.begin()), std::make_move_iterator(arguments.end()));
  std::vector<std::string> environment{"LC_ALL=C"};  // its messages are read
  if (!own_environment)
    environment.insert(environment.end(), std::begin(about_a_repository), std::end(about_a_repository));
  return run_program(all, input, environment);
}

Finished git(const Repository& repository, std::vector<std::string> arguments, std::string_view input = {}) {
  return git({"-C", repository.top.string(), "--git-dir=" + repository.git_dir.string(),
              "--work-tree=" + repository.top.string()},
             std::move(arguments), repository.own_environment, input);
}

std::string first_line(std::string_view text) {
  return std::string(text.substr(0, text.find('\n')));
}

/// Why git finds no working tree there, from what it said.
void explain_no_repository(const fs::path& near, const std::string& said, FoundRevision& found) {
  const std::string line = first_line(said);
  const auto ask = [&](const char* what) {
    return first_line(git({"-C", near.string()}, {"rev-parse", what}, false).out) == "true";
  };
  if (line.find("dubious ownership") != std::string::npos) {
    found.problem = "the repository belongs to another user, and git does not read it for that reason";
    const std::size_t command = said.find("git config");
    found.help = fmt::format("if you trust it: `{}`", command == std::string::npos
                                                          ? "git config --global --add safe.directory FOLDER"
                                                          : first_line(std::string_view(said).substr(command)));
  } else if (ask("--is-bare-repository")) {
    found.problem = "the repository is bare: it has no files";
    found.help = "compare in a clone of it, or in a folder made by `git worktree add FOLDER`";
  } else if (ask("--is-inside-git-dir")) {
    found.problem = "this folder is inside the `.git` of a repository, where no sources are";
    found.help = "compare in the folder that holds `.git`";
  } else if (constexpr std::string_view link = "fatal: not a git repository: "; line.starts_with(link)) {
    found.problem = fmt::format("`.git` leads to `{}`, where no repository is", line.substr(link.size()));
    found.help =
        "a submodule needs the repository it belongs to: `git submodule update --init` there; a worktree: `git "
        "worktree repair`";
  } else if (line.starts_with("fatal: not a git repository")) {
    found.problem = "this folder is in no git repository";
    found.help = "write [REVISION:]FILE[#SCENARIO]";
  } else {
    found.problem = fmt::format("git failed: {}", line);
  }
}

/// Whether what git's variables say, if anything, is about the repository found.
bool environment_is_of(const fs::path& git_dir) {
  const bool says_something = std::any_of(std::begin(about_a_repository), std::end(about_a_repository),
                                          [](const char* name) { return std::getenv(name) != nullptr; });
  if (!says_something) return true;
  std::error_code error;
  const Finished theirs = git({}, {"rev-parse", "--absolute-git-dir"}, true);
  return theirs.code == 0 && fs::equivalent(first_line(theirs.out), git_dir, error);
}

/// The submodule a path lies in, seen from the tree of what holds it.
std::string submodule_of(const Revision& revision, const std::string& path) {
  std::vector<std::string> arguments{"ls-tree", "-z", revision.tree, "--"};
  for (std::size_t at = path.find('/'); at != std::string::npos; at = path.find('/', at + 1))
    arguments.push_back(path.substr(0, at));
  if (arguments.size() == 4) return {};
  // "160000 commit <name>\t<path>", each ended by NUL.
  const std::string entries = git(revision.repository, std::move(arguments)).out;
  const std::size_t at = entries.starts_with("160000 ") ? 0
                                                        : entries.find(std::string("\0"
                                                                                   "160000 ",
                                                                                   8));
  if (at == std::string::npos) return {};
  const std::size_t name = entries.find('\t', at) + 1;
  return entries.substr(name, entries.find('\0', name) - name);
}

}  // namespace

FoundRevision find_revision(const std::string& name, const fs::path& near) {
  FoundRevision found;
  Repository& repository = found.revision.repository;
  found.revision.name = name;
  const Finished top = git({"-C", near.string()}, {"rev-parse", "--show-toplevel", "--absolute-git-dir"}, false);
  if (!top.started) {
    found.problem = "git could not be run; is it installed?";
    return found;
  }
  if (top.code != 0) {
    explain_no_repository(near, top.err, found);
    return found;
  }
  repository.top = first_line(top.out);
  repository.git_dir = first_line(std::string_view(top.out).substr(repository.top.native().size() + 1));
  repository.own_environment = environment_is_of(repository.git_dir);
  if (found.revision.is_index()) {
    const Finished tree = git(repository, {"write-tree"});
    if (tree.code == 0) {
      found.revision.tree = first_line(tree.out);
    } else if (tree.err.find("unmerged") != std::string::npos) {
      found.problem = "the index has conflicts";
      found.help = "resolve them and `git add` the files";
    } else {
      found.problem = fmt::format("git failed: {}", first_line(tree.err));
    }
    return found;
  }
  const Finished commit = git(repository, {"rev-parse", "--verify", "--quiet", "--end-of-options", name + "^{commit}"});
  if (commit.code == 0) {
    found.revision.tree = first_line(commit.out);
    return found;
  }
  found.problem = "git knows no such revision";
  found.help = "write [REVISION:]FILE[#SCENARIO]";
  if (!first_line(git(repository, {"rev-parse", "--show-superproject-working-tree"}).out).empty()) {
    found.problem = fmt::format("the submodule `{}` has no such revision", repository.top.filename().string());
    found.help = "a submodule has revisions of its own: `git log` in it lists them";
  }
  return found;
}

FileText Revision::read(const std::string& path) const {
  // One request is one line.
  if (path.find_first_of(std::string_view("\n\0", 2)) != std::string::npos)
    return {{}, "its name has a line end in it"};
  const Finished blob =
      git(repository, {"cat-file", "--batch", "--follow-symlinks"}, fmt::format("{}:{}\n", tree, path));
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
    if (const std::string module = submodule_of(*this, path); !module.empty())
      return {{}, fmt::format("it lies in the submodule `{}`, whose files are in a repository of its own", module)};
    return {{}, is_index() ? "no such file in the index" : fmt::format("no such file at {}", name)};
  }
  FileText file;
  file.text = blob.out.substr(head.size() + 1);
  if (!file.text.empty()) file.text.pop_back();
  return file;
}

std::optional<std::string> Revision::renamed_from(const std::string& path) const {
  if (is_index()) return std::nullopt;  // it is what the others are set against
  // Against the index: to look at the working tree might run a filter.
  const Finished diff = git(repository, {"diff", "--no-ext-diff", "--no-textconv", "--cached", "--name-status",
                                         "--find-renames", "--diff-filter=R", "-z", tree, "--"});
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
  const Loader modules = project_loader(repository.top);
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
