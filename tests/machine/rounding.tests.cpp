// Whole things are whole: the one tolerance of the language, 1e-9, in rounding and in the comparisons of expectations.
#include <cmath>
#include <limits>

#include "lang/graph/arithmetic.hpp"
#include "tests/catch.hpp"
#include "tests/machine/bits.hpp"

namespace arithmetic = sprue::arithmetic;
using sprue::testing::same_bits;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

}  // namespace

TEST_CASE("what should have come out whole does not cost one more", "[arithmetic][rounding]") {
  CHECK(arithmetic::ceiling(120000 / 0.96) == 125000);
  CHECK(arithmetic::ceiling(0.1 + 0.2 + 0.7) == 1);
  CHECK(arithmetic::ceiling(3 * 1.1 * 10) == 33);
  CHECK(arithmetic::floor((0.1 + 0.7) * 10) == 8);
}

TEST_CASE("up to 1e-9 from a whole number counts as it, beyond does not", "[arithmetic][rounding]") {
  // Near zero and one the distance is absolute.
  CHECK(arithmetic::ceiling(0.9e-9) == 0);
  CHECK(arithmetic::ceiling(1.1e-9) == 1);
  CHECK(arithmetic::ceiling(1 + 0.9e-9) == 1);
  CHECK(arithmetic::ceiling(1 + 1.1e-9) == 2);
  CHECK(arithmetic::floor(1 - 0.9e-9) == 1);
  CHECK(arithmetic::floor(1 - 1.1e-9) == 0);
  // Further out it is relative.
  CHECK(arithmetic::ceiling(125000 * (1 + 0.9e-9)) == 125000);
  CHECK(arithmetic::ceiling(125000 * (1 + 1.1e-9)) == 125001);
  CHECK(arithmetic::floor(125000 * (1 - 0.9e-9)) == 125000);
  CHECK(arithmetic::floor(125000 * (1 - 1.1e-9)) == 124999);
}

TEST_CASE("negative numbers snap and round alike", "[arithmetic][rounding]") {
  CHECK(arithmetic::ceiling(-1.5) == -1);
  CHECK(arithmetic::floor(-1.5) == -2);
  CHECK(arithmetic::ceiling(-2 + 0.9e-9) == -2);
  CHECK(arithmetic::ceiling(-2 + 3e-9) == -1);
  CHECK(arithmetic::floor(-2 - 0.9e-9) == -2);
  CHECK(arithmetic::floor(-2 - 3e-9) == -3);
  CHECK(arithmetic::floor(-0.9e-9) == 0);
}

TEST_CASE("rounding goes to the nearest, half away from zero", "[arithmetic][rounding]") {
  CHECK(arithmetic::round(2.4) == 2);
  CHECK(arithmetic::round(2.5) == 3);
  CHECK(arithmetic::round(3.5) == 4);
  CHECK(arithmetic::round(-2.5) == -3);
  CHECK(arithmetic::round(-0.5) == -1);
  CHECK(arithmetic::round(0.5) == 1);
  CHECK(arithmetic::round(0.49) == 0);
  CHECK(arithmetic::round(1e15 + 0.5) == 1e15 + 1);
  CHECK(arithmetic::round(-1e15 - 0.5) == -1e15 - 1);
}

TEST_CASE("numbers snap to whole numbers only, not to halves", "[arithmetic][rounding]") {
  CHECK(arithmetic::round(2.4999999999) == 2);
  CHECK(arithmetic::round(-2.4999999999) == -2);
  CHECK(arithmetic::round(0.4999999999) == 0);
  CHECK(arithmetic::round(2.5000000001) == 3);
}

TEST_CASE("where the tolerance reaches the next whole number, the nearest one counts", "[arithmetic][rounding]") {
  CHECK(arithmetic::ceiling(1e12 + 0.25) == 1e12);
  CHECK(arithmetic::floor(1e12 + 0.75) == 1e12 + 1);
  CHECK(arithmetic::ceiling(1e12 + 0.5) == 1e12 + 1);
  CHECK(arithmetic::floor(1e12 + 0.5) == 1e12);
}

