// Rounding as people do it by hand, and rows that add up.
#include "runtime/write/number.hpp"

#include <cmath>
#include <limits>
#include <numeric>
#include <random>

#include "runtime/write/footing.hpp"
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
  CHECK(grouped("123") == "123");
  CHECK(grouped("2026-10-05") == "2026-10-05");
}

TEST_CASE("dates are ISO 8601, whole days", "[write]") {
  CHECK(iso_date(0) == "1970-01-01");
  CHECK(iso_date(20731.9) == "2026-10-05");
  CHECK(iso_date(-1) == "1969-12-31");
}

TEST_CASE("footed rows add up to the shown total, each within one last place of its value", "[write][property]") {
  std::mt19937 random(3);
  for (int round = 0; round < 2000; ++round) {
    const int places = std::uniform_int_distribution<int>(0, 4)(random);
    const double scale = std::pow(10.0, places);
    std::vector<double> values(std::uniform_int_distribution<std::size_t>(1, 30)(random));
    for (double& value : values) value = std::uniform_real_distribution<double>(-50, 200)(random);
    const double total = std::accumulate(values.begin(), values.end(), 0.0);
    const std::vector<long long> units = foot(values, total, places);
    const long long sum = std::accumulate(units.begin(), units.end(), 0LL);
    CHECK(decimal(from_last_places(sum, places), places) == decimal(total, places));
    for (std::size_t i = 0; i < values.size(); ++i)
      REQUIRE(std::fabs(static_cast<double>(units[i]) - values[i] * scale) < 1 + 1e-6);
  }
}

TEST_CASE("ties in footing go to the earlier row", "[write]") {
  // Three thirds of one: the odd cent goes to the first.
  CHECK(foot({1 / 3.0, 1 / 3.0, 1 / 3.0}, 1, 2) == std::vector<long long>{34, 33, 33});
}

TEST_CASE("rows that do not sum to their total are shown as they are", "[write]") {
  CHECK(foot({1, 2}, 10, 0) == std::vector<long long>{1, 2});
}

TEST_CASE("figures too large for a last place are not footed", "[write]") {
  CHECK(foot({1e300, 1}, 1e300, 2).empty());
  CHECK(foot({1, 2}, std::nan(""), 2).empty());
}
