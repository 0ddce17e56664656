// Elementary functions in double-double arithmetic on plain IEEE operations, so that no library and no platform can change a
// bit; whole-number rounding; the civil calendar.
#include "lang/graph/arithmetic.hpp"

#include <array>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <limits>

namespace sprue::arithmetic {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

/// An unevaluated sum: |low| is at most half a last place of `high`.
struct Pair {
  double high;
  double low;
};

Pair fast_sum(double a, double b) {  // |a| >= |b|
  const double sum = a + b;
  return {sum, b - (sum - a)};
}

Pair exact_sum(double a, double b) {
  const double sum = a + b;
  const double part = sum - a;
  return {sum, (a - (sum - part)) + (b - part)};
}

/// Splits into halves of 26 bits, whose products are exact.
Pair exact_product(double a, double b) {
  constexpr double splitter = 134217729.0;  // 2^27 + 1
  const double scaled_a = splitter * a;
  const double scaled_b = splitter * b;
  const double high_a = scaled_a - (scaled_a - a);
  const double high_b = scaled_b - (scaled_b - b);
  const double low_a = a - high_a;
  const double low_b = b - high_b;
  const double product = a * b;
  return {product, ((high_a * high_b - product) + high_a * low_b + low_a * high_b) + low_a * low_b};
}

Pair add(Pair a, Pair b) {
  const Pair sum = exact_sum(a.high, b.high);
  return fast_sum(sum.high, sum.low + (a.low + b.low));
}

Pair multiply(Pair a, Pair b) {
  const Pair product = exact_product(a.high, b.high);
  return fast_sum(product.high, product.low + (a.high * b.low + a.low * b.high));
}

// ln 2: the first part has trailing zeros, so that its product with an exponent is exact.
constexpr double ln2_high = 0x1.62e42fefa0000p-1;
constexpr double ln2_middle = 0x1.cf79abc9e3b3ap-40;
constexpr Pair one_third{0.33333333333333331, 1.850371707708594e-17};

/// 1/(2i + 5), the tail of the series of the logarithm.
constexpr std::array<double, 10> tail{1 / 5.0, 1 / 7.0, 1 / 9.0, 1 / 11.0, 1 / 13.0, 1 / 15.0, 1 / 17.0, 1 / 19.0, 1 / 21.0, 1 / 23.0};

/// ln x for finite x > 0: x = 2^k m with m near 1, ln m = 2 (s + s^3/3 + s^5/5 + …) with s = (m - 1)/(m + 1).
Pair logarithm_pair(double x) {
  int exponent = 0;
  double m = std::frexp(x, &exponent);  // in [1/2, 1)
  if (m < 0.70710678118654752) {
    m *= 2;
    --exponent;
  }
  const double f = m - 1;  // exact
  const Pair denominator = exact_sum(m, 1);
  const double s_high = f / denominator.high;
  const Pair back = exact_product(s_high, denominator.high);
  const double s_low = (((f - back.high) - back.low) - s_high * denominator.low) / denominator.high;
  const Pair s = fast_sum(s_high, s_low);
  const Pair z = multiply(s, s);
  double series = 0;
  for (std::size_t i = tail.size(); i-- > 0;) series = series * z.high + tail[i];
  const Pair cube = multiply(z, add(one_third, multiply(z, {series, 0})));
  const Pair once = add(s, multiply(s, cube));
  const Pair mantissa{2 * once.high, 2 * once.low};
  const double k = exponent;
  return add(add({k * ln2_high, 0}, mantissa), exact_product(k, ln2_middle));
}

/// e^(x.high + x.low): x = n ln 2 + r with |r| at most ln 2 / 2.
double exponential_pair(Pair x) {
  if (x.high > 709.8) return infinity;
  if (x.high < -745.2) return 0;
  const double n = std::floor(x.high * 1.4426950408889634 + 0.5);
  const Pair reduced = add(exact_sum(x.high - n * ln2_high, -(n * ln2_middle)), {x.low, 0});
  const double r = reduced.high;
  double series = 0;
  // 1/i! for i = 14 down to 3.
  constexpr std::array<double, 12> factor{1 / 87178291200.0, 1 / 6227020800.0, 1 / 479001600.0, 1 / 39916800.0, 1 / 3628800.0, 1 / 362880.0,
                                          1 / 40320.0,       1 / 5040.0,       1 / 720.0,       1 / 120.0,      1 / 24.0,      1 / 6.0};
  for (const double c : factor) series = series * r + c;
  const Pair square = exact_product(r, r);
  const Pair head = exact_sum(r, square.high / 2);
  const Pair one = fast_sum(1, head.high);
  const double rest = one.low + (head.low + (square.low / 2 + (reduced.low + (r * reduced.low + square.high * r * series))));
  return std::ldexp(one.high + rest, static_cast<int>(n));
}

bool is_whole(double x) { return x == std::floor(x); }

/// x^n by squaring, in pairs: exact wherever the result and all steps fit.
double whole_power(double x, long n) {
  Pair result{1, 0};
  Pair square{x, 0};
  for (unsigned long bits = static_cast<unsigned long>(n < 0 ? -n : n); bits != 0; bits >>= 1U) {
    if ((bits & 1U) != 0) result = multiply(result, square);
    if (bits > 1) square = multiply(square, square);
  }
  const double value = result.high + result.low;
  if (n >= 0) return value;
  // One correction step carries the low part through the division.
  const double inverse = 1 / result.high;
  const Pair back = exact_product(inverse, result.high);
  return inverse + inverse * (((1 - back.high) - back.low) - inverse * result.low);
}

/// The whole number within 1e-9 (relative; absolute near zero) of x, if there is one.
bool snaps(double x, double& whole) {
  whole = std::floor(x + 0.5);
  return std::fabs(x - whole) <= 1e-9 * std::fmax(1, std::fabs(x));
}

bool is_leap(long year) { return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0); }

