// Decimal rounding on the digits people see, not on the binary value behind them.
#include "runtime/write/number.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>
#include <cmath>
#include <iterator>

#include "lang/graph/arithmetic.hpp"

namespace sprue {

namespace {

constexpr int significant = 12;

/// The digits of a number that is not negative, and the power of ten that the first of them counts.
struct Digits {
  std::string digits;
  int exponent = 0;

  /// Half away from zero.
  void round(int count) {
    if (count >= static_cast<int>(digits.size())) return;
    bool up = count >= 0 && digits[static_cast<std::size_t>(count)] >= '5';
    digits.resize(static_cast<std::size_t>(std::max(count, 0)));
    for (std::size_t i = digits.size(); up && i-- > 0;) {
      up = digits[i] == '9';
      digits[i] = up ? '0' : static_cast<char>(digits[i] + 1);
    }
    if (!up) return;
    digits.insert(digits.begin(), '1');
    ++exponent;
  }

  char at(int power) const {
    const int i = exponent - power;
    return i >= 0 && i < static_cast<int>(digits.size()) ? digits[static_cast<std::size_t>(i)] : '0';
  }
};

Digits digits_of(double value) {
  char buffer[40];
  const char* const end = std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::scientific).ptr;
  const char* const begin = buffer;
  const char* const e = std::find(begin, end, 'e');
  Digits out;
  std::copy_if(begin, e, std::back_inserter(out.digits), [](char c) { return c != '.'; });
  const char* const exponent = e + (e[1] == '+' ? 2 : 1);
  std::from_chars(exponent, end, out.exponent);
  return out;
}

}  // namespace

std::string decimal(double value, int places) {
  if (!std::isfinite(value)) return "unknown";
  Digits digits = digits_of(std::fabs(value));
  digits.round(std::max(significant, digits.exponent + 1 + places));
  digits.round(digits.exponent + 1 + places);
  std::string text;
  for (int power = std::max(digits.exponent, 0); power >= -places; --power) {
    if (power == -1) text += '.';
    text += digits.at(power);
  }
  const bool zero = text.find_first_not_of("0.") == std::string::npos;
  return value < 0 && !zero ? "-" + text : text;
}

bool is_shown_as_zero(double value, int places) {
  return decimal(value, places).find_first_not_of("0.") == std::string::npos;
}

std::string grouped(std::string text) {
  const std::size_t begin = !text.empty() && (text[0] == '-' || text[0] == '+') ? 1 : 0;
  std::size_t end = begin;
  while (end < text.size() && text[end] >= '0' && text[end] <= '9') ++end;
  if (end < text.size() && text[end] == '-') return text;  // a date
  for (std::size_t at = end; at > begin + 3; at -= 3) text.insert(at - 3, ",");
  return text;
}

std::string iso_date(double days) {
  if (!(days >= arithmetic::first_day && days < arithmetic::last_day + 1))
    return fmt::format("{} the calendar", days < 0 ? "before" : "beyond");
  const arithmetic::Civil day = arithmetic::civil_from_days(static_cast<long>(arithmetic::floor(days)));
  return fmt::format("{:04}-{:02}-{:02}", day.year, day.month, day.day);
}

}  // namespace sprue
