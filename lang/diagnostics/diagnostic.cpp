// The table of codes, the order diagnostics are shown in, and the search for a nearby name.
#include "lang/diagnostics/diagnostic.hpp"

#include <algorithm>
#include <array>
#include <tuple>

#include "lang/diagnostics/edits.hpp"

namespace sprue {
namespace {

constexpr std::array code_table{
#define SPRUE_CODE(name, number, severity, summary) CodeInfo{#name, number, Severity::severity, summary},
#include "lang/diagnostics/codes.def"
#undef SPRUE_CODE
};

constexpr std::size_t longest_compared = 200;
/// This row of the table of distances and the two before.
using Rows = std::array<std::array<std::size_t, longest_compared + 1>, 3>;

std::size_t distance(std::string_view a, std::string_view b, Rows& rows) {
  const auto fold = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; };
  for (std::size_t j = 0; j <= b.size(); ++j) rows[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    auto& row = rows[i % 3];
    const auto& above = rows[(i + 2) % 3];
    const auto& over = rows[(i + 1) % 3];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replace = fold(a[i - 1]) == fold(b[j - 1]) ? 0 : 1;
      row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + replace});
      if (i > 1 && j > 1 && fold(a[i - 1]) == fold(b[j - 2]) && fold(a[i - 2]) == fold(b[j - 1]))
        row[j] = std::min(row[j], over[j - 2] + 1);
    }
  }
  return rows[a.size() % 3][b.size()];
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

std::size_t edits_between(std::string_view a, std::string_view b) {
  if (std::max(a.size(), b.size()) > longest_compared) return longest_compared;
  Rows rows;
  return distance(a, b, rows);
}

std::string_view nearest(std::string_view word, const std::vector<std::string_view>& candidates) {
  if (word.size() < 3 || word.size() > longest_compared) return {};
  Rows rows;
  std::string_view best;
  std::size_t best_score = 7;  // twice the edits; a word inside the other counts half
  for (const std::string_view candidate : candidates) {
    if (candidate.size() > longest_compared || candidate.size() + 3 < word.size()) continue;
    if (candidate.size() > word.size() + 3 && candidate.find(word) == std::string_view::npos) continue;
    const std::size_t edits = distance(word, candidate, rows);
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

std::vector<std::string_view> related(std::string_view word, const std::vector<std::string_view>& candidates) {
  constexpr std::size_t most = 6;
  const auto words_of = [](std::string_view name) {
    std::vector<std::string_view> words;
    for (std::size_t begin = 0; begin < name.size();) {
      const std::size_t end = std::min(name.find('_', begin), name.size());
      if (end - begin >= 4) words.push_back(name.substr(begin, end - begin));
      begin = end + 1;
    }
    return words;
  };
  const std::vector<std::string_view> words = words_of(word);
  std::vector<std::string_view> found;
  for (const std::string_view candidate : candidates) {
    const std::vector<std::string_view> others = words_of(candidate);
    if (std::find_first_of(words.begin(), words.end(), others.begin(), others.end()) == words.end()) continue;
    if (found.size() == most) return {};
    found.push_back(candidate);
  }
  return found;
}

}  // namespace sprue
