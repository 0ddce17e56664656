// In-process runs and golden files.
#include "tests/support/golden.hpp"

#include <fmt/format.h>
#include <unistd.h>
#include <cstdlib>
#include <fstream>
#include <sstream>

#include "runtime/cli/commands.hpp"

namespace sprue::testing {
namespace fs = std::filesystem;

Run run_in(const fs::path& folder, const std::vector<std::string>& arguments) {
  const fs::path before = fs::current_path();
  fs::current_path(folder);
  std::vector<const char*> argv{"sprue"};
  for (const std::string& argument : arguments) argv.push_back(argument.c_str());
  std::ostringstream out;
  std::ostringstream err;
  Run run;
  run.code = sprue::run(static_cast<int>(argv.size()), argv.data(), {out, err, false, false});
  run.out = out.str();
  run.err = err.str();
  fs::current_path(before);
  return run;
}

std::string output_of(const Run& run) {
  std::string text = run.out;
  if (!run.err.empty()) text += (text.empty() ? "" : "--- stderr\n") + run.err;
  return text + fmt::format("exit {}\n", run.code);
}

std::string read(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

void write(const fs::path& file, const std::string& text) {
  std::ofstream out(file, std::ios::binary);
  out << text;
}

namespace {

bool is_set(const char* name, std::string_view value) {
  const char* const found = std::getenv(name);
  return found != nullptr && found == value;
}

}  // namespace

bool update_goldens() {
  return is_set("SPRUE_UPDATE", "1");
}

bool ignore_goldens() {
  return is_set("SPRUE_GOLDENS", "ignored");
}

std::string golden(const fs::path& file, const std::string& actual) {
  if (ignore_goldens()) return actual;
  if (update_goldens()) write(file, actual);
  return read(file);
}

bool golden_part(const std::string& page, const std::string& part) {
  return ignore_goldens() || page.find(part) != std::string::npos;
}

fs::path program_file() {
  const char* const other = std::getenv("SPRUE_PROGRAM");
  return other != nullptr ? other : SPRUE_BINARY;
}

fs::path source_dir() {
  return SPRUE_SOURCE_DIR;
}

TemporaryFolder::TemporaryFolder() {
  static int count = 0;
  path_ = fs::temp_directory_path() / fmt::format("sprue-test-{}-{}", ::getpid(), ++count);
  fs::create_directories(path_);
}

TemporaryFolder::~TemporaryFolder() {
  std::error_code ignored;
  fs::remove_all(path_, ignored);
}

fs::path TemporaryFolder::file(const std::string& name, const std::string& text) const {
  fs::create_directories((path_ / name).parent_path());
  write(path_ / name, text);
  return path_ / name;
}

}  // namespace sprue::testing
