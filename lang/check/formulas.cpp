// The formulas of kinds and functions, postings, requirements, and the values with their ranges and sources.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lang/check/checker.hpp"

namespace sprue {

void Checker::check_function_bodies() {
  // A function may call only functions that do not lead back to it: the depth of calls is bounded.
  for (Function& function : program_.functions) {
    Scope scope;
    for (std::size_t i = 0; i < function.parameters.size(); ++i) {
      const TreeRef name = child(child(function.where, i + 1), 0);
      scope.locals.push_back({function.parameters[i], function.types[i], name});
      use(name, scope.locals.back());
    }
    const TreeRef body = child(function.where, node(function.where).count - 1);
    const FormulaId checked = check(body, scope, &function.result);
    expect_type(checked, function.result, span(body), fmt::format("`{}`", text(function.name)), scope);
    function.body = checked;
  }
  std::vector<int> state(program_.functions.size(), 0);
  const auto visit = [&](auto&& self, std::uint32_t id) -> bool {
    if (state[id] == 2) return true;
    if (state[id] == 1) return false;
    state[id] = 1;
    std::vector<FormulaId> stack{program_.functions[id].body};
    while (!stack.empty()) {
      const Formula& f = formula(stack.back());
      stack.pop_back();
      for (std::uint32_t i = 0; i < f.count; ++i) stack.push_back(program_.arguments[f.first + i]);
      if (f.op == FormulaOp::call && !self(self, f.a)) {
        report(Code::function_cycle, f.span, fmt::format("`{}` calls itself", text(program_.functions[f.a].name)))
            .help.push_back("the language has no recursion; write the sum or the greatest over a range instead");
        program_.formulas[program_.functions[id].body].op = FormulaOp::error;
      }
    }
    state[id] = 2;
    return true;
  };
  for (std::uint32_t id = 0; id < program_.functions.size(); ++id) visit(visit, id);
}

void Checker::check_kind_formulas() {
  std::vector<KindId> order;  // bases before what is derived from them
  std::vector<bool> done(program_.kinds.size(), false);
  const auto visit = [&](auto&& self, KindId id) -> void {
    if (done[id]) return;
    done[id] = true;
    if (program_.kinds[id].base != none) self(self, program_.kinds[id].base);
    order.push_back(id);
  };
  for (KindId id = 0; id < program_.kinds.size(); ++id) visit(visit, id);
  for (const KindId id : order) {
    Kind& kind = program_.kinds[id];
    if (kind.base != none) {
      const Kind& base = program_.kinds[kind.base];
      kind.requirements.insert(kind.requirements.begin(), base.requirements.begin(), base.requirements.end());
      kind.cautions.insert(kind.cautions.begin(), base.cautions.begin(), base.cautions.end());
      kind.posts.insert(kind.posts.begin(), base.posts.begin(), base.posts.end());
      for (Slot slot = 0; slot < base.fields.size(); ++slot) {
        if (kind.fields[slot].declared_in != id) kind.fields[slot] = base.fields[slot];
      }
    }
    for (const TreeRef part : children(kind.where)) check_member(id, part);
  }
}

void Checker::check_member(KindId id, TreeRef member) {
  Scope scope;
  scope.kind = id;
  if (kind_of(member) == NodeKind::require) {
    scope.tolerant = true;
    Requirement requirement;
    requirement.span = span(child(member, 0));
    requirement.condition = check_condition(child(member, 0), scope, "a requirement");
    if (node(member).count > 1) requirement.text = data(child(member, 1));
    program_.kinds[id].requirements.push_back(requirement);
  } else if (kind_of(member) == NodeKind::caution) {
    scope.tolerant = true;
    Caution caution;
    caution.span = span(member);
    caution.text = data(child(member, 0));
    if (node(member).count > 1) caution.condition = check_condition(child(member, 1), scope, "a caution");
    program_.kinds[id].cautions.push_back(caution);
  } else if (kind_of(member) == NodeKind::post) {
    check_post(id, member);
  } else if (kind_of(member) == NodeKind::field_decl) {
    const Symbol name = data(child(member, 0));
    const auto slot = program_.kinds[id].slots.find(name);
    if (slot == program_.kinds[id].slots.end()) return;
    const Field field = program_.kinds[id].fields[slot->second];
    if (field.where.tree != member.tree || field.where.node != member.node) return;  // a repeated declaration
    TreeRef value{};
    bool found = false;
    std::vector<TreeRef> facts;
    bool typed = false;
    for (std::uint32_t i = 1; i < node(member).count; ++i) {
      const TreeRef part = child(member, i);
      const NodeKind what = kind_of(part);
      if (!typed) {
        typed = what != NodeKind::string;
      } else if (what == NodeKind::within || what == NodeKind::plus_minus || what == NodeKind::source) {
        facts.push_back(part);
      } else {
        value = part;
        found = true;
      }
    }
    if (!found) return;
    bool literal = false;
    const FormulaId checked = check_value(value, field.type, scope, fmt::format("`{}`", text(name)), literal);
    Field& target = program_.kinds[id].fields[slot->second];
    target.formula = checked;
    target.literal = literal;
    if (!facts.empty()) {
      const Type type = formula(checked).type;
      Amount amount = formula(checked).amount();
      const std::uint32_t index = check_facts(facts, value, type, amount, literal);
      if (kind_of(value) == NodeKind::unknown) {
        program_.formulas[checked].value = amount.value;
        program_.formulas[checked].a = amount.currency;
        program_.formulas[checked].b = static_cast<std::uint32_t>(amount.power);
      }
      program_.kinds[id].fields[slot->second].facts = index;
    }
  }
}

void Checker::check_post(KindId id, TreeRef ref) {
  Scope scope;
  scope.kind = id;
  PostTemplate post;
  post.span = span(ref);
  const TreeRef path = child(ref, 0);
  const TreeRef ledger_name = child(path, 0);
  const TreeRef category_name = child(path, 1);
  const auto found = ledger_names_.find(data(ledger_name));
  if (found == ledger_names_.end()) {
    if (!damaged(data(ledger_name))) {
      Diagnostic& diagnostic =
          report(Code::unknown_ledger, span(ledger_name), fmt::format("unknown ledger `{}`", text(data(ledger_name))));
      std::vector<std::string_view> names;
      for (const Ledger& ledger : program_.ledgers) names.push_back(text(ledger.name));
      suggest(diagnostic, text(data(ledger_name)), names);
    }
    return;
  }
  post.ledger = found->second;
  use(ledger_name, Named::ledger, post.ledger);
  const Ledger& ledger = program_.ledgers[post.ledger];
  post.category = none;
  for (std::uint32_t i = 0; i < ledger.categories.size(); ++i) {
    if (ledger.categories[i].name == data(category_name)) post.category = i;
  }
  if (post.category != none) use(category_name, Named::category, post.ledger, post.category);
  if (post.category == none && !damaged(data(category_name))) {
    Diagnostic& diagnostic =
        report(Code::unknown_category, span(category_name),
               fmt::format("the ledger `{}` has no category `{}`", text(ledger.name), text(data(category_name))));
    std::vector<std::string_view> names;
    std::string all;
    for (const Category& category : ledger.categories) {
      names.push_back(text(category.name));
      all += fmt::format("{}{}", all.empty() ? "" : ", ", text(category.name));
    }
    suggest(diagnostic, text(data(category_name)), names);
    diagnostic.notes.push_back(fmt::format("its categories: {}", all));
  }
  const TreeRef* for_clause = nullptr;
  const TreeRef* where_clause = nullptr;
  const TreeRef* on_clause = nullptr;
  const auto parts = children(ref);
  for (const TreeRef& part : parts) {
    if (kind_of(part) == NodeKind::for_clause) for_clause = &part;
    if (kind_of(part) == NodeKind::where_clause) where_clause = &part;
    if (kind_of(part) == NodeKind::on_clause) on_clause = &part;
  }
  if (for_clause != nullptr) {
    post.loop = open_loop(*for_clause, where_clause, scope);
  } else if (where_clause != nullptr) {
    post.where = check_condition(child(*where_clause, 0), scope, "a `where`");
  }
  const Type amount_type = quantity(ledger.dimension);
  post.amount = check(parts[1], scope, &amount_type);
  expect_type(post.amount, amount_type, span(parts[1]), fmt::format("an amount of `{}`", text(ledger.name)), scope);
  if (on_clause != nullptr) {
    const Type date{TypeTag::point, program_.dimensions.time, 0};
    post.date = check(child(*on_clause, 0), scope, &date);
    expect_type(post.date, date, span(child(*on_clause, 0)), "the date of a posting", scope);
  }
  if (ledger.dated != (on_clause != nullptr)) {
    report(Code::posting_date, span(ref),
           ledger.dated ? fmt::format("a posting to the dated ledger `{}` needs a date", text(ledger.name))
                        : fmt::format("the ledger `{}` is not dated", text(ledger.name)))
        .help.push_back(ledger.dated ? "add `on DATE` after the amount"
                                     : "leave out `on`, or declare the ledger `dated`");
  }
  if (post.category != none) program_.kinds[id].posts.push_back(post);
}

/// A value for a field of the type. `literal` where it is a plain fact: one number or date as written.
FormulaId Checker::check_value(TreeRef value, const Type& wanted, Scope& scope, std::string_view what, bool& literal) {
  const Node& n = node(value);
  literal = false;
  if (n.kind == NodeKind::unknown) {
    Formula formula;
    formula.op = FormulaOp::constant;
    formula.type = wanted;
    formula.a = none;
    formula.span = span(value);
    check_unknown(value, wanted, what);
    return add(formula);
  }
  if (n.kind == NodeKind::table || n.kind == NodeKind::curve) {
    const TypeTag tag = n.kind == NodeKind::table ? TypeTag::table : TypeTag::curve;
    if (wanted.tag != tag) {
      if (wanted.tag != TypeTag::error) {
        report(Code::wrong_type, span(value),
               fmt::format("{} is {}, and this is a {}", what, describe(wanted),
                           tag == TypeTag::table ? "table" : "curve"));
      }
      return error(span(value));
    }
    std::vector<FormulaId> cells;
    double last = 0;
    FormulaId last_key = none;
    for (const TreeRef row : children(value)) {
      if (cells.size() >= 2 * limits::table_rows) {
        report(Code::too_many, span(row), fmt::format("more than {} rows", limits::table_rows))
            .help.push_back("leave out rows between which nothing changes");
        return error(span(value));
      }
      const FormulaId key = check(child(row, 0), scope);
      const FormulaId cell = check(child(row, 1), scope);
      expect_type(key, quantity(wanted.key), span(child(row, 0)), "the key of this table", scope);
      expect_type(cell, quantity(wanted.id), span(child(row, 1)), "a value of this table", scope);
      const Formula& key_formula = formula(key);
      if (key_formula.op == FormulaOp::constant && key_formula.a == none) {
        if (last_key != none && !(key_formula.value > last)) {
          report(Code::table_order, span(child(row, 0)), "the keys of a table must rise")
              .labels.push_back({formula(last_key).span, "the key before it"});
        }
        last = key_formula.value;
        last_key = key;
      } else if (!is_error(key)) {
        report(Code::table_order, span(child(row, 0)), "the key of a table is a plain number")
            .help.push_back("write a number with its unit");
      }
      cells.push_back(key);
      cells.push_back(cell);
    }
    if (cells.empty())
      report(Code::table_order, span(value), "a table needs at least one row")
          .help.push_back("write `table [0 pc: 1.20 EUR/pc]`");
    Formula table;
    table.op = FormulaOp::table;
    table.type = wanted;
    table.span = span(value);
    return add_list(table, cells);
  }
  if (wanted.tag == TypeTag::many && n.kind == NodeKind::series) {
    std::vector<FormulaId> references;
    const Type one{TypeTag::reference, wanted.id, 0};
    for (const TreeRef item : children(value)) {
      const FormulaId reference = check(item, scope, &one);
      expect_type(reference, one, span(item), fmt::format("an item of {}", what), scope);
      references.push_back(reference);
    }
    Formula list;
    list.op = FormulaOp::references;
    list.type = wanted;
    list.span = span(value);
    return add_list(list, references);
  }
  const FormulaId checked = check(value, scope, &wanted);
  if (!expect_type(checked, wanted, span(value), what, scope)) return error(span(value));
  const TreeRef inner = n.kind == NodeKind::unary ? child(value, 0) : value;
  const NodeKind inner_kind = kind_of(inner);
  if ((inner_kind == NodeKind::number || inner_kind == NodeKind::date) && n.op != Operator::logical_not &&
      !is_error(checked)) {
    literal = wanted.tag == TypeTag::quantity || wanted.tag == TypeTag::point;
  }
  return checked;
}

}  // namespace sprue
