// A grid of lanes, then ever finer grids inside each interval that holds a change.
#include "runtime/study/crossings.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "lang/graph/arithmetic.hpp"
#include "lang/graph/arithmetic_core.hpp"
#include "runtime/study/lanes.hpp"

namespace sprue {
namespace {

constexpr std::size_t grid_points = 2000;
constexpr std::size_t inner_points = 64;
constexpr std::size_t crossing_limit = 1000;
constexpr double tolerance = arithmetic::core::tolerance;
constexpr double rounding = 1e-12;  // some thousand rounding errors of a double

/// The condition at one value of the input.
struct Probe {
  double value = 0;
  bool sound = false;
  bool truth = false;
  double gap = 0;    // left side less right side
  double scale = 0;  // the larger of both

  bool near() const { return std::fabs(gap) <= 2 * tolerance * scale; }
};

/// Whether the sides meet between two values, or at one of them.
bool meet(const Probe& a, const Probe& b) {
  return a.sound && b.sound && (a.gap < 0) != (b.gap < 0);
}

bool lesser_gap(const Probe& a, const Probe& b) {
  return a.gap < b.gap;
}

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
    grid_ = probe(grid());
    out_.tried = grid_.size();
    std::erase_if(grid_, [](const Probe& at) { return !at.sound; });
    out_.unsound = out_.tried - grid_.size();
    out_.has_sides = has_sides_ && !grid_.empty();
    for (std::size_t i = 1; i < grid_.size(); ++i) between(grid_[i - 1], grid_[i]);
    if (!grid_.empty()) {
      out_.true_at_low = grid_.front().truth;
      out_.true_at_high = grid_.back().truth;
    }
    join_turns();
    if (has_sides_ && !range_.whole) refine();
    return std::move(out_);
  }

 private:
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

  /// Values inside an interval, evenly; none where no double, or whole number, lies between its ends.
  std::vector<double> inside(double low, double high) const {
    std::vector<double> values;
    for (std::size_t i = 1; i < inner_points; ++i) {
      const double value = placed(low + (high - low) * static_cast<double>(i) / static_cast<double>(inner_points));
      if (value > low && value < high && (values.empty() || value > values.back())) values.push_back(value);
    }
    return values;
  }

  /// Remembers where the sides come nearest, of all that is ever tried.
  std::vector<Probe> probe(const std::vector<double>& values) {
    std::vector<Lane> lanes;
    for (const double value : values) lanes.push_back({{input_, value}});
    const auto results = evaluate_lanes(evaluation_, outputs_, lanes);
    std::vector<Probe> probes;
    for (std::size_t i = 0; i < results.size(); ++i) {
      Probe& at = probes.emplace_back();
      at.value = values[i];
      at.sound = results[i].has_value();
      if (!at.sound) continue;
      at.truth = (*results[i])[0] != 0;
      if (!has_sides_) continue;
      const double left = (*results[i])[1];
      const double right = (*results[i])[2];
      at.gap = left - right;
      at.scale = std::max(std::fabs(left), std::fabs(right));
      if (std::fabs(at.gap) < least_) {
        least_ = std::fabs(at.gap);
        out_.nearest = values[i];
        out_.left = left;
        out_.right = right;
      }
    }
    return probes;
  }

  /// Two neighbors of the grid. Where the condition is the same at both and the sides meet between them, it may be
  /// otherwise there: `left = right` holds at a point that no grid would hit.
  void between(const Probe& low, const Probe& high) {
    if (low.truth != high.truth) {
      close_in(low, high);
    } else if (has_sides_ && meet(low, high)) {
      const Probe at = meeting(low, high);
      if (at.truth == low.truth) return;
      close_in(low, at);
      close_in(at, high);
    }
  }

  /// Where the sides meet between two values on whose way they do.
  Probe meeting(Probe low, Probe high) {
    while (true) {
      std::vector<Probe> probes = probe(inside(low.value, high.value));
      std::erase_if(probes, [](const Probe& at) { return !at.sound; });
      if (probes.empty()) return std::fabs(low.gap) < std::fabs(high.gap) ? low : high;
      probes.push_back(high);
      const auto first = std::find_if(probes.begin(), probes.end(), [&](const Probe& at) { return meet(low, at); });
      if (first != probes.begin()) low = *(first - 1);
      high = *first;
    }
  }

  /// Two values of which the condition holds at one.
  void close_in(Probe low, Probe high) {
    while (out_.found.size() < crossing_limit) {
      std::vector<Probe> probes = probe(inside(low.value, high.value));
      std::erase_if(probes, [](const Probe& at) { return !at.sound; });
      probes.insert(probes.begin(), low);
      probes.push_back(high);
      std::vector<std::size_t> turns;  // between probes[i - 1] and probes[i]
      for (std::size_t i = 1; i < probes.size(); ++i) {
        if (probes[i].truth != probes[i - 1].truth) turns.push_back(i);
      }
      if (turns.size() > 1 && !one_turn(low.value, high.value)) {
        for (const std::size_t at : turns) close_in(probes[at - 1], probes[at]);
        return;
      }
      // One turn, or what rounding makes of one: the values before the first and after the last are sure.
      const Probe& before = probes[turns.front() - 1];
      const Probe& after = probes[turns.back()];
      if (before.value == low.value && after.value == high.value) {
        out_.found.push_back({low.value, high.value, high.truth});
        return;
      }
      low = before;
      high = after;
    }
  }

