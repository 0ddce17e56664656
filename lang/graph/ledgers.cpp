// Postings and the values of ledgers. A category is posted once, when something first needs it; meeting it again while
// it is under way is a cycle.
#include <fmt/format.h>
#include <algorithm>

#include "lang/graph/lowerer.hpp"

namespace sprue {

/// False (and reported) where the category depends on itself.
bool Lowerer::ensure(LedgerId ledger, std::uint32_t category, Span span) {
  CategoryState& state = ledgers_[ledger][category];
  if (state.state == 1) {
    const Ledger& of = program_.ledgers[ledger];
    for (const Diagnostic& other : diagnostics_->list()) {
      if (other.code == Code::formula_cycle && other.span == span) return false;
    }
    Diagnostic& diagnostic =
        diagnostics_->report(Code::formula_cycle, span,
                             fmt::format("the ledger value `{}.{}` depends on itself", program_.text(of.name),
                                         program_.text(of.categories[category].name)));
    for (const auto& [id, slot] : stack_) {
      const Field& field = program_.kinds[instance(id).kind].fields[slot];
      diagnostic.labels.push_back({field.span, fmt::format("through `{}.{}`", path(id), program_.text(field.name))});
    }
    diagnostic.help.push_back(
        "a posting cannot depend on the total it is part of; post it to a category of its own, or use `L.of(…)` of "
        "other items");
    return false;
  }
  if (state.state == 0) {
    state.state = 1;
    lower_postings(ledger, category);
    ledgers_[ledger][category].state = 2;
  }
  return true;
}

void Lowerer::lower_postings(LedgerId ledger, std::uint32_t category) {
  std::vector<bool> posting_kind(program_.kinds.size(), false);
  for (KindId kind = 0; kind < program_.kinds.size(); ++kind) {
    for (const PostTemplate& post : program_.kinds[kind].posts) {
      if (post.ledger == ledger && post.category == category) posting_kind[kind] = true;
    }
  }
  // What posting needs is recorded for nobody: the ledger value itself is the dependency.
  std::vector<std::vector<Dependency>> recording;
  std::swap(recording, recording_);
  for (InstanceId id = 0; id < out_.instances.size(); ++id) {
    const Kind& kind = program_.kinds[instance(id).kind];
    if (!posting_kind[instance(id).kind]) continue;
    for (const PostTemplate& post : kind.posts) {
      if (post.ledger != ledger || post.category != category) continue;
      Frame frame{id, {}};
      if (post.loop != none) {
        each(post.loop, frame, [&] {
          add_posting(id, post, frame);
          return true;
        });
        continue;
      }
      if (post.where != none) {
        const std::uint32_t admitted = lower(post.where, frame);
        if (admitted == slot_missing) continue;
        if (!builder_.is_constant(admitted)) {
          if (!is_broken(admitted))
            fail(Code::not_known_before, formula(post.where).span, "a `where` must be known before evaluation",
                 "write `if … then … else` in the amount");
          continue;
        }
        if (builder_.value(admitted) == 0) continue;
      }
      add_posting(id, post, frame);
    }
  }
  std::swap(recording, recording_);
}

/// A posting takes the room of so many turns of a loop.
constexpr std::size_t posting_steps = 4;

void Lowerer::add_posting(InstanceId id, const PostTemplate& post, Frame& frame) {
  steps_ += posting_steps;
  if (!within_budget(post.span)) return;
  Posting posting{post.ledger, post.category, id, no_node, no_node, post.span};
  const std::uint32_t amount = lower(post.amount, frame);
  if (amount == slot_missing) {
    report_missing(post.span);
    return;
  }
  posting.amount = amount;
  if (post.date != none) {
    const std::uint32_t date = lower(post.date, frame);
    if (date == slot_missing) {
      report_missing(post.span);
      return;
    }
    posting.date = date;
  }
  ledgers_[post.ledger][post.category].postings.push_back(posting);
}

/// What has no figure is left out, and marks the sum as incomplete.
GraphId Lowerer::sum(const std::vector<const Posting*>& postings, const std::function<GraphId(const Posting&)>& term) {
  GraphId result = no_node;
  bool incomplete = false;
  for (const Posting* posting : postings) {
    const bool absent = (builder_.marks(posting->amount) & mark_absent) != 0 ||
                        (posting->date != no_node && (builder_.marks(posting->date) & mark_absent) != 0);
    if (absent) {
      incomplete = true;
      continue;
    }
    const GraphId value = term(*posting);
    result = result == no_node ? value : builder_.make(Op::add, result, value);
  }
  if (result == no_node) result = builder_.constant(0);
  return incomplete ? builder_.make(Op::add, result, builder_.incomplete_zero()) : result;
}

GraphId Lowerer::category_total(LedgerId ledger, std::uint32_t category) {
  CategoryState& state = ledgers_[ledger][category];
  if (state.total == no_node) {
    std::vector<const Posting*> postings;
    for (const Posting& posting : state.postings) postings.push_back(&posting);
    state.total = sum(postings, [](const Posting& posting) { return posting.amount; });
  }
  return state.total;
}

/// Categories by name, so that the order they are declared in cannot move the last bit.
GraphId Lowerer::ledger_total(LedgerId ledger_id) {
  const Ledger& ledger = program_.ledgers[ledger_id];
  std::vector<std::uint32_t> order;
  for (std::uint32_t i = 0; i < ledger.categories.size(); ++i) order.push_back(i);
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    return program_.text(ledger.categories[a].name) < program_.text(ledger.categories[b].name);
  });
  GraphId result = builder_.constant(0);
  for (const std::uint32_t category : order) {
    const GraphId part = category_total(ledger_id, category);
    result =
        builder_.make(ledger.categories[category].direction == Direction::out ? Op::subtract : Op::add, result, part);
  }
  return result;
}

