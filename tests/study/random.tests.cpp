// Random numbers, distributions and statistics against published vectors, closed forms and scipy.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <set>
#include <sstream>

#include "runtime/study/distribution.hpp"
#include "runtime/study/philox.hpp"
#include "runtime/study/sobol.hpp"
#include "runtime/study/special.hpp"
#include "runtime/study/statistics.hpp"
#include "tests/catch.hpp"
#include "tests/support/repository.hpp"

using namespace sprue;

TEST_CASE("Philox gives its published vectors", "[study][random][published]") {
  // Known answers of Random123 (Salmon and others 2011).
  CHECK(philox({0, 0, 0, 0}, {0, 0}) == PhiloxCounter{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8});
  const std::uint32_t all = 0xffffffff;
  CHECK(philox({all, all, all, all}, {all, all}) == PhiloxCounter{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd});
  CHECK(philox({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}, {0xa4093822, 0x299f31d0}) ==
        PhiloxCounter{0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1});
}

TEST_CASE("a row of numbers is its places one by one, wherever it begins", "[study][random]") {
  const Stream stream{12345, name_of_stream("lid.body.weight")};
  std::vector<double> row(1000);
  for (const std::uint64_t first : {0ULL, 1ULL, 77ULL, 0xFFFFFFFFULL, 0x123456789AULL}) {
    for (const std::size_t count : {0U, 1U, 2U, 31U, 32U, 33U, 1000U}) {
      uniform_row(stream, first, count, row.data());
      for (std::size_t i = 0; i < count; ++i) {
        REQUIRE(row[i] == uniform_at(stream, first + i));
        REQUIRE((row[i] > 0 && row[i] < 1));
      }
    }
  }
  CHECK(uniform_at(stream, 0) != uniform_at({12346, stream.name}, 0));
  CHECK(uniform_at(stream, 0) != uniform_at({12345, name_of_stream("lid.body.weighs")}, 0));
}

TEST_CASE("every width of vectors gives the same numbers", "[study][random]") {
  std::vector<std::vector<double>> rows;
  for (const Vectors vectors : {Vectors::baseline, Vectors::avx2, Vectors::avx512}) {
    if (vectors > widest_vectors()) continue;
    rows.emplace_back(1003);
    uniform_row({5, 6}, 3, rows.back().size(), rows.back().data(), vectors);
    rows.push_back(rows.back());
    quantiles_of_row({Shape::triangular, 1, 2.5, 9}, rows.back().size(), rows.back().data(), vectors);
  }
  for (std::size_t i = 2; i < rows.size(); ++i) CHECK(rows[i] == rows[i % 2]);
}

TEST_CASE("a hundred thousand numbers look even", "[study][random]") {
  std::vector<double> row(100000);
  uniform_row({7, name_of_stream("x")}, 0, row.size(), row.data());
  const Moments moments = moments_of(row);
  CHECK(std::fabs(moments.mean - 0.5) < 4 * std::sqrt(1 / 12.0 / 1e5));
  CHECK(moments.deviation == Approx(std::sqrt(1 / 12.0)).epsilon(0.01));
  std::vector<double> shifted(row.begin() + 1, row.end());
  CHECK(std::fabs(correlation(std::span(row).first(shifted.size()), shifted)) < 4 / std::sqrt(1e5));
  std::vector<int> bins(100, 0);
  for (const double value : row) ++bins[static_cast<std::size_t>(value * 100)];
  double chi = 0;
  for (const int bin : bins) chi += (bin - 1000.0) * (bin - 1000.0) / 1000.0;
  CHECK((chi > 50 && chi < 160));  // 99 degrees of freedom
}

