// Reading units and dimensions as written: names, `*`, `/`, `^` and whole powers.
#include "lang/check/units.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lang/check/habits.hpp"
#include "lang/diagnostics/edits.hpp"
#include "lang/limits/limits.hpp"
#include "lang/syntax/text.hpp"

namespace sprue {
namespace {

struct Term {
  std::string_view name;
  int power;
};

/// "W/m/K" to {W,1} {m,-1} {K,-1}. The parser has already accepted the shape.
std::vector<Term> terms_of(std::string_view text) {
  std::vector<Term> terms;
  int sign = 1;
  std::size_t at = 0;
  while (at < text.size()) {
    if (text[at] == '*' || text[at] == '/') {
      sign = text[at] == '/' ? -1 : 1;
      ++at;
      continue;
    }
    const std::size_t begin = at;
    while (at < text.size() && text[at] != '*' && text[at] != '/' && text[at] != '^') ++at;
    const std::string_view name = text.substr(begin, at - begin);
    int power = 1;
    if (at < text.size() && text[at] == '^') {
      ++at;
      const bool minus = at < text.size() && text[at] == '-';
      if (minus) ++at;
      power = 0;
      while (at < text.size() && text[at] >= '0' && text[at] <= '9')
        power = std::min(power * 10 + (text[at++] - '0'), static_cast<int>(limits::power) + 1);
      if (minus) power = -power;
    }
    if (!name.empty() && name != "1") terms.push_back({name, sign * power});
    if (at == begin) ++at;
  }
  return terms;
}

double whole_power(double base, int power) {
  double result = 1;
  for (int i = 0; i < std::abs(power); ++i) result *= base;
  return power < 0 ? 1 / result : result;
}

const Unit* too_high(Units::Problem& problem) {
  problem.text = "so high a power is no quantity";
  problem.help = fmt::format("powers reach to {}", limits::power);
  return nullptr;
}

}  // namespace

bool Units::add_unit(Symbol name, const Unit& unit) {
  return units_.emplace(name, unit).second;
}

bool Units::add_dimension(Symbol name, DimensionId dimension) {
  return dimension_names_.emplace(name, dimension).second;
}

bool Units::add_currency(const Currency& currency) {
  Unit unit;
  unit.dimension = dimensions_.money;
  unit.currency = static_cast<std::uint32_t>(currencies_.size());
  unit.currency_power = 1;
  if (!add_unit(currency.name, unit)) return false;
  currencies_.push_back(currency);
  return true;
}

const Unit* Units::named(Symbol name) const {
  const auto found = units_.find(name);
  return found == units_.end() ? nullptr : &found->second;
}

std::uint32_t Units::currency(Symbol name) const {
  for (std::uint32_t i = 0; i < currencies_.size(); ++i) {
    if (currencies_[i].name == name) return i;
  }
  return no_currency;
}

const std::string& Units::base_unit_text(std::uint32_t base) const {
  if (base_unit_texts_.size() <= base) base_unit_texts_.resize(dimensions_.base_count());
  std::string& text = base_unit_texts_[base];
  if (!text.empty()) return text;
  for (const auto& [name, unit] : units_) {
    const auto& factors = dimensions_.factors(unit.dimension);
    const bool is_base = factors.size() == 1 && factors[0] == Factor{base, 12} && unit.factor == 1 && !unit.point &&
                         unit.currency == no_currency;
    if (is_base && (text.empty() || symbols_[name] < text)) text = symbols_[name];
  }
  if (text.empty()) text = dimensions_.base_name(base);
  return text;
}

const Unit* Units::point_unit(DimensionId dimension, std::string_view& name) const {
  const Unit* best = nullptr;
  for (const auto& [symbol, unit] : units_) {
    if (!unit.point || unit.dimension != dimension || unit.factor != 1) continue;
    if (best != nullptr && name <= symbols_[symbol]) continue;
    best = &unit;
    name = symbols_[symbol];
  }
  return best;
}

std::vector<std::string_view> Units::unit_names() const {
  std::vector<std::string_view> names;
  for (const auto& [name, unit] : units_) names.push_back(symbols_[name]);
  std::sort(names.begin(), names.end());
  return names;
}

/// Many words are near to some short name: one edit makes another of up to four letters, two of a longer one. A
/// currency is not meant by a word in small letters, unless these are its own.
std::string Units::nearest_unit(std::string_view word) const {
  const std::string_view written_otherwise = unit_for(word);
  if (!written_otherwise.empty() && named(symbols_.intern(written_otherwise)) != nullptr)
    return std::string(written_otherwise);
  const std::string_view letters = word.substr(0, word.size() - 1);
  if ((word.ends_with('2') || word.ends_with('3')) && !letters.empty() && named(symbols_.intern(letters)) != nullptr)
    return fmt::format("{}^{}", letters, word.back());
  std::string_view twin;  // but for capitals
  for (const auto& [name, unit] : units_) {
    if (text::same_letters(word, symbols_[name]) && (twin.empty() || symbols_[name] < twin)) twin = symbols_[name];
  }
  if (!twin.empty()) return std::string(twin);
  const bool small = std::none_of(word.begin(), word.end(), text::is_upper);
  std::vector<std::string_view> names;
  for (const auto& [name, unit] : units_) {
    const std::size_t edits = edits_between(word, symbols_[name]);
    if (edits > (word.size() <= 4 ? 1 : 2) || (edits != 0 && small && unit.currency != no_currency)) continue;
    names.push_back(symbols_[name]);
  }
  return std::string(nearest(word, names));
}

std::vector<std::string_view> Units::unit_names(DimensionId dimension, bool point) const {
  std::vector<std::string_view> names;
  for (const auto& [name, unit] : units_) {
    if (unit.dimension == dimension && unit.point == point) names.push_back(symbols_[name]);
  }
  std::sort(names.begin(), names.end());
  return names;
}

std::vector<std::string_view> Units::dimension_names() const {
  std::vector<std::string_view> names;
  for (const auto& [name, dimension] : dimension_names_) names.push_back(symbols_[name]);
  std::sort(names.begin(), names.end());
  return names;
}

const Unit* Units::unit(Symbol text, Problem& problem) {
  if (const auto found = compound_.find(text); found != compound_.end()) return &found->second;
  if (const auto found = problems_.find(text); found != problems_.end()) {
    problem = found->second;
    return nullptr;
  }
  const Unit* const unit = read(text, problem);
  // What is unknown stays so once all units are declared.
  if (unit == nullptr && complete) problems_.emplace(text, problem);
  return unit;
}

const Unit* Units::read(Symbol text, Problem& problem) {
  Unit whole;
  if (symbols_[text] == "%") {
    whole.factor = 0.01;
    return &compound_.emplace(text, whole).first->second;
  }
  const std::vector<Term> terms = terms_of(symbols_[text]);
  for (const Term& term : terms) {
    if (term.name == "money") {
      whole.bare_money = true;
      DimensionId money = ratio;
      if (!dimensions_.power(dimensions_.money, 12 * term.power, money)) return too_high(problem);
      whole.dimension = dimensions_.multiply(whole.dimension, money);
      continue;
    }
    const auto found = units_.find(symbols_.intern(term.name));
    if (found == units_.end()) {
      problem.text = fmt::format("unknown unit `{}`", term.name);
      if (is_dimension(symbols_.intern(term.name))) {
        problem.help = fmt::format("`{}` is a dimension; after a number write a unit of it", term.name);
      } else if (term.name == "percent" || term.name == "pct") {
        problem.help = "a percentage has its sign after the number, as in `98%`";
      } else {
        problem.word = term.name;
        problem.help = "declare it with `unit NAME = 1 OTHER`, or `use std.units`; around operators write spaces";
      }
      return nullptr;
    }
    const Unit& unit = found->second;
    if (unit.point && (terms.size() > 1 || term.power != 1)) {
      problem.text = fmt::format("`{}` names points and cannot stand in a compound unit", term.name);
      problem.help = "write the unit of differences instead, for example K";
      return nullptr;
    }
    if (unit.currency != no_currency) {
      if (whole.currency != no_currency && whole.currency != unit.currency) {
        problem.text = "two currencies in one unit";
        problem.help = "write the rate as `exchange 1 USD = 0.92 EUR`";
        return nullptr;
      }
      whole.currency = unit.currency;
      whole.currency_power += unit.currency_power * term.power;
    }
    DimensionId dimension = ratio;
    if (!dimensions_.power(unit.dimension, 12 * term.power, dimension)) return too_high(problem);
    whole.dimension = dimensions_.multiply(whole.dimension, dimension);
    whole.factor *= whole_power(unit.factor, term.power);
    whole.zero = unit.zero;
    whole.point = unit.point;
  }
  if (dimensions_.took_too_high_power()) return too_high(problem);
  return &compound_.emplace(text, whole).first->second;
}

std::optional<DimensionId> Units::dimension(Symbol text, Problem& problem) {
  if (const auto found = compound_dimensions_.find(text); found != compound_dimensions_.end()) return found->second;
  DimensionId whole = ratio;
  for (const Term& term : terms_of(symbols_[text])) {
    const Symbol name = symbols_.intern(term.name);
    const auto found = dimension_names_.find(name);
    if (found == dimension_names_.end()) {
      problem.text = fmt::format("unknown dimension `{}`", term.name);
      if (const Unit* unit = named(name); unit != nullptr) {
        problem.help =
            fmt::format("`{}` is a unit; a type names a dimension: `{}`", term.name, dimensions_.text(unit->dimension));
      } else {
        problem.word = term.name;
        problem.help = "declare it with `dimension NAME` or `countable NAME`";
      }
      return std::nullopt;
    }
    DimensionId dimension = ratio;
    if (!dimensions_.power(found->second, 12 * term.power, dimension)) {
      too_high(problem);
      return std::nullopt;
    }
    whole = dimensions_.multiply(whole, dimension);
  }
  if (dimensions_.took_too_high_power()) {
    too_high(problem);
    return std::nullopt;
  }
  compound_dimensions_.emplace(text, whole);
  return whole;
}

}  // namespace sprue
