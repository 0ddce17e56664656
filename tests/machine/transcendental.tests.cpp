// Exponentials, logarithms and powers: how exact they are, where they are exact, what they give at the edges, and that
// they give the same bits everywhere.
#include <cmath>
#include <limits>

#include "lang/graph/arithmetic.hpp"
#include "tests/catch.hpp"
#include "tests/machine/bits.hpp"
#include "tests/machine/random_graph.hpp"
#include "tests/support/skip.hpp"

using namespace sprue::arithmetic;
using sprue::testing::bits;
using sprue::testing::Random;
using sprue::testing::same_bits;
using sprue::testing::skip;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();
constexpr bool have_reference = std::numeric_limits<long double>::digits >= 64;

/// The distance from the exact value in units in the last place.
double ulps(double result, long double exact) {
  int exponent = 0;
  std::frexp(exact, &exponent);
  const int last = (exponent < -1021 ? -1021 : exponent) - 53;
  return static_cast<double>(std::fabs(static_cast<long double>(result) - exact) / std::ldexp(1.0L, last));
}

/// The greatest such distance.
struct Worst {
  double ulps = 0;
  double x = 0;
  double y = 0;
  void see(double distance, double at, double and_at = 0) {
    if (distance > ulps) *this = {distance, at, and_at};
  }
};

}  // namespace

TEST_CASE("the exponential is within 0.65 ulp, 1 where the result is subnormal", "[arithmetic]") {
  if (!have_reference) return skip("the C library's long double is no more exact than a double");
  Random random(1);
  Worst normal;
  Worst subnormal;
  for (int i = 0; i < 100000; ++i) {
    for (const double x : {random.between(-708, 709.7), random.between(-1, 1)}) {
      normal.see(ulps(exponential(x), std::exp(static_cast<long double>(x))), x);
    }
    const double x = random.between(-745, -708);
    subnormal.see(ulps(exponential(x), std::exp(static_cast<long double>(x))), x);
  }
  CAPTURE(normal.x, subnormal.x);
  CHECK(normal.ulps < 0.65);
  CHECK(subnormal.ulps <= 1);
}

TEST_CASE("the natural logarithm is within 0.9 ulp, the decimal one within 0.55", "[arithmetic]") {
  if (!have_reference) return skip("the C library's long double is no more exact than a double");
  Random random(2);
  Worst natural;
  Worst decimal;
  for (int i = 0; i < 100000; ++i) {
    for (const double x : {std::exp(random.between(-745, 709)), random.between(0.5, 2), random.between(0.99, 1.01)}) {
      natural.see(ulps(logarithm(x), std::log(static_cast<long double>(x))), x);
      decimal.see(ulps(logarithm10(x), std::log10(static_cast<long double>(x))), x);
    }
  }
  CAPTURE(natural.x, decimal.x);
  CHECK(natural.ulps < 0.9);
  CHECK(decimal.ulps < 0.55);
}

TEST_CASE("powers are within 0.75 ulp over their whole range", "[arithmetic]") {
  if (!have_reference) return skip("the C library's long double is no more exact than a double");
  Random random(3);
  Worst worst;
  const auto see = [&](double x, double y) {
    const long double exact = std::pow(static_cast<long double>(x), static_cast<long double>(y));
    if (exact > 1e-307L && exact < 1e308L) worst.see(ulps(power(x, y), exact), x, y);
  };
  for (int i = 0; i < 100000; ++i) {
    const double anywhere = std::exp(random.between(-700, 700));
    see(anywhere, random.between(-707, 709) / std::log(anywhere));  // any result
    see(random.between(0.9, 1.1), random.between(-7000, 7000));
    see(random.between(0.01, 100), random.between(-4, 4));
  }
  CAPTURE(worst.x, worst.y);
  CHECK(worst.ulps < 0.75);
}

