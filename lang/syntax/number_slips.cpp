// Slips in numbers, units and dates.
#include "lang/syntax/slips.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>
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

/// `6.4` and 1e6 as `6_400_000`; empty where that is no whole number of a usual size.
std::string grouped(double value) {
  if (!(value >= 1 && value < 1e15) || std::abs(value - std::round(value)) > 1e-9 * value) return {};
  std::string written = fmt::format("{:.0f}", value);
  for (std::size_t i = written.size(); i > 3; i -= 3) written.insert(i - 3, "_");
  return written;
}

bool unit_follows(const char* p) {
  const char* const word = text::past_blanks(p);
  const char* const word_end = text::past_word(word);
  return word_end != word && !text::is_no_unit_word(view(word, word_end));
}

/// `6.4k`, `5m`: a letter that may stand for thousands or millions.
struct Scaled {
  std::string digits;  // written out; empty: it is no such letter
  bool only = false;   // no unit is called so, or another unit follows
  double value = 0;
};

Scaled scaled(double value, std::string_view letter, const char* after) {
  const bool thousands = letter == "k" || letter == "K";
  if (!thousands && letter != "m" && letter != "M") return {};
  if (letter == "m" && !unit_follows(after)) return {};
  value *= thousands ? 1e3 : 1e6;
  return {grouped(value), unit_follows(after) || letter != "K", value};
}

/// `1h30`, `1x2`, `5m2`: what is meant where digits follow the letters, and its value; empty where that is open.
struct Meant {
  std::string text;
  double value = 0;
  std::string unit = {};
};

Meant with_digits(std::string_view digits, double value, std::string_view letters, std::string_view behind) {
  double second = 0;
  std::from_chars(behind.data(), behind.data() + behind.size(), second);
  if (letters == "x") return {fmt::format("{} * {}", digits, behind), value * second};
  if (letters == "h" && second < 60) return {fmt::format("{} h + {} min", digits, behind), value + second / 60, "h"};
  if (behind == "2" || behind == "3")
    return {fmt::format("{} {}^{}", digits, letters, behind), value, fmt::format("{}^{}", letters, behind)};
  return {};
}

/// `x30x25` behind a number: sides, written as one.
bool is_chain(std::string_view word) {
  return std::count(word.begin(), word.end(), 'x') > 1 && word.front() == 'x' && text::is_digit(word.back()) &&
         word.find("xx") == word.npos &&
         std::all_of(word.begin(), word.end(), [](char c) { return c == 'x' || text::is_digit(c); });
}

/// Letters right behind a number that are not simply its unit. 0 where they are.
std::uint32_t glued_letters(TreeBuilder& b, std::uint32_t begin, std::uint32_t end, Number& number) {
  const char* const p = b.at(end);
  const std::string_view digits = b.slice(begin, end);
  const char* const word_end = text::past_word(p);
  const char* const unit_end = past_glued_unit(p);
  const std::uint32_t to = b.offset(unit_end);
  const std::string_view unit = view(p, unit_end);
  if (const Scaled meant = scaled(number.value, unit, unit_end); !meant.digits.empty()) {
    std::string help = fmt::format("write `{}`", meant.digits);
    if (!meant.only) help = fmt::format("write `{} {}`, or `{}`", digits, unit, meant.digits);
    Diagnostic& diagnostic =
        b.report(Code::bad_number, begin, to,
                 meant.only ? "a number is written out in digits" : "a number and its unit are separated by a space",
                 std::move(help));
    if (!meant.only) propose(diagnostic, b.span(begin, to), fmt::format("{} {}", digits, unit));
    propose(diagnostic, b.span(begin, to), meant.digits);
    if (meant.only) {
      number.value = meant.value;
    } else {
      number.unit = b.symbols.intern(unit);
    }
    return to;
  }
  if (view(p, word_end) == "E" && (unit_end == word_end || *word_end == '/')) {
    const std::string amount = fmt::format("{} EUR{}", digits, view(word_end, unit_end));
    propose(b.report(Code::bad_number, begin, to, "a currency is named by its code", fmt::format("write `{}`", amount)),
            b.span(begin, to), amount);
    number.unit = b.symbols.intern(view(amount.data() + digits.size() + 1, amount.data() + amount.size()));
    return to;
  }
  if (const std::string_view word = view(p, word_end); is_chain(word)) {
    b.report(Code::bad_number, begin, b.offset(word_end), "one value is one number",
             "give each of them a field of its own, with its unit");
    return b.offset(word_end);
  }
  const char* const letters_end = std::find_if_not(p, word_end, text::is_letter);
  if (letters_end == word_end || !std::all_of(letters_end, word_end, text::is_digit)) return 0;
  const Meant meant = with_digits(digits, number.value, view(p, letters_end), view(letters_end, word_end));
  const std::uint32_t word_to = b.offset(word_end);
  if (meant.text.empty()) {
    b.report(Code::bad_number, begin, to, "a number and its unit are separated by a space",
             "write the number, a space and its unit, as in `2.4 mm`");
    number.unit = b.symbols.intern(unit);
    return to;
  }
  propose(b.report(Code::bad_number, begin, word_to, "letters and digits are mixed in this number",
                   fmt::format("write `{}`", meant.text)),
          b.span(begin, word_to), meant.text);
  number.value = meant.value;
  number.unit = meant.unit.empty() ? 0 : b.symbols.intern(meant.unit);
  return word_to;
}

/// `6'400`: behind the last of its groups, or `p` itself.
const char* past_quoted_groups(const char* p, std::string& number) {
  for (;;) {
    const std::string_view mark = *p == '\'' ? "'" : "\xE2\x80\x99";
    if (std::string_view(p, 1) != mark.substr(0, 1) || (mark.size() > 1 && (p[1] != mark[1] || p[2] != mark[2])))
      return p;
    const char* const group = p + mark.size();
    if (!text::is_digit(group[0]) || !text::is_digit(group[1]) || !text::is_digit(group[2]) || text::is_digit(group[3]))
      return p;
    number += fmt::format("_{}", view(group, group + 3));
    p = group + 3;
  }
}

std::string without_spaces(std::string_view text) {
  std::string compact;
  for (const char c : text) {
    if (!text::is_blank(c)) compact += c;
  }
  return compact;
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
    if (const std::uint32_t to = glued_letters(b, begin, end, number); to != 0) return finish(to);
    const char* const unit_end = past_glued_unit(p);
    const std::string_view unit = view(p, unit_end);
    Diagnostic& diagnostic =
        b.report(Code::bad_number, begin, b.offset(unit_end), "a number and its unit are separated by a space",
                 fmt::format("write `{} {}`", digits, unit));
    (unit_follows(unit_end) ? propose : mend)(diagnostic, b.span(begin, b.offset(unit_end)),
                                              fmt::format("{} {}", digits, unit));
    number.unit = b.symbols.intern(unit);
    return finish(b.offset(unit_end));
  }
  std::string quoted(digits);
  if (const char* const past = past_quoted_groups(p, quoted); past != p) {
    const std::uint32_t to = b.offset(past);
    mend(b.report(Code::bad_number, begin, to, "digits are grouped with `_`", fmt::format("write `{}`", quoted)),
         b.span(begin, to), quoted);
    quoted.erase(std::remove(quoted.begin(), quoted.end(), '_'), quoted.end());
    std::from_chars(quoted.data(), quoted.data() + quoted.size(), number.value);
    return finish(to);
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
    std::string decimal = fmt::format("{}.{}0", digits, rest);  // three decimals would look like thousands again
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

}  // namespace sprue::slips