  /// Whether what lies between two values is one turn: they are one value of the input, or the sides change between
  /// them by no more than rounding errors do.
  bool one_turn(double low, double high) {
    if (high - low <= range_.tolerance()) return true;
    if (!has_sides_ || range_.whole) return false;
    std::vector<double> values = inside(low, high);
    values.insert(values.begin(), low);
    values.push_back(high);
    const std::vector<Probe> probes = probe(values);
    if (std::any_of(probes.begin(), probes.end(), [](const Probe& at) { return !at.sound; })) return false;
    const auto [least, most] = std::minmax_element(probes.begin(), probes.end(), lesser_gap);
    return most->gap - least->gap <= rounding * gap_around(low, high);
  }

  /// How far apart the sides come in the neighborhood: rounding errors are of what is added up to them, and that is at
  /// least as large.
  double gap_around(double low, double high) const {
    const double reach = std::max(std::fabs(low), std::fabs(high)) / 2;
    double most = 0;
    for (const Probe& at : grid_) {
      if (at.value >= low - reach && at.value <= high + reach) most = std::max(most, std::fabs(at.gap));
    }
    return most;
  }

  /// Two turns of which the stretch between is no more than the tolerance of a comparison around where its sides meet.
  bool is_meeting(const Crossing& first, const Crossing& second) {
    if (!has_sides_) return false;
    const std::vector<Probe> ends = probe({first.after, second.before});
    const auto at_edge = [](const Probe& at) { return at.near() && 2 * std::fabs(at.gap) >= tolerance * at.scale; };
    return meet(ends[0], ends[1]) && at_edge(ends[0]) && at_edge(ends[1]);
  }

  /// Neighboring turns that are one become one turn, or a point at which the condition turns back.
  void join_turns() {
    std::vector<Crossing> joined;
    for (const Crossing& turn : out_.found) {
      if (joined.empty() || range_.whole ||
          !(one_turn(joined.back().before, turn.after) || is_meeting(joined.back(), turn))) {
        joined.push_back(turn);
        continue;
      }
      Crossing& last = joined.back();
      if (!last.at_point) last.point = last.after;
      last.at_point = !last.at_point;
      last.after = turn.after;
    }
    out_.found = std::move(joined);
  }

  /// Moves turns from the edge of the tolerance to where the sides meet, as far as the condition is the same there.
  void refine() {
    for (std::size_t i = 0; i < out_.found.size(); ++i) {
      Crossing& turn = out_.found[i];
      if (turn.at_point) {
        const std::vector<Probe> ends = probe({turn.before, turn.after});
        if (!meet(ends[0], ends[1])) continue;
        const Probe at = meeting(ends[0], ends[1]);
        if (at.truth == turn.becomes_true) turn.point = at.value;
        continue;
      }
      const double low = i == 0 ? range_.low : out_.found[i - 1].after;
      const double high = i + 1 == out_.found.size() ? range_.high : out_.found[i + 1].before;
      const std::vector<Probe> ends = probe({turn.before, turn.after});
      if (meet(ends[0], ends[1])) continue;
      turn.before = met_beyond(ends[0], low);
      turn.after = met_beyond(ends[1], high);
    }
  }

  /// Where the sides meet on the way from a value to a limit, as long as they are equal but for the tolerance; the
  /// value itself where they do not.
  double met_beyond(const Probe& from, double limit) {
    if (!from.near()) return from.value;
    const double direction = limit < from.value ? -1 : 1;
    std::vector<double> values;
    for (double step = std::numeric_limits<double>::epsilon() * range_.tolerance() / tolerance;
         step < std::fabs(limit - from.value); step *= 2)
      values.push_back(from.value + direction * step);
    Probe last = from;
    for (const Probe& at : probe(values)) {
      if (!at.sound || at.truth != from.truth || !at.near()) break;
      if (meet(last, at)) {
        const Probe met = direction < 0 ? meeting(at, last) : meeting(last, at);
        return met.truth == from.truth ? met.value : from.value;
      }
      last = at;
    }
    return from.value;
  }

  const Evaluation& evaluation_;
  std::uint32_t input_;
  SearchRange range_;
  std::vector<GraphId> outputs_;
  bool has_sides_ = false;
  std::vector<Probe> grid_;  // those that are sound
  double least_ = std::numeric_limits<double>::infinity();
  Crossings out_;
};

}  // namespace

double SearchRange::tolerance() const {
  return whole ? 0 : arithmetic::core::tolerance * std::max(std::fabs(low), std::fabs(high));
}

Crossings find_crossings(const Evaluation& evaluation, const Check& condition, std::uint32_t input, SearchRange range) {
  return Finder(evaluation, condition, input, range).run();
}

}  // namespace sprue
