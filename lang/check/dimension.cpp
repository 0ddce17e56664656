// Interning and arithmetic of dimensions.
#include "lang/check/dimension.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cstdlib>

#include "lang/limits/limits.hpp"

namespace sprue {
namespace {

constexpr int highest = 12 * static_cast<int>(limits::power);  // in twelfths

std::string power_text(std::string_view name, int twelfths) {
  if (twelfths == 12) return std::string(name);
  if (twelfths % 12 == 0) return fmt::format("{}^{}", name, twelfths / 12);
  return fmt::format("{}^{}", name, twelfths / 12.0);
}

}  // namespace

Dimensions::Dimensions() {
  intern({});
  money = add_base("money", false);
  time = add_base("time", false);
  temperature = add_base("temperature", false);
}

DimensionId Dimensions::add_base(std::string_view name, bool countable) {
  bases_.push_back({std::string(name), countable});
  return intern({Factor{static_cast<std::uint32_t>(bases_.size() - 1), 12}});
}

DimensionId Dimensions::intern(std::vector<Factor> factors) {
  std::string key;
  for (const Factor& factor : factors) {
    key.append(reinterpret_cast<const char*>(&factor.base), sizeof factor.base);
    key.append(reinterpret_cast<const char*>(&factor.twelfths), sizeof factor.twelfths);
  }
  const auto [found, fresh] = by_key_.emplace(std::move(key), static_cast<DimensionId>(products_.size()));
  if (fresh) products_.push_back(std::move(factors));
  return found->second;
}

DimensionId Dimensions::combine(DimensionId a, DimensionId b, int sign) {
  auto& memo = sign > 0 ? products_of_ : quotients_of_;
  const std::uint64_t key = (std::uint64_t{a} << 32U) | b;
  if (const auto found = memo.find(key); found != memo.end()) return found->second;
  std::vector<Factor> out = products_[a];
  bool fine = true;
  for (const Factor& factor : products_[b]) {
    const auto at = std::lower_bound(out.begin(), out.end(), factor.base,
                                     [](const Factor& f, std::uint32_t base) { return f.base < base; });
    if (at != out.end() && at->base == factor.base) {
      at->twelfths += sign * factor.twelfths;
      if (std::abs(at->twelfths) > highest) {
        at->twelfths = std::clamp(at->twelfths, -highest, highest);
        fine = false;
      }
      if (at->twelfths == 0) out.erase(at);
    } else {
      out.insert(at, Factor{factor.base, sign * factor.twelfths});
    }
  }
  const DimensionId id = intern(std::move(out));
  if (fine) memo.emplace(key, id);
  too_high_ = too_high_ || !fine;
  return id;
}

bool Dimensions::power(DimensionId a, int twelfths, DimensionId& result) {
  std::vector<Factor> out;
  for (const Factor& factor : products_[a]) {
    const int product = factor.twelfths * twelfths;
    if (product % 12 != 0 || std::abs(product) > 12 * highest) return false;
    if (product != 0) out.push_back({factor.base, product / 12});
  }
  result = intern(std::move(out));
  return true;
}

bool Dimensions::is_countable(DimensionId id) const {
  return std::all_of(products_[id].begin(), products_[id].end(),
                     [&](const Factor& factor) { return bases_[factor.base].countable; });
}

std::string Dimensions::text(DimensionId id) const {
  std::string over;
  std::string under;
  for (const Factor& factor : products_[id]) {
    if (factor.twelfths > 0) {
      over += (over.empty() ? "" : "*") + power_text(bases_[factor.base].name, factor.twelfths);
    } else {
      under += "/" + power_text(bases_[factor.base].name, -factor.twelfths);
    }
  }
  if (over.empty()) over = under.empty() ? "ratio" : "1";
  return over + under;
}

}  // namespace sprue