TEST_CASE("Sobol's points are those of Joe and Kuo", "[study][random][published]") {
  // Joe and Kuo 2008, the first ten points in three dimensions.
  const double points[10][3] = {
      {0, 0, 0},          {.5, .5, .5},       {.75, .25, .25},    {.25, .75, .75},       {.375, .375, .625},
      {.875, .875, .125}, {.625, .125, .875}, {.125, .625, .375}, {.1875, .3125, .9375}, {.6875, .8125, .4375}};
  for (std::uint32_t i = 0; i < 10; ++i) {
    for (std::size_t d = 0; d < 3; ++d) CHECK(sobol_bits(d, i) * 0x1p-32 == points[i][d]);
  }
  CHECK(sobol_dimensions() == 256);
  // In every dimension the first 256 points fall into 256 different cells.
  for (std::size_t d = 0; d < sobol_dimensions(); ++d) {
    std::set<std::uint32_t> cells;
    for (std::uint32_t i = 0; i < 256; ++i) cells.insert(sobol_bits(d, i) >> 24U);
    CHECK(cells.size() == 256);
  }
}

TEST_CASE("moments and quantiles of ranges are the closed forms", "[study][random][published]") {
  // NIST/SEMATECH e-Handbook 1.3.6; digits recomputed.
  const Distribution triangular{Shape::triangular, 10, 12, 20};
  CHECK(mean_of(triangular) == 14);
  CHECK(variance_of(triangular) == Approx(4.666667).epsilon(1e-6));
  CHECK(quantile_of(triangular, 0.05) == Approx(11));
  CHECK(quantile_of(triangular, 0.25) == Approx(12.254033).epsilon(1e-7));
  CHECK(quantile_of(triangular, 0.5) == Approx(13.675445).epsilon(1e-7));
  CHECK(quantile_of(triangular, 0.95) == Approx(18));
  const Distribution pert{Shape::pert, 10, 12, 20};
  CHECK(mean_of(pert) == 13);
  CHECK(variance_of(pert) == Approx(3.0));
  const Distribution uniform{Shape::uniform, 10, 15, 20};
  CHECK(mean_of(uniform) == 15);
  CHECK(variance_of(uniform) == Approx(8.333333).epsilon(1e-6));
  for (const auto& [p, z] : {std::pair{0.90, 1.281552}, {0.95, 1.644854}, {0.975, 1.959964}, {0.99, 2.326348}})
    CHECK(normal_quantile(p) == Approx(z).epsilon(1e-6));
  const Distribution normal{Shape::normal, 8, 10, 12};
  CHECK(quantile_of(normal, 0.975) == Approx(10 + 2 * 1.959964).epsilon(1e-7));
  const Distribution point{Shape::pert, 3, 3, 3};
  CHECK(quantile_of(point, 0.3) == 3);
}

TEST_CASE("quantiles have the moments of their distribution", "[study][random]") {
  // The mean of a distribution is the integral of its quantiles over all shares, taken at the middles of 200 000
  // strips.
  for (const Distribution& d : {Distribution{Shape::triangular, 10, 12, 20}, Distribution{Shape::pert, 10, 12, 20},
                                Distribution{Shape::pert, -3, 5, 5}, Distribution{Shape::uniform, 10, 15, 20},
                                Distribution{Shape::normal, 8, 10, 12}}) {
    constexpr std::size_t strips = 200'000;
    std::vector<double> row(strips);
    for (std::size_t i = 0; i < strips; ++i) row[i] = (static_cast<double>(i) + 0.5) / strips;
    quantiles_of_row(d, strips, row.data());
    double sum = 0;
    double squares = 0;
    for (const double value : row) {
      sum += value;
      squares += (value - mean_of(d)) * (value - mean_of(d));
    }
    CHECK(sum / strips == Approx(mean_of(d)).epsilon(1e-6));
    CHECK(squares / strips == Approx(variance_of(d)).epsilon(1e-4));
    CHECK(std::is_sorted(row.begin(), row.end()));
    if (d.shape != Shape::normal) CHECK((row.front() >= d.low && row.back() <= d.high));
  }
}

