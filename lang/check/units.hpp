// Units: what a unit as written means. Knows the declared units and currencies; converts nothing at evaluation.
#pragma once

#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "lang/check/dimension.hpp"
#include "lang/diagnostics/diagnostic.hpp"
#include "lang/source/source.hpp"
#include "lang/source/symbols.hpp"

namespace sprue {

inline constexpr std::uint32_t no_currency = 0xFFFFFFFFU;

/// `value [unit]` is `value * factor + zero` in base units (money: in the unit's own currency).
struct Unit {
  DimensionId dimension = ratio;
  double factor = 1;
  double zero = 0;
  bool point = false;                    // literals are points: degrees, not differences
  std::uint32_t currency = no_currency;  // the one currency in it …
  int currency_power = 0;                // … and its power
  bool bare_money = false;               // `money` without a currency: only nothing is the same in all of them
};

struct Currency {
  Symbol name = 0;
  Symbol title = 0;
  int places = 2;
  Span span{};
};

class Units {
 public:
  Units(Symbols& symbols, Dimensions& dimensions) : symbols_(symbols), dimensions_(dimensions) {}

  /// False where the name is taken.
  bool add_unit(Symbol name, const Unit& unit);
  bool add_dimension(Symbol name, DimensionId dimension);
  bool add_currency(const Currency& currency);

  /// A unit as written after a number ("USD/kg", "W/m/K", "%"); else what is wrong with it, naming the bad factor.
  struct Problem {
    std::string text;
    std::string help;  // where no name is near to …
    std::string word;  // … the word that may be misspelled
  };
  const Unit* unit(Symbol text, Problem& problem);
  bool complete = false;  // all units are declared
  /// A dimension as written in a type ("money/pc", "mass*length/time^2").
  std::optional<DimensionId> dimension(Symbol text, Problem& problem);
  std::optional<DimensionId> dimension(std::string_view text, Problem& problem) {
    return dimension(symbols_.intern(text), problem);
  }
  /// For `show … in`: a unit where the names may be units only.
  const Unit* named(Symbol name) const;
  bool is_dimension(Symbol name) const { return dimension_names_.count(name) != 0; }

  /// The unit declared for a base dimension (`unit kg: mass`), or the dimension's name where there is none.
  const std::string& base_unit_text(std::uint32_t base) const;

  /// The unit in which points of a dimension are shown (degC), or null: one whose step is the base unit's.
  const Unit* point_unit(DimensionId dimension, std::string_view& name) const;

  const std::vector<Currency>& currencies() const { return currencies_; }
  std::uint32_t currency(Symbol name) const;
  std::vector<std::string_view> unit_names() const;
  /// Units of just the dimension, of points or of quantities.
  std::vector<std::string_view> unit_names(DimensionId dimension, bool point) const;
  std::vector<std::string_view> dimension_names() const;
  /// The name nearest to a problem's word, or empty.
  std::string nearest_unit(std::string_view word) const;
  std::string_view nearest_dimension(std::string_view word) const { return nearest(word, dimension_names()); }

 private:
  const Unit* read(Symbol text, Problem& problem);

  Symbols& symbols_;
  Dimensions& dimensions_;
  std::unordered_map<Symbol, Unit> units_;  // by single name
  std::unordered_map<Symbol, DimensionId> dimension_names_;
  std::unordered_map<Symbol, Unit> compound_;     // memo of whole texts …
  std::unordered_map<Symbol, Problem> problems_;  // … and of those that are none
  std::unordered_map<Symbol, DimensionId> compound_dimensions_;
  std::vector<Currency> currencies_;
  mutable std::vector<std::string> base_unit_texts_;  // by base dimension, found when first asked for
};

}  // namespace sprue
