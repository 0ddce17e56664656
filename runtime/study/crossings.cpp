// A grid of lanes, then ever finer grids inside each interval that holds a change.
#include "runtime/study/crossings.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "lang/graph/arithmetic.hpp"
#include "runtime/study/lanes.hpp"

namespace sprue {
namespace {

constexpr std::size_t grid_points = 2000;
constexpr std::size_t inner_points = 64;
constexpr std::size_t crossing_limit = 1000;

class Finder {
 public:
  Finder(const Evaluation& evaluation, const Check& condition, std::uint32_t input, SearchRange range)
      : evaluation_(evaluation), input_(input), range_(range) {
    has_sides_ = condition.left < slot_missing && condition.right < slot_missing &&
                 !evaluation.absent(condition.left) && !evaluation.absent(condition.right);
    outputs_.push_back(condition.node);
    if (has_sides_) outputs_.insert(outputs_.end(), {condition.left, condition.right});
  }

  Crossings run() {
    const std::vector<double> values = grid();
    const auto truths = evaluate(values, true);
    out_.tried = values.size();
    out_.has_sides = has_sides_ && out_.unsound < values.size();
    std::optional<bool> first;
    std::optional<bool> last;
    std::size_t last_at = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
      if (!truths[i]) continue;
      if (last && *last != *truths[i]) close_in(values[last_at], values[i], *last);
      if (!first) first = truths[i];
      last = truths[i];
      last_at = i;
    }
    out_.true_at_low = first.value_or(false);
    out_.true_at_high = last.value_or(false);
    return std::move(out_);
  }

 private:
  using Truths = std::vector<std::optional<bool>>;

  double placed(double value) const { return range_.whole ? arithmetic::round(value) : value; }

  /// Evenly and, where the range lies above zero, in equal ratios as well: small values matter as much as large ones.
  std::vector<double> grid() const {
    std::vector<double> values;
    const double width = range_.high - range_.low;
    for (std::size_t i = 0; i <= grid_points; ++i) {
      const double share = static_cast<double>(i) / static_cast<double>(grid_points);
      values.push_back(placed(i == grid_points ? range_.high : range_.low + share * width));
      if (range_.low > 0) values.push_back(placed(range_.low * arithmetic::power(range_.high / range_.low, share)));
    }
    std::erase_if(values, [&](double value) { return value < range_.low || value > range_.high; });
    std::sort(values.begin(), values.end());
    values.erase(std::unique(values.begin(), values.end()), values.end());
    return values;
  }

  Truths evaluate(const std::vector<double>& values, bool note) {
    std::vector<Lane> lanes;
    for (const double value : values) lanes.push_back({{input_, value}});
    const auto results = evaluate_lanes(evaluation_, outputs_, lanes);
    Truths truths;
    double least = 0;
    bool any = false;
    for (std::size_t i = 0; i < results.size(); ++i) {
      truths.push_back(results[i] ? std::optional<bool>((*results[i])[0] != 0) : std::nullopt);
      if (!note) continue;
      if (!results[i]) {
        ++out_.unsound;
      } else if (has_sides_) {
        const double gap = std::fabs((*results[i])[1] - (*results[i])[2]);
        if (any && !(gap < least)) continue;
        any = true;
        least = gap;
        out_.nearest = values[i];
        out_.left = (*results[i])[1];
        out_.right = (*results[i])[2];
      }
    }
    return truths;
  }

  /// `before` holds at `low` and not at `high`, or the other way round.
  void close_in(double low, double high, bool before) {
    while (out_.found.size() < crossing_limit) {
      std::vector<double> values;
      for (std::size_t i = 1; i < inner_points; ++i) {
        const double value = placed(low + (high - low) * static_cast<double>(i) / static_cast<double>(inner_points));
        if (value > low && value < high && (values.empty() || value > values.back())) values.push_back(value);
      }
      if (values.empty()) {
        out_.found.push_back({low, high, !before});
        return;
      }
      const Truths truths = evaluate(values, false);
      // The first change; what may follow it in this interval is searched for after.
      double from = low;
      double to = high;
      bool now = before;
      std::vector<std::pair<double, double>> later;
      std::vector<bool> later_before;
      bool found = false;
      double last = low;
      for (std::size_t i = 0; i <= values.size(); ++i) {
        const bool end = i == values.size();
        if (!end && !truths[i]) continue;
        const double value = end ? high : values[i];
        const bool truth = end ? !before : *truths[i];
        if (truth != now) {
          if (!found) {
            from = last;
            to = value;
            found = true;
          } else {
            later.emplace_back(last, value);
            later_before.push_back(now);
          }
          now = truth;
        }
        last = value;
      }
      if (from == low && to == high && later.empty()) {  // nothing sound between: as near as it goes
        out_.found.push_back({low, high, !before});
        return;
      }
      if (later.empty()) {
        low = from;
        high = to;
        continue;
      }
      close_in(from, to, before);
      for (std::size_t i = 0; i < later.size(); ++i) close_in(later[i].first, later[i].second, later_before[i]);
      return;
    }
  }

  const Evaluation& evaluation_;
  std::uint32_t input_;
  SearchRange range_;
  std::vector<GraphId> outputs_;
  bool has_sides_ = false;
  Crossings out_;
};

}  // namespace

Crossings find_crossings(const Evaluation& evaluation, const Check& condition, std::uint32_t input, SearchRange range) {
  return Finder(evaluation, condition, input, range).run();
}

}  // namespace sprue
