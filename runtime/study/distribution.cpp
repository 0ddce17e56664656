// Quantiles in closed form where there is one; the loop over triangular ones is written for the compiler to vectorize.
#include "runtime/study/distribution.hpp"

#include <cmath>

#include "runtime/study/special.hpp"

namespace sprue {
namespace {

/// A triangular distribution with what its quantiles share worked out once.
struct Triangle {
  double low, high, turn, rising, falling;

  explicit Triangle(const Distribution& d)
      : low(d.low),
        high(d.high),
        turn(d.high > d.low ? (d.mode - d.low) / (d.high - d.low) : 0),
        rising((d.high - d.low) * (d.mode - d.low)),
        falling((d.high - d.low) * (d.high - d.mode)) {}

  [[gnu::always_inline]] inline double quantile(double p) const {
    const bool below = p < turn;
    const double root = std::sqrt(below ? p * rising : (1 - p) * falling);
    return below ? low + root : high - root;
  }
};

[[gnu::always_inline]] inline void triangular_row(const Triangle triangle, std::size_t count, double* row) {
  for (std::size_t i = 0; i < count; ++i) row[i] = triangle.quantile(row[i]);
}
void triangular_baseline(const Triangle& triangle, std::size_t count, double* row) {
  triangular_row(triangle, count, row);
}
SPRUE_AVX2 void triangular_avx2(const Triangle& triangle, std::size_t count, double* row) {
  triangular_row(triangle, count, row);
}
SPRUE_AVX512 void triangular_avx512(const Triangle& triangle, std::size_t count, double* row) {
  triangular_row(triangle, count, row);
}

struct Beta {
  double a, b;
  explicit Beta(const Distribution& d)
      : a(1 + 4 * (d.mode - d.low) / (d.high - d.low)), b(1 + 4 * (d.high - d.mode) / (d.high - d.low)) {}
};

bool is_point(const Distribution& d) {
  return !(d.high > d.low);
}

}  // namespace

double mean_of(const Distribution& d) {
  switch (d.shape) {
    case Shape::triangular:
      return (d.low + d.mode + d.high) / 3;
    case Shape::pert:
      return (d.low + 4 * d.mode + d.high) / 6;
    case Shape::uniform:
      return (d.low + d.high) / 2;
    default:
      return d.mode;
  }
}

double variance_of(const Distribution& d) {
  const double width = d.high - d.low;
  switch (d.shape) {
    case Shape::triangular:
      return (d.low * d.low + d.mode * d.mode + d.high * d.high - d.low * d.mode - d.low * d.high - d.mode * d.high) /
             18;
    case Shape::pert: {
      if (is_point(d)) return 0;
      const Beta beta(d);
      const double sum = beta.a + beta.b;
      return width * width * beta.a * beta.b / (sum * sum * (sum + 1));
    }
    case Shape::uniform:
      return width * width / 12;
    default:
      return width * width / 4;
  }
}

double quantile_of(const Distribution& d, double p) {
  double value = p;
  quantiles_of_row(d, 1, &value);
  return value;
}

void quantiles_of_row(const Distribution& d, std::size_t count, double* row, Vectors vectors) {
  if (is_point(d)) {
    for (std::size_t i = 0; i < count; ++i) row[i] = d.mode;
    return;
  }
  const double width = d.high - d.low;
  switch (d.shape) {
    case Shape::triangular: {
      const Triangle triangle(d);
      switch (vectors) {
        case Vectors::avx512:
          triangular_avx512(triangle, count, row);
          break;
        case Vectors::avx2:
          triangular_avx2(triangle, count, row);
          break;
        default:
          triangular_baseline(triangle, count, row);
      }
      break;
    }
    case Shape::pert: {
      const Beta beta(d);
      for (std::size_t i = 0; i < count; ++i) row[i] = d.low + width * beta_quantile(row[i], beta.a, beta.b);
      break;
    }
    case Shape::uniform:
      for (std::size_t i = 0; i < count; ++i) row[i] = d.low + width * row[i];
      break;
    case Shape::normal:
      for (std::size_t i = 0; i < count; ++i) row[i] = d.mode + 0.5 * width * normal_quantile(row[i]);
      break;
  }
}

}  // namespace sprue
