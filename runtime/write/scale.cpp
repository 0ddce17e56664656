// Steps of 1, 2 and 5, and of whole months.
#include "runtime/write/scale.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lang/graph/arithmetic.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

std::vector<Tick> month_ticks(double low, double high, int most) {
  std::vector<Tick> out;
  low = std::max(low, arithmetic::first_day);
  high = std::min(high, arithmetic::last_day);
  if (!(low < high)) return out;
  const arithmetic::Civil first = arithmetic::civil_from_days(static_cast<long>(std::ceil(low)));
  const arithmetic::Civil last = arithmetic::civil_from_days(static_cast<long>(high));
  const long begin = first.year * 12 + first.month - 1;
  const long end = last.year * 12 + last.month - 1;
  long step = 1;
  for (const long wanted : {1L, 2L, 3L, 6L, 12L, 24L, 60L, 120L}) {
    step = wanted;
    if ((end - begin) / step < most) break;
  }
  while ((end - begin) / step >= most) step *= 2;
  for (long month = (begin + step - 1) / step * step; month <= end; month += step) {
    const auto day =
        static_cast<double>(arithmetic::days_from_civil(month / 12, static_cast<unsigned>(month % 12 + 1), 1));
    if (day >= low) out.push_back({day, iso_date(day).substr(0, 7)});
  }
  return out;
}

}  // namespace

std::vector<Tick> ticks(const Axis& axis, double low, double high, int most) {
  if (!(high > low)) return {};
  if (axis.dates) return month_ticks(low, high, most);
  const double rough = (high - low) / most;
  const double power = arithmetic::power(10, std::floor(arithmetic::logarithm10(rough)));
  double step = 10 * power;
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * power >= rough * (1 - 1e-9)) {
      step = factor * power;
      break;
    }
  }
  int places = 0;
  while (places < 12 && std::fabs(step - arithmetic::round(step * arithmetic::power(10, places)) /
                                             arithmetic::power(10, places)) > step * 1e-6)
    ++places;
  std::vector<Tick> out;
  // Counted, so that no error adds up.
  const double first = std::ceil(low / step - 1e-9);
  for (double i = first; i * step <= high + step * 1e-9 && out.size() < 100; ++i)
    out.push_back({i * step, grouped(decimal(i * step, places))});
  return out;
}

}  // namespace sprue
