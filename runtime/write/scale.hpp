// From values to places along an axis, and round values to mark on it.
#pragma once

#include <string>
#include <vector>

#include "runtime/view/document.hpp"

namespace sprue {

struct Tick {
  double value = 0;
  std::string label;
};

/// A straight scale from `low`..`high` to `from`..`to`.
class Scale {
 public:
  Scale(double low, double high, double from, double to) : low_(low), high_(high), from_(from), to_(to) {}
  double at(double value) const {
    return high_ > low_ ? from_ + (value - low_) / (high_ - low_) * (to_ - from_) : from_;
  }

 private:
  double low_, high_, from_, to_;
};

/// At most about `most` round values between the ends: 1, 2 or 5 times a power of ten; for dates first days of months.
std::vector<Tick> ticks(const Axis& axis, double low, double high, int most);

}  // namespace sprue
