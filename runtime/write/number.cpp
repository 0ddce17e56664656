// Decimal rounding on the digits people see, not on the binary value behind them.
#include "runtime/write/number.hpp"

#include <fmt/format.h>
#include <charconv>
#include <cmath>

#include "lang/graph/arithmetic.hpp"

namespace sprue {

std::string decimal(double value, int places) {
  if (!std::isfinite(value)) return "unknown";
  char buffer[400];
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, std::fabs(value), std::chars_format::fixed).ptr;
  std::string digits(buffer, end);
  std::size_t point = digits.find('.');
  if (point == std::string::npos) {
    point = digits.size();
    digits += '.';
  }
  const std::size_t keep = point + 1 + static_cast<std::size_t>(places);
  bool up = false;
  if (digits.size() > keep) {
    up = digits[keep] >= '5';
    digits.resize(keep);
  } else {
    digits.append(keep - digits.size(), '0');
  }
  for (std::size_t i = digits.size(); up && i-- > 0;) {
    if (digits[i] == '.') continue;
    up = digits[i] == '9';
    digits[i] = up ? '0' : static_cast<char>(digits[i] + 1);
  }
  if (up) digits.insert(digits.begin(), '1');
  if (places == 0) digits.pop_back();
  const bool zero = digits.find_first_not_of("0.") == std::string::npos;
  return value < 0 && !zero ? "-" + digits : digits;
}

std::string grouped(std::string text) {
  const std::size_t begin = !text.empty() && text[0] == '-' ? 1 : 0;
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