TEST_CASE("special functions are scipy's", "[study][random]") {
  const testing::TemporaryFolder folder;
  const testing::Run run = testing::shell(
      folder.path(),
      "/usr/bin/python3 -c \"\nfrom scipy import stats, special\n"
      "for p in [1e-300,1e-20,1e-9,0.001,0.02,0.2,0.5,0.8,0.975,0.999999]: print('n', p, "
      "repr(float(stats.norm.ppf(p))))\n"
      "for z in [-20,-8,-5.9,-3,-1,-0.1,0,0.5,2,5.9,6.1,8]: print('c', z, repr(float(stats.norm.cdf(z))))\n"
      "for a,b in [(1.8,4.2),(1,5),(5,1),(3,3),(1.0001,4.9999)]:\n"
      "  for p in [1e-6,0.01,0.3,0.5,0.9,0.999]: print('b', p, a, b, repr(float(stats.beta.ppf(p,a,b))))\n"
      "for x in [0.7,1,1.5,2,3.3,10,50]: print('g', x, repr(float(special.gammaln(x))))\"");
  INFO(run.err);
  REQUIRE(run.code == 0);
  std::istringstream lines(run.out);
  std::string kind;
  std::size_t count = 0;
  while (lines >> kind) {
    double x = 0;
    double a = 0;
    double b = 0;
    double expected = 0;
    lines >> x;
    if (kind == "b") lines >> a >> b;
    lines >> expected;
    INFO(kind << " " << x << " " << a << " " << b);
    ++count;
    if (kind == "n") CHECK(normal_quantile(x) == Approx(expected).epsilon(1e-14));
    if (kind == "c") CHECK(normal_distribution(x) == Approx(expected).epsilon(2e-13));
    if (kind == "b") CHECK(beta_quantile(x, a, b) == Approx(expected).epsilon(1e-11));
    if (kind == "g") CHECK(log_gamma(x) == Approx(expected).epsilon(1e-13).margin(1e-14));
  }
  CHECK(count == 59);
}

TEST_CASE("quantiles, ranks and correlations are numpy's and scipy's", "[study][random]") {
  std::vector<double> values(500);
  std::vector<double> others(500);
  uniform_row({1, 1}, 0, 500, values.data());
  uniform_row({1, 2}, 0, 500, others.data());
  for (std::size_t i = 0; i < 500; ++i) {
    values[i] = std::floor(values[i] * 100);  // ties
    others[i] += values[i] / 100;
  }
  std::string script = "import numpy as np\nfrom scipy import stats\na=np.array([";
  for (const double value : values) script += fmt::format("{},", value);
  script += "])\nb=np.array([";
  for (const double value : others) script += fmt::format("{},", value);
  script +=
      "])\nfor p in [0.05,0.1,0.5,0.77,0.95]: print(repr(float(np.quantile(a,p))))\n"
      "print(repr(float(stats.spearmanr(a,b)[0])))\nprint(repr(float(np.std(a,ddof=1))))\nprint(repr(float(stats."
      "rankdata(a)[17])))\n";
  const testing::TemporaryFolder folder;
  folder.file("check.py", script);
  const testing::Run run = testing::shell(folder.path(), "/usr/bin/python3 check.py");
  INFO(run.err);
  REQUIRE(run.code == 0);
  std::istringstream lines(run.out);
  std::vector<double> sorted = values;
  std::sort(sorted.begin(), sorted.end());
  std::vector<double> found;
  for (const double p : {0.05, 0.1, 0.5, 0.77, 0.95}) found.push_back(quantile_of_sorted(sorted, p));
  const auto ranks = ranks_of(values);
  found.push_back(correlation(ranks, ranks_of(others)));
  found.push_back(moments_of(values).deviation);
  found.push_back(ranks[17]);
  for (const double value : found) {
    double expected = 0;
    lines >> expected;
    CHECK(value == Approx(expected).epsilon(1e-12));
  }
  const Interval interval = quantile_interval(sorted, 0.5);
  CHECK((interval.low <= quantile_of_sorted(sorted, 0.5) && interval.high >= quantile_of_sorted(sorted, 0.5)));
}

