// Elementary functions against the C library's long double; whole-number rules; the calendar.
#include "lang/graph/arithmetic.hpp"

#include <cmath>
#include <limits>
#include <random>

#include "tests/catch.hpp"

using namespace sprue;

namespace {

/// Distance from the exact value in last places of the result.
double ulps(double is, long double exact) {
  const double nearest = static_cast<double>(exact);
  const double ulp = std::nextafter(std::fabs(nearest), std::numeric_limits<double>::infinity()) - std::fabs(nearest);
  return static_cast<double>(std::fabs(static_cast<long double>(is) - exact) / static_cast<long double>(ulp));
}

}  // namespace

TEST_CASE("exp, ln and log10 are within one last place", "[arithmetic]") {
  std::mt19937_64 random(7);
  double worst_exp = 0;
  double worst_ln = 0;
  double worst_log10 = 0;
  for (int i = 0; i < 100000; ++i) {
    const double x = std::uniform_real_distribution<double>(-700, 700)(random);
    worst_exp = std::max(worst_exp, ulps(arithmetic::exponential(x), std::exp(static_cast<long double>(x))));
    const double small = x / 700;
    worst_exp = std::max(worst_exp, ulps(arithmetic::exponential(small), std::exp(static_cast<long double>(small))));
    const double y = std::exp(std::uniform_real_distribution<double>(-600, 600)(random));
    worst_ln = std::max(worst_ln, ulps(arithmetic::logarithm(y), std::log(static_cast<long double>(y))));
    const double near_one = std::uniform_real_distribution<double>(0.5, 2)(random);
    worst_ln = std::max(worst_ln, ulps(arithmetic::logarithm(near_one), std::log(static_cast<long double>(near_one))));
    worst_log10 = std::max(worst_log10, ulps(arithmetic::logarithm10(y), std::log10(static_cast<long double>(y))));
  }
  CAPTURE(worst_exp, worst_ln, worst_log10);
  CHECK(worst_exp < 1);
  CHECK(worst_ln < 1);
  CHECK(worst_log10 < 1);
}

TEST_CASE("powers are within one last place, and exact where the result is", "[arithmetic]") {
  std::mt19937_64 random(8);
  double worst = 0;
  for (int i = 0; i < 100000; ++i) {
    const double base = std::exp(std::uniform_real_distribution<double>(-20, 20)(random));
    const double exponent = std::uniform_real_distribution<double>(-20, 20)(random);
    worst = std::max(worst, ulps(arithmetic::power(base, exponent), std::pow(static_cast<long double>(base), static_cast<long double>(exponent))));
  }
  CAPTURE(worst);
  CHECK(worst < 1);
  for (int n = -20; n <= 20; ++n) CHECK(arithmetic::power(2, n) == std::ldexp(1, n));
  for (int n = 0; n <= 15; ++n) {
    double exact = 1;
    for (int i = 0; i < n; ++i) exact *= 10;
    CHECK(arithmetic::power(10, n) == exact);
    CHECK(arithmetic::logarithm10(exact) == n);
  }
  CHECK(arithmetic::power(1.5, 2) == 2.25);
}

TEST_CASE("special arguments have the usual results", "[arithmetic]") {
  const double infinity = std::numeric_limits<double>::infinity();
  CHECK(arithmetic::logarithm(0) == -infinity);
  CHECK(std::isnan(arithmetic::logarithm(-1)));
  CHECK(arithmetic::logarithm(1) == 0);
  CHECK(arithmetic::exponential(0) == 1);
  CHECK(arithmetic::exponential(1000) == infinity);
  CHECK(arithmetic::exponential(-1000) == 0);
  CHECK(arithmetic::power(0, 0) == 1);
  CHECK(arithmetic::power(0, -1) == infinity);
  CHECK(arithmetic::power(-2, 3) == -8);
  CHECK(std::isnan(arithmetic::power(-2, 0.5)));
  CHECK(arithmetic::power(1e300, 2.5) == infinity);
}

TEST_CASE("a value within 1e-9 of a whole number is that number", "[arithmetic]") {
  CHECK(arithmetic::ceiling(120000 / 0.96) == 125000);
  CHECK(arithmetic::ceiling(0.1 + 0.2 + 0.7) == 1);
  CHECK(arithmetic::ceiling(1 + 2e-9) == 2);
  CHECK(arithmetic::ceiling(1 + 1e-10) == 1);
  CHECK(arithmetic::ceiling(1e12 + 100) == 1e12 + 100);
  CHECK(arithmetic::ceiling(-1.5) == -1);
  CHECK(arithmetic::floor(3 - 1e-10) == 3);
  CHECK(arithmetic::floor(2.9) == 2);
  CHECK(arithmetic::floor(-0.5) == -1);
  CHECK(arithmetic::round(2.5) == 3);
  CHECK(arithmetic::round(-2.5) == -3);
  CHECK(arithmetic::round(2.5 - 1e-11) == 3);
  CHECK(arithmetic::round(2.4) == 2);
}

TEST_CASE("expectations compare with a relative tolerance of 1e-9", "[arithmetic]") {
  CHECK(arithmetic::near_equal(0.1 + 0.2, 0.3));
  CHECK_FALSE(arithmetic::near_equal(1, 1 + 2e-9));
  CHECK(arithmetic::near_less_equal(1 + 1e-12, 1));
  CHECK_FALSE(arithmetic::near_less(1 - 1e-12, 1));
  CHECK(arithmetic::near_less(0.9, 1));
}

TEST_CASE("the calendar is the Gregorian one", "[arithmetic]") {
  CHECK(arithmetic::days_from_civil(1970, 1, 1) == 0);
  CHECK(arithmetic::days_from_civil(2000, 3, 1) == 11017);
  CHECK(arithmetic::days_from_civil(2026, 10, 5) == 20731);
  CHECK(arithmetic::days_from_civil(1900, 3, 1) - arithmetic::days_from_civil(1900, 2, 28) == 1);
  CHECK(arithmetic::days_from_civil(2024, 3, 1) - arithmetic::days_from_civil(2024, 2, 28) == 2);
  for (long day = -200000; day <= 200000; day += 13) {
    const arithmetic::Civil civil = arithmetic::civil_from_days(day);
    REQUIRE(arithmetic::days_from_civil(civil.year, civil.month, civil.day) == day);
  }
}

TEST_CASE("months are calendar months, the day held within the month", "[arithmetic]") {
  const auto date = [](long y, unsigned m, unsigned d) { return static_cast<double>(arithmetic::days_from_civil(y, m, d)); };
  CHECK(arithmetic::months_after(date(2026, 1, 31), 1) == date(2026, 2, 28));
  CHECK(arithmetic::months_after(date(2024, 1, 31), 1) == date(2024, 2, 29));
  CHECK(arithmetic::months_after(date(2026, 10, 5), 3) == date(2027, 1, 5));
  CHECK(arithmetic::months_after(date(2026, 3, 31), -1) == date(2026, 2, 28));
  CHECK(arithmetic::months_after(date(2026, 10, 5) + 0.5, 12) == date(2027, 10, 5) + 0.5);
}
