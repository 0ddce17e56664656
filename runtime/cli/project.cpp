// Reading, atomic writing, and the confinement of `use` to the project root.
#include "runtime/cli/project.hpp"

#include <fmt/format.h>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <sstream>
#include <system_error>

#include "runtime/cli/stdlib.hpp"

namespace sprue {
namespace fs = std::filesystem;

namespace {

constexpr std::uintmax_t file_limit = 256U << 20U;

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

FileText read_file(const fs::path& path) {
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (!fs::exists(status)) return {{}, "no such file"};
  if (fs::is_directory(status)) return {{}, "this is a folder, not a file"};
  if (!fs::is_regular_file(status)) return {{}, "this is not a regular file"};
  const std::uintmax_t size = fs::file_size(path, error);
  if (error) return {{}, error.message()};
  if (size > file_limit) return {{}, fmt::format("the file is larger than {} MiB", file_limit >> 20U)};
  std::ifstream in(path, std::ios::binary);
  FileText file;
  file.text.resize(static_cast<std::size_t>(size));
  if (!in || !in.read(file.text.data(), static_cast<std::streamsize>(size))) return {{}, "the file cannot be read"};
  return file;
}

std::string write_file(const fs::path& path, std::string_view text) {
  const fs::path beside = path.parent_path() / fmt::format(".{}.partial", path.filename().generic_string());
  {
    std::ofstream out(beside, std::ios::binary | std::ios::trunc);
    if (!out) return std::strerror(errno);
    out.write(text.data(), static_cast<std::streamsize>(text.size()));
    out.flush();
    if (!out) {
      std::error_code ignored;
      fs::remove(beside, ignored);
      return "the file could not be written whole";
    }
  }
  std::error_code error;
  if (fs::exists(path, error)) fs::permissions(beside, fs::status(path, error).permissions(), error);
  fs::rename(beside, path, error);
  if (!error) return {};
  std::error_code ignored;
  fs::remove(beside, ignored);
  return error.message();
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
      return loaded;
    }
    loaded.name = path.generic_string();
    loaded.text = std::move(file.text);
    return loaded;
  };
}

}  // namespace sprue