constexpr std::array<int, 13> days_before_month{0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365};

long floor_divide(long a, long b) { return a / b - (a % b != 0 && (a < 0) != (b < 0) ? 1 : 0); }

/// Days from 1970-01-01 to January 1 of the year.
long days_before_year(long year) {
  const long before = year - 1;
  return 365 * (year - 1970) + (floor_divide(before, 4) - 492) - (floor_divide(before, 100) - 19) + (floor_divide(before, 400) - 4);
}

unsigned days_in_month(long year, unsigned month) {
  return static_cast<unsigned>(days_before_month[month] - days_before_month[month - 1]) + (month == 2 && is_leap(year) ? 1U : 0U);
}

}  // namespace

double exponential(double x) { return std::isnan(x) ? x : exponential_pair({x, 0}); }

double logarithm(double x) {
  if (std::isnan(x) || x < 0) return not_a_number;
  if (x == 0) return -infinity;
  if (std::isinf(x)) return x;
  const Pair result = logarithm_pair(x);
  return result.high + result.low;
}

double logarithm10(double x) {
  if (!(x > 0) || std::isinf(x)) return logarithm(x);
  constexpr Pair per_ln{0.4342944819032518, 1.098319650216765e-17};
  const Pair result = multiply(logarithm_pair(x), per_ln);
  const double value = result.high + result.low;
  // Powers of ten are whole.
  const double whole = std::floor(value + 0.5);
  if (std::fabs(value - whole) < 1e-14 && std::fabs(whole) <= 22 && whole_power(10, static_cast<long>(std::fabs(whole))) == (whole < 0 ? 1 / x : x)) return whole;
  return value;
}

double power(double base, double exponent) {
  if (exponent == 0 || base == 1) return 1;
  if (std::isnan(base) || std::isnan(exponent)) return not_a_number;
  if (exponent == 1) return base;
  if (exponent == 2) return base * base;
  if (is_whole(exponent) && std::fabs(exponent) <= 64 && base != 0 && std::isfinite(base)) {
    const double guess = std::fabs(exponent) * std::fabs(logarithm(std::fabs(base)));
    if (guess < 600) return whole_power(base, static_cast<long>(exponent));
  }
  const bool odd = is_whole(exponent) && std::fabs(exponent) < 9007199254740992.0 && !is_whole(exponent / 2);
  if (base == 0) return exponent > 0 ? 0 : infinity;
  if (std::isinf(base)) return (exponent > 0 ? infinity : 0) * (base < 0 && odd ? -1 : 1);
  if (base < 0 && !is_whole(exponent)) return not_a_number;
  if (std::isinf(exponent)) return (std::fabs(base) > 1) == (exponent > 0) ? infinity : std::fabs(base) == 1 ? 1 : 0;
  const Pair log = logarithm_pair(std::fabs(base));
  if (std::fabs(log.high * exponent) > 1e4) return (log.high * exponent > 0 ? infinity : 0) * (base < 0 && odd ? -1 : 1);
  const double magnitude = exponential_pair(multiply(log, {exponent, 0}));
  return base < 0 && odd ? -magnitude : magnitude;
}

double ceiling(double x) {
  double whole = 0;
  return snaps(x, whole) ? whole : std::ceil(x);
}

double floor(double x) {
  double whole = 0;
  return snaps(x, whole) ? whole : std::floor(x);
}

double round(double x) {
  double half = 0;
  // x.5 within the tolerance counts as x.5 and goes away from zero.
  if (snaps(2 * x, half)) x = half / 2;
  return x < 0 ? -std::floor(0.5 - x) : std::floor(x + 0.5);
}

bool near_equal(double a, double b) { return a == b || std::fabs(a - b) <= 1e-9 * std::fmax(std::fabs(a), std::fabs(b)); }
bool near_less(double a, double b) { return a < b && !near_equal(a, b); }
bool near_less_equal(double a, double b) { return a <= b || near_equal(a, b); }

long days_from_civil(long year, unsigned month, unsigned day) {
  if (month < 1 || month > 12) return days_before_year(year) - 1;
  const long leap = month > 2 && is_leap(year) ? 1 : 0;
  return days_before_year(year) + days_before_month[month - 1] + leap + static_cast<long>(day) - 1;
}

Civil civil_from_days(long days) {
  long year = 1970 + floor_divide(days, days < 0 ? 365 : 366);
  while (days_before_year(year + 1) <= days) ++year;
  const long rest = days - days_before_year(year);
  unsigned month = 1;
  while (month < 12 && days_before_month[month] + (month >= 2 && is_leap(year) ? 1 : 0) <= rest) ++month;
  const long before = days_before_month[month - 1] + (month > 2 && is_leap(year) ? 1 : 0);
  return {year, month, static_cast<unsigned>(rest - before + 1)};
}

double months_after(double date, double months) {
  if (!std::isfinite(date) || !std::isfinite(months) || std::fabs(date) > 1e8 || std::fabs(months) > 1e6) return not_a_number;
  const double day = floor(date);
  const Civil from = civil_from_days(static_cast<long>(day));
  const long count = from.year * 12 + static_cast<long>(from.month) - 1 + static_cast<long>(floor(months));
  const long year = floor_divide(count, 12);
  const auto month = static_cast<unsigned>(count - year * 12 + 1);
  const unsigned last = days_in_month(year, month);
  return static_cast<double>(days_from_civil(year, month, from.day < last ? from.day : last)) + (date - day);
}

}  // namespace sprue::arithmetic
