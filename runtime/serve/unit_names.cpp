// Units by dimension: the one figures are shown in, those declared, and products of them.
#include "runtime/serve/unit_names.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "runtime/ledger/shown.hpp"

namespace sprue::serve {
namespace {

constexpr std::size_t most_units = 100;

std::vector<std::string_view> base_units(const Program& program, std::uint32_t base) {
  for (DimensionId id = 0; id < program.dimensions.size(); ++id) {
    const auto& factors = program.dimensions.factors(id);
    if (factors.size() == 1 && factors.front() == Factor{base, 12}) return program.units->unit_names(id, false);
  }
  return {};
}

/// A unit for each factor, in every combination: "EUR/pc", "USD/pc".
std::vector<std::string> compound(const Program& program, DimensionId dimension) {
  std::vector<Factor> factors = program.dimensions.factors(dimension);
  std::stable_partition(factors.begin(), factors.end(), [](const Factor& factor) { return factor.twelfths > 0; });
  if (factors.empty()) return {};
  std::vector<std::string> texts{factors.front().twelfths > 0 ? "" : "1"};
  for (const Factor& factor : factors) {
    if (factor.twelfths % 12 != 0) return {};
    const int power = factor.twelfths / 12;
    std::vector<std::string> longer;
    for (const std::string& text : texts) {
      for (const std::string_view name : base_units(program, factor.base)) {
        if (longer.size() == most_units) break;
        longer.push_back(fmt::format("{}{}{}{}", text, power < 0 ? "/" : (text.empty() ? "" : "*"), name,
                                     std::abs(power) == 1 ? "" : fmt::format("^{}", std::abs(power))));
      }
    }
    texts = std::move(longer);
  }
  return texts;
}

}  // namespace

std::vector<std::string> units_for(const Program& program, const Type& type) {
  std::vector<std::string> names;
  const auto add = [&](std::string name) {
    if (!name.empty() && std::find(names.begin(), names.end(), name) == names.end()) names.push_back(std::move(name));
  };
  const bool point = type.tag == TypeTag::point;
  if (!point) add(shown_as(program, type.id).unit);
  for (const std::string_view name : program.units->unit_names(type.id, point)) add(std::string(name));
  if (!point) {
    for (std::string& name : compound(program, type.id)) add(std::move(name));
  }
  return names;
}

}  // namespace sprue::serve
