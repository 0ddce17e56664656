// The functions that distributions need, on our own elementary functions: the same bits on every platform.
#pragma once

namespace sprue {

/// ln of the gamma function, x > 0 (Lanczos, g = 7, nine terms; about 1e-15 relative).
double log_gamma(double x);

/// The regularized incomplete beta function I_x(a, b), a and b above 0 (continued fraction after Lentz).
double beta_distribution(double x, double a, double b);
/// Its inverse in x.
double beta_quantile(double p, double a, double b);

/// The standard normal distribution (Marsaglia 2004, Evaluating the normal distribution; continued fraction in the
/// tails).
double normal_distribution(double z);
/// Its inverse: Wichura 1988, algorithm AS 241, PPND16; coefficients from memory, held against scipy.
double normal_quantile(double p);

}  // namespace sprue
