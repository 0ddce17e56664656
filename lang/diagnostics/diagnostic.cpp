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

std::string in_lower_case(std::string_view word) {
  std::string lower{word};
  for (char& c : lower) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return lower;
}

/// Edits (insert, drop, replace, swap neighbors) between two words.
std::size_t distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> table((a.size() + 1) * (b.size() + 1));
  const auto d = [&](std::size_t i, std::size_t j) -> std::size_t& { return table[i * (b.size() + 1) + j]; };
  for (std::size_t i = 0; i <= a.size(); ++i) d(i, 0) = i;
  for (std::size_t j = 0; j <= b.size(); ++j) d(0, j) = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replace = a[i - 1] == b[j - 1] ? 0 : 1;
      d(i, j) = std::min({d(i - 1, j) + 1, d(i, j - 1) + 1, d(i - 1, j - 1) + replace});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        d(i, j) = std::min(d(i, j), d(i - 2, j - 2) + 1);
      }
    }
  }
  return d(a.size(), b.size());
}

/// Longer ones are proposed to nobody: the table of distances would be too large.
constexpr std::size_t longest_word = 200;

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
  if (word.size() < 3 || word.size() > longest_word) return {};
  const std::string lower = in_lower_case(word);
  std::string_view best;
  std::size_t best_score = 7;  // twice the edits; a word inside the other counts half
  for (const std::string_view candidate : candidates) {
    if (word.size() > candidate.size() + 3 || candidate.size() > word.size() + 6) continue;  // too many edits
    if (candidate.size() > word.size() + 3 && candidate.find(word) == std::string_view::npos) continue;
    std::size_t score = 2 * distance(lower, in_lower_case(candidate));
    if (candidate.find(word) != std::string_view::npos) score /= 2;
    if (2 * std::min(word.size(), candidate.size()) <= score) continue;
    if (score < best_score || (score == best_score && candidate < best)) {
      best = candidate;
      best_score = score;
    }
  }
  return best;
}

}  // namespace sprue
