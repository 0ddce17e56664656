// Series, continued fractions and rational approximations.
#include "runtime/study/special.hpp"

#include <array>
#include <cmath>
#include <limits>

#include "lang/graph/arithmetic.hpp"

namespace sprue {
namespace {

template <std::size_t N>
double polynomial(const std::array<double, N>& c, double x) {
  double sum = 0;
  for (std::size_t i = N; i-- > 0;) sum = sum * x + c[i];
  return sum;
}

double density(double z) {
  return arithmetic::exponential(-0.5 * z * z) * 0.39894228040143267794;
}

/// The continued fraction of the incomplete beta function, for x below (a + 1) / (a + b + 2).
double beta_fraction(double x, double a, double b) {
  constexpr double tiny = 1e-300;
  const auto away = [](double value) { return std::fabs(value) < tiny ? tiny : value; };
  double c = 1;
  double d = 1 / away(1 - (a + b) * x / (a + 1));
  double h = d;
  for (int m = 1; m <= 500; ++m) {
    const double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    h *= d * c;
    const double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    const double step = d * c;
    h *= step;
    if (std::fabs(step - 1) < 1e-16) break;
  }
  return h;
}

double beta_front(double x, double a, double b) {
  return arithmetic::exponential(log_gamma(a + b) - log_gamma(a) - log_gamma(b) + a * arithmetic::logarithm(x) +
                                 b * arithmetic::logarithm(1 - x));
}

}  // namespace

double log_gamma(double x) {
  static constexpr std::array<double, 9> c{0.99999999999980993,  676.5203681218851,     -1259.1392167224028,
                                           771.32342877765313,   -176.61502916214059,   12.507343278686905,
                                           -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7};
  if (x < 0.5) return log_gamma(x + 1) - arithmetic::logarithm(x);
  double sum = c[0];
  for (int i = 1; i < 9; ++i) sum += c[static_cast<std::size_t>(i)] / (x - 1 + i);
  const double t = x + 6.5;
  return 0.91893853320467274178 + (x - 0.5) * arithmetic::logarithm(t) - t + arithmetic::logarithm(sum);
}

double beta_distribution(double x, double a, double b) {
  if (!(x > 0)) return 0;
  if (!(x < 1)) return 1;
  if (x < (a + 1) / (a + b + 2)) return beta_front(x, a, b) * beta_fraction(x, a, b) / a;
  return 1 - beta_front(x, a, b) * beta_fraction(1 - x, b, a) / b;
}

double beta_quantile(double p, double a, double b) {
  double low = 0;
  double high = 1;
  double x = a / (a + b);
  for (int i = 0; i < 200; ++i) {
    const double error = beta_distribution(x, a, b) - p;
    if (error == 0) break;
    (error > 0 ? high : low) = x;
    const double slope = beta_front(x, a, b) / (x * (1 - x));
    double next = x - error / slope;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    if (std::fabs(next - x) <= 1e-16 * x || high - low < 1e-300) break;
    x = next;
  }
  return x;
}

double normal_distribution(double z) {
  const double size = std::fabs(z);
  if (size < 2.9) {
    double term = z;
    double sum = z;
    for (int i = 3; i < 400; i += 2) {
      term *= z * z / i;
      const double next = sum + term;
      if (next == sum) break;
      sum = next;
    }
    return 0.5 + sum * density(z);
  }
  double fraction = size;
  for (int i = 300; i > 0; --i) fraction = size + i / fraction;
  const double tail = density(size) / fraction;
  return z < 0 ? tail : 1 - tail;
}

double normal_quantile(double p) {
  static constexpr std::array<double, 8> a{3.3871328727963666080,    1.3314166789178437745e+2, 1.9715909503065514427e+3,
                                           1.3731693765509461125e+4, 4.5921953931549871457e+4, 6.7265770927008700853e+4,
                                           3.3430575583588128105e+4, 2.5090809287301226727e+3};
  static constexpr std::array<double, 8> b{1,
                                           4.2313330701600911252e+1,
                                           6.8718700749205790830e+2,
                                           5.3941960214247511077e+3,
                                           2.1213794301586595867e+4,
                                           3.9307895800092710610e+4,
                                           2.8729085735721942674e+4,
                                           5.2264952788528545610e+3};
  static constexpr std::array<double, 8> c{
      1.42343711074968357734, 4.63033784615654529590,    5.76949722146069140550,    3.64784832476320460504,
      1.27045825245236838258, 2.41780725177450611770e-1, 2.27238449892691845833e-2, 7.74545014278341407640e-4};
  static constexpr std::array<double, 8> d{1,
                                           2.05319162663775882187,
                                           1.67638483018380384940,
                                           6.89767334985100004550e-1,
                                           1.48103976427480074590e-1,
                                           1.51986665636164571966e-2,
                                           5.47593808499534494600e-4,
                                           1.05075007164441684324e-9};
  static constexpr std::array<double, 8> e{
      6.65790464350110377720,    5.46378491116411436990,    1.78482653991729133580,    2.96560571828504891230e-1,
      2.65321895265761230930e-2, 1.24266094738807843860e-3, 2.71155556874348757815e-5, 2.01033439929228813265e-7};
  static constexpr std::array<double, 8> f{1,
                                           5.99832206555887937690e-1,
                                           1.36929880922735805310e-1,
                                           1.48753612908506148525e-2,
                                           7.86869131145613259100e-4,
                                           1.84631831751005468180e-5,
                                           1.42151175831644588870e-7,
                                           2.04426310338993978564e-15};
  const double q = p - 0.5;
  if (std::fabs(q) <= 0.425) {
    const double r = 0.180625 - q * q;
    return q * polynomial(a, r) / polynomial(b, r);
  }
  const double tail = q < 0 ? p : 1 - p;
  if (!(tail > 0)) return q < 0 ? -std::numeric_limits<double>::infinity() : std::numeric_limits<double>::infinity();
  const double r = std::sqrt(-arithmetic::logarithm(tail));
  const double size =
      r <= 5 ? polynomial(c, r - 1.6) / polynomial(d, r - 1.6) : polynomial(e, r - 5) / polynomial(f, r - 5);
  return q < 0 ? -size : size;
}

}  // namespace sprue
