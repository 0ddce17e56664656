// The table of codes, the order diagnostics are shown in, and the search for a nearby name.
#include "lang/diagnostics/diagnostic.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <tuple>

namespace sprue {
namespace {

constexpr std::array code_table{
#define SPRUE_CODE(name, number, severity, summary) CodeInfo{#name, number, Severity::severity, summary},
#include "lang/diagnostics/codes.def"
#undef SPRUE_CODE
};

/// Edits (insert, drop, replace, swap neighbors) between two words, ignoring case.
std::size_t distance(std::string_view a, std::string_view b) {
  const auto fold = [](char c) { return std::tolower(static_cast<unsigned char>(c)); };
  std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replace = fold(a[i - 1]) == fold(b[j - 1]) ? 0 : 1;
      d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + replace});
      if (i > 1 && j > 1 && fold(a[i - 1]) == fold(b[j - 2]) && fold(a[i - 2]) == fold(b[j - 1])) {
        d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
      }
    }
  }
  return d[a.size()][b.size()];
}

}  // namespace

const CodeInfo& info(Code code) {
  return code_table[static_cast<std::size_t>(code)];
}

void Diagnostics::settle() {
  const auto key = [](const Diagnostic& d) {
    return std::tie(d.span.source, d.span.begin, d.span.end, d.code, d.message);
  };
  std::stable_sort(list_.begin(), list_.end(), [&](const auto& a, const auto& b) { return key(a) < key(b); });
  list_.erase(std::unique(list_.begin(), list_.end(), [&](const auto& a, const auto& b) { return key(a) == key(b); }),
              list_.end());
}

std::string_view nearest(std::string_view word, const std::vector<std::string_view>& candidates) {
  if (word.size() < 3) return {};
  std::string_view best;
  std::size_t best_score = 7;  // twice the edits; a word inside the other counts half
  for (const std::string_view candidate : candidates) {
    if (candidate.size() > word.size() + 3 && candidate.find(word) == std::string_view::npos) continue;
    const std::size_t edits = distance(word, candidate);
    const bool inside = candidate.find(word) != std::string_view::npos;
    const std::size_t score = inside ? edits : 2 * edits;
    // Three edits make another word of a short one.
    if (2 * std::min(word.size(), candidate.size()) <= score || (!inside && 2 * edits > word.size())) continue;
    if (score < best_score || (score == best_score && candidate < best)) {
      best = candidate;
      best_score = score;
    }
  }
  if (!best.empty()) return best;
  // The longest that is inside the word.
  for (const std::string_view candidate : candidates) {
    const bool longer = candidate.size() > std::max<std::size_t>(best.size(), 3);
    if (longer && word.find(candidate) != std::string_view::npos) best = candidate;
  }
  return best;
}

}  // namespace sprue