TEST_CASE("powers that are doubles come out exactly", "[arithmetic]") {
  for (int n = -1074; n <= 1023; ++n) REQUIRE(power(2, n) == std::ldexp(1.0, n));
  for (int base = 2; base <= 100; ++base) {
    double exact = 1;  // while it stays within 2^53
    for (int n = 0; exact * base < 9e15; ++n, exact *= base) {
      INFO(base << "^" << n);
      REQUIRE(power(base, n) == exact);
      REQUIRE(power(-base, n) == (n % 2 == 0 ? exact : -exact));
      REQUIRE(power(base / 8.0, n) == std::ldexp(exact, -3 * n));
    }
  }
  CHECK(power(2, 10) == 1024);
  CHECK(power(10, 2) == 100);
  CHECK(power(10, 22) == 1e22);
  CHECK(power(1.5, 2) == 2.25);
  CHECK(power(2.25, 0.5) == 1.5);
  CHECK(power(0.25, -2) == 16);
}

TEST_CASE("to the power of one a number is itself, to the power of two its product with itself", "[arithmetic]") {
  Random random(4);
  for (int i = 0; i < 10000; ++i) {
    const double x = std::exp(random.between(-700, 700));
    REQUIRE(power(x, 1) == x);
    REQUIRE(power(x, 2) == x * x);
    REQUIRE(power(-x, 1) == -x);
  }
}

TEST_CASE("the decimal logarithm of a power of ten is whole", "[arithmetic]") {
  double ten_to_the = 1;
  for (int n = 0; n <= 22; ++n, ten_to_the *= 10) CHECK(logarithm10(ten_to_the) == n);
}

TEST_CASE("logarithms of nothing and of less are not finite", "[arithmetic]") {
  for (const auto log : {logarithm, logarithm10}) {
    CHECK(log(0) == -infinity);
    CHECK(log(-0.0) == -infinity);
    CHECK(std::isnan(log(-1)));
    CHECK(std::isnan(log(-infinity)));
    CHECK(std::isnan(log(not_a_number)));
    CHECK(log(infinity) == infinity);
    CHECK(same_bits(log(1), 0));
  }
}

TEST_CASE("the exponential overflows to infinity and underflows to zero", "[arithmetic]") {
  CHECK(exponential(0) == 1);
  CHECK(exponential(-0.0) == 1);
  CHECK(exponential(709.78) < infinity);
  CHECK(exponential(709.79) == infinity);
  CHECK(exponential(1e300) == infinity);
  CHECK(exponential(infinity) == infinity);
  CHECK(exponential(-745) > 0);
  CHECK(exponential(-746) == 0);
  CHECK(exponential(-infinity) == 0);
  CHECK(std::isnan(exponential(not_a_number)));
}

TEST_CASE("powers have the special cases of IEEE 754", "[arithmetic]") {
  // The C library's special cases are those of the standard; its other results may differ in the last place.
  const double corners[] = {0.0,
                            -0.0,
                            1,
                            -1,
                            2,
                            -2,
                            0.5,
                            -0.5,
                            3,
                            -3,
                            2.5,
                            -2.5,
                            1e300,
                            -1e300,
                            1e-310,
                            -1e-310,
                            9007199254740991,
                            -9007199254740992,
                            infinity,
                            -infinity,
                            not_a_number,
                            1023,
                            -1075};
  for (const double x : corners) {
    for (const double y : corners) {
      const double result = power(x, y);
      const double standard = std::pow(x, y);
      INFO(x << " ^ " << y << " = " << result << ", not " << standard);
      if (std::isfinite(standard) && standard != 0) {
        CHECK(std::fabs(result - standard) <= 1e-15 * std::fabs(standard));
      } else {
        CHECK(same_bits(result, standard));
      }
    }
  }
  CHECK(power(0, 0) == 1);
  CHECK(power(-8, 3) == -512);
  CHECK(std::isnan(power(-8, 1.0 / 3)));
  CHECK(power(0, -1) == infinity);
}

TEST_CASE("the functions give these very bits on every platform", "[arithmetic]") {
  std::uint64_t hash = 0xCBF29CE484222325U;
  const auto see = [&](double result) { hash = (hash ^ bits(result)) * 0x100000001B3U; };
  Random random(6);
  for (int i = 0; i < 20000; ++i) {
    const double x = random.between(-750, 720);
    const double y = static_cast<double>(random.bits() >> 20U) * 0x1p-30;
    const double z = random.between(0, 4);
    see(exponential(x));
    see(logarithm(y));
    see(logarithm10(z));
    see(power(z, x));
  }
  CHECK(hash == 0x7C28A4CEBC54CBF7U);
}
