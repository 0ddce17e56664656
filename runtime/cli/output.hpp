// Where results go: standard output, or a file that is written whole or not at all.
#pragma once

#include <string>
#include <string_view>

#include "runtime/cli/commands.hpp"
#include "runtime/view/document.hpp"

namespace sprue {

/// A document as text, markdown, csv, html or (a study) json.
std::string written(const Document& document, std::string_view format);

/// An empty `file` is standard output. An exit code.
int put_out(std::string_view bytes, const std::string& file, Streams streams);

}  // namespace sprue
