// One formula in one frame: arithmetic, branches, references, tables, money.
#include <fmt/format.h>
#include <cmath>

#include "lang/graph/arithmetic.hpp"
#include "lang/graph/lowerer.hpp"

namespace sprue {

/// Formulas lead to formulas: however deep, the stack must hold.
std::uint32_t Lowerer::lower(FormulaId id, Frame& frame) {
  const char here = 0;
  if (stack_base_ - reinterpret_cast<std::uintptr_t>(&here) <= limits::stack_bytes) {
    const std::uint32_t result = lower_one(id, frame);
    // What is new and nobody's is this formula's.
    if (options_.origins) out_.origins.resize(builder_.size(), {id, frame.self});
    return result;
  }
  if (!too_large_) {
    fail(Code::chain_too_deep, formula(id).span, "formulas depend on each other through too many steps",
         "break the chain: refer to a sum over all instead of each to the next");
  }
  too_large_ = true;
  const TypeTag tag = formula(id).type.tag;
  const bool number = tag == TypeTag::quantity || tag == TypeTag::point || tag == TypeTag::flag ||
                      tag == TypeTag::choice || tag == TypeTag::whole;
  return number ? builder_.broken() : slot_missing;
}

std::uint32_t Lowerer::lower_one(FormulaId id, Frame& frame) {
  const Formula& f = formula(id);
  switch (f.op) {
    case FormulaOp::error:
      return builder_.broken();
    case FormulaOp::constant: {
      if (f.a == none) return builder_.constant(f.value);
      return money(builder_.constant(f.value), f.a, static_cast<int>(f.b));
    }
    case FormulaOp::text:
      return f.a;
    case FormulaOp::arithmetic:
      return lower_arithmetic(id, frame);
    case FormulaOp::conditional: {
      const GraphId condition = lower(argument(id, 0), frame);
      if (condition == slot_missing) return slot_missing;
      if (builder_.is_constant(condition)) return lower(argument(id, builder_.value(condition) != 0 ? 1 : 2), frame);
      const TypeTag tag = f.type.tag;
      if (tag != TypeTag::quantity && tag != TypeTag::point && tag != TypeTag::flag && tag != TypeTag::choice &&
          tag != TypeTag::whole) {
        if (!is_broken(condition)) {
          fail(Code::not_known_before, formula(argument(id, 0)).span,
               "this condition chooses between things and must be known before evaluation",
               "compare choices, kinds or flags here, not quantities");
        }
        return slot_missing;
      }
      const std::uint32_t yes = lower(argument(id, 1), frame);
      if (yes == slot_missing) return slot_missing;
      const std::uint32_t no = lower(argument(id, 2), frame);
      if (no == slot_missing) return slot_missing;
      return builder_.select(condition, yes, no);
    }
    case FormulaOp::otherwise: {
      const std::uint32_t x = lower(argument(id, 0), frame);
      return x == slot_missing ? lower(argument(id, 1), frame) : x;
    }
    case FormulaOp::local:
      return frame.locals[f.a];
    case FormulaOp::self:
    case FormulaOp::owner:
    case FormulaOp::next:
    case FormulaOp::previous:
    case FormulaOp::the_only:
    case FormulaOp::instance:
      return lower_reference(id, frame);
    case FormulaOp::get: {
      const InstanceId reference = lower(argument(id, 0), frame);
      return reference == slot_missing ? slot_missing : field(reference, f.a);
    }
    case FormulaOp::lookup:
      return lower_lookup(id, frame);
    case FormulaOp::index: {
      const std::uint32_t series = lower(argument(id, 0), frame);
      if (series == slot_missing) return slot_missing;
      const std::uint32_t index = lower(argument(id, 1), frame);
      if (index == slot_missing) return slot_missing;
      const auto at = whole(index, formula(argument(id, 1)).span);
      if (!at) return builder_.broken();
      if (*at < 1 || *at > static_cast<long>(series_[series].size())) {
        missing_ = {f.span};
        return slot_missing;
      }
      return series_[series][static_cast<std::size_t>(*at - 1)];
    }
    case FormulaOp::call: {
      ++steps_;
      if (!within_budget(f.span)) return builder_.broken();
      Frame inner;
      for (std::uint32_t i = 0; i < f.count; ++i) {
        inner.locals.push_back(lower(argument(id, i), frame));
        if (inner.locals.back() == slot_missing) return slot_missing;
      }
      return lower(program_.functions[f.a].body, inner);
    }
    case FormulaOp::given:
      return lower_given(argument(id, 0), frame);
    case FormulaOp::kind_test: {
      const InstanceId reference = lower(argument(id, 0), frame);
      if (reference == slot_missing) return slot_missing;
      return builder_.constant(program_.is_a(instance(reference).kind, f.a) ? 1 : 0);
    }
    case FormulaOp::same: {
      const InstanceId a = lower(argument(id, 0), frame);
      const InstanceId b = lower(argument(id, 1), frame);
      return builder_.constant(a == b && a != slot_missing ? 1 : 0);
    }
    case FormulaOp::aggregate:
      return lower_aggregate(id, frame);
    case FormulaOp::total:
      return lower_total(id, frame);
    case FormulaOp::comprehension:
    case FormulaOp::series:
      return lower_series(id, frame);
    case FormulaOp::repeated:
      return lower(argument(id, 0), frame);
    case FormulaOp::references: {
      std::vector<InstanceId> list;
      for (std::uint32_t i = 0; i < f.count; ++i) {
        const InstanceId reference = lower(argument(id, i), frame);
        if (reference != slot_missing) list.push_back(reference);
      }
      lists_.push_back(std::move(list));
      return static_cast<std::uint32_t>(lists_.size() - 1);
    }
    case FormulaOp::table: {
      Table table;
      table.curve = f.type.tag == TypeTag::curve;
      for (std::uint32_t i = 0; i + 1 < f.count; i += 2) {
        table.keys.push_back(formula(argument(id, i)).value);
        const std::uint32_t value = lower(argument(id, i + 1), frame);
        if (value == slot_missing) return slot_missing;
        table.values.push_back(value);
      }
      tables_.push_back(std::move(table));
      return static_cast<std::uint32_t>(tables_.size() - 1);
    }
    case FormulaOp::ledger:
      return lower_ledger(id, frame);
    case FormulaOp::step: {
      const std::uint32_t x = lower(argument(id, 0), frame);
      if (x == slot_missing) return slot_missing;
      const std::uint32_t step = lower(argument(id, 1), frame);
      if (step == slot_missing) return slot_missing;
      return builder_.make(Op::multiply, builder_.make(static_cast<Op>(f.a), builder_.make(Op::divide, x, step)), step);
    }
  }
  return builder_.broken();
}

/// False, and reported once, where the program unrolls to more than the limits.
bool Lowerer::within_budget(Span span) {
  if (too_large_) return false;
  if (builder_.size() <= limits::graph_nodes && steps_ <= limits::graph_steps) return true;
  too_large_ = true;
  fail(Code::graph_too_large, span,
       fmt::format("the program unrolls to more than {} operations or {} turns of loops and calls", limits::graph_nodes,
                   limits::graph_steps),
       "shorten ranges and series, or replace a sum over a sum by one sum");
  return false;
}

std::uint32_t Lowerer::lower_arithmetic(FormulaId id, Frame& frame) {
  const Formula& f = formula(id);
  const auto op = static_cast<Op>(f.a);
  if (!within_budget(f.span)) return builder_.broken();
  const std::uint32_t a = lower(argument(id, 0), frame);
  if (a == slot_missing) return slot_missing;
  // What is decided by the left side alone does not need the right side to exist.
  if ((op == Op::logical_and || op == Op::logical_or) && builder_.is_constant(a)) {
    if ((builder_.value(a) != 0) == (op == Op::logical_or)) return builder_.constant(op == Op::logical_or ? 1 : 0);
  }
  std::uint32_t b = 0;
  if (f.count > 1) {
    b = lower(argument(id, 1), frame);
    if (b == slot_missing) return slot_missing;
  }
  return builder_.make(op, a, b);
}

/// 1 where an optional reference is there, or where the instance states the field itself. Apart from `lower`, whose
/// frame must stay small.
GraphId Lowerer::lower_given(FormulaId asked, Frame& frame) {
  const Formula& f = formula(asked);
  if (f.op != FormulaOp::get || f.type.tag == TypeTag::optional)
    return builder_.constant(lower(asked, frame) == slot_missing ? 0 : 1);
  const InstanceId holder = lower(argument(asked, 0), frame);
  const bool own = holder != slot_missing && out_.instances.given(holder, f.a) != nullptr;
  return builder_.constant(own ? 1 : 0);
}

/// Told once for a kind. Where a library asks, the instances are what can be changed.
void Lowerer::report_not_only(const Formula& asked, std::string_view kind, const std::vector<InstanceId>& all,
                              InstanceId self) {
  const std::string count = all.empty() ? std::string("is none") : fmt::format("are {}", all.size());
  const std::string message = fmt::format("`the {}` needs one {}, and there {}", kind, kind, count);
  for (const Diagnostic& other : diagnostics_->list()) {
    if (other.code == Code::no_only_instance && other.message == message) return;
  }
  if (all.empty()) {
    fail(Code::no_only_instance, asked.span, message, fmt::format("declare one: `{} NAME {{ … }}`", kind));
    return;
  }
  const auto place = [&](InstanceId id) { return program_.drafts[instance(id).draft].span; };
  const bool library = program_.from_library(asked.span);
  const std::size_t shown = std::min<std::size_t>(all.size(), 3);
  Diagnostic& diagnostic =
      diagnostics_->report(Code::no_only_instance, library ? place(all[shown - 1]) : asked.span, message);
  for (std::size_t i = 0; i < shown - (library ? 1 : 0); ++i)
    diagnostic.labels.push_back({place(all[i]), fmt::format("`{}` is one", path(all[i]))});
  if (library) {
    diagnostic.help.push_back("keep one of them");
  } else if (self != none) {
    diagnostic.labels.push_back({place(self), fmt::format("needed for `{}`", path(self))});
    diagnostic.help.push_back(fmt::format("give `{}` the one that is meant", path(self)));
  }
}

std::uint32_t Lowerer::lower_reference(FormulaId id, Frame& frame) {
  const Formula& f = formula(id);
  missing_ = {f.span};
  switch (f.op) {
    case FormulaOp::self:
      return frame.self;
    case FormulaOp::owner: {
      const InstanceId of = f.count == 1 ? lower(argument(id, 0), frame) : frame.self;
      return of == slot_missing ? slot_missing : instance(of).owner;
    }
    case FormulaOp::next:
    case FormulaOp::previous: {
      const Instance& self = instance(frame.self);
      if (self.owner == none) return slot_missing;
      const Slot slot = program_.drafts[self.draft].slot;
      const std::uint32_t list = field(self.owner, slot);
      if (list == slot_missing) return slot_missing;
      // Members stand by position, or where they have none, as they are laid out.
      const auto& members = lists_[list];
      const bool ordered = program_.kinds[instance(self.owner).kind].fields[slot].type.tag == TypeTag::list;
      const auto before = [&](InstanceId a, InstanceId b) {
        return ordered ? instance(a).position < instance(b).position : a < b;
      };
      const auto at = std::lower_bound(members.begin(), members.end(), frame.self, before);
      if (f.op == FormulaOp::next && at + 1 != members.end()) return at[1];
      if (f.op == FormulaOp::previous && at != members.begin()) return at[-1];
      missing_ = {f.span};
      return slot_missing;
    }
    case FormulaOp::the_only: {
      const auto& all = of_kind(f.a);
      if (all.size() == 1) return all[0];
      const std::string_view name = program_.text(program_.kinds[f.a].name);
      report_not_only(f, name, all, frame.self);
      return slot_missing;
    }
    default: {
      const InstanceId found = out_.instances.of_draft[f.a];
      if (found != none) return found;
      report_removed(f.span, f.a, {});
      return slot_missing;
    }
  }
}

/// Steps: the value at the greatest key at or below. Curves: straight lines. Outside the keys a check fails.
std::uint32_t Lowerer::lower_lookup(FormulaId id, Frame& frame) {
  const Formula& f = formula(id);
  const std::uint32_t at = lower(argument(id, 0), frame);
  if (at == slot_missing) return slot_missing;
  const std::uint32_t key = lower(argument(id, 1), frame);
  if (key == slot_missing) return slot_missing;
  steps_ += tables_[at].keys.size();
  if (!within_budget(f.span)) return builder_.broken();
  const Table table = tables_[at];
  GraphId result = table.values[0];
  for (std::size_t i = 1; i < table.keys.size(); ++i) {
    const GraphId from = builder_.constant(table.keys[i]);
    if (!table.curve) {
      result = builder_.select(builder_.make(Op::near_less_equal, from, key), table.values[i], result);
      continue;
    }
    const GraphId before = builder_.constant(table.keys[i - 1]);
    const GraphId run = builder_.constant(table.keys[i] - table.keys[i - 1]);
    const GraphId rise = builder_.make(Op::subtract, table.values[i], table.values[i - 1]);
    const GraphId share = builder_.make(Op::divide, builder_.make(Op::subtract, key, before), run);
    const GraphId line = builder_.make(Op::add, table.values[i - 1], builder_.make(Op::multiply, share, rise));
    result = i == 1 ? line : builder_.select(builder_.make(Op::less_equal, before, key), line, result);
  }
  GraphId inside = builder_.make(Op::near_less_equal, builder_.constant(table.keys.front()), key);
  if (table.curve) {
    inside = builder_.make(Op::logical_and, inside,
                           builder_.make(Op::near_less_equal, key, builder_.constant(table.keys.back())));
  }
  if (!builder_.is_constant(inside) || builder_.value(inside) == 0) {
    result = builder_.asked(inside, result);
    Check check;
    check.code = Code::below_table;
    check.instance = frame.self;
    check.condition = id;
    check.node = inside;
    check.left = key;
    check.right = builder_.constant(table.keys.front());
    check.demanded_by = result;
    check.span = f.span;
    out_.requirements.push_back(check);
  }
  return result;
}

GraphId Lowerer::money(GraphId amount, std::uint32_t currency, int power) {
  if (currency == none || power == 0 || currency == program_.report_currency) return amount;
  const GraphId one = rate(currency);
  GraphId result = amount;
  for (int i = 0; i < std::abs(power); ++i) result = builder_.make(power > 0 ? Op::multiply : Op::divide, result, one);
  if (options_.dependencies) {
    for (std::uint32_t i = 0; i < program_.exchanges.size(); ++i) {
      if (program_.exchanges[i].currency == currency || program_.exchanges[i].in == currency)
        note({none, none, none, none, i});
    }
  }
  return result;
}

/// One unit of the currency in the report currency, along the fewest declared rates.
GraphId Lowerer::rate(std::uint32_t currency) {
  if (routes_.empty()) find_routes();
  std::vector<std::uint32_t> way;  // back to the first rate that is known
  for (std::uint32_t at = currency; rates_[at] == no_node; at = routes_[at].towards) {
    if (routes_[at].exchange == none) return rates_[currency] = builder_.broken();  // reported by the checker
    way.push_back(at);
  }
  for (auto at = way.rbegin(); at != way.rend(); ++at) {
    const auto [exchange, towards] = routes_[*at];
    const Op op = program_.exchanges[exchange].in == towards ? Op::multiply : Op::divide;
    rates_[*at] = builder_.make(op, rates_[towards], exchange_input(exchange));
  }
  return rates_[currency];
}

void Lowerer::find_routes() {
  routes_.resize(rates_.size());
  if (program_.report_currency == no_currency) return;
  rates_[program_.report_currency] = builder_.constant(1);
  std::vector<std::uint32_t> reached{program_.report_currency};
  for (std::size_t i = 0; i < reached.size(); ++i) {
    const std::uint32_t at = reached[i];
    for (std::uint32_t e = 0; e < program_.exchanges.size(); ++e) {
      const Exchange& exchange = program_.exchanges[e];
      const std::uint32_t other = exchange.in == at ? exchange.currency : exchange.currency == at ? exchange.in : none;
      if (other == none || other == program_.report_currency || routes_[other].exchange != none) continue;
      routes_[other] = {e, at};
      reached.push_back(other);
    }
  }
}

GraphId Lowerer::exchange_input(std::uint32_t exchange) {
  if (exchange_nodes_[exchange] == no_node) {
    exchange_nodes_[exchange] = builder_.input(out_.instances.exchange_rates[exchange]);
    out_.inputs.push_back({none, exchange});
  }
  return exchange_nodes_[exchange];
}

std::optional<long> Lowerer::whole(GraphId id, Span span) {
  if (is_broken(id)) return std::nullopt;
  if (!builder_.is_constant(id)) {
    fail(Code::not_known_before, span, "this must be known before evaluation",
         "use a field of type `whole`, `count(…)` or a loop index");
    return std::nullopt;
  }
  const double value = builder_.value(id);
  if (value != std::floor(value) || std::fabs(value) > 1e9) {
    fail(Code::not_whole, span, fmt::format("this must be a whole number up to 1000000000, and it is {}", value),
         "ranges, indices and counts go by whole numbers");
    return std::nullopt;
  }
  return static_cast<long>(value);
}

}  // namespace sprue
