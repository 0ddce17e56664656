// Advice for syntax errors, resynchronization, damage, bytes and comments: plain scans over the text.
#include "lang/syntax/recovery.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace sprue {
namespace {

bool is_word(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_'; }

/// The offset behind a quoted text that begins at `at`; it never goes past its line.
std::size_t past_quoted(std::string_view text, std::size_t at) {
  for (++at; at < text.size() && text[at] != '\n'; ++at) {
    if (text[at] == '\\') {
      ++at;
    } else if (text[at] == '"') {
      return at + 1;
    }
  }
  return std::min(at, text.size());
}

std::size_t past_line(std::string_view text, std::size_t at) { return std::min(text.find('\n', at), text.size()); }

/// The next token as it stands, for "found …".
std::string_view token_at(std::string_view text, std::size_t at) {
  std::size_t end = at;
  if (end < text.size() && is_word(text[end])) {
    while (end < text.size() && is_word(text[end])) ++end;
  } else if (end < text.size() && text[end] == '"') {
    end = past_quoted(text, end);
  } else if (end < text.size()) {
    ++end;
    while (end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) ++end;
    if (end < text.size() && (text.substr(at, 2) == "==" || text.substr(at, 2) == "&&" || text.substr(at, 2) == "||" || text.substr(at, 2) == "//" || text.substr(at, 2) == "/*" || text.substr(at, 2) == ":=" || text.substr(at, 2) == "+-" || text.substr(at, 2) == "..")) ++end;
  }
  return text.substr(at, end - at);
}

/// The innermost `{` before `end` that is still open there.
std::uint32_t open_brace(std::string_view text, std::size_t end) {
  std::vector<std::uint32_t> open{0};
  for (std::size_t at = 0; at < end;) {
    if (text[at] == '"') {
      at = past_quoted(text, at);
    } else if (text[at] == '#') {
      at = past_line(text, at);
    } else {
      if (text[at] == '{') open.push_back(static_cast<std::uint32_t>(at));
      if (text[at] == '}' && open.size() > 1) open.pop_back();
      ++at;
    }
  }
  return open.back();
}

std::string advice(std::string_view text, std::size_t at, std::string_view expected) {
  const std::string_view found = token_at(text, at);
  const std::string_view before = text.substr(0, at);
  const std::size_t last = before.find_last_not_of(" \t");
  const bool after_digit = last != std::string_view::npos && before[last] >= '0' && before[last] <= '9';
  if (at > 0 && text[at - 1] == ',' && !found.empty() && found[0] >= '0' && found[0] <= '9') return "write 4.20 with a point and 24_000 with an underscore";
  if (found == "==") return "write `=` for equal";
  if (found == ":=") return "write `name: value`";
  if (found == "&&") return "write `and`";
  if (found == "||") return "write `or`";
  if (found == "!") return "write `not`, or `!=` for different";
  if (found == "//" || found == "/*") return "a comment starts with `#`";
  if (found == ";") return "a statement ends with its line; leave out `;`";
  if (found == "'") return "a text stands in double quotes: \"…\"";
  if (found == "=" && (expected == "the end of the line" || expected == "`:`")) return "a value is given as `name: value`";
  if (found == ":" && expected == "`=`") return "a formula is given after `=`";
  if (found == ":" && expected == "the end of the line") return "a field is `name: value`, its name one word of letters, digits and `_`";
  if (found == "-" && expected == "the end of the line") return "names are written with `_`, as in `left_clip`";
  if (found == "%" && after_digit) return "write the percent sign right after the number: 97%";
  if (found == "{" && expected != "`{`") return "the block begins on the line of its head, after the name";
  if (found == "+-") return "`+-` follows a plain value, or the equality of an `expect`";
  if (after_digit && !found.empty() && is_word(found[0]) && at > 0 && is_word(before.back())) return "put a space between a number and its unit: 31 s";
  if (found == "/" && last != std::string_view::npos && is_word(before[last])) return "a unit has no spaces inside (USD/kg); a division has one on each side";
  if (expected == "`{`" && (found == "\n" || found.empty() || found == "\r")) return "the `{` stands on the same line";
  if (expected == "the end of the line" && !found.empty() && (found[0] == ')' || found[0] == ']' || found[0] == '}')) return fmt::format("there is no bracket open for this `{}`", found);
  if (expected == "a date such as 2026-10-05") return "dates are year-month-day";
  if (expected == "the end of the line") return "one statement a line; a comma separates fields on one line";
  return {};
}

}  // namespace

void report_syntax(TreeBuilder& builder, std::uint32_t at, std::string_view expected) {
  const std::string_view text = builder.whole_text();
  // An error after trailing space belongs behind the last thing read, not on the next line.
  std::size_t shown = at;
  while (shown < text.size() && (text[shown] == ' ' || text[shown] == '\t')) ++shown;
  const std::string_view found = token_at(text, shown);
  std::string what = fmt::format("`{}`", found);
  if (shown >= text.size()) what = "the end of the file";
  if (found == "\n" || found == "\r") what = "the end of the line";
  const auto begin = static_cast<std::uint32_t>(shown);
  const auto end = static_cast<std::uint32_t>(shown + std::max<std::size_t>(found == "\n" || found == "\r" ? 1 : found.size(), 1));
  std::string message = fmt::format("expected {}, found {}", expected, what);
  if (expected == "a declaration" && found == "}") message = "a `}` without its `{`";
  const bool comma_before = at > 1 && text[at - 1] == ',' && text[at - 2] >= '0' && text[at - 2] <= '9';
  if (comma_before && !found.empty() && found[0] >= '0' && found[0] <= '9') message = "a comma inside a number";
  Diagnostic& diagnostic = builder.diagnostics.report(Code::syntax, builder.span(begin, std::min(end, static_cast<std::uint32_t>(std::max(text.size(), shown + 1)))), std::move(message));
  if (std::string help = advice(text, shown, expected); !help.empty()) diagnostic.help.push_back(std::move(help));
  if (expected == "`}`") {
    const std::uint32_t opener = open_brace(text, begin);
    diagnostic.labels.push_back({builder.span(opener, opener + 1), "the block that is not closed"});
  }
}

std::uint32_t statement_end_after(std::string_view text, std::uint32_t begin, bool top_level) {
  std::size_t at = begin;
  int braces = 0;
  while (at < text.size()) {
    const char c = text[at];
    if (c == '"') {
      at = past_quoted(text, at);
      continue;
    }
    if (c == '#') {
      at = past_line(text, at);
      continue;
    }
    if (c == '\n' && braces <= 0) break;
    if (c == '{') ++braces;
    if (c == '}') {
      if (braces == 0 && !top_level) break;
      --braces;
    }
    ++at;
  }
  return static_cast<std::uint32_t>(std::max<std::size_t>(at, std::min<std::size_t>(begin + 1U, text.size())));
}

void note_damage(TreeBuilder& builder, std::uint32_t begin, std::uint32_t end) {
  const std::string_view text = builder.whole_text();
  for (std::size_t at = begin; at < end;) {
    if (!is_word(text[at])) {
      ++at;
      continue;
    }
    const std::size_t from = at;
    while (at < end && is_word(text[at])) ++at;
    builder.tree.damaged.push_back(builder.symbols.intern(text.substr(from, at - from)));
  }
}

std::size_t report_bad_bytes(TreeBuilder& builder) {
  const std::string_view text = builder.whole_text();
  std::size_t skip = 0;
  if (text.substr(0, 3) == "\xEF\xBB\xBF") {
    builder.diagnostics.report(Code::bad_character, builder.span(0, 3), "a byte-order mark at the start of the file").help.push_back("save the file as UTF-8 without a byte-order mark");
    skip = 3;
  }
  for (std::size_t at = skip; at < text.size();) {
    const auto byte = static_cast<unsigned char>(text[at]);
    if (byte >= 0x20 || byte == '\n' || byte == '\t' || (byte == '\r' && at + 1 < text.size() && text[at + 1] == '\n')) {
      if (byte < 0x80) {
        ++at;
        continue;
      }
      const std::size_t length = byte >= 0xF0 && byte < 0xF5 ? 4 : byte >= 0xE0 ? 3 : byte >= 0xC2 ? 2 : 0;
      bool fine = length != 0 && byte < 0xF5 && at + length <= text.size();
      for (std::size_t i = 1; fine && i < length; ++i) fine = (static_cast<unsigned char>(text[at + i]) & 0xC0U) == 0x80U;
      if (fine) {
        at += length;
        continue;
      }
    }
    const auto begin = static_cast<std::uint32_t>(at);
    builder.diagnostics.report(Code::bad_character, builder.span(begin, begin + 1), fmt::format("the byte 0x{:02X} cannot stand in a source file", byte)).help.push_back("save the file as UTF-8 text");
    break;  // one such file has thousands
  }
  return skip;
}

void collect_comments(std::string_view text, std::vector<Comment>& comments) {
  for (std::size_t at = 0; at < text.size();) {
    at = text.find_first_of("\"#", at);
    if (at == std::string_view::npos) return;
    if (text[at] == '"') {
      at = past_quoted(text, at);
      continue;
    }
    std::size_t end = past_line(text, at);
    if (end > at && text[end - 1] == '\r') --end;
    comments.push_back({static_cast<std::uint32_t>(at), static_cast<std::uint32_t>(end), at + 1 < text.size() && text[at + 1] == '#'});
    at = end;
  }
}

}  // namespace sprue