TEST_CASE("whole numbers stay themselves, however large", "[arithmetic][rounding]") {
  for (const double x :
       {0.0, 1.0, -1.0, 4503599627370495.0, 4503599627370497.0, 9007199254740993.0, -1e300, infinity, -infinity}) {
    CHECK(same_bits(arithmetic::ceiling(x), x));
    CHECK(same_bits(arithmetic::floor(x), x));
    CHECK(same_bits(arithmetic::round(x), x));
  }
  CHECK(std::isnan(arithmetic::ceiling(not_a_number)));
  CHECK(std::isnan(arithmetic::floor(not_a_number)));
  CHECK(std::isnan(arithmetic::round(not_a_number)));
}

TEST_CASE("zero is never negative", "[arithmetic][rounding]") {
  CHECK(same_bits(arithmetic::ceiling(-0.5), 0));
  CHECK(same_bits(arithmetic::round(-0.25), 0));
  CHECK(same_bits(arithmetic::floor(-0.0), 0));
}

TEST_CASE("rounding agrees with the library away from the tolerance", "[arithmetic][rounding]") {
  for (int i = -40000; i <= 40000; ++i) {
    const double x = i / 16.0;
    REQUIRE(arithmetic::ceiling(x) == std::ceil(x));
    REQUIRE(arithmetic::floor(x) == std::floor(x));
    REQUIRE(arithmetic::round(x) == std::round(x));
  }
}

TEST_CASE("expectations compare within 1e-9 of the larger side", "[arithmetic][rounding]") {
  CHECK(arithmetic::near_equal(0.1 + 0.2, 0.3));
  CHECK(arithmetic::near_equal(1, 1 + 0.9e-9));
  CHECK_FALSE(arithmetic::near_equal(1, 1 + 1.1e-9));
  CHECK(arithmetic::near_equal(-5e6, -5e6 - 0.004));
  CHECK_FALSE(arithmetic::near_equal(-5e6, -5e6 - 0.006));
  CHECK(arithmetic::near_equal(0, 0));
  CHECK_FALSE(arithmetic::near_equal(0, 1e-300));

  CHECK(arithmetic::near_less(1, 2));
  CHECK_FALSE(arithmetic::near_less(2, 1));
  CHECK_FALSE(arithmetic::near_less(1, 1 + 0.9e-9));
  CHECK(arithmetic::near_less_equal(1 + 0.9e-9, 1));
  CHECK_FALSE(arithmetic::near_less_equal(1 + 1.1e-9, 1));
  CHECK(arithmetic::near_less_equal(1, 2));
}

TEST_CASE("infinities are near themselves only, and nothing is near what is no number", "[arithmetic][rounding]") {
  CHECK(arithmetic::near_equal(infinity, infinity));
  CHECK_FALSE(arithmetic::near_equal(infinity, -infinity));
  CHECK_FALSE(arithmetic::near_equal(1, infinity));
  CHECK(arithmetic::near_less(1, infinity));
  CHECK_FALSE(arithmetic::near_less(infinity, infinity));
  CHECK(arithmetic::near_less_equal(infinity, infinity));
  CHECK_FALSE(arithmetic::near_less_equal(infinity, 1));
  CHECK_FALSE(arithmetic::near_equal(not_a_number, not_a_number));
  CHECK_FALSE(arithmetic::near_less(not_a_number, 1));
  CHECK_FALSE(arithmetic::near_less_equal(1, not_a_number));
}

TEST_CASE("the lesser and the greater of two do not hide what is no number", "[arithmetic]") {
  CHECK(arithmetic::minimum(1, 2) == 1);
  CHECK(arithmetic::maximum(1, 2) == 2);
  CHECK(arithmetic::minimum(-infinity, 2) == -infinity);
  for (const auto choose : {arithmetic::minimum, arithmetic::maximum}) {
    CHECK(std::isnan(choose(not_a_number, 1)));
    CHECK(std::isnan(choose(1, not_a_number)));
  }
}