TEST_CASE("Sobol indices of Ishigami's function are the published ones", "[study][random][published]") {
  // Ishigami and Homma; S1 .3139, S2 .4424, S3 0 in Saltelli and others 2008, further digits from the closed form.
  constexpr std::size_t n = 20000;
  const double pi = 3.14159265358979323846;
  std::vector<std::vector<double>> x(3, std::vector<double>(n));
  std::vector<std::vector<double>> y(3, std::vector<double>(n));
  for (std::uint64_t i = 0; i < 3; ++i) {
    uniform_row({3, i}, 0, n, x[i].data());
    uniform_row({3, i + 10}, 0, n, y[i].data());
  }
  const auto at = [&](double a, double b, double c) {
    const auto angle = [&](double u) { return (2 * u - 1) * pi; };
    return std::sin(angle(a)) + 7 * std::sin(angle(b)) * std::sin(angle(b)) +
           0.1 * std::pow(angle(c), 4) * std::sin(angle(a));
  };
  std::vector<double> fa(n);
  std::vector<double> fb(n);
  for (std::size_t t = 0; t < n; ++t) {
    fa[t] = at(x[0][t], x[1][t], x[2][t]);
    fb[t] = at(y[0][t], y[1][t], y[2][t]);
  }
  CHECK(moments_of(fa).mean == Approx(3.5).margin(0.1));
  const double first[] = {.3139051911, .4424111448, 0};
  const double total[] = {.5575888552, .4424111448, .2436836641};
  for (std::size_t i = 0; i < 3; ++i) {
    std::vector<double> mixed(n);
    for (std::size_t t = 0; t < n; ++t)
      mixed[t] = at(i == 0 ? y[0][t] : x[0][t], i == 1 ? y[1][t] : x[1][t], i == 2 ? y[2][t] : x[2][t]);
    const SobolIndex index = sobol_index(fa, fb, mixed);
    INFO(i);
    CHECK(std::fabs(index.first - first[i]) < 4 * index.first_error + 0.001);
    CHECK(std::fabs(index.total - total[i]) < 4 * index.total_error + 0.001);
    CHECK(index.first_error < 0.03);
    CHECK(index.total_error < 0.03);
  }
}

TEST_CASE("sums of distributions spread as in JCGM 101", "[study][random][published]") {
  // JCGM 101:2008, 9.2: four inputs added; u and the ends of the shortest 95 % interval, from memory, recomputed.
  constexpr std::size_t n = 200000;
  const auto sum = [&](const std::vector<Distribution>& parts) {
    std::vector<double> out(n, 0);
    std::vector<double> row(n);
    for (std::uint64_t i = 0; i < parts.size(); ++i) {
      uniform_row({11, i}, 0, n, row.data());
      quantiles_of_row(parts[i], n, row.data());
      for (std::size_t t = 0; t < n; ++t) out[t] += row[t];
    }
    return out;
  };
  const double third = std::sqrt(3.0);
  const Distribution normal{Shape::normal, -1, 0, 1};
  const Distribution rectangular{Shape::uniform, -third, 0, third};
  const Distribution wide{Shape::uniform, -10 * third, 0, 10 * third};
  const auto check = [&](const std::vector<Distribution>& parts, double u, double end) {
    std::vector<double> values = sum(parts);
    CHECK(moments_of(values).deviation == Approx(u).epsilon(0.01));
    std::sort(values.begin(), values.end());
    for (const double p : {0.025, 0.975}) {
      const Interval interval = quantile_interval(values, p);
      const double exact = p < 0.5 ? -end : end;
      const double room = interval.high - interval.low;
      CHECK((exact > interval.low - room && exact < interval.high + room));
    }
  };
  check({normal, normal, normal, normal}, 2.00, 3.92);
  check({rectangular, rectangular, rectangular, rectangular}, 2.00, 3.879407);
  check({normal, normal, normal, wide}, 10.148892, 17.0158);
  // JCGM 100:2008, H.1: 25, 9.7, 2.9 and 16.6 nm give 32 nm (31.67).
  std::vector<Distribution> gauge;
  for (const double part : {25.0, 9.7, 2.9, 16.6}) gauge.push_back({Shape::normal, -part, 0, part});
  CHECK(moments_of(sum(gauge)).deviation == Approx(31.67).epsilon(0.01));
}
