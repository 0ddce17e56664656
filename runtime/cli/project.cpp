// The confinement of `use` to the project root.
#include "runtime/cli/project.hpp"

#include <fmt/format.h>
#include <system_error>

#include "runtime/cli/stdlib.hpp"

namespace sprue {
namespace fs = std::filesystem;

namespace {

Loaded load_module(std::string_view name) {
  for (const StandardModule& module : standard_modules()) {
    if (module.name == name) return {std::string(name), std::string(module.text), {}, {}};
  }
  Loaded none;
  none.problem = fmt::format("there is no module `{}`", name);
  std::string names;
  for (const StandardModule& module : standard_modules())
    names += fmt::format("{}{}", names.empty() ? "" : ", ", module.name);
  none.help = name.rfind("std.", 0) == 0 ? fmt::format("modules: {}", names)
                                         : "a file of your own is used by its path in quotes: `use \"parts.sprue\"`";
  return none;
}

bool is_inside(const fs::path& path, const fs::path& root) {
  const auto [at, unused] = std::mismatch(root.begin(), root.end(), path.begin(), path.end());
  return at == root.end();
}

}  // namespace

fs::path project_root(const fs::path& file) {
  std::error_code error;
  const fs::path start = fs::weakly_canonical(fs::absolute(file, error), error).parent_path();
  for (fs::path at = start; !at.empty(); at = at.parent_path()) {
    if (fs::exists(at / ".git", error)) return at;
    if (at == at.root_path()) break;
  }
  return start;
}

Loader project_loader(fs::path root) {
  return [root = std::move(root)](std::string_view used, bool is_module, std::string_view from) -> Loaded {
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
    FileText file = read_file(real);
    if (!file.problem.empty()) {
      loaded.problem = fmt::format("cannot use `{}`: {}", used, file.problem);
      return loaded;
    }
    loaded.name = path.generic_string();
    loaded.text = std::move(file.text);
    return loaded;
  };
}

}  // namespace sprue
