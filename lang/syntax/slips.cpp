// Each slip: how it is told, what is said, what is read instead.
#include "lang/syntax/slips.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cctype>
#include <charconv>
#include <chrono>
#include <string>
#include <vector>

#include "lang/diagnostics/fixes.hpp"
#include "lang/syntax/text.hpp"

namespace sprue::slips {
namespace {

std::string_view view(const char* begin, const char* end) {
  return {begin, static_cast<std::size_t>(end - begin)};
}

/// Three numbers joined by one kind of separator: `10/05/2026`, `5.10.2026`, `2026-1-5`.
struct Triple {
  std::string_view parts[3];
  const char* end = nullptr;
};

Triple triple_at(const char* p, char separator) {
  Triple triple;
  for (int i = 0; i < 3; ++i) {
    const char* const begin = p;
    while (text::is_digit(*p)) ++p;
    triple.parts[i] = view(begin, p);
    if (p == begin || p - begin > 4) return {};
    if (i < 2 && *p++ != separator) return {};
  }
  if (text::is_word(*p) && separator != '-') return {};
  triple.end = p;
  return triple;
}

/// The days that three numbers may mean, written as the language does.
std::vector<std::string> days_of(const Triple& triple, char separator) {
  std::vector<std::string> days;
  const auto add = [&](std::string_view year, std::string_view month, std::string_view day) {
    if (year.size() != 4 || month.size() > 2 || day.size() > 2) return;
    const auto number = [](std::string_view digits) {
      unsigned value = 0;
      std::from_chars(digits.data(), digits.data() + digits.size(), value);
      return value;
    };
    const std::chrono::year_month_day date{std::chrono::year(static_cast<int>(number(year))),
                                           std::chrono::month(number(month)), std::chrono::day(number(day))};
    std::string written = fmt::format("{}-{:0>2}-{:0>2}", year, month, day);
    if (date.ok() && std::find(days.begin(), days.end(), written) == days.end()) days.push_back(std::move(written));
  };
  const auto [a, b, c] = triple.parts;
  if (a.size() == 4) {
    add(a, b, c);
  } else {
    if (separator != '.') add(c, a, b);
    add(c, b, a);
  }
  return days;
}

std::uint32_t odd_date(TreeBuilder& b, std::uint32_t begin) {
  const char* const p = b.at(begin);
  const char* separator = p;
  while (text::is_digit(*separator)) ++separator;
  if (*separator != '/' && *separator != '-' && *separator != '.') return 0;
  const Triple triple = triple_at(p, *separator);
  if (triple.end == nullptr || (triple.parts[0].size() != 4 && triple.parts[2].size() != 4)) return 0;
  const std::uint32_t end = b.offset(triple.end);
  const std::vector<std::string> days = days_of(triple, *separator);
  Diagnostic& diagnostic =
      b.report(Code::bad_number, begin, end, "a date is written year-month-day",
               days.empty()       ? std::string("write year-month-day, as in `2026-10-05`")
               : days.size() == 1 ? fmt::format("write `{}`", days[0])
                                  : fmt::format("write `{}` or `{}`: year-month-day", days[0], days[1]));
  if (days.size() == 1 && !text::is_word(*triple.end) && *triple.end != '-')
    mend(diagnostic, b.span(begin, end), days[0]);
  if (days.size() == 2) {
    for (const std::string& day : days) propose(diagnostic, b.span(begin, end), day);
  }
  b.leaf(NodeKind::date, begin, end, 0);
  return end;
}

const char* past_unit_with_spaces(const char* p) {
  for (;;) {
    const char* const word = *p == '1' && *text::past_blanks(p + 1) == '/' ? p + 1 : text::past_word(p);
    if (word == p) return nullptr;
    p = word;
    if (const char* power = text::past_blanks(p); *power == '^') {
      power = text::past_blanks(power + 1);
      if (*power == '-') ++power;
      if (text::is_digit(*power)) p = power;
      while (text::is_digit(*p)) ++p;
    }
    const char* const joint = text::past_blanks(p);
    if (*joint != '/' && *joint != '*') return p;
    p = text::past_blanks(joint + 1);
  }
}

const char* past_glued_unit(const char* p) {
  const char* end = text::past_word(p);
  while (text::is_word(*end) || ((*end == '/' || *end == '*' || *end == '^') && text::is_word(end[1]))) ++end;
  return end;
}

std::string without_spaces(std::string_view text) {
  std::string compact;
  for (const char c : text) {
    if (!text::is_blank(c)) compact += c;
  }
  return compact;
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

}  // namespace

std::uint32_t number_tail(TreeBuilder& b, std::uint32_t begin, std::uint32_t end, Number number) {
  const char* const p = b.at(end);
  const std::string_view digits = b.slice(begin, end);
  if (const std::uint32_t date = odd_date(b, begin); date != 0) return date;
  const auto finish = [&](std::uint32_t to) {
    const char* const unit = text::past_blanks(b.at(to));
    if (number.unit == 0 && unit != b.at(to) && !text::is_no_unit_word(view(unit, text::past_word(unit)))) {
      const char* const unit_end = past_glued_unit(unit);
      number.unit = b.symbols.intern(view(unit, unit_end));
      if (unit_end != unit) to = b.offset(unit_end);
    }
    b.number_leaf(begin, to, number);
    return to;
  };
  if (text::is_blank(*p)) {  // 97 %
    const std::uint32_t to = b.offset(text::past_blanks(p)) + 1;
    mend(b.report(Code::bad_number, begin, to, "a `%` follows its number without a space",
                  fmt::format("write `{}%`", digits)),
         b.span(begin, to), fmt::format("{}%", digits));
    number.unit = b.symbols.intern("%");
    return finish(to);
  }
  if (text::is_letter(*p)) {  // 31s
    const char* const word_end = text::past_word(p);
    if (digits == "0" && (*p | 0x20) == 'x' && word_end > p + 1) {
      b.report(Code::bad_number, begin, b.offset(word_end), "a number is written in decimal digits");
      return finish(b.offset(word_end));
    }
    if (text::is_no_unit_word(view(p, word_end))) {
      mend(b.report(Code::bad_number, end, b.offset(word_end), "a space is missing after the number",
                    fmt::format("write `{} {}`", digits, view(p, word_end))),
           b.span(end, end), " ");
      return finish(end);
    }
    const char* const unit_end = past_glued_unit(p);
    const std::string_view unit = view(p, unit_end);
    if (unit == "k" && digits.find('.') == std::string_view::npos) {
      propose(b.report(Code::bad_number, begin, b.offset(unit_end), "a number is written out in digits",
                       fmt::format("write `{}_000`", digits)),
              b.span(begin, b.offset(unit_end)), fmt::format("{}_000", digits));
      number.value *= 1000;
      return finish(b.offset(unit_end));
    }
    mend(b.report(Code::bad_number, begin, b.offset(unit_end), "a number and its unit are separated by a space",
                  fmt::format("write `{} {}`", digits, unit)),
         b.span(begin, b.offset(unit_end)), fmt::format("{} {}", digits, unit));
    number.unit = b.symbols.intern(unit);
    return finish(b.offset(unit_end));
  }
  if (*p == '_') {
    const char* past = p;
    while (text::is_word(*past)) ++past;
    b.report(Code::bad_number, begin, b.offset(past), "a `_` in a number stands between two digits", "write `24_000`");
    return finish(b.offset(past));
  }
  if (*p == '.' && p[1] != '.') {
    const char* past = p;
    while (text::is_digit(*past) || (*past == '.' && past[1] != '.')) ++past;
    const std::uint32_t to = b.offset(past);
    if (past == p + 1) {
      mend(b.report(Code::bad_number, begin, to, "digits are missing after the decimal point",
                    fmt::format("write `{}` or `{}.0`", digits, digits)),
           b.span(end, to), {});
    } else {
      b.report(Code::bad_number, begin, to, "a number has one decimal point",
               "digits are grouped with `_`: `24_000.5`");
    }
    return finish(to);
  }
  if (*p == ',' && text::is_digit(p[1]) && !b.in_brackets()) {
    const char* past = p + 1;
    while (text::is_digit(*past) || ((*past == ',' || *past == '.') && text::is_digit(past[1]))) ++past;
    const std::uint32_t to = b.offset(past);
    const std::string_view rest = view(p + 1, past);
    const bool points_group = digits.find('.') != std::string_view::npos;  // 1.234,50
    const bool grouped = !points_group && rest.size() >= 3 && (rest.size() == 3 || !text::is_digit(rest[3]));
    std::string meant = fmt::format("{}{}{}", digits, grouped ? '_' : ',', rest);
    if (points_group) std::replace(meant.begin(), meant.end(), '.', '_');
    std::replace(meant.begin(), meant.end(), ',', grouped ? '_' : '.');
    std::string help = fmt::format("write `{}`", meant);
    const bool open = rest.size() == 3 && !points_group;
    std::string decimal = fmt::format("{}.{}", digits, rest);
    if (open) help += fmt::format(", or `{}` if the comma is a decimal point", decimal);
    Diagnostic& diagnostic = b.report(Code::bad_number, begin, to, "a number has no comma inside", std::move(help));
    if (open) {
      propose(diagnostic, b.span(begin, to), meant);
      propose(diagnostic, b.span(begin, to), std::move(decimal));
    } else if (std::count(meant.begin(), meant.end(), '.') <= 1) {
      mend(diagnostic, b.span(begin, to), meant);
    }
    meant.erase(std::remove(meant.begin(), meant.end(), '_'), meant.end());
    std::from_chars(meant.data(), meant.data() + meant.size(), number.value);
    return finish(to);
  }
  return 0;
}

std::uint32_t spaced_unit(TreeBuilder& b, std::uint32_t begin, std::uint32_t unit, std::uint32_t end, Number number) {
  const char* const p = b.at(end);
  const char* const joint = text::past_blanks(p);
  if (*joint != '/' && *joint != '*') return 0;
  const bool glued_left =
      joint == p && text::is_blank(joint[1]) && text::is_letter(*text::past_blanks(joint + 1));  // USD/ kg
  const bool glued_right = joint != p && text::is_letter(joint[1]) && *joint == '/';             // USD /kg
  if (!glued_left && !glued_right) return 0;
  const char* const past = past_unit_with_spaces(b.at(unit));
  if (past == nullptr) return 0;
  const std::uint32_t to = b.offset(past);
  const std::string compact = without_spaces(b.slice(unit, to));
  propose(b.report(Code::bad_number, unit, to, "a unit has no spaces inside",
                   fmt::format("write `{}` for the unit, or a space on both sides of the sign to divide", compact)),
          b.span(unit, to), compact);
  number.unit = b.symbols.intern(compact);
  b.number_leaf(begin, to, number);
  return to;
}

std::uint32_t spaced_dims(TreeBuilder& b, std::uint32_t begin, std::uint32_t end) {
  const char* const joint = text::past_blanks(b.at(end));
  if (*joint != '/' && *joint != '*') return 0;
  const char* const past = past_unit_with_spaces(b.at(begin));
  if (past == nullptr) return 0;
  const std::uint32_t to = b.offset(past);
  const std::string compact = without_spaces(b.slice(begin, to));
  mend(b.report(Code::bad_number, begin, to, "a dimension has no spaces inside", fmt::format("write `{}`", compact)),
       b.span(begin, to), compact);
  b.leaf(NodeKind::dims, begin, to, b.symbols.intern(compact));
  return to;
}

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
  b.report(Code::bad_number, begin, end, fmt::format("there is no day {}", b.slice(begin, end)),
           "a date is year-month-day, as in `2026-10-05`");
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

std::uint32_t wrong_sign(TreeBuilder& b, std::uint32_t at, char wanted) {
  static constexpr std::string_view signs[] = {":=", "==", "=>", "->", ":", "="};
  for (const std::string_view sign : signs) {
    if (b.text.substr(at, sign.size()) != sign) continue;
    const auto length = static_cast<std::uint32_t>(sign.size());
    const std::string_view name = word_before(b, at);
    const std::string help = wanted == ':' ? fmt::format("write `{}: …`", name) : fmt::format("write `{} = …`", name);
    Diagnostic& diagnostic =
        b.report(Code::syntax, at, at + length, fmt::format("`{}` belongs here, not `{}`", wanted, sign), help);
    std::uint32_t begin = at;
    while (wanted == ':' && begin > 0 && text::is_blank(b.text[begin - 1])) --begin;
    const std::string_view space = text::is_space(*b.at(at + length)) ? "" : " ";
    mend(diagnostic, b.span(begin, at + length),
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
    mend(diagnostic, b.span(at, at + 2), "#");
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
