// Running the command in-process and comparing whole outputs with files. SPRUE_UPDATE=1 rewrites the files; review them
// by eye. SPRUE_GOLDENS=ignored makes them hold whatever comes out: then only tests that know the answer are left.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace sprue::testing {

struct Run {
  int code = 0;
  std::string out;
  std::string err;
};

/// `sprue ARGS…` in the folder.
Run run_in(const std::filesystem::path& folder, const std::vector<std::string>& arguments);

/// stdout, stderr and exit code as one text.
std::string output_of(const Run& run);

std::string read(const std::filesystem::path& file);
void write(const std::filesystem::path& file, const std::string& text);

bool update_goldens();
bool ignore_goldens();

/// The expected text; in update mode `actual` is written first. Empty where the file does not exist.
std::string golden(const std::filesystem::path& file, const std::string& actual);

/// A page shows a piece of output.
bool golden_part(const std::string& page, const std::string& part);

/// The built program: SPRUE_PROGRAM, or what was built beside the tests.
std::filesystem::path program_file();

std::filesystem::path source_dir();

/// A folder of its own under the system's temporary folder, removed with the object.
class TemporaryFolder {
 public:
  TemporaryFolder();
  ~TemporaryFolder();
  TemporaryFolder(const TemporaryFolder&) = delete;
  const std::filesystem::path& path() const { return path_; }
  std::filesystem::path file(const std::string& name, const std::string& text) const;

 private:
  std::filesystem::path path_;
};

}  // namespace sprue::testing
