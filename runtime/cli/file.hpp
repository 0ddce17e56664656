// Whole files: read at once, written at once or not at all. Knows the file system; knows no project and no language.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace sprue {

/// The whole file, or why it cannot be read.
struct FileText {
  std::string text;
  std::string problem;  // empty: fine
};
/// Regular files only, up to limits::source_bytes.
FileText read_file(const std::filesystem::path& path);

/// Writes beside the target and renames, so that a failure leaves what was there; a link is followed and stays a link,
/// a device or pipe is written to as it is. Empty, or what went wrong.
std::string write_file(const std::filesystem::path& path, std::string_view text);

}  // namespace sprue
