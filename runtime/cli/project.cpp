// The confinement of what is read to the project.
#include "runtime/cli/project.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <system_error>
#include <vector>

#include "lang/diagnostics/diagnostic.hpp"
#include "lang/diagnostics/edits.hpp"
#include "runtime/cli/stdlib.hpp"

namespace sprue {
namespace fs = std::filesystem;

namespace {

constexpr std::size_t most_edits = 2;  // names end alike, and begin so

Loaded load_module(std::string_view name) {
  for (const StandardModule& module : standard_modules()) {
    if (module.name == name) return {std::string(name), std::string(module.text), {}, {}};
  }
  Loaded none;
  none.problem = fmt::format("there is no module `{}`", name);
  std::string names;
  const std::string in_library = "std." + std::string(name);
  for (const StandardModule& module : standard_modules()) {
    if (module.name == in_library) none.help = fmt::format("write `use {}`", in_library);
  }
  if (name.ends_with(".sprue")) none.help = fmt::format("a file is named in quotes: `use \"{}\"`", name);
  if (!none.help.empty()) return none;
  std::vector<std::string_view> like;
  for (const StandardModule& module : standard_modules()) {
    if (edits_between(name, module.name) <= most_edits) like.push_back(module.name);
  }
  if (const std::string_view near = nearest(name, like); !near.empty()) {
    none.help = fmt::format("did you mean `{}`?", near);
    return none;
  }
  for (const StandardModule& module : standard_modules())
    names += fmt::format("{}{}", names.empty() ? "" : ", ", module.name);
  none.help = name.rfind("std.", 0) == 0 ? fmt::format("modules: {}", names)
                                         : "a file of your own is used by its path in quotes: `use \"parts.sprue\"`";
  return none;
}

/// The file beside it whose name is nearest, or empty.
std::string near_file(const fs::path& missing) {
  constexpr std::size_t most = 1000;
  const std::string name = missing.filename().string();
  std::vector<std::string> like;
  std::error_code error;
  std::size_t seen = 0;
  for (fs::directory_iterator at(missing.parent_path(), error), end; !error && at != end && seen < most;
       at.increment(error), ++seen) {
    const std::string other = at->path().filename().string();
    if (other == name + ".sprue") return other;
    if (other.ends_with(".sprue") && edits_between(name, other) <= most_edits) like.push_back(other);
  }
  std::sort(like.begin(), like.end());
  return std::string(nearest(name, {like.begin(), like.end()}));
}

bool is_inside(const fs::path& path, const fs::path& root) {
  const auto [at, unused] = std::mismatch(root.begin(), root.end(), path.begin(), path.end());
  return at == root.end();
}

}  // namespace

fs::path own_file(const std::string& source_name, const fs::path& root) {
  const auto modules = standard_modules();
  const bool built_in =
      std::any_of(modules.begin(), modules.end(), [&](const auto& m) { return m.name == source_name; });
  std::error_code error;
  fs::path real = fs::canonical(source_name, error);
  return !built_in && !error && is_inside(real, root) && fs::is_regular_file(real, error) ? real : fs::path();
}

FileText read_named_file(const fs::path& file) {
  std::error_code error;
  // By its name: where a link leads must not decide what it may lead out of.
  fs::path top = fs::absolute(file, error).lexically_normal().parent_path();
  while (!fs::exists(top / ".git", error) && top.has_relative_path()) top = top.parent_path();
  if (fs::exists(top / ".git", error)) {
    const fs::path real = fs::canonical(file, error);
    if (!error && !is_inside(real, fs::canonical(top, error)))
      return {{}, "a symbolic link leads out of the repository"};
  }
  return read_file(file);
}

fs::path project_root(const fs::path& file) {
  std::error_code error;
  const fs::path start = fs::weakly_canonical(fs::absolute(file, error), error).parent_path();
  for (fs::path at = start; !at.empty(); at = at.parent_path()) {
    if (fs::exists(at / ".git", error)) return at;
    if (at == at.root_path()) break;
  }
  return start;
}

Loader project_loader(fs::path root, std::function<FileText(const fs::path&)> read) {
  return [root = std::move(root), read = std::move(read)](std::string_view used, bool is_module,
                                                          std::string_view from) -> Loaded {
    if (is_module) return load_module(used);
    Loaded loaded;
    if (from.rfind("std.", 0) == 0) {
      loaded.problem = "a built-in module uses built-in modules only";
      return loaded;
    }
    const fs::path relative{std::string(used)};
    if (used.empty() || used.find('\0') != std::string_view::npos || relative.is_absolute()) {
      loaded.problem = "`use` takes a path relative to this file";
      loaded.help = "write for example `use \"parts/housing.sprue\"`";
      return loaded;
    }
    const fs::path path = (fs::path{std::string(from)}.parent_path() / relative).lexically_normal();
    std::error_code error;
    const fs::path real = fs::weakly_canonical(fs::absolute(path, error), error);
    if (error || !is_inside(real, root)) {
      loaded.problem = fmt::format("`{}` lies outside the project", used);
      loaded.help = fmt::format("the project root is the nearest folder with `.git`, or else the main file's folder");
      return loaded;
    }
    FileText file = read(real);
    if (!file.problem.empty()) {
      loaded.problem = fmt::format("cannot use `{}`: {}", used, file.problem);
      const std::string near = near_file(real);
      if (!near.empty() && near != real.filename() && read(real.parent_path() / near).problem.empty())
        loaded.help = fmt::format("did you mean `{}`?", (relative.parent_path() / near).generic_string());
      return loaded;
    }
    loaded.name = path.generic_string();
    loaded.text = std::move(file.text);
    return loaded;
  };
}

}  // namespace sprue
