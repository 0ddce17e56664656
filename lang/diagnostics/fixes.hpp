// Fixes: how they are attached to a diagnostic, and a text with the sure ones applied. Knows spans and texts only.
#pragma once

#include <string>

#include "lang/diagnostics/diagnostic.hpp"

namespace sprue {

/// Attaches a fix that writes `text` for the span and leaves no choice of meaning.
void mend(Diagnostic& diagnostic, Span span, std::string text);
/// Attaches one of perhaps several ways to mend it, for a person to choose.
void propose(Diagnostic& diagnostic, Span span, std::string text);

struct Mended {
  std::string text;
  std::size_t fixes = 0;
};

/// The source's text with the sure fixes applied that lie wholly in it. Of fixes that overlap or touch, only the first.
Mended mended(const Diagnostics& diagnostics, const Sources& sources, SourceId source);

}  // namespace sprue
