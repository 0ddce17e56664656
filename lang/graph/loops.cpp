// Unrolling: going through instances, series, tables and ranges, always in the same order.
#include <fmt/format.h>
#include <algorithm>

#include "lang/graph/lowerer.hpp"

namespace sprue {

/// Runs `step` for each member of the loop's domain that its `where` admits; false where the domain is missing.
bool Lowerer::each(std::uint32_t loop_id, Frame& frame, const Step& step) {
  const Loop& loop = program_.loops[loop_id];
  frame.locals.resize(loop.local + 2);
  bool running = true;
  const auto visit = [&](double index, std::uint32_t item) {
    ++steps_;
    if (!within_budget(formula(loop.first != none ? loop.first : 0).span)) {
      running = false;
      return;
    }
    frame.locals.resize(loop.local + 2);
    if (loop.counted) frame.locals[loop.local] = builder_.constant(index);
    frame.locals[loop.local + 1] = item;
    if (loop.where != none) {
      const std::uint32_t admitted = lower(loop.where, frame);
      if (admitted == slot_missing) return;
      if (!builder_.is_constant(admitted)) {
        if (!is_broken(admitted)) {
          fail(Code::not_known_before, formula(loop.where).span, "a `where` must be known before evaluation",
               "compare choices, kinds, references or flags; for quantities write `if … then … else` inside the sum");
        }
        running = false;
        return;
      }
      if (builder_.value(admitted) == 0) return;
    }
    running = step();
  };
  const auto visit_all = [&](const std::vector<InstanceId>& list) {
    for (std::size_t i = 0; i < list.size() && running; ++i) visit(static_cast<double>(i + 1), list[i]);
  };
  switch (loop.domain) {
    case DomainKind::all:
      visit_all(std::vector<InstanceId>(of_kind(loop.kind)));
      return true;
    case DomainKind::whose: {
      const InstanceId to = lower(loop.first, frame);
      if (to == slot_missing) return false;
      if (loop.slot != none) {
        visit_all(std::vector<InstanceId>(referring(loop.kind, loop.slot, to)));
        return true;
      }
      std::vector<InstanceId> owned;
      for (InstanceId child = to + 1; child < instance(to).after; child = instance(child).after) {
        if (program_.is_a(instance(child).kind, loop.kind)) owned.push_back(child);
      }
      visit_all(owned);
      return true;
    }
    case DomainKind::references: {
      const std::uint32_t list = lower(loop.first, frame);
      if (list == slot_missing) return false;
      visit_all(std::vector<InstanceId>(lists_[list]));
      return true;
    }
    case DomainKind::series: {
      const std::uint32_t series = lower(loop.first, frame);
      if (series == slot_missing) return false;
      const std::vector<GraphId> values = series_[series];
      for (std::size_t i = 0; i < values.size() && running; ++i) visit(static_cast<double>(i + 1), values[i]);
      return true;
    }
    case DomainKind::table: {
      const std::uint32_t at = lower(loop.first, frame);
      if (at == slot_missing) return false;
      const Table table = tables_[at];
      for (std::size_t i = 0; i < table.keys.size() && running; ++i) visit(table.keys[i], table.values[i]);
      return true;
    }
    case DomainKind::range: {
      const std::uint32_t low = lower(loop.first, frame);
      const std::uint32_t high = lower(loop.second, frame);
      if (low == slot_missing || high == slot_missing) return false;
      const auto from = whole(low, formula(loop.first).span);
      const auto to = whole(high, formula(loop.second).span);
      if (!from || !to) return true;
      if (*to - *from >= static_cast<long>(limits::range_items)) {
        fail(Code::graph_too_large, formula(loop.second).span,
             fmt::format("this range holds more than {} numbers", limits::range_items), "shorten the range");
        return true;
      }
      for (long i = *from; i <= *to && running; ++i)
        visit(static_cast<double>(i), builder_.constant(static_cast<double>(i)));
      return true;
    }
  }
  return true;
}

std::uint32_t Lowerer::lower_aggregate(FormulaId id, Frame& frame) {
  const Formula& f = formula(id);
  const auto word = static_cast<AggregateWord>(f.b);
  const FormulaId body = argument(id, 0);
  std::uint32_t result = slot_missing;
  long count = 0;
  bool missing_inside = false;
  const bool there = each(f.a, frame, [&] {
    if (word == AggregateWord::count) {
      ++count;
      return true;
    }
    const std::uint32_t value = lower(body, frame);
    if (value == slot_missing) {
      missing_inside = true;
      return false;
    }
    if (result == slot_missing) {
      result = value;
      return word != AggregateWord::first;
    }
    switch (word) {
      case AggregateWord::sum:
        result = builder_.make(Op::add, result, value);
        break;
      case AggregateWord::greatest:
        result = builder_.make(Op::maximum, result, value);
        break;
      case AggregateWord::least:
        result = builder_.make(Op::minimum, result, value);
        break;
      case AggregateWord::any:
        result = builder_.make(Op::logical_or, result, value);
        break;
      case AggregateWord::every:
        result = builder_.make(Op::logical_and, result, value);
        break;
      default:
        result = value;
        break;
    }
    return true;
  });
  frame.locals.resize(program_.loops[f.a].local);
  if (!there || missing_inside) return slot_missing;
  if (result != slot_missing) return result;
  if (word == AggregateWord::count) return builder_.constant(static_cast<double>(count));
  if (word == AggregateWord::sum || word == AggregateWord::any) return builder_.constant(0);
  if (word == AggregateWord::every) return builder_.constant(1);
  missing_ = {f.span};
  return slot_missing;
}

/// `sum(series)`, `count(list)`, `first(list)`.
std::uint32_t Lowerer::lower_total(FormulaId id, Frame& frame) {
  const Formula& f = formula(id);
  const auto word = static_cast<AggregateWord>(f.b);
  const std::uint32_t collection = lower(argument(id, 0), frame);
  if (collection == slot_missing) return slot_missing;
  const TypeTag tag = formula(argument(id, 0)).type.tag;
  const bool tabled = tag == TypeTag::table || tag == TypeTag::curve;
  if (tag != TypeTag::series) {
    const std::size_t size = tabled ? tables_[collection].keys.size() : lists_[collection].size();
    if (word == AggregateWord::count) return builder_.constant(static_cast<double>(size));
    missing_ = {f.span};
    if (size == 0) return slot_missing;
    return word == AggregateWord::first ? lists_[collection].front() : lists_[collection].back();
  }
  steps_ += series_[collection].size();
  if (!within_budget(f.span)) return builder_.broken();
  const std::vector<GraphId> values = series_[collection];
  if (word == AggregateWord::count) return builder_.constant(static_cast<double>(values.size()));
  if (values.empty()) {
    missing_ = {f.span};
    return word == AggregateWord::sum ? builder_.constant(0) : slot_missing;
  }
  const Op op = word == AggregateWord::sum ? Op::add : word == AggregateWord::greatest ? Op::maximum : Op::minimum;
  GraphId result = values[0];
  for (std::size_t i = 1; i < values.size(); ++i) result = builder_.make(op, result, values[i]);
  return result;
}

std::uint32_t Lowerer::lower_series(FormulaId id, Frame& frame) {
  const Formula& f = formula(id);
  std::vector<GraphId> values;
  bool missing_inside = false;
  if (f.op == FormulaOp::comprehension) {
    const bool there = each(f.a, frame, [&] {
      const std::uint32_t value = lower(argument(id, 0), frame);
      missing_inside = missing_inside || value == slot_missing;
      values.push_back(value);
      return !missing_inside;
    });
    frame.locals.resize(program_.loops[f.a].local);
    if (!there || missing_inside) return slot_missing;
  } else {
    for (std::uint32_t i = 0; i < f.count; ++i) {
      const FormulaId item = argument(id, i);
      const std::uint32_t value = lower(item, frame);
      if (value == slot_missing) return slot_missing;
      values.insert(values.end(), formula(item).op == FormulaOp::repeated ? formula(item).a : 1, value);
      if (values.size() > limits::range_items) break;
    }
  }
  if (values.size() > limits::range_items) {
    fail(Code::graph_too_large, f.span, fmt::format("this series holds more than {} items", limits::range_items),
         "write coarser steps");
    values.resize(1);
  }
  series_.push_back(std::move(values));
  return static_cast<std::uint32_t>(series_.size() - 1);
}

const std::vector<InstanceId>& Lowerer::of_kind(KindId kind) {
  const auto [found, fresh] = of_kind_.try_emplace(kind);
  if (fresh) {
    for (InstanceId id = 0; id < out_.instances.size(); ++id) {
      if (program_.is_a(instance(id).kind, kind)) found->second.push_back(id);
    }
  }
  return found->second;
}

/// All instances of the kind whose field in the slot refers to `to`, in path order.
const std::vector<InstanceId>& Lowerer::referring(KindId kind, Slot slot, InstanceId to) {
  const std::uint64_t key = (std::uint64_t{kind} << 32U) | slot;
  if (referring_.find(key) == referring_.end()) {
    // Making the index is nobody's dependency.
    std::vector<std::vector<Dependency>> recording;
    std::swap(recording, recording_);
    std::unordered_map<InstanceId, std::vector<InstanceId>> index;
    const TypeTag tag = program_.kinds[kind].fields[slot].type.tag;
    for (const InstanceId id : std::vector<InstanceId>(of_kind(kind))) {
      const std::uint32_t value = field(id, slot);
      if (value == slot_missing) continue;
      if (tag == TypeTag::many) {
        for (const InstanceId target : lists_[value]) index[target].push_back(id);
      } else {
        index[value].push_back(id);
      }
    }
    std::swap(recording, recording_);
    referring_.emplace(key, std::move(index));
  }
  static const std::vector<InstanceId> nobody;
  const auto& index = referring_.at(key);
  const auto found = index.find(to);
  return found == index.end() ? nobody : found->second;
}

}  // namespace sprue
