// Dates as days since 1970-01-01, and calendar months.
#include <cmath>
#include <limits>

#include "lang/graph/arithmetic.hpp"
#include "lang/syntax/literals.hpp"
#include "runtime/write/number.hpp"
#include "tests/catch.hpp"

using namespace sprue::arithmetic;

namespace {

double date(long year, unsigned month, unsigned day) {
  return static_cast<double>(days_from_civil(year, month, day));
}

}  // namespace

TEST_CASE("known dates have known day numbers", "[arithmetic][calendar]") {
  CHECK(days_from_civil(1970, 1, 1) == 0);
  CHECK(days_from_civil(1969, 12, 31) == -1);
  CHECK(days_from_civil(2000, 1, 1) == 10957);
  CHECK(days_from_civil(2000, 3, 1) == 11017);
  CHECK(days_from_civil(2026, 10, 5) == 20731);
  CHECK(days_from_civil(1600, 1, 1) == -135140);
  CHECK(days_from_civil(1, 1, 1) == -719162);
  CHECK(days_from_civil(9999, 12, 31) == 2932896);
}

TEST_CASE("the calendar that is read, calculated and shown is one", "[arithmetic][calendar]") {
  using sprue::day_of;
  using sprue::iso_date;
  CHECK(day_of("1583-01-01") == static_cast<int>(first_day));
  CHECK_FALSE(day_of("1582-12-31"));
  CHECK(day_of("9999-12-31") == static_cast<int>(last_day));
  CHECK(iso_date(first_day) == "1583-01-01");
  CHECK(iso_date(last_day + 0.5) == "9999-12-31");
  CHECK(iso_date(first_day - 1) == "before the calendar");
  for (const double day : {last_day + 1, 1e300, std::numeric_limits<double>::infinity()})
    CHECK(iso_date(day) == "beyond the calendar");
}

TEST_CASE("every fourth year leaps, of the hundreds every fourth", "[arithmetic][calendar]") {
  const auto days_of_year = [](long year) { return days_from_civil(year + 1, 1, 1) - days_from_civil(year, 1, 1); };
  CHECK(days_of_year(2023) == 365);
  CHECK(days_of_year(2024) == 366);
  CHECK(days_of_year(1900) == 365);
  CHECK(days_of_year(2000) == 366);
  CHECK(days_of_year(2100) == 365);
  CHECK(days_of_year(-4) == 366);
  CHECK(days_of_year(-100) == 365);
}

TEST_CASE("days follow each other through the months of eight centuries", "[arithmetic][calendar]") {
  Civil expected{1599, 12, 31};
  const long first = days_from_civil(1599, 12, 31);
  for (long day = first; day < first + 300000; ++day) {
    const Civil civil = civil_from_days(day);
    REQUIRE(civil.year == expected.year);
    REQUIRE(civil.month == expected.month);
    REQUIRE(civil.day == expected.day);
    REQUIRE(days_from_civil(civil.year, civil.month, civil.day) == day);
    const bool leap = civil.year % 4 == 0 && (civil.year % 100 != 0 || civil.year % 400 == 0);
    const unsigned lengths[] = {31, leap ? 29U : 28U, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (++expected.day > lengths[expected.month - 1]) expected = {expected.year, expected.month + 1, 1};
    if (expected.month > 12) expected = {expected.year + 1, 1, 1};
  }
}

TEST_CASE("a month later is the same day of the next month, or its last", "[arithmetic][calendar]") {
  CHECK(months_after(date(2026, 1, 31), 1) == date(2026, 2, 28));
  CHECK(months_after(date(2024, 1, 31), 1) == date(2024, 2, 29));
  CHECK(months_after(date(2026, 1, 31), 2) == date(2026, 3, 31));
  CHECK(months_after(date(2026, 8, 31), 1) == date(2026, 9, 30));
  CHECK(months_after(date(2026, 10, 5), 0) == date(2026, 10, 5));
  CHECK(months_after(date(2026, 10, 5), 3) == date(2027, 1, 5));
  CHECK(months_after(date(2024, 2, 29), 12) == date(2025, 2, 28));
  CHECK(months_after(date(2024, 2, 29), 48) == date(2028, 2, 29));
}

TEST_CASE("months go back as well", "[arithmetic][calendar]") {
  CHECK(months_after(date(2026, 3, 31), -1) == date(2026, 2, 28));
  CHECK(months_after(date(2026, 1, 15), -1) == date(2025, 12, 15));
  CHECK(months_after(date(1970, 1, 1), -12) == date(1969, 1, 1));
  CHECK(months_after(date(1600, 2, 29), -1200) == date(1500, 2, 28));
}

TEST_CASE("the time of day is kept", "[arithmetic][calendar]") {
  CHECK(months_after(date(2026, 10, 5) + 0.5, 12) == date(2027, 10, 5));
  CHECK(months_after(date(1960, 1, 31) + 0.25, 1) == date(1960, 2, 29));
}

TEST_CASE("a date a hair before midnight is the next day", "[arithmetic][calendar]") {
  CHECK(months_after(date(2026, 1, 31) - 1e-7, 1) == date(2026, 2, 28));
}

TEST_CASE("only whole months count", "[arithmetic][calendar]") {
  CHECK(months_after(date(2026, 10, 5), 1.9) == date(2026, 11, 5));
  CHECK(months_after(date(2026, 10, 5), 0.1 * 3 * 10) == date(2027, 1, 5));
  CHECK(months_after(date(2026, 10, 5), -0.5) == date(2026, 9, 5));
}

TEST_CASE("beyond any calendar there is no date", "[arithmetic][calendar]") {
  const double not_a_number = std::numeric_limits<double>::quiet_NaN();
  const double infinity = std::numeric_limits<double>::infinity();
  for (const double bad : {not_a_number, infinity, -infinity, 1e300, -1e12}) {
    CHECK(std::isnan(months_after(bad, 1)));
    CHECK(std::isnan(months_after(20731, bad)));
  }
}
