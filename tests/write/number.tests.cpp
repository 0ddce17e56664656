// Rounding as people do it by hand.
#include "runtime/write/number.hpp"

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <random>

#include "tests/catch.hpp"

using namespace sprue;

TEST_CASE("decimals round half away from zero on the digits one sees", "[write]") {
  CHECK(decimal(2.675, 2) == "2.68");
  CHECK(decimal(0.125, 2) == "0.13");
  CHECK(decimal(-0.125, 2) == "-0.13");
  CHECK(decimal(1.005, 2) == "1.01");
  CHECK(decimal(0.1 + 0.2, 2) == "0.30");
  CHECK(decimal(9.995, 2) == "10.00");
  CHECK(decimal(999.9999, 2) == "1000.00");
  CHECK(decimal(3, 0) == "3");
  CHECK(decimal(2.5, 0) == "3");
  CHECK(decimal(1e20, 1) == "100000000000000000000.0");
  CHECK(decimal(1e-20, 4) == "0.0000");
}

TEST_CASE("there is no minus zero, no infinity and no NaN in what is shown", "[write]") {
  CHECK(decimal(-0.0, 2) == "0.00");
  CHECK(decimal(-0.0001, 2) == "0.00");
  CHECK(decimal(std::numeric_limits<double>::infinity(), 2) == "unknown");
  CHECK(decimal(std::nan(""), 2) == "unknown");
}

TEST_CASE("thousands are grouped in numbers and not in dates", "[write]") {
  CHECK(grouped("1234567.89 EUR") == "1,234,567.89 EUR");
  CHECK(grouped("-1234") == "-1,234");
  CHECK(grouped("+1234") == "+1,234");
  CHECK(grouped("123") == "123");
  CHECK(grouped("2026-10-05") == "2026-10-05");
}

TEST_CASE("dates are ISO 8601, whole days", "[write]") {
  CHECK(iso_date(0) == "1970-01-01");
  CHECK(iso_date(20731.9) == "2026-10-05");
  CHECK(iso_date(-1) == "1969-12-31");
}

TEST_CASE("the noise of floating point is rounded away before a half is", "[write]") {
  // By hand: 36.295 in twelve digits is 36.2950000000, a half, and goes away from zero.
  CHECK(decimal(36.295, 2) == "36.30");
  CHECK(decimal(std::nextafter(36.295, 0), 2) == "36.30");
  CHECK(decimal(std::nextafter(36.295, 100), 2) == "36.30");
  CHECK(decimal(3.0 * 12.098333333333333, 2) == "36.30");
  CHECK(decimal(-36.295, 2) == "-36.30");
  CHECK(decimal(std::nextafter(-36.295, 0), 2) == "-36.30");
  CHECK(decimal(0.00005, 4) == "0.0001");
  CHECK(decimal(-0.00005, 4) == "-0.0001");
  CHECK(decimal(0.00004999999, 4) == "0.0000");
  CHECK(decimal(0.02345, 4) == "0.0235");
  CHECK(decimal(0.1 + 0.7, 15) == "0.800000000000000");
  CHECK(decimal(99.995, 2) == "100.00");
  CHECK(decimal(0.5, 0) == "1");
  CHECK(decimal(0.4999999999999, 0) == "1");  // twelve digits: 0.500000000000
  CHECK(decimal(0.499999999999, 0) == "0");   // these are twelve
  CHECK(decimal(0.049, 1) == "0.0");
  CHECK(decimal(0.05, 1) == "0.1");
  CHECK(decimal(0.005, 1) == "0.0");
}

TEST_CASE("no digit that is shown is rounded away", "[write]") {
  // Thirteen digits and more: what is shown is rounded once.
  CHECK(decimal(1234567890123, 0) == "1234567890123");
  CHECK(decimal(1234567890123.25, 2) == "1234567890123.25");
  CHECK(decimal(12345678901.235, 2) == "12345678901.24");
}

TEST_CASE("each number of places is rounded from the full value", "[write]") {
  // 1.4746 is 1.475 in three places and 1.47 in two: not 1.48, which the rounded one would give.
  CHECK(decimal(1.4746, 3) == "1.475");
  CHECK(decimal(1.4746, 2) == "1.47");
  CHECK(decimal(0.4446, 1) == "0.4");
}

TEST_CASE("decimals are those of printed digits and of half a last place", "[write][property]") {
  std::mt19937 random(7);
  for (int round = 0; round < 20000; ++round) {
    const int places = std::uniform_int_distribution<int>(0, 5)(random);
    // Half of them lie on a half of the last place, or beside it by the noise of one operation.
    long double value = std::uniform_real_distribution<double>(-5000, 5000)(random);
    if (round % 2 == 0) value = (std::floor(value) + 0.5L) / std::pow(10.0L, places);
    double x = static_cast<double>(value);
    if (round % 3 == 0) x = x / 3 * 3;
    char printed[64];
    std::snprintf(printed, sizeof printed, "%.11e", x);  // twelve digits
    const long double twelve = std::strtold(printed, nullptr);
    const long double scaled = twelve * std::pow(10.0L, places);
    const auto units = static_cast<long long>(scaled < 0 ? std::ceil(scaled - 0.5L - 1e-9L) : std::floor(scaled + 0.5L + 1e-9L));
    std::string digits = std::to_string(std::llabs(units));
    if (digits.size() < static_cast<std::size_t>(places) + 1)
      digits.insert(0, static_cast<std::size_t>(places) + 1 - digits.size(), '0');
    if (places > 0) digits.insert(digits.size() - static_cast<std::size_t>(places), ".");
    CAPTURE(printed, places);
    REQUIRE(decimal(x, places) == (units < 0 ? "-" + digits : digits));
  }
}

TEST_CASE("what would be shown as zero", "[write]") {
  CHECK(is_shown_as_zero(0.004, 2));
  CHECK(is_shown_as_zero(-0.004, 2));
  CHECK_FALSE(is_shown_as_zero(0.005, 2));
  CHECK_FALSE(is_shown_as_zero(-10, 0));
}
