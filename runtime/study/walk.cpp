// Grouping changes until every program between them is sound, then dividing the differences.
#include "runtime/study/walk.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <numeric>

namespace sprue {
namespace {

using Groups = std::vector<std::vector<std::uint32_t>>;

/// Among more groups than this no two are looked for that belong together: each pair is two compilations.
constexpr std::size_t pairs_tried = 24;
constexpr std::size_t programs_tried = 200'000;

/// Names that exist on one side only because of this change, last word of the key first of all.
std::string_view introduced(const Piece& piece) {
  const std::size_t at = piece.key.find_last_of(" .");
  return at == std::string::npos ? std::string_view(piece.key) : std::string_view(piece.key).substr(at + 1);
}

bool mentions(const Piece* piece, std::string_view name) {
  return piece != nullptr && std::binary_search(piece->mentions.begin(), piece->mentions.end(), name);
}

/// Changes that speak of what another adds or removes belong to it; so do two of the same field.
Groups group_by_names(const std::vector<Change>& list) {
  std::vector<std::uint32_t> leader(list.size());
  std::iota(leader.begin(), leader.end(), 0U);
  const std::function<std::uint32_t(std::uint32_t)> find = [&](std::uint32_t i) {
    return leader[i] == i ? i : leader[i] = find(leader[i]);
  };
  std::map<std::string_view, std::uint32_t> paths;
  for (std::uint32_t i = 0; i < list.size(); ++i) {
    if (!list[i].figures) continue;
    const auto [same, fresh] = paths.emplace(list[i].path, i);
    if (!fresh) leader[find(i)] = find(same->second);
    const bool added = list[i].before == nullptr;
    if (!added && list[i].after != nullptr) continue;
    const Piece& piece = added ? *list[i].after : *list[i].before;
    if (!piece.value.empty()) continue;  // a field, not something that is referred to
    for (std::uint32_t k = 0; k < list.size(); ++k) {
      if (k != i && list[k].figures && mentions(added ? list[k].after : list[k].before, introduced(piece)))
        leader[find(k)] = find(i);
    }
  }
  std::map<std::uint32_t, std::vector<std::uint32_t>> by_leader;
  for (std::uint32_t i = 0; i < list.size(); ++i) {
    if (list[i].figures) by_leader[find(i)].push_back(i);
  }
  Groups groups;
  for (auto& [key, members] : by_leader) groups.push_back(std::move(members));
  std::sort(groups.begin(), groups.end());
  return groups;
}

class Walker {
 public:
  Walker(const Changes& changes, const std::vector<HeadlineKey>& headlines, const Loader& library)
      : between_(changes, headlines, library), groups_(group_by_names(changes.list)) {}

  Walk run() {
    Walk walk;
    for (;;) {
      settle_groups();
      const Worth before = between_.one(none_made());
      const Worth after = between_.one(all_made());
      if (!before || !after) return walk;
      walk.before = *before;
      walk.after = *after;
      const std::vector<std::uint32_t> clash = groups_.size() <= exact_groups ? exactly(walk) : estimate(walk);
      if (clash.empty()) break;
      if (clash.size() < 2) return walk;
      join(clash);
    }
    correct(walk);
    walk.groups = groups_;
    walk.counters = between_.counters();
    walk.found = true;
    return walk;
  }

 private:
  Subset none_made() const { return Subset(groups_.size(), false); }
  Subset all_made() const { return Subset(groups_.size(), true); }
  Subset just(const std::vector<std::uint32_t>& some, bool made) const {
    Subset subset(groups_.size(), !made);
    for (const std::uint32_t group : some) subset[group] = made;
    return subset;
  }
  /// Whether there is a program with just these, and one without just these.
  bool stands(const std::vector<std::uint32_t>& some) {
    return between_.one(just(some, true)) && between_.one(just(some, false));
  }

  void join(std::vector<std::uint32_t> some) {
    std::sort(some.begin(), some.end());
    for (std::size_t i = some.size(); i-- > 1;) {
      auto& first = groups_[some.front()];
      first.insert(first.end(), groups_[some[i]].begin(), groups_[some[i]].end());
      groups_.erase(groups_.begin() + some[i]);
    }
    std::sort(groups_[some.front()].begin(), groups_[some.front()].end());
    std::sort(groups_.begin(), groups_.end());
  }

  /// Until each group can be made alone and be left out alone.
  void settle_groups() {
    for (;;) {
      between_.set_groups(groups_);
      if (groups_.size() < 2) return;
      std::vector<std::uint32_t> failing;
      for (std::uint32_t g = 0; g < groups_.size(); ++g) {
        if (!stands({g})) failing.push_back(g);
      }
      if (failing.empty()) return;
      join(partners(failing));
    }
  }

