// The fast way through well-formed literals; everything odd goes to slips.hpp.
#include "lang/syntax/literals.hpp"

#include <fmt/format.h>
#include <array>
#include <charconv>
#include <chrono>
#include <string>

#include "lang/syntax/slips.hpp"
#include "lang/syntax/text.hpp"

namespace sprue {
namespace {

std::string_view view(const char* begin, const char* end) {
  return {begin, static_cast<std::size_t>(end - begin)};
}

/// Behind `name`, `name^2`, `name^-1`, or the 1 of `1/s`.
const char* past_factor(const char* p) {
  if (p[0] == '1' && p[1] == '/' && text::is_letter(p[2])) return p + 1;
  const char* q = text::past_word(p);
  if (q == p || *q != '^') return q;
  const char* exponent = q[1] == '-' ? q + 2 : q + 1;
  if (!text::is_digit(*exponent)) return q;
  while (text::is_digit(*exponent)) ++exponent;
  return exponent;
}

/// Behind a unit or dimension without spaces; `p` itself where none begins.
const char* past_dims(const char* p) {
  const char* q = past_factor(p);
  if (q == p) return p;
  while (*q == '/' || *q == '*') {
    const char* const next = past_factor(q + 1);
    if (next == q + 1) return q;
    q = next;
  }
  return q;
}

const char* past_digits(const char* p) {
  while (text::is_digit(*p) || (*p == '_' && text::is_digit(p[1]))) ++p;
  return p;
}

/// Behind the digits, fraction and exponent of a number that begins at `p`.
const char* past_amount(const char* p) {
  p = past_digits(p);
  if (*p == '.' && text::is_digit(p[1])) p = past_digits(p + 1);
  if (*p == 'e' || *p == 'E') {
    const char* const exponent = p[1] == '+' || p[1] == '-' ? p + 2 : p + 1;
    if (text::is_digit(*exponent)) p = past_digits(exponent);
  }
  return p;
}

double slow_value(std::string_view written, bool& finite) {
  std::string digits;
  for (const char c : written) {
    if (c != '_') digits += c;
  }
  double value = 0;
  const auto result = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  const bool tiny = digits.front() == '0' || digits.find('-') != std::string::npos;  // rounds to 0
  finite = result.ec == std::errc() || tiny;
  return value;
}

/// Exact for the usual short numbers: an integer below 2^53 over a power of ten that is exact itself.
double value_of(std::string_view written, bool& finite) {
  static constexpr std::array powers{1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                     1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
  std::uint64_t digits = 0;
  std::size_t count = 0;
  std::size_t fraction = 0;
  bool after_point = false;
  for (const char c : written) {
    if (text::is_digit(c)) {
      digits = digits * 10 + static_cast<std::uint64_t>(c - '0');
      ++count;
      fraction += after_point ? 1 : 0;
    } else if (c == '.') {
      after_point = true;
    } else if (c != '_') {
      return slow_value(written, finite);
    }
    if (count > 15) return slow_value(written, finite);
  }
  return static_cast<double>(digits) / powers[fraction];
}

/// Ten characters that stop where a number does: each is looked at only where those before it fit.
bool is_date_shape(const char* p) {
  for (int i = 0; i < 10; ++i) {
    if (i == 4 || i == 7 ? p[i] != '-' : !text::is_digit(p[i])) return false;
  }
  return true;
}

}  // namespace

std::uint32_t read_name(TreeBuilder& b, std::uint32_t at) {
  const char* const begin = b.at(at);
  const char* const end = text::past_word(begin);
  if (end == begin) return 0;
  const std::string_view word = view(begin, end);
  if (text::is_joining_word(word)) return 0;
  b.leaf(NodeKind::name, at, b.offset(end), b.symbols.intern(word));
  return b.offset(end);
}

std::uint32_t read_new_name(TreeBuilder& b, std::uint32_t at) {
  const char* const begin = b.at(at);
  const char* p = begin;
  bool plain = true;
  if (!text::is_letter(*p)) return 0;
  for (; text::is_word(*p); ++p) plain = plain && !text::is_upper(*p);
  const std::string_view word = view(begin, p);
  if (text::is_joining_word(word)) return 0;
  std::uint32_t end = b.offset(p);
  if (!plain || (*p == '-' && text::is_letter(p[1]))) end = slips::new_name(b, at, end);
  b.leaf(NodeKind::name, at, end, b.symbols.intern(b.slice(at, end)));
  return end;
}

std::uint32_t read_kind_name(TreeBuilder& b, std::uint32_t at) {
  const std::uint32_t end = read_new_name(b, at);
  if (end == 0 || !text::is_statement_word(b.slice(at, end))) return end;
  b.report(Code::reserved_name, at, end,
           fmt::format("`{}` begins a statement of its own and cannot name a kind", b.slice(at, end)),
           fmt::format("take another name; taken are {}", fmt::join(text::statement_words, ", ")));
  b.refused_kinds.push_back(b.slice(at, end));
  return end;
}

std::uint32_t read_dims(TreeBuilder& b, std::uint32_t at) {
  const char* const begin = b.at(at);
  const char* const end = past_dims(begin);
  if (end == begin) return 0;
  if (const char next = *text::past_blanks(end); next == '/' || next == '*') {
    const std::uint32_t tail = slips::spaced_dims(b, at, b.offset(end));
    if (tail != 0) return tail;
  }
  b.leaf(NodeKind::dims, at, b.offset(end), b.symbols.intern(view(begin, end)));
  return b.offset(end);
}

std::uint32_t read_integer(TreeBuilder& b, std::uint32_t at) {
  const char* const begin = b.at(at);
  const char* const end = past_digits(begin);
  if (!text::is_digit(*begin) || text::is_word(*end)) return 0;
  bool finite = true;
  b.number_leaf(at, b.offset(end), {value_of(view(begin, end), finite), 0});
  return b.offset(end);
}

std::uint32_t read_number(TreeBuilder& b, std::uint32_t at) {
  const char* const begin = b.at(at);
  if (!text::is_digit(*begin)) return 0;
  const char* const digits_end = past_amount(begin);
  const char* p = digits_end;
  bool finite = true;
  Number number{value_of(view(begin, p), finite), 0};
  if (!finite) {
    b.report(Code::bad_number, at, b.offset(p), "this number is too large", "numbers reach to about 1.8e308");
    number.value = 0;
  }
  if (*p == '%') {
    number.unit = b.symbols.intern("%");
    ++p;
  } else if (text::is_blank(*p)) {
    const char* const unit = text::past_blanks(p);
    const char* const word_end = text::past_word(unit);
    if (word_end != unit ? !text::is_no_unit_word(view(unit, word_end))
                         : unit[0] == '1' && unit[1] == '/' && text::is_letter(unit[2])) {
      p = past_dims(unit);
      number.unit = b.symbols.intern(view(unit, p));
      if (*p == '/' || *p == '*' || text::is_blank(*p)) {
        const std::uint32_t tail = slips::spaced_unit(b, at, b.offset(unit), b.offset(p), number);
        if (tail != 0) return tail;
      }
    } else if (*unit == '%') {
      return slips::number_tail(b, at, b.offset(p), number);
    }
  } else if (text::is_word(*p) || *p == '.' || *p == ',' || *p == '-' || *p == '/' || *p == '\'' || *p == '\xE2') {
    const std::uint32_t tail = slips::number_tail(b, at, b.offset(p), number);
    if (tail != 0) return tail;
  }
  b.number_leaf(at, b.offset(p), number);
  return b.offset(p);
}

std::uint32_t read_plain_given(TreeBuilder& b, std::uint32_t at) {
  const char* const begin = b.at(at);
  const char* const name_end = text::past_word(begin);
  const char* const colon = text::past_blanks(name_end);
  if (name_end == begin || *colon != ':') return 0;
  const char* const value = text::past_blanks(colon + 1);
  if (!text::is_digit(*value)) return 0;
  const char* const digits_end = past_amount(value);
  const char* unit = digits_end;
  const char* end = unit;
  if (*unit == '%') {
    end = unit + 1;
  } else if (text::is_blank(*unit)) {
    const char* const word = text::past_blanks(unit);
    if (text::is_letter(*word)) {
      if (text::is_no_unit_word(view(word, text::past_word(word)))) return 0;
      unit = word;
      end = past_dims(word);
    }
  }
  const char* const next = text::past_blanks(end);
  const bool ends = *next == '\n' || (*next == ',' && !text::is_digit(next[1])) || *next == '}' || *next == '#' ||
                    (*next == '\r' && next[1] == '\n');
  const std::string_view name = view(begin, name_end);
  bool finite = true;
  const double amount = value_of(view(value, digits_end), finite);
  if (!ends || !finite || text::is_joining_word(name)) return 0;
  const TreeBuilder::Mark mark = b.open(NodeKind::given, at);
  b.leaf(NodeKind::name, at, b.offset(name_end), b.symbols.intern(name));
  b.number_leaf(b.offset(value), b.offset(end), {amount, end == digits_end ? 0 : b.symbols.intern(view(unit, end))});
  b.close(mark, b.offset(end));
  return b.offset(end);
}

std::uint32_t read_date(TreeBuilder& b, std::uint32_t at) {
  const char* const p = b.at(at);
  if (!text::is_digit(*p) || !is_date_shape(p) || text::is_word(p[10]) || p[10] == '-') return 0;
  const auto days = day_of({p, 10});
  if (!days) slips::no_such_day(b, at, at + 10);
  b.leaf(NodeKind::date, at, at + 10, static_cast<std::uint32_t>(days.value_or(0)));
  return at + 10;
}

std::optional<std::int32_t> day_of(std::string_view text) {
  if (text.size() != 10 || !is_date_shape(text.data())) return std::nullopt;
  const auto number = [&](std::size_t from, std::size_t count) {
    unsigned value = 0;
    for (std::size_t i = from; i < from + count; ++i) value = value * 10 + static_cast<unsigned>(text[i] - '0');
    return value;
  };
  namespace chrono = std::chrono;
  const chrono::year_month_day day{chrono::year(static_cast<int>(number(0, 4))), chrono::month(number(5, 2)),
                                   chrono::day(number(8, 2))};
  if (!day.ok() || day.year() < chrono::year(1583)) return std::nullopt;
  return static_cast<std::int32_t>(chrono::sys_days(day).time_since_epoch().count());
}

std::uint32_t read_string(TreeBuilder& b, std::uint32_t at) {
  const char* const begin = b.at(at);
  if (*begin != '"') return *begin == '\'' || static_cast<unsigned char>(*begin) >= 0x80 ? slips::odd_quoted(b, at) : 0;
  const char* const past = text::past_string(begin, b.end());
  if (past == nullptr) return slips::unterminated(b, at);
  const std::string_view inside = view(begin + 1, past - 1);
  Symbol symbol = 0;
  if (inside.find('\\') == std::string_view::npos) {
    symbol = b.symbols.intern(inside);
  } else {
    std::string value;
    for (std::size_t i = 0; i < inside.size(); ++i) {
      if (inside[i] != '\\') {
        value += inside[i];
        continue;
      }
      const char c = inside[++i];
      if (c == 'n' || c == 't') {
        value += c == 'n' ? '\n' : '\t';
      } else {
        if (c != '"' && c != '\\') slips::unknown_escape(b, b.offset(inside.data() + i) - 1);
        value += c;
      }
    }
    symbol = b.symbols.intern(value);
  }
  b.leaf(NodeKind::string, at, b.offset(past), symbol);
  return b.offset(past);
}

}  // namespace sprue
