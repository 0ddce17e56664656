// Where results go: standard output, or a file that is written whole or not at all.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "lang/source/source.hpp"
#include "runtime/cli/commands.hpp"
#include "runtime/view/document.hpp"
#include "runtime/write/write.hpp"

namespace sprue {

/// As asked for, else the terminal's where the result goes there, else the usual one.
std::size_t text_width(unsigned asked, const std::string& file, Streams streams);

/// A document as text, markdown, csv, html or (a study) json.
std::string written(const Document& document, std::string_view format, std::size_t width = default_width);

/// Whether a result may be written to the file: false, and said, where it is one that was read, by whatever name.
bool may_write(const std::string& file, const std::vector<std::string>& read, Streams streams);
bool may_write(const std::string& file, const Sources& read, Streams streams);

/// An empty `file` is standard output. An exit code.
int put_out(std::string_view bytes, const std::string& file, Streams streams);

}  // namespace sprue