  /// Two that stand together; where there are none, all that fail, with one more if that is only one.
  std::vector<std::uint32_t> partners(std::vector<std::uint32_t> failing) {
    for (std::size_t i = 0; failing.size() <= pairs_tried && i < failing.size(); ++i) {
      for (std::size_t k = i + 1; k < failing.size(); ++k) {
        if (stands({failing[i], failing[k]})) return {failing[i], failing[k]};
      }
    }
    if (failing.size() > 1) return failing;
    for (std::uint32_t g = 0; g < groups_.size(); ++g) {
      if (g != failing[0] && stands({g, failing[0]})) return {g, failing[0]};
    }
    std::vector<std::uint32_t> everything(groups_.size());
    std::iota(everything.begin(), everything.end(), 0U);
    return everything;
  }

  /// The groups of an unsound program, as few as it takes.
  std::vector<std::uint32_t> clash(const Subset& subset) {
    std::vector<std::uint32_t> made;
    for (std::uint32_t g = 0; g < groups_.size(); ++g) {
      if (subset[g]) made.push_back(g);
    }
    for (std::size_t i = 0; made.size() <= pairs_tried && i < made.size(); ++i) {
      for (std::size_t k = i + 1; k < made.size(); ++k) {
        if (!between_.one(just({made[i], made[k]}, true))) return {made[i], made[k]};
      }
    }
    return made;
  }

  std::vector<std::uint32_t> exactly(Walk& walk) {
    const auto players = static_cast<unsigned>(groups_.size());
    std::vector<Subset> subsets;
    for (std::uint32_t set = 0; set < (1U << players); ++set) {
      Subset subset(players);
      for (unsigned g = 0; g < players; ++g) subset[g] = ((set >> g) & 1U) != 0;
      subsets.push_back(std::move(subset));
    }
    const std::vector<Worth> worths = between_.all(subsets);
    for (std::size_t i = 0; i < worths.size(); ++i) {
      if (!worths[i]) return clash(subsets[i]);
    }
    walk.exact = true;
    walk.bars.clear();
    for (std::size_t h = 0; h < walk.before.size(); ++h) {
      std::vector<double> values;
      for (const Worth& worth : worths) values.push_back((*worth)[h]);
      std::vector<Estimate> bars;
      for (const double share : shapley_values(values, players)) bars.push_back({share, 0});
      walk.bars.push_back(std::move(bars));
    }
    return {};
  }

  std::vector<std::uint32_t> estimate(Walk& walk) {
    const auto players = static_cast<std::uint32_t>(groups_.size());
    std::size_t structural = 0;
    for (std::uint32_t g = 0; g < players; ++g) structural += between_.only_values(g) ? 0 : 1;
    // Each order passes as many structures as there are structural groups, and each of them is compiled; and as many
    // programs as there are groups.
    const std::size_t pairs =
        std::clamp<std::size_t>(std::min<std::size_t>(300 / (structural + 1), programs_tried / (2 * players)), 8, 200);
    const auto orders = shuffled_orders(players, pairs);
    std::map<Subset, std::size_t> index;
    std::vector<Subset> subsets;
    std::vector<std::vector<std::size_t>> passed;
    for (const auto& order : orders) {
      Subset subset = none_made();
      passed.emplace_back();
      for (std::size_t i = 0;; ++i) {
        const auto [at, fresh] = index.emplace(subset, subsets.size());
        if (fresh) subsets.push_back(subset);
        passed.back().push_back(at->second);
        if (i == order.size()) break;
        subset[order[i]] = true;
      }
    }
    const std::vector<Worth> worths = between_.all(subsets);
    for (std::size_t i = 0; i < worths.size(); ++i) {
      if (!worths[i]) return clash(subsets[i]);
    }
    walk.exact = false;
    walk.orders = orders.size();
    walk.bars.clear();
    for (std::size_t h = 0; h < walk.before.size(); ++h) {
      std::vector<std::vector<double>> steps;
      for (const auto& path : passed) {
        steps.emplace_back();
        for (const std::size_t at : path) steps.back().push_back((*worths[at])[h]);
      }
      walk.bars.push_back(shapley_estimates(orders, steps));
    }
    return {};
  }

  /// What rounding left over goes to the largest bar.
  static void correct(Walk& walk) {
    for (std::size_t h = 0; h < walk.bars.size(); ++h) {
      if (walk.bars[h].empty()) continue;
      double sum = 0;
      for (const Estimate& bar : walk.bars[h]) sum += bar.value;
      const auto largest = std::max_element(
          walk.bars[h].begin(), walk.bars[h].end(),
          [](const Estimate& a, const Estimate& b) { return std::fabs(a.value) < std::fabs(b.value); });
      largest->value += walk.after[h] - walk.before[h] - sum;
    }
  }

  Between between_;
  Groups groups_;
};

}  // namespace

Walk walk(const Changes& changes, const std::vector<HeadlineKey>& headlines, const Loader& library) {
  return Walker(changes, headlines, library).run();
}

}  // namespace sprue
