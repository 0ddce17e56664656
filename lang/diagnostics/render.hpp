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


}  // namespace sprue