std::uint32_t Lowerer::lower_ledger(FormulaId id, Frame& frame) {
  const Formula& f = formula(id);
  const Ledger& ledger = program_.ledgers[f.a];
  const auto query = static_cast<LedgerQuery>(f.b);
  if (options_.dependencies) note({none, none, f.a, query == LedgerQuery::category ? f.c : none, none});
  if (query == LedgerQuery::category) {
    return ensure(f.a, f.c, f.span) ? category_total(f.a, f.c) : builder_.broken();
  }
  std::uint32_t argument_value = none;
  if (f.count > 0) {
    argument_value = lower(argument(id, 0), frame);
    if (argument_value == slot_missing) return slot_missing;
  }
  for (std::uint32_t category = 0; category < ledger.categories.size(); ++category) {
    if (!ensure(f.a, category, f.span)) return builder_.broken();
  }
  if (query == LedgerQuery::total) return ledger_total(f.a);
  std::vector<const Posting*> postings;
  const bool only_out = query == LedgerQuery::out_before || query == LedgerQuery::out_through;
  const bool only_in = query == LedgerQuery::in_before || query == LedgerQuery::in_through;
  for (std::uint32_t category = 0; category < ledger.categories.size(); ++category) {
    const Direction direction = ledger.categories[category].direction;
    if ((only_out && direction != Direction::out) || (only_in && direction != Direction::in)) continue;
    // Postings stand in path order, and what an instance owns follows it directly.
    const auto& all = ledgers_[f.a][category].postings;
    auto from = all.begin();
    auto to = all.end();
    if (query == LedgerQuery::of) {
      const auto before = [](const Posting& posting, InstanceId first) { return posting.instance < first; };
      from = std::lower_bound(from, to, argument_value, before);
      to = std::lower_bound(from, to, instance(argument_value).after, before);
    }
    for (; from != to; ++from) postings.push_back(&*from);
  }
  steps_ += postings.size();
  if (!within_budget(f.span)) return builder_.broken();
  const auto signed_amount = [&](const Posting& posting) {
    const bool out = ledger.categories[posting.category].direction == Direction::out;
    return out && !only_out ? builder_.make(Op::negate, posting.amount) : posting.amount;
  };
  if (query == LedgerQuery::of) return sum(postings, signed_amount);
  const GraphId zero = builder_.constant(0);
  const bool through = query == LedgerQuery::through || query == LedgerQuery::out_through ||
                       query == LedgerQuery::in_through || query == LedgerQuery::lowest_through;
  const bool dated = argument_value != none;
  const GraphId day = dated ? argument_value : zero;
  const auto within = [&](const Posting& posting) {
    const GraphId counts = builder_.make(through ? Op::less_equal : Op::less, posting.date, day);
    return builder_.select(counts, signed_amount(posting), zero);
  };
  if (query != LedgerQuery::lowest && query != LedgerQuery::lowest_through && query != LedgerQuery::lowest_date)
    return sum(postings, within);
  std::vector<GraphId> operands;
  bool incomplete = false;
  for (const Posting* posting : postings) {
    if (((builder_.marks(posting->amount) | builder_.marks(posting->date)) & mark_absent) != 0) {
      incomplete = true;
      continue;
    }
    operands.push_back(posting->date);
    operands.push_back(query == LedgerQuery::lowest_through ? within(*posting) : signed_amount(*posting));
  }
  if (operands.empty()) {
    missing_ = {f.span};
    return query == LedgerQuery::lowest_date ? slot_missing : zero;
  }
  const GraphId result = builder_.make_list(query == LedgerQuery::lowest_date ? Op::lowest_date : Op::lowest, operands);
  return incomplete ? builder_.make(Op::add, result, builder_.incomplete_zero()) : result;
}

/// Every ledger whole, its postings grouped by category.
void Lowerer::collect_ledgers() {
  for (LedgerId ledger = 0; ledger < program_.ledgers.size(); ++ledger) {
    const Ledger& of = program_.ledgers[ledger];
    LedgerTotals totals;
    bool fine = true;
    for (std::uint32_t category = 0; category < of.categories.size(); ++category)
      fine = ensure(ledger, category, of.span) && fine;
    if (!fine) continue;
    for (std::uint32_t category = 0; category < of.categories.size(); ++category)
      totals.categories.push_back(category_total(ledger, category));
    totals.total = ledger_total(ledger);
    totals.first_posting = static_cast<std::uint32_t>(out_.postings.size());
    for (std::uint32_t category = 0; category < of.categories.size(); ++category) {
      const auto& postings = ledgers_[ledger][category].postings;
      out_.postings.insert(out_.postings.end(), postings.begin(), postings.end());
    }
    totals.posting_count = static_cast<std::uint32_t>(out_.postings.size()) - totals.first_posting;
    out_.ledgers.push_back(std::move(totals));
  }
}

}  // namespace sprue
