// One walk along the dates in order.
#include "runtime/machine/lowest.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace sprue {

bool order_by_date(std::span<DatedAmount> steps) {
  for (const DatedAmount& step : steps) {
    if (std::isnan(step.date)) return false;
  }
  const auto earlier = [](const DatedAmount& a, const DatedAmount& b) {
    return a.date != b.date ? a.date < b.date : a.rank < b.rank;
  };
  if (!std::is_sorted(steps.begin(), steps.end(), earlier)) std::sort(steps.begin(), steps.end(), earlier);
  return true;
}

Lowest lowest(std::span<DatedAmount> steps) {
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  if (!order_by_date(steps)) return {nan, nan};
  Lowest result{0, steps.empty() ? 0 : steps.front().date};
  double sum = 0;
  double largest = 0;
  double dated = 0;  // the sum at the date that is kept
  for (std::size_t i = 0; i < steps.size(); ++i) {
    sum += steps[i].amount;
    largest = std::fmax(largest, std::fabs(sum));
    const bool more_that_day = i + 1 < steps.size() && steps[i + 1].date == steps[i].date;
    if (more_that_day) continue;
    if (sum < result.sum) result.sum = sum;
    if (undercuts(sum, dated, largest)) {
      dated = sum;
      result.date = steps[i].date;
    }
  }
  return std::isnan(sum) ? Lowest{nan, nan} : result;
}

}  // namespace sprue
