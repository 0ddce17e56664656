// The inner cores of the arithmetic: free of calls and branches, so that a loop over an array can be vectorized and
// still gives the bits of the scalar functions. For arithmetic.cpp and the machine's kernels; knows doubles, no graph.
//
// Each step below relies on IEEE double arithmetic in the written order: no contraction, no reassociation.
#pragma once

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

#define SPRUE_CORE [[gnu::always_inline]] inline

namespace sprue::arithmetic::core {

inline constexpr double infinity = std::numeric_limits<double>::infinity();
inline constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();
inline constexpr double tolerance = 1e-9;  // of snapping and of near comparisons

/// An unevaluated sum, about twice as precise as one double; |low| is at most half a unit in the last place of high.
struct Wide {
  double high;
  double low;
};

/// high + low for |high| >= |low| (or high 0), without loss.
SPRUE_CORE Wide ordered_sum(double high, double low) {
  const double sum = high + low;
  return {sum, (high - sum) + low};
}

/// a * b, exact to about 2^-105: the upper halves have 26 bits.
SPRUE_CORE Wide product(double a, double b) {
  constexpr std::uint64_t upper = ~std::uint64_t{0x7FFFFFF};
  const double a_high = std::bit_cast<double>(std::bit_cast<std::uint64_t>(a) & upper);
  const double b_high = std::bit_cast<double>(std::bit_cast<std::uint64_t>(b) & upper);
  const double a_low = a - a_high;
  const double b_low = b - b_high;
  const double high = a * b;
  return {high, ((a_high * b_high - high) + a_high * b_low + a_low * b_high) + a_low * b_low};
}

SPRUE_CORE Wide product(Wide a, Wide b) {
  const Wide p = product(a.high, b.high);
  return ordered_sum(p.high, p.low + (a.high * b.low + a.low * b.high));
}

// ln 2 in two parts, the first with enough zero bits that its product with an exponent is exact.
inline constexpr double ln2_high = 0x1.62e42fefa3000p-1;
inline constexpr double ln2_low = 0x1.3de6af278ece6p-42;
inline constexpr double log2_e = 0x1.71547652b82fep+0;
inline constexpr Wide one_over_ln10 = {0x1.bcb7b1526e50ep-2, 0x1.95355baaafad3p-57};

inline constexpr double whole_shift = 0x1.8p52;  // adding it leaves no fraction: the low bits are then the whole
                                                 // number

/// The nearest whole number, ties to even, for |x| < 2^51.
SPRUE_CORE double nearest_small(double x) {
  return (x + whole_shift) - whole_shift;
}

/// 2^k for whole k within -1022 .. 1023.
SPRUE_CORE double power_of_two(double k) {
  return std::bit_cast<double>((std::bit_cast<std::uint64_t>(k + whole_shift) + 1023U) << 52U);
}

/// e^x: x = k ln 2 + r with |r| <= ln 2 / 2, e^r by its series, the leading 1 + r kept exact.
SPRUE_CORE double exponential(Wide x) {
  const double above = x.high < -746.0 ? -746.0 : x.high;
  const double high = above > 710.0 ? 710.0 : above;
  const double low = high == x.high ? x.low : 0.0;
  const double k = nearest_small(high * log2_e);
  const Wide r = ordered_sum(high - k * ln2_high, low - k * ln2_low);
  const double t = r.high;
  double series = 1.0 / 6227020800.0;
  series = series * t + 1.0 / 479001600.0;
  series = series * t + 1.0 / 39916800.0;
  series = series * t + 1.0 / 3628800.0;
  series = series * t + 1.0 / 362880.0;
  series = series * t + 1.0 / 40320.0;
  series = series * t + 1.0 / 5040.0;
  series = series * t + 1.0 / 720.0;
  series = series * t + 1.0 / 120.0;
  series = series * t + 1.0 / 24.0;
  series = series * t + 1.0 / 6.0;
  series = series * t + 0.5;
  const Wide lead = ordered_sum(1.0, t);
  const double rest = t * t * series + (r.low + r.low * t);
  const double result = lead.high + (lead.low + rest);
  const double half = nearest_small(k * 0.5);  // two steps, so that neither factor overflows
                                               // before the result does
  return result * power_of_two(half) * power_of_two(k - half);
}

SPRUE_CORE double exponential(double x) {
  return exponential(Wide{x, 0.0});
}

/// x = 2^exponent * mantissa with the mantissa within sqrt(1/2) .. sqrt(2), for positive finite x.
struct Scaled {
  double exponent;
  double mantissa;
};

SPRUE_CORE Scaled scaled(double x) {
  constexpr std::uint64_t one = 0x3FF0000000000000;
  constexpr std::uint64_t root_half = 0x3FE6A09E667F3BCD;
  constexpr std::uint64_t fraction = 0x000FFFFFFFFFFFFF;
  const bool subnormal = x < 0x1p-1022;
  const double normal = subnormal ? x * 0x1p54 : x;
  const std::uint64_t bits = std::bit_cast<std::uint64_t>(normal) + (one - root_half);
  // The biased exponent becomes a double as the low bits of 2^52 + exponent.
  const double biased = std::bit_cast<double>((bits >> 52U) | 0x4330000000000000);
  return {biased - (0x1p52 + 1023.0) - (subnormal ? 54.0 : 0.0), std::bit_cast<double>((bits & fraction) + root_half)};
}

/// ln x for x > 0 is right; elsewhere as a logarithm should be.
SPRUE_CORE double logarithm_domain(double x, double inside) {
  const double outside = x == 0.0 ? -infinity : not_a_number;
  const double above = x < infinity ? inside : x;
  return x > 0.0 ? above : outside;
}

/// ln x = k ln 2 + ln(1 + f); with s = f / (2 + f), ln(1 + f) = f - f^2/2 + s (f^2/2 + 2 s^2/3 + 2 s^4/5 + ...).
SPRUE_CORE double logarithm(double x) {
  const Scaled parts = scaled(x);
  const double f = parts.mantissa - 1.0;
  const double s = f / (2.0 + f);
  const double z = s * s;
  double series = 2.0 / 21.0;
  series = series * z + 2.0 / 19.0;
  series = series * z + 2.0 / 17.0;
  series = series * z + 2.0 / 15.0;
  series = series * z + 2.0 / 13.0;
  series = series * z + 2.0 / 11.0;
  series = series * z + 2.0 / 9.0;
  series = series * z + 2.0 / 7.0;
  series = series * z + 2.0 / 5.0;
  series = series * z + 2.0 / 3.0;
  const double half_square = 0.5 * f * f;
  const Wide lead = ordered_sum(parts.exponent * ln2_high, f);
  const double rest = half_square - (s * (half_square + z * series) + parts.exponent * ln2_low);
  return logarithm_domain(x, lead.high + (lead.low - rest));
}

/// ln x to about 2^-64, for positive finite x: 2 artanh(s) with s = (m - 1) / (m + 1), the first terms in two parts.
SPRUE_CORE Wide wide_logarithm(double x) {
  const Scaled parts = scaled(x);
  const double f = parts.mantissa - 1.0;
  const Wide divisor = ordered_sum(2.0, f);
  const double ratio = f / divisor.high;
  const Wide back = product(ratio, divisor.high);
  const Wide s = {ratio, (((f - back.high) - back.low) - ratio * divisor.low) / divisor.high};
  const Wide z = product(s, s);
  double series = 1.0 / 25.0;
  series = series * z.high + 1.0 / 23.0;
  series = series * z.high + 1.0 / 21.0;
  series = series * z.high + 1.0 / 19.0;
  series = series * z.high + 1.0 / 17.0;
  series = series * z.high + 1.0 / 15.0;
  series = series * z.high + 1.0 / 13.0;
  series = series * z.high + 1.0 / 11.0;
  series = series * z.high + 1.0 / 9.0;
  series = series * z.high + 1.0 / 7.0;
  series = series * z.high + 1.0 / 5.0;
  const Wide third = {0x1.5555555555555p-2, 0x1.5555555555555p-56};
  Wide tail = ordered_sum(third.high, z.high * series);
  tail.low += third.low + z.low * (1.0 / 5.0);
  const Wide cubic = product(product(s, z), tail);
  const Wide half = ordered_sum(s.high, cubic.high);
  const Wide lead = ordered_sum(parts.exponent * ln2_high, 2.0 * half.high);
  return ordered_sum(lead.high, lead.low + (2.0 * (half.low + (s.low + cubic.low)) + parts.exponent * ln2_low));
}

SPRUE_CORE double logarithm10(double x) {
  return logarithm_domain(x, product(wide_logarithm(x), one_over_ln10).high);
}

/// base^exponent = e^(exponent ln |base|) with the sign of an odd power; special cases as in IEEE 754 `pow`.
SPRUE_CORE double power(double base, double exponent) {
  const double size = std::fabs(base);
  const double above = exponent < -0x1p65 ? -0x1p65 : exponent;
  const double bounded = above > 0x1p65 ? 0x1p65 : above;  // decides the result as well as anything beyond
  const Wide logarithm = wide_logarithm(size);
  const Wide p = product(logarithm.high, bounded);
  const double inside = exponential(Wide{p.high, p.low + logarithm.low * bounded});
  // The logarithm does not serve 0 and infinity.
  const double of_zero = exponent > 0.0 ? 0.0 : infinity;
  const double of_infinity = exponent > 0.0 ? infinity : 0.0;
  const double of_finite = size == 0.0 ? of_zero : inside;
  const double positive = size == infinity ? of_infinity : of_finite;
  // Whole and odd exponents; from 2^52 on every double is whole, from 2^53 on even. The differences are 0 for whole
  // numbers.
  const double magnitude = std::fabs(exponent);
  const double half = 0.5 * magnitude;
  const double fraction = magnitude < 0x1p52 ? ((magnitude + 0x1p52) - 0x1p52) - magnitude : 0.0;
  const double half_fraction = half < 0x1p52 ? ((half + 0x1p52) - 0x1p52) - half : 0.0;
  const double of_odd = half_fraction != 0.0 ? std::copysign(positive, base) : positive;
  const double of_broken = base < 0.0 ? (size < infinity ? not_a_number : positive) : positive;
  const double result = fraction == 0.0 ? of_odd : of_broken;
  const double checked = base == base ? result : base;
  const double of_number = exponent == exponent ? checked : exponent;
  const double of_square = exponent == 2.0 ? base * base : of_number;  // the same as the product
  const double of_one = base == 1.0 ? 1.0 : of_square;
  return exponent == 0.0 ? 1.0 : of_one;
}

/// The nearest whole number, ties to even; x itself where every double is whole.
SPRUE_CORE double nearest(double x) {
  const double size = std::fabs(x);
  const double rounded = std::copysign((size + 0x1p52) - 0x1p52, x);
  return size < 0x1p52 ? rounded : x;
}

/// How far x may lie from a whole number and still count as it: short of halfway, where the tolerance has grown that
/// large.
SPRUE_CORE double snapping_distance(double x) {
  const double size = std::fabs(x);
  const double allowed = tolerance * (size > 1.0 ? size : 1.0);
  return allowed < 0.5 ? allowed : 0x1.fffffffffffffp-2;
}

// Adding 0 turns -0 into 0.
SPRUE_CORE double ceiling(double x) {
  const double whole = nearest(x);
  const double above = whole < x ? whole + 1.0 : whole;
  return (std::fabs(x - whole) <= snapping_distance(x) ? whole : above) + 0.0;
}

SPRUE_CORE double floor(double x) {
  const double whole = nearest(x);
  const double below = whole > x ? whole - 1.0 : whole;
  return (std::fabs(x - whole) <= snapping_distance(x) ? whole : below) + 0.0;
}

SPRUE_CORE double round(double x) {
  const double whole = nearest(x);
  const double away = std::fabs(whole) < std::fabs(x) ? whole + std::copysign(1.0, x) : whole;
  return (std::fabs(x - whole) == 0.5 ? away : whole) + 0.0;
}

/// Whether two numbers differ by no more than the tolerance. Infinities are near nothing.
SPRUE_CORE bool near(double a, double b) {
  const double size_a = std::fabs(a);
  const double size_b = std::fabs(b);
  const double allowed = tolerance * (size_a > size_b ? size_a : size_b);
  return std::fabs(a - b) <= (allowed < infinity ? allowed : 0.0);
}

// Flags are 1 and 0.
SPRUE_CORE double flag(bool holds) {
  return holds ? 1.0 : 0.0;
}
SPRUE_CORE double near_equal(double a, double b) {
  return a == b ? 1.0 : flag(near(a, b));
}
SPRUE_CORE double near_less(double a, double b) {
  return near(a, b) ? 0.0 : flag(a < b);
}
SPRUE_CORE double near_less_equal(double a, double b) {
  return near(a, b) ? 1.0 : flag(a <= b);
}

/// Not a number where either is not: a fault must not vanish in a comparison of sizes.
SPRUE_CORE double minimum(double a, double b) {
  const double least = b < a ? b : a;
  return b == b ? least : b;
}
SPRUE_CORE double maximum(double a, double b) {
  const double greatest = a < b ? b : a;
  return b == b ? greatest : b;
}

}  // namespace sprue::arithmetic::core

#undef SPRUE_CORE
