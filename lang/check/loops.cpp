// Aggregates and comprehensions: what is gone through, under which names, and under which condition.
#include <fmt/format.h>
#include <tuple>

#include "lang/check/checker.hpp"
#include "lang/graph/graph.hpp"

namespace sprue {

FormulaId Checker::check_condition(TreeRef ref, Scope& scope, std::string_view what) {
  const FormulaId condition = check(ref, scope);
  if (is_error(condition)) return condition;
  if (!expect_type(condition, flag_type(), span(ref), what, scope)) return error(span(ref));
  return condition;
}

/// Pushes the loop's two locals (index or key, then item) and checks its `where`. Always paired with close_loop.
std::uint32_t Checker::open_loop(TreeRef for_clause, const TreeRef* where, Scope& scope) {
  const auto parts = children(for_clause);
  const TreeRef domain = parts.back();
  const Symbol first_name = data(parts[0]);
  const Symbol second_name = parts.size() > 2 ? data(parts[1]) : 0;
  Loop loop;
  loop.local = static_cast<std::uint32_t>(scope.locals.size());
  loop.counted = second_name != 0;
  Type index_type{TypeTag::whole, 0, 0};
  Type item_type{};
  switch (kind_of(domain)) {
    case NodeKind::domain_all:
      loop.domain = DomainKind::all;
      loop.kind = read_kind(child(domain, 0));
      if (loop.kind != none) item_type = {TypeTag::reference, loop.kind, 0};
      break;
    case NodeKind::domain_whose: {
      loop.domain = DomainKind::whose;
      loop.kind = read_kind(child(domain, 0));
      const TreeRef field = child(domain, 1);
      loop.first = check(child(domain, 2), scope);
      if (loop.kind == none) break;
      const Kind& kind = program_.kinds[loop.kind];
      item_type = {TypeTag::reference, loop.kind, 0};
      Type refers{};
      if (data(field) == words_.owner) {
        loop.slot = none;
        if (kind.within != none) refers = {TypeTag::reference, kind.within, 0};
      } else if (const auto slot = kind.slots.find(data(field)); slot != kind.slots.end()) {
        loop.slot = slot->second;
        use(field, Named::field, loop.kind, loop.slot);
        refers = kind.fields[slot->second].type;
      }
      if (refers.tag != TypeTag::reference && refers.tag != TypeTag::optional && refers.tag != TypeTag::many) {
        if (!damaged(data(field))) {
          report(Code::unknown_field, span(field),
                 fmt::format("{} has no reference `{}` to go by", text(kind.name), text(data(field))))
              .help.push_back(
                  "after `whose` name a field of type `one KIND`, `optional KIND` or `many KIND`, or `owner`");
        }
        item_type = {};
      } else if (!is_error(loop.first)) {
        const Type& target = type(loop.first);
        const bool related = (target.tag == TypeTag::reference || target.tag == TypeTag::optional) &&
                             (program_.is_a(target.id, refers.id) || program_.is_a(refers.id, target.id));
        if (!related) {
          report(Code::wrong_type, formula(loop.first).span,
                 fmt::format("`{}` refers to {}, and this is {}", text(data(field)),
                             text(program_.kinds[refers.id].name), describe(target)))
              .help.push_back(
                  fmt::format("write a name or field that stands for one {}", text(program_.kinds[refers.id].name)));
        }
      }
      break;
    }
    case NodeKind::domain_range: {
      loop.domain = DomainKind::range;
      loop.first = check(child(domain, 0), scope);
      loop.second = check(child(domain, 1), scope);
      const Type whole{TypeTag::whole, 0, 0};
      for (const auto& [end, part, what] : {std::tuple{loop.first, child(domain, 0), "the start of a range"},
                                            std::tuple{loop.second, child(domain, 1), "the end of a range"}}) {
        if (type(end) != quantity(ratio) || formula(end).op == FormulaOp::constant) {
          expect_type(end, whole, span(part), what, scope);
          continue;
        }
        report(Code::not_known_before, span(part),
               fmt::format("{} must be known before evaluation, and this is a figure", what))
            .help.push_back(
                "use a field of type `whole`, `count(…)` or an index; or go to a number that is always enough and "
                "write "
                "`if i <= FIGURE then … else 0`");
      }
      item_type = whole;
      break;
    }
    default: {
      loop.first = check(domain, scope);
      const Type over = type(loop.first);
      switch (over.tag) {
        case TypeTag::list:
        case TypeTag::set:
        case TypeTag::many:
          loop.domain = DomainKind::references;
          item_type = {TypeTag::reference, over.id, 0};
          break;
        case TypeTag::series:
          loop.domain = DomainKind::series;
          item_type = quantity(over.id);
          break;
        case TypeTag::table:
        case TypeTag::curve:
          loop.domain = DomainKind::table;
          item_type = quantity(over.id);
          index_type = quantity(over.key);
          break;
        case TypeTag::error:
          break;
        default:
          report(Code::wrong_type, span(domain), fmt::format("cannot go through {}", describe(over)))
              .help.push_back(
                  "after `in` write a list, set or series, `all KIND`, `KIND whose FIELD is …`, or `1 .. n`");
      }
    }
  }
  const bool counted = second_name != 0;
  scope.locals.push_back({counted ? first_name : 0, item_type.tag == TypeTag::error ? Type{} : index_type, parts[0]});
  if (counted) use(parts[0], scope.locals.back());
  scope.locals.push_back({counted ? second_name : first_name, item_type, parts[counted ? 1 : 0]});
  use(scope.locals.back().where, scope.locals.back());
  if (where != nullptr) {
    loop.where = check_condition(child(*where, 0), scope, "a `where`");
    // `where x is KIND` narrows x for the body.
    std::vector<FormulaId> conditions{loop.where};
    while (!conditions.empty()) {
      const FormulaId id = conditions.back();
      conditions.pop_back();
      const Formula& f = formula(id);
      if (f.op == FormulaOp::arithmetic && f.a == static_cast<std::uint32_t>(Op::logical_and)) {
        conditions.push_back(argument(id, 0));
        conditions.push_back(argument(id, 1));
      } else if (f.op == FormulaOp::kind_test) {
        const Formula& tested = formula(argument(id, 0));
        Type& narrowed = scope.locals.back().type;
        if (tested.op == FormulaOp::local && tested.a == loop.local + 1 && program_.is_a(f.a, narrowed.id))
          narrowed.id = f.a;
      }
    }
  }
  program_.loops.push_back(loop);
  return static_cast<std::uint32_t>(program_.loops.size() - 1);
}

FormulaId Checker::check_aggregate(TreeRef ref, Scope& scope) {
  const Symbol word = data(ref);
  const std::pair<Symbol, AggregateWord> words[] = {
      {words_.sum, AggregateWord::sum},     {words_.greatest, AggregateWord::greatest},
      {words_.least, AggregateWord::least}, {words_.count, AggregateWord::count},
      {words_.any, AggregateWord::any},     {words_.every, AggregateWord::every},
      {words_.first, AggregateWord::first}, {words_.last, AggregateWord::last}};
  AggregateWord which = AggregateWord::sum;
  for (const auto& [symbol, value] : words) {
    if (symbol == word) which = value;
  }
  const auto parts = children(ref);
  Formula result;
  result.span = span(ref);
  result.b = static_cast<std::uint32_t>(which);
  if (parts.size() == 2 && kind_of(parts[1]) == NodeKind::where_clause) {
    report(Code::syntax, span(parts[1]), "a `where` without a `for` before it")
        .help.push_back(fmt::format("write `{}(x.field for x in … where …)`", text(word)));
    return error(span(ref));
  }
  const auto bad = [&](FormulaId id, std::string_view needs) {
    report(Code::wrong_type, formula(id).span,
           fmt::format("`{}` needs {}, and this is {}", text(word), needs, describe(type(id))));
    return error(span(ref));
  };
  if (parts.size() == 1) {  // of a series or a list alone
    const FormulaId collection = check(parts[0], scope);
    const Type over = type(collection);
    if (over.tag == TypeTag::error) return error(span(ref));
    const bool listed = over.tag == TypeTag::list || over.tag == TypeTag::set || over.tag == TypeTag::many;
    result.op = FormulaOp::total;
    if (which == AggregateWord::count &&
        (listed || over.tag == TypeTag::series || over.tag == TypeTag::table || over.tag == TypeTag::curve)) {
      result.type = {TypeTag::whole, 0, 0};
    } else if ((which == AggregateWord::first || which == AggregateWord::last) && listed) {
      result.type = {TypeTag::optional, over.id, 0};
    } else if (over.tag == TypeTag::series && which <= AggregateWord::least) {
      result.type = quantity(over.id);
    } else {
      report(Code::wrong_type, span(parts[0]), fmt::format("`{}` cannot be taken of {}", text(word), describe(over)))
          .help.push_back(fmt::format("write `{}(x.field for x in …)`", text(word)));
      return error(span(ref));
    }
    return add(result, {collection});
  }
  const TreeRef* where = parts.size() > 2 ? &parts[2] : nullptr;
  const std::uint32_t loop = open_loop(parts[1], where, scope);
  const FormulaId body = check(parts[0], scope);
  close_loop(scope);
  const Type inner = type(body);
  const bool broken =
      inner.tag == TypeTag::error || (program_.loops[loop].where != none && is_error(program_.loops[loop].where));
  if (broken) return error(span(ref));
  result.op = FormulaOp::aggregate;
  result.a = loop;
  switch (which) {
    case AggregateWord::sum:
      if (!dimension_of(body)) return bad(body, "quantities");
      result.type = inner;
      break;
    case AggregateWord::greatest:
    case AggregateWord::least:
      if (!dimension_of(body) && inner.tag != TypeTag::point) return bad(body, "quantities or dates");
      result.type = inner;
      break;
    case AggregateWord::count:
      result.type = {TypeTag::whole, 0, 0};
      break;
    case AggregateWord::any:
    case AggregateWord::every:
      if (inner.tag != TypeTag::flag) return bad(body, "conditions");
      result.type = inner;
      break;
    case AggregateWord::first:
    case AggregateWord::last:
      if (inner.tag != TypeTag::reference && inner.tag != TypeTag::optional) return bad(body, "instances");
      result.type = {TypeTag::optional, inner.id, 0};
      break;
  }
  return add(result, {body});
}

FormulaId Checker::check_comprehension(TreeRef ref, Scope& scope) {
  const auto parts = children(ref);
  const TreeRef* where = parts.size() > 2 ? &parts[2] : nullptr;
  const std::uint32_t loop = open_loop(parts[1], where, scope);
  const FormulaId body = check(parts[0], scope);
  close_loop(scope);
  if (is_error(body)) return error(span(ref));
  const auto dimension = dimension_of(body);
  if (!dimension) {
    report(Code::wrong_type, formula(body).span,
           fmt::format("a series holds quantities, and this is {}", describe(type(body))));
    return error(span(ref));
  }
  Formula result;
  result.op = FormulaOp::comprehension;
  result.type = {TypeTag::series, *dimension, 0};
  result.a = loop;
  result.span = span(ref);
  return add(result, {body});
}

}  // namespace sprue
