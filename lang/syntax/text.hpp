// Characters and words of the language, over plain bytes. Texts end in a NUL byte, so looking one byte ahead is always
// safe. Knows no grammar and no tree.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <span>
#include <string_view>

namespace sprue::text {

enum CharacterClass : std::uint8_t { letter = 1, digit = 2, underscore = 4, blank = 8, line_break = 16 };

inline constexpr auto classes = [] {
  std::array<std::uint8_t, 256> table{};
  for (int c = 'a'; c <= 'z'; ++c) table[static_cast<std::size_t>(c)] = letter;
  for (int c = 'A'; c <= 'Z'; ++c) table[static_cast<std::size_t>(c)] = letter;
  for (int c = '0'; c <= '9'; ++c) table[static_cast<std::size_t>(c)] = digit;
  table['_'] = underscore;
  table[' '] = table['\t'] = blank;
  table['\n'] = table['\r'] = line_break;
  return table;
}();

constexpr bool is(char c, int wanted) {
  return (classes[static_cast<unsigned char>(c)] & wanted) != 0;
}
constexpr bool is_letter(char c) {
  return is(c, letter);
}
constexpr bool is_digit(char c) {
  return is(c, digit);
}
constexpr bool is_blank(char c) {
  return is(c, blank);
}
constexpr bool is_space(char c) {
  return is(c, blank | line_break);
}
constexpr bool is_word(char c) {
  return is(c, letter | digit | underscore);
}
constexpr bool is_upper(char c) {
  return c >= 'A' && c <= 'Z';
}
constexpr char lower(char c) {
  return is_upper(c) ? static_cast<char>(c | 0x20) : c;
}
/// Whether only capitals tell them apart.
constexpr bool same_letters(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](char x, char y) { return lower(x) == lower(y); });
}

/// Behind the word that begins at `p`; `p` itself where none begins.
constexpr const char* past_word(const char* p) {
  if (!is_letter(*p)) return p;
  while (is_word(*p)) ++p;
  return p;
}

constexpr const char* past_blanks(const char* p) {
  while (is_blank(*p)) ++p;
  return p;
}

/// The end of the line at or after `p`: at its LF, or at `end`.
constexpr const char* line_end(const char* p, const char* end) {
  while (p != end && *p != '\n') ++p;
  return p;
}

/// Behind blanks, line ends and comments.
constexpr const char* past_space(const char* p, const char* end) {
  for (;;) {
    while (is_space(*p)) ++p;
    if (*p != '#') return p;
    p = line_end(p, end);
  }
}

/// Behind the quoted text that begins at `p`, or nullptr where its line ends first.
constexpr const char* past_string(const char* p, const char* end) {
  for (++p; p != end && *p != '\n'; ++p) {
    if (*p == '"') return p + 1;
    if (*p == '\\' && p + 1 != end && p[1] != '\n') ++p;
  }
  return nullptr;
}

/// From `p` to the end of the entry: its line, a comma or a `}`, none of them in a quoted text. Without the blanks around
/// it.
constexpr std::string_view entry_at(const char* p, const char* end) {
  p = past_blanks(p);
  const char* last = p;
  while (last != end && *last != '\n' && *last != '\r' && *last != ',' && *last != '}' && *last != '#') {
    const char* const past = *last == '"' ? past_string(last, end) : nullptr;
    last = past != nullptr ? past : last + 1;
  }
  while (last != p && is_blank(last[-1])) --last;
  return {p, static_cast<std::size_t>(last - p)};
}

/// Words that begin a declaration, or an entry other than a field.
inline constexpr std::array<std::string_view, 25> statement_words{
    "use",    "dimension", "unit",    "countable", "currency",    "exchange", "function",  "abstract", "kind",
    "ledger", "listing",   "chart",   "audience",  "show",        "scenario", "correlate", "expect",   "report",
    "post",   "require",   "caution", "final",     "replaceable", "headline", "basis"};
inline constexpr std::span<const std::string_view> declaration_words{statement_words.data(), 18};

constexpr bool is_statement_word(std::string_view word) {
  for (const std::string_view candidate : statement_words) {
    if (candidate == word) return true;
  }
  return false;
}

/// Words that end an expression or join two of them; they name nothing inside one.
constexpr bool is_joining_word(std::string_view word) {
  switch (word.front()) {
    case 'a':
      return word == "and";
    case 'e':
      return word == "else";
    case 'f':
      return word == "for";
    case 'i':
      return word == "if" || word == "is";
    case 'n':
      return word == "not";
    case 'o':
      return word == "or" || word == "otherwise";
    case 't':
      return word == "then";
    case 'w':
      return word == "where";
    default:
      return false;
  }
}

/// Words that are no unit where they follow a number.
constexpr bool is_no_unit_word(std::string_view word) {
  switch (word.front()) {
    case 'a':
      return word == "as" || word == "and";
    case 'f':
      return word == "from" || word == "for";
    case 'o':
      return word == "on" || word == "or" || word == "otherwise" || word == "over";
    case 'u':
      return word == "until";
    case 'w':
      return word == "within" || word == "where";
    case 'x':
      return word == "x";
    case 'z':
      return word == "zero";
    default:
      return is_joining_word(word);
  }
}

constexpr bool is_aggregate_word(std::string_view word) {
  switch (word.front()) {
    case 'a':
      return word == "any";
    case 'c':
      return word == "count";
    case 'e':
      return word == "every";
    case 'f':
      return word == "first";
    case 'g':
      return word == "greatest";
    case 'l':
      return word == "least" || word == "last";
    case 's':
      return word == "sum";
    default:
      return false;
  }
}

}  // namespace sprue::text
