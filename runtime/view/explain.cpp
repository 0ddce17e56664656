// Walks what each field used, as recorded by the lowering.
#include "runtime/view/explain.hpp"

#include <fmt/format.h>
#include <limits>
#include <unordered_map>

#include "lang/syntax/one_line.hpp"
#include "runtime/ledger/shown.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

class Explainer {
 public:
  Explainer(const Program& program, const Sources& sources, const Evaluation& evaluation)
      : program_(program), sources_(sources), evaluation_(evaluation), lowered_(evaluation.lowered) {}

  void field(InstanceId instance, Slot slot, int level, int depth) {
    const Instance& of = lowered_.instances.all[instance];
    const Field& field = program_.kinds[of.kind].fields[slot];
    const Given* given = lowered_.instances.given(instance, slot);
    const std::uint32_t place_of = of.first_slot + slot;
    const auto uses = lowered_.dependencies.find(place_of);
    const bool made_of_others = uses != lowered_.dependencies.end() && !uses->second.empty();
    const bool known = made_of_others && is_above(place_of, depth);
    line(level, fmt::format("{}.{} = {}{}", lowered_.instances.path(program_, instance), program_.text(field.name),
                            value(shown_type(field), place_of), known ? "  (above)" : ""));
    if (known) return;
    if (given != nullptr || field.formula != none) {
      const std::string text =
          one_line(sources_.text(given != nullptr ? given->value_span() : program_.formulas[field.formula].span));
      const bool plain = given != nullptr ? given->literal || given->unknown : field.literal;
      const Span span = given != nullptr ? given->span : field.span;
      line(level, fmt::format("  {} {}  ({})",
                              given != nullptr ? (plain ? "given" : "given as") : (plain ? "default" : "formula"), text,
                              place(span)));
      facts(given != nullptr ? given->facts : field.facts, level);
    }
    for (const Headline& modelled : lowered_.modelled) {
      if (modelled.instance != instance || modelled.slot != slot) continue;
      line(level,
           fmt::format("  the model says {}  ({})",
                       text_of(program_, shown_type(field), evaluation_.value(modelled.node)), place(field.span)));
    }
    if (!made_of_others) return;
    if (depth == 0) {
      ++cut_;
      line(level, fmt::format("  from {} more figure{}; see --depth", uses->second.size(),
                              uses->second.size() == 1 ? "" : "s"));
      return;
    }
    const std::size_t cut = cut_;
    for (const Dependency& use : uses->second) dependency(use, level + 1, depth - 1);
    if (cut == cut_) opened_[place_of] = whole;
  }

  void ledger(LedgerId id, std::uint32_t category, int level, int depth) {
    const Ledger& ledger = program_.ledgers[id];
    const LedgerTotals& totals = lowered_.ledgers[id];
    const Type type{TypeTag::quantity, ledger.dimension, 0};
    const std::string_view name = category == none ? "total" : program_.text(ledger.categories[category].name);
    const GraphId node = category == none ? totals.total : totals.categories[category];
    const bool known = depth != 0 && is_above((std::uint64_t{id} << 32U | category) + ledgers_after, depth);
    line(level,
         fmt::format("{}.{} = {}{}", program_.text(ledger.name), name, number(type, node), known ? "  (above)" : ""));
    if (depth == 0) ++cut_;
    if (depth == 0 || known) return;
    for (std::uint32_t i = 0; i < totals.posting_count; ++i) {
      const Posting& posting = lowered_.postings[totals.first_posting + i];
      if (category != none && posting.category != category) continue;
      std::string on;
      if (posting.date != no_node) on = fmt::format(" on {}", iso_date(evaluation_.value(posting.date)));
      line(level + 1, fmt::format("{} posts {} to {}{}  ({})", lowered_.instances.path(program_, posting.instance),
                                  number(type, posting.amount), program_.text(ledger.categories[posting.category].name),
                                  on, place(posting.span)));
    }
  }

  std::string out;

 private:
  static constexpr std::uint64_t ledgers_after = std::uint64_t{1} << 63U;
  static constexpr int whole = std::numeric_limits<int>::max();

  /// Whether this was opened as far before; from now on it was.
  bool is_above(std::uint64_t what, int depth) {
    const auto [at, fresh] = opened_.emplace(what, depth);
    if (!fresh && at->second >= depth) return true;
    at->second = depth;
    return false;
  }

  void dependency(const Dependency& use, int level, int depth) {
    if (use.ledger != none) {
      ledger(use.ledger, use.category, level, depth);
    } else if (use.exchange != none) {
      const Exchange& exchange = program_.exchanges[use.exchange];
      const auto& currencies = program_.units->currencies();
      line(level, fmt::format("exchange.{0} = {1} {2}  ({3})", program_.text(currencies[exchange.currency].name),
                              lowered_.instances.exchange_rates[use.exchange],
                              program_.text(currencies[exchange.in].name), place(exchange.span)));
      facts(exchange.facts, level);
    } else {
      field(use.instance, use.slot, level, depth);
    }
  }

  void facts(std::uint32_t index, int level) {
    if (index == none) return;
    if (const std::string text = source_text(program_, program_.facts[index]); !text.empty())
      line(level, "  source: " + text);
  }

  std::string value(const Type& type, std::uint32_t slot) const {
    const std::uint32_t value = lowered_.slot_values[slot];
    if (value == slot_missing || value == slot_unset) return "nothing";
    if (is_number(type)) return number(type, value);
    if (type.tag == TypeTag::reference || type.tag == TypeTag::optional)
      return lowered_.instances.path(program_, value);
    if (type.tag == TypeTag::text) return fmt::format("\"{}\"", program_.text(value));
    return type.tag == TypeTag::series                                ? "a series"
           : type.tag == TypeTag::table || type.tag == TypeTag::curve ? "a table"
                                                                      : "a list";
  }

  std::string number(const Type& type, GraphId node) const {
    if (evaluation_.absent(node)) return "unknown";
    return text_of(program_, type, evaluation_.value(node)) + (evaluation_.incomplete(node) ? " (incomplete)" : "");
  }

  std::string place(Span span) const {
    return fmt::format("{}:{}", sources_[span.source].name, sources_.position(span.source, span.begin).line);
  }

  void line(int level, const std::string& text) {
    out += std::string(static_cast<std::size_t>(2 * level), ' ') + text + "\n";
  }

  const Program& program_;
  const Sources& sources_;
  const Evaluation& evaluation_;
  const Lowered& lowered_;
  std::unordered_map<std::uint64_t, int> opened_;  // fields by their slot, then ledgers: how far
  std::size_t cut_ = 0;                            // places where there is more than --depth shows
};

}  // namespace

std::string explain(const Program& program, const Sources& sources, const Evaluation& evaluation, PathTarget target,
                    int depth) {
  Explainer explainer(program, sources, evaluation);
  explainer.field(target.instance, target.slot, 0, depth);
  return std::move(explainer.out);
}

std::string explain_ledger(const Program& program, const Sources& sources, const Evaluation& evaluation,
                           LedgerId ledger, std::uint32_t category, int depth) {
  Explainer explainer(program, sources, evaluation);
  explainer.ledger(ledger, category, 0, depth);
  return std::move(explainer.out);
}

}  // namespace sprue
