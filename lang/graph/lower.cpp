// Fields and outputs: which formulas are needed, each lowered once, with cycles found.
#include "lang/graph/lowerer.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <map>
#include <utility>

namespace sprue {

GraphId Lowered::node_of(InstanceId instance, Slot slot) const {
  const std::uint32_t value = slot_values[instances.all[instance].first_slot + slot];
  return value >= slot_missing ? no_node : value;
}

Lowered lower(const Program& program, std::uint32_t scenario, const LowerOptions& options, Diagnostics& diagnostics) {
  return Lowerer(program, scenario, options, diagnostics).run();
}

Lowerer::Lowerer(const Program& program, std::uint32_t scenario, const LowerOptions& options, Diagnostics& diagnostics)
    : program_(program), options_(options), diagnostics_(&diagnostics) {
  out_.instances = freeze(program, scenario);
  out_.slot_values.assign(out_.instances.slot_count, slot_unset);
  std::size_t facts = 0;
  for (const Draft& draft : program.drafts) facts += draft.givens.size();
  builder_.reserve(2 * std::size_t{out_.instances.slot_count}, facts);  // a field is a node or two
  out_.inputs.reserve(facts);
  if (options.origins) builder_.share_nothing();
  rates_.assign(program.units->currencies().size(), no_node);
  exchange_nodes_.assign(program.exchanges.size(), no_node);
  for (const Ledger& ledger : program.ledgers) ledgers_.emplace_back(ledger.categories.size());
}

Lowered Lowerer::run() {
  const char here = 0;
  stack_base_ = reinterpret_cast<std::uintptr_t>(&here);
  const std::size_t errors = diagnostics_->error_count();
  check_references();
  lower_headlines();
  lower_requirements();
  lower_cautions();
  lower_expectations();
  collect_ledgers();
  if (options_.listings) lower_listings();
  for (const PathTarget& target : options_.also) {
    if (target.slot != none) field(target.instance, target.slot);
  }
  bool sound = diagnostics_->error_count() == errors;
  if (options_.modelled && sound) lower_replaced();
  if (sound) find_idle_cycles();
  sound = diagnostics_->error_count() == errors;
  out_.turns = steps_;
  out_.graph = std::move(builder_.graph());
  out_.marks = std::move(builder_.all_marks());
  if (options_.origins) out_.origins.resize(out_.graph.size());
  out_.sound = sound;
  return std::move(out_);
}

/// What the model says where a value was given instead of its formula. All else is lowered by now, so a given value
/// that breaks a circle stays one; a formula that cannot be worked out here is nobody's error.
void Lowerer::lower_replaced() {
  Diagnostics unheard;
  Diagnostics* const heard = std::exchange(diagnostics_, &unheard);
  recording_.clear();
  for (InstanceId id = 0; id < out_.instances.size(); ++id) {
    const Kind& kind = program_.kinds[instance(id).kind];
    for (Slot slot = 0; slot < kind.fields.size(); ++slot) {
      const Field& field = kind.fields[slot];
      if (out_.instances.given_at[instance(id).first_slot + slot] == none) continue;
      if (field.formula == none || field.literal || field.type.tag != TypeTag::quantity) continue;
      if (out_.slot_values[instance(id).first_slot + slot] >= slot_missing) continue;
      Frame frame{id, {}};
      const std::uint32_t modelled = lower(field.formula, frame);
      if (modelled == slot_missing || is_broken(modelled)) continue;
      out_.modelled.push_back({id, slot, modelled});
    }
  }
  diagnostics_ = heard;
}

/// Circles among fields that no figure asks for. What else such a field lacks is nobody's error, and of what is built
/// here nothing is kept.
void Lowerer::find_idle_cycles() {
  const std::vector<std::uint32_t> known = out_.slot_values;
  const std::size_t nodes = builder_.size();
  const std::size_t inputs = out_.inputs.size();
  const std::size_t requirements = out_.requirements.size();
  Diagnostics unheard;
  Diagnostics* const heard = std::exchange(diagnostics_, &unheard);
  recording_.clear();
  for (InstanceId id = 0; id < out_.instances.size() && !too_large_; ++id) {
    const Kind& kind = program_.kinds[instance(id).kind];
    for (Slot slot = 0; slot < kind.fields.size(); ++slot) {
      if (out_.slot_values[instance(id).first_slot + slot] != slot_unset) continue;
      const Given* const given = out_.instances.given(id, slot);
      const bool plain =
          given != nullptr ? given->formula == none : kind.fields[slot].literal || kind.fields[slot].formula == none;
      if (!plain) field(id, slot);
    }
  }
  diagnostics_ = heard;
  for (const Diagnostic& diagnostic : unheard.list()) {
    if (diagnostic.code == Code::formula_cycle) diagnostics_->add(diagnostic);
  }
  out_.slot_values = known;
  builder_.forget_from(nodes, inputs);
  out_.inputs.resize(inputs);
  out_.requirements.resize(requirements);
}

/// References to what the scenario removed, whether or not a figure needs them. A copy has the reference of what it is
/// like: told once, with all that have it.
void Lowerer::check_references() {
  std::map<std::pair<std::uint32_t, std::uint32_t>, std::pair<FormulaId, std::vector<std::string>>> lost;  // by place
  const auto look = [&](FormulaId reference, InstanceId id, Slot slot) {
    const Formula& f = formula(reference);
    if (f.op != FormulaOp::instance || out_.instances.of_draft[f.a] != none) return;
    auto& [first, users] = lost[{f.span.source, f.span.begin}];
    first = reference;
    users.push_back(fmt::format("{}.{}", path(id), program_.text(program_.kinds[instance(id).kind].fields[slot].name)));
  };
  for (InstanceId id = 0; id < out_.instances.size(); ++id) {
    const std::size_t slots = program_.kinds[instance(id).kind].fields.size();
    for (Slot slot = 0; slot < slots; ++slot) {
      const Given* const given = out_.instances.given(id, slot);
      if (given == nullptr || given->formula == none) continue;
      const Formula& f = formula(given->formula);
      look(given->formula, id, slot);
      for (std::uint32_t i = 0; f.op == FormulaOp::references && i < f.count; ++i)
        look(argument(given->formula, i), id, slot);
    }
  }
  for (const auto& [place, user] : lost) report_removed(formula(user.first).span, formula(user.first).a, user.second);
}

void Lowerer::lower_headlines() {
  for (InstanceId id = 0; id < out_.instances.size() && !diagnostics_->full(); ++id) {
    const Kind& kind = program_.kinds[instance(id).kind];
    for (Slot slot = 0; slot < kind.fields.size(); ++slot) {
      if (!kind.fields[slot].headline) continue;
      const std::uint32_t value = field(id, slot);
      if (value == slot_missing) {
        report_missing(kind.fields[slot].span);
      } else {
        out_.headlines.push_back({id, slot, value});
      }
    }
  }
}

/// The condition, with the two sides where it is a comparison.
Check Lowerer::comparison_check(Code code, FormulaId condition, Frame& frame) {
  Check check;
  check.code = code;
  check.instance = frame.self;
  check.span = formula(condition).span;
  check.condition = condition;
  check.node = lower(condition, frame);
  if (check.node == slot_missing) {
    report_missing(check.span);
    check.node = builder_.broken();
    return check;
  }
  const Formula& f = formula(condition);
  const auto op = static_cast<Op>(f.a);
  if (f.op == FormulaOp::arithmetic && (op == Op::near_less || op == Op::near_less_equal || op == Op::near_equal)) {
    // `a > b` is held as `b < a`; the sides are those of the text.
    const bool turned = formula(argument(condition, 1)).span.begin < formula(argument(condition, 0)).span.begin;
    check.left = lower(argument(condition, turned ? 1 : 0), frame);
    check.right = lower(argument(condition, turned ? 0 : 1), frame);
  }
  return check;
}

void Lowerer::lower_requirements() {
  for (InstanceId id = 0; id < out_.instances.size() && !diagnostics_->full(); ++id) {
    const Kind& kind = program_.kinds[instance(id).kind];
    for (std::uint32_t i = 0; i < kind.requirements.size(); ++i) {
      Frame frame{id, {}};
      Check check = comparison_check(Code::requirement_failed, kind.requirements[i].condition, frame);
      if (builder_.is_constant(check.node) && builder_.value(check.node) != 0) continue;
      check.index = i;
      out_.requirements.push_back(check);
    }
  }
}

void Lowerer::lower_cautions() {
  for (InstanceId id = 0; id < out_.instances.size() && !diagnostics_->full(); ++id) {
    const Kind& kind = program_.kinds[instance(id).kind];
    for (std::uint32_t i = 0; i < kind.cautions.size(); ++i) {
      const Caution& caution = kind.cautions[i];
      Check check{Code::caution, id, builder_.constant(1)};
      if (caution.condition != none) {
        Frame frame{id, {}};
        check = comparison_check(Code::caution, caution.condition, frame);
        if (builder_.is_constant(check.node) && builder_.value(check.node) == 0) continue;
      }
      check.index = i;
      out_.cautions.push_back(check);
    }
  }
}

void Lowerer::lower_expectations() {
  for (std::uint32_t i = 0; i < program_.expectations.size(); ++i) {
    const Expectation& expectation = program_.expectations[i];
    Frame frame;
    Check check = comparison_check(Code::expectation_failed, expectation.condition, frame);
    check.index = i;
    if (expectation.tolerance != none && check.left < slot_missing && check.right < slot_missing) {
      GraphId tolerance = lower(expectation.tolerance, frame);
      if (tolerance == slot_missing) tolerance = builder_.constant(0);
      const GraphId gap = builder_.make(Op::absolute, builder_.make(Op::subtract, check.left, check.right));
      check.node = builder_.make(Op::near_less_equal, gap, tolerance);
    }
    out_.expectations.push_back(check);
  }
}

void Lowerer::lower_listings() {
  for (std::uint32_t i = 0; i < program_.listings.size(); ++i) {
    const Listing& listing = program_.listings[i];
    if (listing.loop == none) continue;
    ListingTable table;
    table.listing = i;
    Frame frame;
    each(listing.loop, frame, [&] {
      table.rows.push_back(frame.locals[1]);
      if (listing.over != none) field(frame.locals[1], listing.over);
      for (const Column& column : listing.columns) {
        const std::uint32_t value = lower(column.formula, frame);
        table.cells.push_back({formula(column.formula).type, value == slot_missing ? no_node : value});
      }
      return true;
    });
    out_.listings.push_back(std::move(table));
  }
}

std::uint32_t Lowerer::field(InstanceId id, Slot slot) {
  const std::uint32_t at = instance(id).first_slot + slot;
  const TypeTag tag = program_.kinds[instance(id).kind].fields[slot].type.tag;
  if (options_.dependencies && tag != TypeTag::list && tag != TypeTag::set) note({id, slot, none, none, none});
  const std::uint32_t known = out_.slot_values[at];
  if (known == slot_missing) {
    if (const auto cause = missing_of_.find(at); cause != missing_of_.end()) missing_ = cause->second;
  }
  if (known != slot_unset && known != slot_busy) return known;
  const bool numeric = tag == TypeTag::quantity || tag == TypeTag::point || tag == TypeTag::flag ||
                       tag == TypeTag::choice || tag == TypeTag::whole;
  if (known == slot_busy) {
    std::size_t from = stack_.size();
    while (from > 0 && stack_[from - 1] != std::pair{id, slot}) --from;
    report_cycle(from == 0 ? 0 : from - 1);
    return numeric ? builder_.broken() : slot_missing;
  }
  if (stack_.size() >= limits::chain) {
    if (!too_large_) {
      fail(Code::chain_too_deep, program_.kinds[instance(id).kind].fields[slot].span,
           fmt::format("more than {} figures depend on each other in one chain, up to `{}.{}`", limits::chain, path(id),
                       program_.text(program_.kinds[instance(id).kind].fields[slot].name)),
           "break the chain: refer to a sum over all instead of each to the next");
    }
    too_large_ = true;
    return numeric ? builder_.broken() : slot_missing;
  }
  out_.slot_values[at] = slot_busy;
  stack_.emplace_back(id, slot);
  if (options_.dependencies) recording_.emplace_back();
  const std::uint32_t value = field_value(id, slot);
  if (options_.dependencies) {
    out_.dependencies[at] = std::move(recording_.back());
    recording_.pop_back();
  }
  stack_.pop_back();
  out_.slot_values[at] = value;
  if (value == slot_missing) missing_of_[at] = missing_;
  return value;
}

std::uint32_t Lowerer::field_value(InstanceId id, Slot slot) {
  const Kind& kind = program_.kinds[instance(id).kind];
  const Field& field = kind.fields[slot];
  Frame frame{id, {}};
  if (const Given* given = out_.instances.given(id, slot); given != nullptr) {
    const Facts* facts = given->facts == none ? nullptr : &program_.facts[given->facts];
    if (given->formula == none) return literal(given->amount(), field.type, {id, slot}, facts, given->unknown);
    return lower(given->formula, frame);
  }
  if (field.formula != none) {
    const Facts* facts = field.facts == none ? nullptr : &program_.facts[field.facts];
    if (field.literal) return literal(formula(field.formula).amount(), field.type, {id, slot}, facts, false);
    return lower(field.formula, frame);
  }
  switch (field.type.tag) {
    case TypeTag::text:
      return 0;
    case TypeTag::many:
      lists_.emplace_back();
      return static_cast<std::uint32_t>(lists_.size() - 1);
    case TypeTag::list:
    case TypeTag::set: {
      std::vector<std::pair<std::uint32_t, InstanceId>> children;
      for (InstanceId child = id + 1; child < instance(id).after; child = instance(child).after) {
        if (program_.drafts[instance(child).draft].slot == slot) {
          children.emplace_back(field.type.tag == TypeTag::list ? instance(child).position : 0, child);
        }
      }
      std::sort(children.begin(), children.end());
      std::vector<InstanceId> list;
      for (const auto& [position, child] : children) list.push_back(child);
      lists_.push_back(std::move(list));
      return static_cast<std::uint32_t>(lists_.size() - 1);
    }
    default:
      missing_ = {field.span, id, slot, none};
      if (stack_.size() > 1) {
        const auto [asking, by] = stack_[stack_.size() - 2];
        if (asking == id && out_.instances.given(id, by) == nullptr) missing_.needed_by = by;
      }
      return slot_missing;
  }
}

/// A plain fact: an input, in its own currency, turned into the report currency by its rate. A date is a whole day,
/// also halfway between two days and in studies.
std::uint32_t Lowerer::literal(const Amount& amount, const Type& type, InputOrigin origin, const Facts* facts,
                               bool unknown) {
  std::uint8_t marks = 0;
  if (unknown) marks = facts != nullptr && facts->ranged ? mark_incomplete : mark_incomplete | mark_absent;
  const GraphId input = builder_.input(amount.value, marks);
  out_.inputs.push_back(origin);
  if (type.tag == TypeTag::point && type.id == program_.dimensions.time) return builder_.make(Op::floor, input);
  return money(input, amount.currency, amount.power);
}

/// Every field of the cycle with its place, from the one met again back to itself.
void Lowerer::report_cycle(std::size_t from) {
  const auto name = [&](const std::pair<InstanceId, Slot>& f) {
    return fmt::format("{}.{}", path(f.first),
                       program_.text(program_.kinds[instance(f.first).kind].fields[f.second].name));
  };
  // A formula of a library is not at fault: the instances it speaks for are shown.
  const auto place = [&](const std::pair<InstanceId, Slot>& f) {
    const Given* given = out_.instances.given(f.first, f.second);
    if (given != nullptr) return given->span;
    const Span formula_span = program_.kinds[instance(f.first).kind].fields[f.second].span;
    return program_.from_library(formula_span) ? program_.drafts[instance(f.first).draft].span : formula_span;
  };
  // Start at the smallest path so that the same cycle reads the same from wherever it is met.
  std::size_t start = from;
  for (std::size_t i = from; i < stack_.size(); ++i) {
    if (stack_[i] < stack_[start]) start = i;
  }
  const std::size_t length = stack_.size() - from;
  const auto hop = [&](std::size_t i) { return stack_[from + (start - from + i) % length]; };
  for (const Diagnostic& other : diagnostics_->list()) {
    if (other.code == Code::formula_cycle && other.span == place(hop(0))) return;
  }
  Diagnostic& diagnostic =
      diagnostics_->report(Code::formula_cycle, place(hop(0)), fmt::format("`{}` depends on itself", name(hop(0))));
  for (std::size_t i = 0; i < length; ++i) {
    diagnostic.labels.push_back(
        {place(hop(i)), fmt::format("`{}` uses `{}`", name(hop(i)), name(hop((i + 1) % length)))});
  }
  diagnostic.help.push_back(length == 1
                                ? "a value takes the place of the one before it and cannot use it: write it out"
                                : "give one of them a value of its own, or leave one out of the other's formula");
}

void Lowerer::report_missing(Span span) {
  const bool field = missing_.instance != none;
  const Span at = field ? program_.drafts[instance(missing_.instance).draft].span : missing_.at;
  for (const Diagnostic& other : diagnostics_->list()) {
    if (info(other.code).severity == Severity::error && other.span == at) return;
    // What those need is absent, too.
    if (other.code == Code::no_only_instance || other.code == Code::removed_but_needed) return;
  }
  if (field) {
    const Kind& kind = program_.kinds[instance(missing_.instance).kind];
    const std::string_view name = program_.text(kind.fields[missing_.slot].name);
    const std::string who = fmt::format("{} `{}`", program_.text(kind.name), path(missing_.instance));
    if (missing_.needed_by == none || kind.fields[missing_.needed_by].is_final) {
      Diagnostic& diagnostic = diagnostics_->report(Code::missing_value, at,
                                                    fmt::format("{} lacks `{}`, and something needs it", who, name));
      diagnostic.labels.push_back({span, "needed here"});
      diagnostic.help.push_back(fmt::format("add `{}: …`", name));
      return;
    }
    const Field& asking = kind.fields[missing_.needed_by];
    const std::string_view by = program_.text(asking.name);
    Diagnostic& diagnostic =
        diagnostics_->report(Code::missing_value, at, fmt::format("{} has neither `{}` nor `{}`", who, by, name));
    diagnostic.labels.push_back({asking.span, fmt::format("`{}` is worked out from `{}` here", by, name)});
    diagnostic.help.push_back(fmt::format("add `{}: …` or `{}: …`", by, name));
    return;
  }
  Diagnostic& diagnostic = diagnostics_->report(Code::missing_value, at, "this is absent and something needs it");
  if (!(span == at)) diagnostic.labels.push_back({span, "needed here"});
  diagnostic.help.push_back("say what to take instead: `(…) otherwise VALUE`, or test it with `given(…)`");
}

/// `users` are the fields that refer to it; none where it is no field that does.
void Lowerer::report_removed(Span span, DraftId removed, const std::vector<std::string>& users) {
  for (const Diagnostic& other : diagnostics_->list()) {
    if (other.code == Code::removed_but_needed && other.span == span) return;
  }
  constexpr std::size_t shown = 3;
  std::string who;
  for (std::size_t i = 0; i < users.size() && i < shown; ++i)
    who += fmt::format("{}`{}`", i == 0 ? "" : i + 1 == users.size() ? " and " : ", ", users[i]);
  if (users.size() > shown) who += fmt::format(" and {} more", users.size() - shown);
  Diagnostic& diagnostic = diagnostics_->report(
      Code::removed_but_needed, span,
      users.empty() ? fmt::format("`{}` is removed and still referred to here", program_.path(removed))
                    : fmt::format("`{}` is removed, and {} still {} to it", program_.path(removed), who,
                                  users.size() == 1 ? "refers" : "refer"));
  for (DraftId at = removed; at != none; at = program_.drafts[at].owner) {
    if (out_.instances.removed_at[at].end != 0)
      diagnostic.labels.push_back({out_.instances.removed_at[at], "removed here"});
  }
  diagnostic.help.push_back(users.empty() ? "change this reference in the scenario too"
                                          : fmt::format("in the scenario also write `{}: …`{}", users.front(),
                                                        users.size() == 1 ? "" : ", and so for each of them"));
}

std::uint32_t Lowerer::fail(Code code, Span span, std::string message, std::string help) {
  Diagnostic& diagnostic = diagnostics_->report(code, span, std::move(message));
  if (!help.empty()) diagnostic.help.push_back(std::move(help));
  return builder_.broken();
}

void Lowerer::note(Dependency dependency) {
  if (recording_.empty()) return;
  auto& list = recording_.back();
  for (const Dependency& other : list) {
    if (other == dependency) return;
  }
  list.push_back(dependency);
}

}  // namespace sprue
