// Dimensions as products of powers of base dimensions. Knows no units and no names but those of the base dimensions.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

namespace sprue {

using DimensionId = std::uint32_t;
inline constexpr DimensionId ratio = 0;  // the dimension of pure numbers

/// One base dimension to a power. Powers are counted in twelfths, so roots stay exact.
struct Factor {
  std::uint32_t base;
  int twelfths;
  bool operator==(const Factor&) const = default;
};

/// Interns products of base dimensions; equal products have equal ids.
class Dimensions {
 public:
  Dimensions();

  DimensionId add_base(std::string_view name, bool countable);
  std::size_t size() const { return products_.size(); }
  std::size_t base_count() const { return bases_.size(); }
  std::string_view base_name(std::uint32_t base) const { return bases_[base].name; }
  bool is_countable_base(std::uint32_t base) const { return bases_[base].countable; }

  DimensionId multiply(DimensionId a, DimensionId b) { return combine(a, b, 1); }
  DimensionId divide(DimensionId a, DimensionId b) { return combine(a, b, -1); }
  /// Whether a power beyond limits::power came out since this was last asked; it was cut down to the limit.
  bool took_too_high_power() { return std::exchange(too_high_, false); }
  /// a ^ (twelfths / 12); false where the power is not a whole number of twelfths, or beyond limits::power.
  bool power(DimensionId a, int twelfths, DimensionId& result);

  const std::vector<Factor>& factors(DimensionId id) const { return products_[id]; }
  /// True for a pure number and for powers of countables alone.
  bool is_countable(DimensionId id) const;
  /// "money/pc", "length^2/time", "ratio", "1/time".
  std::string text(DimensionId id) const;

  DimensionId time = 0;
  DimensionId money = 0;
  DimensionId temperature = 0;

 private:
  struct Base {
    std::string name;
    bool countable;
  };
  DimensionId intern(std::vector<Factor> factors);
  DimensionId combine(DimensionId a, DimensionId b, int sign);

  bool too_high_ = false;
  std::vector<Base> bases_;
  std::vector<std::vector<Factor>> products_;  // sorted by base, no zero powers
  std::unordered_map<std::string, DimensionId> by_key_;
  std::unordered_map<std::uint64_t, DimensionId> products_of_;
  std::unordered_map<std::uint64_t, DimensionId> quotients_of_;
};

}  // namespace sprue
