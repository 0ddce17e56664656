// Which ranges move together.
#include <fmt/format.h>
#include <algorithm>

#include "lang/check/checker.hpp"

namespace sprue {

void Checker::check_correlations() {
  for (const TreeRef ref : declared_.correlations) {
    Correlation correlation;
    correlation.span = span(ref);
    correlation.a = find_correlated(child(ref, 0));
    correlation.b = find_correlated(child(ref, 1));
    const TreeRef value = child(ref, 2);
    const bool negative = kind_of(value) == NodeKind::unary && node(value).op == Operator::negate;
    const TreeRef plain = negative ? child(value, 0) : value;
    const bool is_number = kind_of(plain) == NodeKind::number;
    const Number number = is_number ? number_at(plain) : Number{2, 0};
    const Unit* const unit = number.unit == 0 ? nullptr : read_unit(number.unit, span(value));
    if (number.unit != 0 && unit == nullptr) continue;
    correlation.value = (negative ? -1 : 1) * number.value * (unit == nullptr ? 1 : unit->factor);
    if ((unit != nullptr && unit->dimension != ratio) || !(correlation.value >= -1 && correlation.value <= 1)) {
      report(Code::bad_range, span(value), "a correlation lies between -100% and 100%")
          .help.push_back("write for example `60%`, or `-0.3`");
      continue;
    }
    const auto same = [](const Correlated& x, const Correlated& y) {
      return x.draft == y.draft && x.slot == y.slot && x.currency == y.currency;
    };
    const auto nothing = [](const Correlated& x) { return x.draft == none && x.currency == no_currency; };
    if (nothing(correlation.a) || nothing(correlation.b)) continue;
    if (same(correlation.a, correlation.b)) {
      report(Code::bad_range, correlation.span, "a value is correlated with itself").help.push_back("name two of them");
      continue;
    }
    const auto twin =
        std::find_if(program_.correlations.begin(), program_.correlations.end(), [&](const Correlation& other) {
          return (same(other.a, correlation.a) && same(other.b, correlation.b)) ||
                 (same(other.a, correlation.b) && same(other.b, correlation.a));
        });
    if (twin != program_.correlations.end()) {
      report(Code::duplicate_name, correlation.span, "these two are correlated twice")
          .labels.push_back({twin->span, "the first is here"});
      continue;
    }
    program_.correlations.push_back(correlation);
    warn_without_range(child(ref, 0), correlation.a);
    warn_without_range(child(ref, 1), correlation.b);
  }
}

/// A correlation ties ranges, be it in a scenario alone.
void Checker::warn_without_range(TreeRef path, const Correlated& tied) {
  const auto ranged = [&](std::uint32_t facts) { return facts != none && program_.facts[facts].ranged; };
  const auto gives_range = [&](const Given& given) { return given.slot == tied.slot && ranged(given.facts); };
  const auto is_ranged = [&] {
    if (tied.currency != no_currency) {
      return std::any_of(program_.exchanges.begin(), program_.exchanges.end(), [&](const Exchange& exchange) {
        return exchange.currency == tied.currency && ranged(exchange.facts);
      });
    }
    const Draft& draft = program_.drafts[tied.draft];
    const auto own = std::find_if(draft.givens.begin(), draft.givens.end(),
                                  [&](const Given& given) { return given.slot == tied.slot; });
    if (own == draft.givens.end() ? ranged(program_.kinds[draft.kind].fields[tied.slot].facts) : ranged(own->facts))
      return true;
    return std::any_of(program_.scenarios.begin(), program_.scenarios.end(), [&](const Scenario& scenario) {
      return std::any_of(scenario.edits.begin(), scenario.edits.end(), [&](const Edit& edit) {
        return edit.what == Edit::What::give && edit.target == tied.draft && gives_range(edit.given);
      });
    });
  };
  if (is_ranged()) return;
  report(Code::ties_nothing, span(path), fmt::format("`{}` has no range, so this ties nothing", source_text(path)))
      .help.push_back("give it a range, `within LOW .. HIGH`, or leave the line out");
}

/// A field of an instance, or `exchange.USD`.
Correlated Checker::find_correlated(TreeRef path) {
  Correlated found;
  if (kind_of(path) == NodeKind::member && source_text(child(path, 0)) == "exchange") {
    const std::uint32_t currency = program_.units->currency(data(child(path, 1)));
    const bool declared = std::any_of(program_.exchanges.begin(), program_.exchanges.end(),
                                      [&](const Exchange& exchange) { return exchange.currency == currency; });
    if (currency != no_currency && declared) {
      found.currency = currency;
    } else {
      report(Code::unknown_name, span(path),
             fmt::format("no `exchange 1 {} = …` is declared", text(data(child(path, 1)))));
    }
    return found;
  }
  TreeRef field{none, none};
  const DraftId draft = find_path(path, true, &field);
  if (draft == none) return found;
  if (field.tree == none) {
    report(Code::unknown_field, span(path),
           fmt::format("`{}` is an instance; a correlation is of its fields", source_text(path)))
        .help.push_back(fmt::format("write `{}.FIELD`", source_text(path)));
    return found;
  }
  const Kind& kind = program_.kinds[program_.drafts[draft].kind];
  const Slot slot = kind.slots.at(data(field));
  const TypeTag tag = kind.fields[slot].type.tag;
  if (tag != TypeTag::quantity && tag != TypeTag::point && tag != TypeTag::whole) {
    report(Code::wrong_type, span(path),
           fmt::format("`{}` is {} and has no range", source_text(path), describe(kind.fields[slot].type)));
    return found;
  }
  found.draft = draft;
  found.slot = slot;
  return found;
}

}  // namespace sprue
