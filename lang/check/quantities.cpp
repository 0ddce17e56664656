// Dimensions, units, currencies, exchange rates and how figures are shown, in whatever order they are declared.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lang/check/checker.hpp"
#include "lang/diagnostics/fixes.hpp"

namespace sprue {

void Checker::declare_dimensions() {
  Units& units = *program_.units;
  std::unordered_map<Symbol, Span> seen;
  const auto first_time = [&](TreeRef name, std::string_view what) {
    const auto [found, fresh] = seen.emplace(data(name), span(name));
    if (!fresh) duplicate(span(name), what, data(name), found->second);
    return fresh;
  };
  const Symbol built_in[] = {program_.symbols.intern("money"), program_.symbols.intern("time"),
                             program_.symbols.intern("temperature")};
  units.add_dimension(program_.symbols.intern("ratio"), ratio);
  units.add_dimension(built_in[0], program_.dimensions.money);
  units.add_dimension(built_in[1], program_.dimensions.time);
  units.add_dimension(built_in[2], program_.dimensions.temperature);
  std::vector<TreeRef> derived;
  for (const TreeRef ref : declared_.dimensions) {
    const TreeRef name = child(ref, 0);
    if (!first_time(name, "dimension")) continue;
    if (node(ref).count > 1) {
      derived.push_back(ref);
    } else if (!units.add_dimension(data(name), program_.dimensions.add_base(text(data(name)), false))) {
      report(Code::duplicate_name, span(name), fmt::format("the dimension `{}` is built in", text(data(name))))
          .help.push_back("leave the line out");
    }
  }
  for (const TreeRef ref : declared_.countables) {
    const TreeRef name = child(ref, 0);
    if (!first_time(name, "countable")) continue;
    const DimensionId dimension = program_.dimensions.add_base(text(data(name)), true);
    Unit unit;
    unit.dimension = dimension;
    if (!units.add_dimension(data(name), dimension) || !units.add_unit(data(name), unit)) {
      report(Code::duplicate_name, span(name), fmt::format("`{}` is a dimension already", text(data(name))))
          .help.push_back("give the countable another name");
    }
  }
  for (bool progress = true; progress && !derived.empty();) {
    progress = false;
    for (auto at = derived.begin(); at != derived.end();) {
      Units::Problem problem;
      const auto dimension = units.dimension(data(child(*at, 1)), problem);
      if (!dimension) {
        ++at;
        continue;
      }
      units.add_dimension(data(child(*at, 0)), *dimension);
      at = derived.erase(at);
      progress = true;
    }
  }
  for (const TreeRef ref : derived) {
    Units::Problem problem;
    units.dimension(data(child(ref, 1)), problem);
    report_problem(Code::unknown_dimension, span(child(ref, 1)), problem);
  }
}

void Checker::declare_units() {
  Units& units = *program_.units;
  std::unordered_map<Symbol, Span> seen;
  const auto add_unit = [&](TreeRef name, const Unit& unit) {
    const auto [found, fresh] = seen.emplace(data(name), span(name));
    if (!fresh) {
      duplicate(span(name), "unit", data(name), found->second);
    } else if (!units.add_unit(data(name), unit)) {
      report(Code::duplicate_name, span(name), fmt::format("`{}` is a countable already", text(data(name))))
          .help.push_back("give the unit another name");
    }
  };
  for (const TreeRef ref : declared_.currencies) {
    Currency currency;
    for (const TreeRef part : children(ref)) {
      if (kind_of(part) == NodeKind::name) currency.name = data(part);
      if (kind_of(part) == NodeKind::string) currency.title = data(part);
      if (kind_of(part) == NodeKind::number) {
        currency.places = static_cast<int>(std::min(number_at(part).value, 12.0));
      }
    }
    currency.span = span(ref);
    const auto [found, fresh] = seen.emplace(currency.name, currency.span);
    if (!fresh) {
      duplicate(currency.span, "currency", currency.name, found->second);
    } else if (!units.add_currency(currency)) {
      report(Code::duplicate_name, currency.span, fmt::format("`{}` is a countable already", text(currency.name)))
          .help.push_back("give the currency another name");
    }
  }
  for (const TreeRef ref : declared_.base_units) {
    Units::Problem problem;
    const auto dimension = units.dimension(data(child(ref, 1)), problem);
    if (!dimension) {
      report_problem(Code::unknown_dimension, span(child(ref, 1)), problem);
      continue;
    }
    Unit unit;
    unit.dimension = *dimension;
    add_unit(child(ref, 0), unit);
  }
  std::vector<TreeRef> waiting = declared_.derived_units;
  for (bool progress = true; progress && !waiting.empty();) {
    progress = false;
    std::vector<TreeRef> later;
    for (const TreeRef ref : waiting) {
      Unit unit;
      bool known = constant_value(child(ref, 1), unit.dimension, unit.factor, false);
      if (known && node(ref).count > 2) {
        DimensionId zero_dimension = ratio;
        known = constant_value(child(child(ref, 2), 0), zero_dimension, unit.zero, false);
        unit.point = true;
      }
      if (!known) {
        later.push_back(ref);
        continue;
      }
      if (!(std::isfinite(unit.factor) && unit.factor > 0)) {
        report(Code::bad_unit, span(child(ref, 1)), "a unit must be a finite amount above zero");
        continue;
      }
      add_unit(child(ref, 0), unit);
      progress = true;
    }
    waiting = std::move(later);
  }
  for (const TreeRef ref : waiting) {
    DimensionId dimension = ratio;
    double value = 0;
    constant_value(child(ref, 1), dimension, value, true);
  }
  for (const TreeRef ref : declared_.reports) {
    const TreeRef name = child(ref, 0);
    const std::uint32_t currency = units.currency(data(name));
    if (currency == no_currency) {
      if (!damaged(data(name)) && !file_missing()) {
        report(Code::unknown_unit, span(name), fmt::format("`{}` is no currency", text(data(name))))
            .help.push_back("declare it with `currency EUR \"Euro\" to 2 places`, or `use std.currencies`");
        no_currency_told_ = units.currencies().empty();
      }
    } else if (program_.report_currency != no_currency && program_.report_currency != currency) {
      Diagnostic& diagnostic = report(Code::duplicate_name, span(ref), "two report currencies");
      diagnostic.labels.push_back({span(declared_.reports.front()), "the first is here"});
      diagnostic.help.push_back("keep one `report in`, in the main file");
    } else {
      program_.report_currency = currency;
    }
  }
}

/// The amount of a unit definition: numbers with units, combined by + - * /.
bool Checker::constant_value(TreeRef ref, DimensionId& dimension, double& value, bool report_it) {
  const Node& n = node(ref);
  if (n.kind == NodeKind::number) {
    const Number number = number_at(ref);
    Units::Problem problem;
    const Unit* unit = program_.units->unit(number.unit, problem);
    if (unit == nullptr) {
      if (report_it) {
        report_problem(Code::unknown_unit, span(ref), problem);
      }
      return false;
    }
    dimension = unit->dimension;
    value = number.value * unit->factor;
    return true;
  }
  if (n.kind == NodeKind::binary) {
    DimensionId left = ratio;
    DimensionId right = ratio;
    double a = 0;
    double b = 0;
    if (!constant_value(child(ref, 0), left, a, report_it) || !constant_value(child(ref, 1), right, b, report_it)) {
      return false;
    }
    const bool product = n.op == Operator::multiply;
    if (product || n.op == Operator::divide) {
      dimension = product ? program_.dimensions.multiply(left, right) : program_.dimensions.divide(left, right);
      value = product ? a * b : a / b;
      if (!program_.dimensions.took_too_high_power()) return true;
      if (report_it) report(Code::bad_power, span(ref), fmt::format("this has a higher power than {}", limits::power));
      return false;
    }
  }
  if (report_it) {
    report(Code::bad_unit, span(ref), "a unit is a number with a unit, or a product or quotient of such")
        .help.push_back("write for example `unit mm = 0.001 m`");
  }
  return false;
}

void Checker::declare_exchanges() {
  std::vector<TreeRef> declared;
  for (const TreeRef ref : declared_.exchanges) {
    const auto parts = children(ref);
    const Number one = number_at(parts[0]);
    const Number rate = number_at(parts[1]);
    Exchange exchange;
    exchange.currency = program_.units->currency(one.unit);
    exchange.in = program_.units->currency(rate.unit);
    exchange.span = span(ref);
    bool fine = true;
    for (const auto& [number, part, currency] :
         {std::tuple{one, parts[0], exchange.currency}, std::tuple{rate, parts[1], exchange.in}}) {
      if (currency != no_currency) continue;
      fine = false;
      if (file_missing()) continue;
      if (number.unit == 0) {
        const std::string in = part.node == parts[1].node && program_.report_currency != no_currency
                                   ? std::string(text(program_.units->currencies()[program_.report_currency].name))
                                   : std::string();
        Diagnostic& diagnostic = report(Code::bad_exchange, span(part), "this amount has no currency");
        if (in.empty()) {
          diagnostic.help.push_back("write `exchange 1 USD = 0.92 EUR`");
        } else {
          diagnostic.help.push_back(fmt::format("write `= {} {}`", source_text(part), in));
          propose(diagnostic, span(part), fmt::format("{} {}", source_text(part), in));
        }
        continue;
      }
      report(Code::unknown_unit, span(part), fmt::format("`{}` is no currency", text(number.unit)))
          .help.push_back("write `exchange 1 USD = 0.92 EUR`; currencies are declared by `use std.currencies`");
    }
    if (!fine) continue;
    if (exchange.currency == exchange.in || !(one.value > 0) || !(rate.value > 0)) {
      report(Code::bad_exchange, span(ref), "an exchange rate joins two currencies by amounts above zero")
          .help.push_back("write `exchange 1 USD = 0.92 EUR`");
      continue;
    }
    for (const Exchange& other : program_.exchanges) {
      if ((other.currency == exchange.currency && other.in == exchange.in) ||
          (other.currency == exchange.in && other.in == exchange.currency)) {
        report(Code::duplicate_name, span(ref), "a second exchange rate between the same currencies")
            .labels.push_back({other.span, "the first is here"});
        fine = false;
      }
    }
    if (!fine) continue;
    exchange.rate = rate.value / one.value;
    program_.exchanges.push_back(exchange);
    declared.push_back(ref);
  }
  // A range may be in a currency that only a later rate leads to.
  for (std::size_t i = 0; i < declared.size(); ++i) {
    const auto parts = children(declared[i]);
    const double one = number_at(parts[0]).value;
    Amount amount{number_at(parts[1]).value, program_.exchanges[i].in, 1};
    const std::uint32_t index =
        check_facts({parts.begin() + 2, parts.end()}, parts[1], quantity(program_.dimensions.money), amount, true);
    program_.facts[index].low /= one;
    program_.facts[index].high /= one;
    program_.exchanges[i].facts = index;
  }
}

void Checker::declare_shows() {
  for (const TreeRef ref : declared_.shows) {
    if (kind_of(child(ref, 0)) == NodeKind::member) continue;  // of a field
    Show show;
    Units::Problem problem;
    show.span = span(ref);
    bool fine = true;
    for (const TreeRef part : children(ref)) {
      if (kind_of(part) == NodeKind::dims) {
        const auto dimension = program_.units->dimension(data(part), problem);
        fine = dimension.has_value();
        if (fine) show.dimension = *dimension;
      } else if (kind_of(part) == NodeKind::shown_in) {
        // `money/h` is shown in the report currency, whichever that is.
        std::string unit_text{text(data(child(part, 0)))};
        if (unit_text.rfind("money", 0) == 0 && program_.report_currency != no_currency) {
          unit_text =
              std::string(text(program_.units->currencies()[program_.report_currency].name)) + unit_text.substr(5);
        } else if (unit_text.rfind("money", 0) == 0) {
          break;  // no money is reported
        }
        const Unit* unit = program_.units->unit(program_.symbols.intern(unit_text), problem);
        fine = fine && unit != nullptr;
        if (!fine) break;
        if (unit->dimension != show.dimension) {
          report(Code::dimension_mismatch, span(part),
                 fmt::format("`{}` is not a unit of {}", unit_text, program_.dimensions.text(show.dimension)));
          break;
        }
        show.unit = unit_text;
        show.factor = unit->factor;
      } else {
        show.places = static_cast<int>(std::min(number_at(part).value, 12.0));
      }
    }
    if (!fine) {
      report_problem(Code::unknown_dimension, span(ref), problem);
      continue;
    }
    const auto same = std::find_if(program_.shows.begin(), program_.shows.end(),
                                   [&](const Show& other) { return other.dimension == show.dimension; });
    if (same == program_.shows.end()) {
      program_.shows.push_back(show);
    } else if (same->span.source == show.span.source) {
      Diagnostic& diagnostic = report(Code::duplicate_name, show.span, "a second `show` for the same dimension");
      diagnostic.labels.push_back({same->span, "the first is here"});
      diagnostic.help.push_back("keep one of the two");
    } else if (show.span.source < same->span.source) {
      *same = show;  // the file that uses a module decides over the module
    }
  }
}

}  // namespace sprue
