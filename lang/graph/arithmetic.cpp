// The scalar functions over the inner cores, and the civil calendar.
#include "lang/graph/arithmetic.hpp"

#include <cmath>

#include "lang/graph/arithmetic_core.hpp"

namespace sprue::arithmetic {

double exponential(double x) {
  return core::exponential(x);
}
double logarithm(double x) {
  return core::logarithm(x);
}
double logarithm10(double x) {
  return core::logarithm10(x);
}
double power(double base, double exponent) {
  return core::power(base, exponent);
}

double minimum(double a, double b) {
  return core::minimum(a, b);
}
double maximum(double a, double b) {
  return core::maximum(a, b);
}

double ceiling(double x) {
  return core::ceiling(x);
}
double floor(double x) {
  return core::floor(x);
}
double round(double x) {
  return core::round(x);
}

bool near_equal(double a, double b) {
  return core::near_equal(a, b) != 0.0;
}
bool near_less(double a, double b) {
  return core::near_less(a, b) != 0.0;
}
bool near_less_equal(double a, double b) {
  return core::near_less_equal(a, b) != 0.0;
}

namespace {

// Years are counted from March, so that the leap day comes last; 400 of them are one era of 146097 days.
constexpr long era_days = 146097;
constexpr long epoch = 719468;  // 1970-01-01, counted from 0000-03-01

long floor_divide(long a, long b) {
  return a / b - (a % b < 0 ? 1 : 0);
}

/// Days of a year before a month, both from March: 31, 30, 31, 30, 31 days repeat.
constexpr long days_before(long month) {
  return (153 * month + 2) / 5;
}

bool is_leap(long year) {
  return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

unsigned days_in_month(long year, unsigned month) {
  if (month == 2) return is_leap(year) ? 29 : 28;
  return month == 4 || month == 6 || month == 9 || month == 11 ? 30 : 31;
}

}  // namespace

long days_from_civil(long year, unsigned month, unsigned day) {
  const long from_march = month > 2 ? static_cast<long>(month) - 3 : static_cast<long>(month) + 9;
  const long year_from_march = month > 2 ? year : year - 1;
  const long era = floor_divide(year_from_march, 400);
  const long of_era = year_from_march - era * 400;
  return era * era_days + of_era * 365 + of_era / 4 - of_era / 100 + days_before(from_march) + static_cast<long>(day) -
         1 - epoch;
}

Civil civil_from_days(long days) {
  const long shifted = days + epoch;
  const long era = floor_divide(shifted, era_days);
  const long day_of_era = shifted - era * era_days;
  // Taking out the leap days before it leaves 365 days a year.
  const long of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
  const long day_of_year = day_of_era - (of_era * 365 + of_era / 4 - of_era / 100);
  const long from_march = (5 * day_of_year + 2) / 153;
  const long month = from_march < 10 ? from_march + 3 : from_march - 9;
  const long year = of_era + era * 400 + (month <= 2 ? 1 : 0);
  return {year, static_cast<unsigned>(month), static_cast<unsigned>(day_of_year - days_before(from_march) + 1)};
}

double months_after(double date, double months) {
  constexpr double limit = 1e8;  // days or months; far past any calendar, well within a long
  if (!(std::fabs(date) <= limit && std::fabs(months) <= limit / 31)) return core::not_a_number;
  const Civil from = civil_from_days(static_cast<long>(floor(date)));
  const long month = from.year * 12 + static_cast<long>(from.month) - 1 + static_cast<long>(floor(months));
  const long year = floor_divide(month, 12);
  const auto month_of_year = static_cast<unsigned>(month - year * 12 + 1);
  const unsigned last = days_in_month(year, month_of_year);
  return static_cast<double>(days_from_civil(year, month_of_year, from.day < last ? from.day : last));
}

}  // namespace sprue::arithmetic
