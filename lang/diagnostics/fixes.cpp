// Fixes are applied from the end of the text to its beginning, so that offsets stay what they were.
#include "lang/diagnostics/fixes.hpp"

#include <fmt/format.h>
#include <algorithm>

namespace sprue {
namespace {

Fix one(Span span, std::string text, bool sure) {
  std::string title;
  if (text.empty()) {
    title = "leave it out";
  } else if (span.begin == span.end) {
    title = fmt::format("insert `{}`", text);
  } else {
    title = fmt::format("write `{}`", text);
  }
  return {std::move(title), {{span, std::move(text)}}, sure};
}

bool apart(const Span& a, const Span& b) {
  return a.end < b.begin || b.end < a.begin;
}

}  // namespace

void mend(Diagnostic& diagnostic, Span span, std::string text) {
  diagnostic.fixes.push_back(one(span, std::move(text), true));
}

void propose(Diagnostic& diagnostic, Span span, std::string text) {
  diagnostic.fixes.push_back(one(span, std::move(text), false));
}

Mended mended(const Diagnostics& diagnostics, const Sources& sources, SourceId source) {
  std::vector<Replacement> chosen;
  Mended result{sources[source].text, 0};
  for (const Diagnostic& diagnostic : diagnostics.list()) {
    for (const Fix& fix : diagnostic.fixes) {
      const bool fits = std::all_of(fix.replacements.begin(), fix.replacements.end(), [&](const Replacement& r) {
        return r.span.source == source &&
               std::all_of(chosen.begin(), chosen.end(), [&](const Replacement& c) { return apart(c.span, r.span); });
      });
      const bool changes = std::any_of(fix.replacements.begin(), fix.replacements.end(),
                                       [&](const Replacement& r) { return sources.text(r.span) != r.text; });
      if (!fix.sure || !fits || !changes) continue;
      chosen.insert(chosen.end(), fix.replacements.begin(), fix.replacements.end());
      ++result.fixes;
      break;
    }
  }
  std::sort(chosen.begin(), chosen.end(), [](const auto& a, const auto& b) { return a.span.begin > b.span.begin; });
  for (const Replacement& r : chosen) result.text.replace(r.span.begin, r.span.end - r.span.begin, r.text);
  return result;
}

}  // namespace sprue
