// The values of formulas, behind them: of instances, and of kinds that have one instance only.
#include "runtime/ledger/shown.hpp"
#include "runtime/serve/features.hpp"

namespace sprue::serve {
namespace {

struct Hint {
  Span formula;
  PathTarget target;
};

}  // namespace

Json inlay_hints(const View& view, std::uint32_t begin, std::uint32_t end) {
  const Analysis& analysis = view.analysis;
  const Program& program = analysis.program;
  Json out = Json::array();
  if (!analysis.evaluation) return out;
  const Instances& instances = analysis.evaluation->lowered.instances;
  std::vector<Hint> hints;
  const auto add = [&](Span formula, InstanceId instance, Slot slot) {
    const Type& type = program.kinds[instances.all[instance].kind].fields[slot].type;
    if (formula.source == view.source && formula.end >= begin && formula.end <= end && is_number(type))
      hints.push_back({formula, {instance, slot}});
  };
  std::vector<InstanceId> only(program.kinds.size(), none);  // by kind
  std::vector<std::uint32_t> count(program.kinds.size(), 0);
  for (InstanceId id = 0; id < instances.size(); ++id) {
    for (KindId kind = instances.all[id].kind; kind != none; kind = program.kinds[kind].base) {
      only[kind] = id;
      ++count[kind];
    }
    const Draft& draft = program.drafts[instances.all[id].draft];
    const Span statement = program.trees[draft.where.tree].span(draft.where.node);
    const bool copy = draft.like != none && program.drafts[draft.like].where.node == draft.where.node;
    if (statement.source != view.source || copy) continue;
    for (const Given& given : draft.givens) {
      const bool own = given.span.begin >= statement.begin && given.span.end <= statement.end;
      if (own && !given.literal && !given.unknown) add(given.value_span(), id, given.slot);
    }
  }
  for (KindId kind = 0; kind < program.kinds.size(); ++kind) {
    if (count[kind] != 1) continue;
    for (Slot slot = 0; slot < program.kinds[kind].fields.size(); ++slot) {
      const Field& field = program.kinds[kind].fields[slot];
      const bool formula = field.declared_in == kind && field.formula != none && !field.literal;
      if (formula && instances.given(only[kind], slot) == nullptr)
        add(program.formulas[field.formula].span, only[kind], slot);
    }
  }
  std::vector<PathTarget> targets;
  for (const Hint& hint : hints) targets.push_back(hint.target);
  const std::vector<std::string> values = analysis.values_of(targets);
  for (std::size_t i = 0; i < hints.size(); ++i) {
    // `yes` or a choice say themselves.
    if (values[i].empty() || values[i] == analysis.sources.text(hints[i].formula)) continue;
    out.add(Json::object({{"position", to_json(view.lines.position(hints[i].formula.end))},
                          {"label", "= " + values[i]},
                          {"paddingLeft", true}}));
  }
  return out;
}

}  // namespace sprue::serve
