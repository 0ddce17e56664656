// Diagnostics as text for people.
#pragma once

#include <string>

#include "lang/diagnostics/diagnostic.hpp"
#include "lang/source/source.hpp"

namespace sprue {

struct RenderOptions {
  bool color = false;
  std::size_t limit = limits::shown_diagnostics;  // diagnostics printed in full; the rest are counted
};

/// `file:line:column: error: message [code]`, the source line with carets, notes and help.
std::string render(const Diagnostics& diagnostics, const Sources& sources, const RenderOptions& options = {});

/// With spaces for control characters, so that no name or text steers the terminal.
std::string without_controls(std::string text, bool keep_lines = false);

}  // namespace sprue
