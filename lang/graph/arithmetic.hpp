// The scalar meaning of every operation of the cost graph: one definition for folding constants, for the machine and
// for its oracle. Deterministic: no library transcendental, no contraction, the same bits on every platform.
#pragma once

namespace sprue::arithmetic {

double exponential(double x);
double logarithm(double x);  // natural
double logarithm10(double x);
double power(double base, double exponent);  // special cases as in IEEE 754

double minimum(double a, double b);  // not a number where either operand is not, as after any other operation
double maximum(double a, double b);

/// Whole-number rounding after snapping to a whole number within 1e-9 (relative, at least 1e-9 absolute). Never -0.
double ceiling(double x);
double floor(double x);
double round(double x);  // to the nearest, which is where snapping leads as well; half away from zero

bool near_equal(double a, double b);  // |a - b| <= 1e-9 * max(|a|, |b|); infinities only to themselves
bool near_less(double a, double b);   // a < b and not near_equal
bool near_less_equal(double a, double b);

/// 1583-01-01 and 9999-12-31, in days since 1970-01-01: the calendar from its first whole year on, as far as four
/// digits reach (ISO 8601-1:2019, 4.3.2, leaves other years to mutual agreement).
inline constexpr double first_day = -141349, last_day = 2932896;

/// Days since 1970-01-01 from a civil date and back (proleptic Gregorian).
long days_from_civil(long year, unsigned month, unsigned day);
struct Civil {
  long year;
  unsigned month;
  unsigned day;
};
Civil civil_from_days(long days);

/// The day `months` whole calendar months after the day `date`, clamped to the month's end; fractions are dropped
/// (downwards). Not a number beyond some hundred thousand years.
double months_after(double date, double months);

}  // namespace sprue::arithmetic
