// Expectations, scenarios, and declarations nothing refers to.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lang/check/checker.hpp"
#include "lang/graph/arithmetic.hpp"

namespace sprue {

void Checker::check_expectations() {
  for (const TreeRef ref : declared_.expectations) {
    Scope scope;
    scope.instances = true;
    scope.tolerant = true;
    Expectation expectation;
    expectation.span = span(child(ref, 0));
    expectation.condition = check_condition(child(ref, 0), scope, "what is expected");
    for (std::uint32_t i = 1; i < node(ref).count; ++i) {
      const TreeRef part = child(ref, i);
      if (kind_of(part) == NodeKind::string) expectation.text = data(part);
      if (kind_of(part) != NodeKind::tolerance) continue;
      const TreeRef width = child(part, 0);
      const bool joined = kind_of(width) == NodeKind::binary &&
                          (node(width).op == Operator::logical_and || node(width).op == Operator::logical_or);
      if (joined) {
        const bool both = node(width).op == Operator::logical_and;
        report(Code::bad_tolerance, span(part), fmt::format("`{}` cannot follow a tolerance", both ? "and" : "or"))
            .help.push_back(both ? fmt::format("write a line `expect` for each: `expect {} +- {}`, `expect {}`",
                                               source_text(child(ref, 0)), source_text(child(width, 0)),
                                               source_text(child(width, 1)))
                                 : "write the tolerance as a condition: `abs(A - B) <= TOLERANCE or …`");
        continue;
      }
      expectation.tolerance = check(child(part, 0), scope);
      const Formula& condition = formula(expectation.condition);
      const bool equality = condition.op == FormulaOp::arithmetic && node(child(ref, 0)).op == Operator::equal;
      const FormulaId left = equality ? argument(expectation.condition, 0) : none;
      if (is_error(expectation.condition) || is_error(expectation.tolerance)) continue;
      if (!equality || (!dimension_of(left) && type(left).tag != TypeTag::point)) {
        report(Code::bad_tolerance, span(part), "a tolerance belongs to an expected equality")
            .help.push_back("write `expect A = B +- TOLERANCE`");
        continue;
      }
      const DimensionId dimension = dimension_of(left) ? *dimension_of(left) : type(left).id;
      expect_type(expectation.tolerance, quantity(dimension), span(part), "the tolerance", scope);
    }
    program_.expectations.push_back(expectation);
  }
}

void Checker::declare_scenarios() {
  for (const TreeRef ref : declared_.scenarios) {
    Scenario scenario;
    scenario.where = ref;
    scenario.name = data(child(ref, 0));
    scenario.span = span(child(ref, 0));
    if (node(ref).count > 1 && kind_of(child(ref, 1)) == NodeKind::string) scenario.title = data(child(ref, 1));
    const auto twin = std::find_if(program_.scenarios.begin(), program_.scenarios.end(),
                                   [&](const Scenario& other) { return other.name == scenario.name; });
    if (twin != program_.scenarios.end()) {
      duplicate(scenario.span, "scenario", scenario.name, twin->span);
      continue;
    }
    if (text(scenario.name) == "base") {
      report(Code::reserved_name, scenario.span, "`base` is the file without any scenario")
          .help.push_back("choose another name");
      continue;
    }
    program_.scenarios.push_back(std::move(scenario));
  }
  std::vector<int> state(program_.scenarios.size(), 0);
  const auto visit = [&](auto&& self, std::uint32_t id) -> bool {
    if (state[id] == 1) return false;
    if (state[id] == 2) return true;
    state[id] = 1;
    for (const TreeRef part : children(program_.scenarios[id].where)) {
      if (kind_of(part) != NodeKind::like_clause) continue;
      const TreeRef name = child(part, 0);
      for (std::uint32_t i = 0; i < program_.scenarios.size(); ++i) {
        if (kind_of(name) != NodeKind::name || program_.scenarios[i].name != data(name)) continue;
        use(name, Named::scenario, i);
        program_.scenarios[id].like = i;
      }
      if (program_.scenarios[id].like == none) {
        Diagnostic& diagnostic =
            report(Code::unknown_name, span(name), fmt::format("no scenario is called `{}`", source_text(name)));
        std::vector<std::string_view> names;
        for (const Scenario& other : program_.scenarios) names.push_back(text(other.name));
        suggest(diagnostic, source_text(name), names);
      } else if (!self(self, program_.scenarios[id].like)) {
        report(Code::like_cycle, span(part),
               fmt::format("the scenario `{}` is made like itself", text(program_.scenarios[id].name)));
        program_.scenarios[id].like = none;
      }
    }
    state[id] = 2;
    return true;
  };
  for (std::uint32_t id = 0; id < program_.scenarios.size(); ++id) visit(visit, id);
}

void Checker::check_scenarios() {
  std::vector<bool> done(program_.scenarios.size(), false);
  const auto visit = [&](auto&& self, std::uint32_t id) -> void {
    if (done[id]) return;
    done[id] = true;
    if (program_.scenarios[id].like != none) self(self, program_.scenarios[id].like);
    check_scenario(id);
  };
  for (std::uint32_t id = 0; id < program_.scenarios.size(); ++id) visit(visit, id);
}

/// What a scenario adds has its names only while that scenario is checked.
void Checker::check_scenario(std::uint32_t id) {
  const auto enter = [&](DraftId draft) {
    const DraftId owner = program_.drafts[draft].owner;
    if (owner == none) {
      program_.draft_names.emplace(program_.drafts[draft].name, draft);
    } else {
      program_.drafts[owner].children.push_back(draft);
    }
  };
  std::vector<DraftId> entered;
  for (std::uint32_t at = program_.scenarios[id].like; at != none; at = program_.scenarios[at].like) {
    for (const DraftId draft : program_.scenarios[at].added) {
      enter(draft);
      entered.push_back(draft);
    }
  }
  Scenario& scenario = program_.scenarios[id];
  const auto parts = children(scenario.where);
  const auto first = static_cast<DraftId>(program_.drafts.size());
  for (const TreeRef part : parts) {
    if (kind_of(part) != NodeKind::add) continue;
    DraftId owner = none;
    if (node(part).count > 1) {
      owner = find_path(child(child(part, 1), 0), true);
      if (owner == none) continue;
    }
    const DraftId added = add_draft(child(part, 0), owner);
    if (added == none) continue;
    const Symbol name = program_.drafts[added].name;
    const auto top = program_.draft_names.find(name);
    const DraftId twin = owner != none                       ? find_child(owner, name)
                         : top == program_.draft_names.end() ? none
                                                             : top->second;
    if (twin != none) {
      duplicate(program_.drafts[added].span, "instance", name, program_.drafts[twin].span);
      continue;
    }
    scenario.added.push_back(added);
    enter(added);
    entered.push_back(added);
  }
  std::vector<int> state(program_.drafts.size(), 2);
  std::fill(state.begin() + first, state.end(), 0);
  for (const DraftId added : scenario.added) resolve_like(added, state);
  check_values();
  check_required(first);
  std::unordered_map<std::uint64_t, Span> changed_at;  // by instance and field
  for (const TreeRef part : parts) {
    if (kind_of(part) == NodeKind::remove) {
      Edit edit;
      edit.what = Edit::What::remove;
      edit.span = span(part);
      edit.target = find_path(child(part, 0), true);
      if (edit.target != none) scenario.edits.push_back(edit);
      continue;
    }
    if (kind_of(part) != NodeKind::given) continue;
    const TreeRef path = child(part, 0);
    if (kind_of(path) == NodeKind::member && source_text(child(path, 0)) == "exchange") {
      check_exchange_edit(scenario, part);
      continue;
    }
    TreeRef field{};
    if (kind_of(path) != NodeKind::member) {
      tell_whose(report(Code::unknown_name, span(path), "a change needs a field"), path);
      continue;
    }
    bool is_field = false;
    const DraftId target = [&] {
      TreeRef found{none, none};
      const DraftId draft = find_path(path, true, &found);
      is_field = found.tree != none;
      field = found;
      return draft;
    }();
    if (target == none) continue;
    if (!is_field) {
      report(Code::unknown_field, span(path),
             fmt::format("`{}` is an instance; a change needs one of its fields", source_text(path)))
          .help.push_back(fmt::format("write `{}.field: VALUE`", source_text(path)));
      continue;
    }
    auto given = make_given(target, part, field);
    if (!given) continue;
    if (!check_fact(program_.drafts[target].kind, *given, part))
      check_given(program_.drafts[target].kind, *given, part);
    const auto [changed, fresh] = changed_at.emplace((std::uint64_t{target} << 32U) | given->slot, span(path));
    if (!fresh) {
      report(Code::duplicate_name, span(path), fmt::format("`{}` is changed twice", source_text(path)))
          .labels.push_back({changed->second, "the first is here"});
    }
    Edit edit;
    edit.what = Edit::What::give;
    edit.target = target;
    edit.given = *given;
    edit.span = span(path);
    scenario.edits.push_back(edit);
  }
  warn_large_shares();
  for (auto at = entered.rbegin(); at != entered.rend(); ++at) {
    const DraftId owner = program_.drafts[*at].owner;
    if (owner == none) {
      program_.draft_names.erase(program_.drafts[*at].name);
    } else {
      program_.drafts[owner].children.pop_back();
    }
  }
}

/// `exchange.USD: 0.95 EUR` changes a declared rate.
void Checker::check_exchange_edit(Scenario& scenario, TreeRef ref) {
  const TreeRef path = child(ref, 0);
  const TreeRef value = child(ref, 1);
  const std::uint32_t currency = program_.units->currency(data(child(path, 1)));
  const auto exchange = std::find_if(program_.exchanges.begin(), program_.exchanges.end(),
                                     [&](const Exchange& e) { return e.currency == currency; });
  if (currency == no_currency || exchange == program_.exchanges.end()) {
    report(Code::unknown_name, span(path),
           fmt::format("no `exchange 1 {} = …` is declared", text(data(child(path, 1)))))
        .help.push_back("a scenario changes a rate that the file declares; declare it first");
    return;
  }
  const std::string_view into = text(program_.units->currencies()[exchange->in].name);
  const bool plain = kind_of(value) == NodeKind::number;
  const Number number = plain ? number_at(value) : Number{};
  if (!plain || text(number.unit) != into || !(number.value > 0)) {
    report(Code::bad_exchange, span(value), fmt::format("this rate is an amount in {} above zero", into))
        .help.push_back(fmt::format("write `{}: 0.95 {}`", source_text(path), into));
    return;
  }
  Edit edit;
  edit.what = Edit::What::exchange;
  edit.currency = currency;
  edit.rate = number.value;
  edit.span = span(ref);
  scenario.edits.push_back(edit);
}

/// Top-level instances nobody refers to, where others of the same kind are referred to. Library instances are there to
/// be chosen from and are left alone.
void Checker::warn_unused() {
  const std::vector<bool> counted = counted_by_requirements();
  std::vector<bool> referred(program_.kinds.size(), false);
  for (const Draft& draft : program_.drafts) {
    if (draft.given_as_value && draft.owner == none) referred[draft.kind] = true;
  }
  for (const auto& [name, id] : program_.draft_names) {
    const Draft& draft = program_.drafts[id];
    if (draft.used || !referred[draft.kind] || counted[draft.kind] || program_.from_library(draft.span)) continue;
    report(Code::unused, draft.span,
           fmt::format("nothing refers to the {} `{}`", text(program_.kinds[draft.kind].name), text(name)))
        .help.push_back("refer to it, or remove it");
  }
}

/// Kinds over all of whose instances a requirement aggregates, and kinds derived from them: these instances count
/// although nothing refers to them.
std::vector<bool> Checker::counted_by_requirements() const {
  std::vector<bool> counted(program_.kinds.size(), false);
  std::vector<FormulaId> open;
  for (const Kind& kind : program_.kinds) {
    for (const Requirement& requirement : kind.requirements) open.push_back(requirement.condition);
  }
  while (!open.empty()) {
    const Formula& f = formula(open.back());
    open.pop_back();
    if (f.op == FormulaOp::aggregate && program_.loops[f.a].domain == DomainKind::all)
      counted[program_.loops[f.a].kind] = true;
    for (std::uint32_t i = 0; i < f.count; ++i) open.push_back(program_.arguments[f.first + i]);
  }
  for (KindId id = 0; id < counted.size(); ++id) {
    for (KindId base = id; base != none && !counted[id]; base = program_.kinds[base].base) counted[id] = counted[base];
  }
  return counted;
}

/// Sources that have run out when the scenario begins: at the earliest date given as `start` to a top-level instance.
void Checker::warn_expired() {
  const Symbol start_name = program_.symbols.intern("start");
  std::optional<std::int32_t> start;
  for (const auto& [name, id] : program_.draft_names) {
    const Kind& kind = program_.kinds[program_.drafts[id].kind];
    const auto slot = kind.slots.find(start_name);
    if (slot == kind.slots.end() || kind.fields[slot->second].type != Type{TypeTag::point, program_.dimensions.time, 0})
      continue;
    for (const Given& given : program_.drafts[id].givens) {
      if (given.slot != slot->second || !given.literal) continue;
      const auto day = static_cast<std::int32_t>(given.value);
      start = start ? std::min(*start, day) : day;
    }
  }
  if (!start) return;
  const arithmetic::Civil from = arithmetic::civil_from_days(*start);
  for (const Facts& facts : program_.facts) {
    if (!facts.until || *facts.until >= *start) continue;
    const arithmetic::Civil until = arithmetic::civil_from_days(*facts.until);
    report(Code::source_expired, facts.span,
           fmt::format("the {} ends on {:04}-{:02}-{:02}, before the start on {:04}-{:02}-{:02}",
                       text(facts.source), until.year, until.month, until.day, from.year, from.month, from.day))
        .help.push_back("ask for a new one, or say how long it holds");
  }
}

}  // namespace sprue
