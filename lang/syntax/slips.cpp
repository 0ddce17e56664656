// Each slip but those in numbers: how it is told, what is said, what is read instead.
#include "lang/syntax/slips.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cctype>
#include <string>

#include "lang/diagnostics/fixes.hpp"
#include "lang/syntax/text.hpp"

namespace sprue::slips {
namespace {

std::string_view view(const char* begin, const char* end) {
  return {begin, static_cast<std::size_t>(end - begin)};
}

/// What stands for the text from `begin` to `end`, with the blanks that keep it apart from its neighbors.
std::string apart(const TreeBuilder& b, std::uint32_t begin, std::uint32_t end, std::string_view sign) {
  return fmt::format("{}{}{}", begin == 0 || text::is_space(b.text[begin - 1]) ? "" : " ", sign,
                     text::is_space(*b.at(end)) ? "" : " ");
}

/// The word that ends before `at`, for examples.
std::string_view word_before(const TreeBuilder& b, std::uint32_t at) {
  std::uint32_t end = at;
  while (end > 0 && text::is_blank(b.text[end - 1])) --end;
  std::uint32_t begin = end;
  while (begin > 0 && text::is_word(b.text[begin - 1])) --begin;
  return begin == end ? std::string_view("name") : b.slice(begin, end);
}

/// Whether only a type stands there, or a type and then `=`.
bool begins_with_type(std::string_view entry) {
  const std::size_t end = std::min(entry.find('='), entry.size());
  const bool formula = entry.substr(0, end).find(" *") != entry.npos || entry.substr(0, end).find(" /") != entry.npos;
  return !entry.empty() && text::is_letter(entry.front()) && !formula &&
         std::all_of(entry.begin(), entry.begin() + static_cast<std::ptrdiff_t>(end),
                     [](char c) { return text::is_word(c) || text::is_blank(c) || c == '/' || c == '^' || c == '*'; });
}

}  // namespace

std::uint32_t odd_quoted(TreeBuilder& b, std::uint32_t begin) {
  struct Quotes {
    std::string_view open;
    std::string_view close;
  };
  static constexpr Quotes table[] = {{"'", "'"}, {"“", "”"}, {"“", "\""}, {"„", "“"},
                                     {"„", "”"}, {"‘", "’"}, {"«", "»"}};
  const std::string_view line = view(b.at(begin), text::line_end(b.at(begin), b.end()));
  const Quotes* found = nullptr;
  for (const Quotes& quotes : table) {
    if (found == nullptr && line.starts_with(quotes.open) &&
        line.find(quotes.close, quotes.open.size()) != std::string_view::npos)
      found = &quotes;
  }
  if (found == nullptr) return 0;
  const std::size_t close = line.find(found->close, found->open.size());
  const auto end = static_cast<std::uint32_t>(begin + close + found->close.size());
  const std::string_view inside = line.substr(found->open.size(), close - found->open.size());
  Diagnostic& diagnostic = b.report(Code::syntax, begin, end, "a text stands in straight double quotes",
                                    fmt::format("write `\"{}\"`", inside));
  // Not where the text may go on: 'it's'.
  if (!text::is_word(*b.at(end)) && inside.find_first_of("\"\\") == std::string_view::npos)
    mend(diagnostic, b.span(begin, end), fmt::format("\"{}\"", inside));
  b.leaf(NodeKind::string, begin, end, b.symbols.intern(inside));
  return end;
}

std::uint32_t unterminated(TreeBuilder& b, std::uint32_t begin) {
  const char* const first = b.at(begin) + 1;
  const char* end = text::line_end(first, b.end());
  const auto trim = [&] {
    while (end > first && text::is_space(end[-1])) --end;
  };
  trim();
  if (const char* const brace = std::find(first, end, '{'); brace != end) {  // the block is meant, not the text
    end = brace;
  } else if (end > first && end[-1] == '}') {
    --end;
  }
  trim();
  const std::uint32_t to = b.offset(end);
  propose(b.report(Code::syntax, begin, begin + 1, "this text has no closing `\"`",
                   "a text ends on the line it begins on; a line break in it is written `\\n`"),
          b.span(to, to), "\"");
  b.leaf(NodeKind::string, begin, to, b.symbols.intern(view(first, end)));
  return to;
}

void unknown_escape(TreeBuilder& b, std::uint32_t at) {
  propose(b.report(Code::syntax, at, at + 2, fmt::format("a text knows no `{}`", b.slice(at, at + 2)),
                   "write `\\\"`, `\\\\`, `\\n` or `\\t`; a backslash is `\\\\`"),
          b.span(at, at), "\\");
}

void no_such_day(TreeBuilder& b, std::uint32_t begin, std::uint32_t end) {
  const std::string_view day = b.slice(begin, end);
  std::string help = "a date is year-month-day, as in `2026-10-05`";
  if (day < "1583") help = "years run from 1583 to 9999";
  if (day.starts_with("00")) help += fmt::format("; write `20{}`", day.substr(2));
  b.report(Code::bad_number, begin, end, fmt::format("there is no day {}", day), std::move(help));
}

void conditional_inside(TreeBuilder& b, std::uint32_t at) {
  b.report(Code::syntax, at, at + 2, "an `if` inside a larger expression needs parentheses",
           "write `( if … then … else … )`");
}

std::uint32_t new_name(TreeBuilder& b, std::uint32_t begin, std::uint32_t end) {
  const char* p = b.at(end);
  while (*p == '-' && text::is_word(p[1])) {
    ++p;
    while (text::is_word(*p)) ++p;
  }
  const std::uint32_t to = b.offset(p);
  std::string fixed;
  char last = '_';
  for (const char c : b.slice(begin, to)) {
    if (text::is_upper(c) && !text::is_upper(last) && last != '_' && last != '-') fixed += '_';
    fixed += c == '-' ? '_' : static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    last = c;
  }
  propose(b.report(Code::syntax, begin, to, "a name is written in small letters, digits and `_`",
                   fmt::format("write `{}`, wherever the name stands", fixed)),
          b.span(begin, to), fixed);
  b.tree.damaged.push_back(b.symbols.intern(fixed));
  for (const char* word = b.at(begin); word < p;) {
    const char* const past = text::past_word(word);
    if (past != word) b.tree.damaged.push_back(b.symbols.intern(view(word, past)));
    word = std::max(past, word + 1);
  }
  return to;
}

Meant binary_operator(TreeBuilder& b, std::uint32_t at) {
  struct Foreign {
    std::string_view sign;
    Operator op;
    std::string_view write;
    bool sure = true;  // means the same everywhere else
  };
  static constexpr Foreign table[] = {{"==", Operator::equal, "="},
                                      {"&&", Operator::logical_and, "and"},
                                      {"||", Operator::logical_or, "or"},
                                      {"**", Operator::power, "^"},
                                      {"<>", Operator::not_equal, "!="},
                                      {"=<", Operator::less_equal, "<="},
                                      {"=>", Operator::greater_equal, ">="},
                                      {"≤", Operator::less_equal, "<="},
                                      {"≥", Operator::greater_equal, ">="},
                                      {"≠", Operator::not_equal, "!="},
                                      {"×", Operator::multiply, "*"},
                                      {"·", Operator::multiply, "*"},
                                      {"÷", Operator::divide, "/"},
                                      {"−", Operator::subtract, "-"},
                                      {"&", Operator::logical_and, "and", false},
                                      {"|", Operator::logical_or, "or", false}};
  for (const Foreign& foreign : table) {
    if (b.text.substr(at, foreign.sign.size()) != foreign.sign) continue;
    const auto length = static_cast<std::uint32_t>(foreign.sign.size());
    Diagnostic& diagnostic =
        b.report(Code::syntax, at, at + length, fmt::format("there is no operator `{}`", foreign.sign),
                 fmt::format("write `{}`", foreign.write));
    (foreign.sure ? mend : propose)(diagnostic, b.span(at, at + length), apart(b, at, at + length, foreign.write));
    return {foreign.op, length};
  }
  return {};
}

Meant prefix_operator(TreeBuilder& b, std::uint32_t at) {
  if (b.text.substr(at, 1) != "!" || b.text.substr(at, 2) == "!=") return {};
  mend(b.report(Code::syntax, at, at + 1, "there is no operator `!`", "write `not`"), b.span(at, at + 1),
       text::is_blank(*b.at(at + 1)) ? "not" : "not ");
  return {Operator::logical_not, 1};
}

std::uint32_t wrong_sign(TreeBuilder& b, std::uint32_t at, char wanted, bool typed) {
  static constexpr std::string_view signs[] = {":=", "==", "=>", "->", ":", "="};
  for (const std::string_view sign : signs) {
    if (b.text.substr(at, sign.size()) != sign) continue;
    const auto length = static_cast<std::uint32_t>(sign.size());
    const std::string_view name = word_before(b, at);
    const std::string_view value = text::entry_at(b.at(at + length), b.end());
    if (typed && !begins_with_type(value)) {  // `rate = 3 EUR/pc`
      b.report(Code::syntax, at, at + length, fmt::format("the type of `{}` is missing", name),
               fmt::format("a field is `name: TYPE = EXPRESSION`: write `{}: … = {}`", name, value));
      return length;
    }
    const std::string help = wanted == ':' ? fmt::format("write `{}: …`", name) : fmt::format("write `{} = …`", name);
    Diagnostic& diagnostic =
        b.report(Code::syntax, at, at + length, fmt::format("`{}` belongs here, not `{}`", wanted, sign), help);
    std::uint32_t begin = at;
    while (wanted == ':' && begin > 0 && text::is_blank(b.text[begin - 1])) --begin;
    const std::string_view space = text::is_space(*b.at(at + length)) ? "" : " ";
    const bool sure = !typed || value.find('=') != std::string_view::npos;
    (sure ? mend : propose)(diagnostic, b.span(begin, at + length),
                            wanted == ':' ? fmt::format(":{}", space) : apart(b, at, at + length, "="));
    return length;
  }
  return 0;
}

bool is_foreign_end(const char* p) {
  return *p == ';' || (*p == '/' && (p[1] == '/' || p[1] == '*'));
}

std::uint32_t foreign_end(TreeBuilder& b, std::uint32_t at) {
  const char* const p = b.at(at);
  const auto ends_line = [&](std::uint32_t from) {
    const char* const next = text::past_blanks(b.at(from));
    return next == b.end() || *next == '\n' || *next == '\r' || *next == '#';
  };
  if (*p == ';') {
    Diagnostic& diagnostic =
        b.report(Code::syntax, at, at + 1, "a statement has no `;` at its end",
                 "leave it out: a statement ends with its line, and a comma separates fields on one line");
    if (ends_line(at + 1)) {
      mend(diagnostic, b.span(at, at + 1), {});
    } else if (b.in_block()) {
      mend(diagnostic, b.span(at, at + 1), ",");
    }
    return at + 1;
  }
  if (!is_foreign_end(p)) return at;
  Diagnostic& diagnostic =
      b.report(Code::syntax, at, at + 2, fmt::format("a comment does not start with `{}`", view(p, p + 2)),
               "a comment starts with `#` and ends with its line");
  if (p[1] == '/') {
    const char* before = p;
    while (before != b.text.data() && text::is_blank(before[-1])) --before;
    // Behind a value it may be meant to divide.
    const bool after_value =
        before != b.text.data() && (text::is_word(before[-1]) || before[-1] == ')' || before[-1] == '%');
    if (after_value) diagnostic.help.push_back("to divide, write one `/` with a space on both sides");
    (after_value ? propose : mend)(diagnostic, b.span(at, at + 2), "#");
    return b.offset(text::line_end(p, b.end()));
  }
  const std::size_t close = b.text.find("*/", at + 2);
  if (close == std::string_view::npos) return b.offset(text::line_end(p, b.end()));
  const auto end = static_cast<std::uint32_t>(close + 2);
  if (b.text.substr(at, close - at).find('\n') == std::string_view::npos && ends_line(end)) {
    mend(diagnostic, b.span(at, at + 2), "#");
    diagnostic.fixes.back().replacements.push_back({b.span(end - 2, end), {}});
  }
  return end;
}

BlockStart block_start(TreeBuilder& b, std::uint32_t at) {
  const char* const p = b.at(at);
  const char* const line_end = text::past_blanks(p);
  if (*line_end != '\n' && *line_end != '\r' && *line_end != '#') return {};
  const char* const next = text::past_space(line_end, b.end());
  if (*next == '{') {
    const std::uint32_t opener = b.offset(next);
    Diagnostic& diagnostic =
        b.report(Code::syntax, opener, opener + 1, "the `{` of a block stands on the line of its head",
                 "move it to the end of the line above");
    std::uint32_t head_end = b.offset(line_end);
    while (head_end > 0 && text::is_blank(b.text[head_end - 1])) --head_end;
    mend(diagnostic, b.span(head_end, head_end), " {");
    diagnostic.fixes.back().replacements.push_back({b.span(opener, opener + 1), {}});
    return {true, opener, opener + 1};
  }
  if (b.scan.unopened == 0 || !text::is_letter(*next)) return {};
  if (b.indentation(b.offset(next)) <= b.indentation(at)) return {};
  --b.scan.unopened;
  const std::uint32_t opener = b.offset(line_end);
  propose(b.report(Code::syntax, opener, opener, "this block has no `{`", "end the line of its head with ` {`"),
          b.span(opener, opener), " {");
  return {true, opener, opener};
}

}  // namespace sprue::slips
