// Names and paths in expressions: what a word means where it stands.
#include <fmt/format.h>
#include <algorithm>

#include "lang/check/checker.hpp"
#include "lang/check/habits.hpp"

namespace sprue {
namespace {

Formula reference_formula(FormulaOp op, KindId kind, Span span, TypeTag tag = TypeTag::reference) {
  Formula formula;
  formula.op = op;
  formula.type = {tag, kind, 0};
  formula.span = span;
  return formula;
}

}  // namespace

FormulaId Checker::check_name(TreeRef ref, Scope& scope, const Type* expected) {
  const Symbol name = data(ref);
  const Span at = span(ref);
  for (std::size_t i = scope.locals.size(); i-- > 0;) {
    if (scope.locals[i].name != name) continue;
    use(ref, scope.locals[i]);
    if (scope.locals[i].type.tag == TypeTag::error) return error(at);
    Formula formula;
    formula.op = FormulaOp::local;
    formula.a = static_cast<std::uint32_t>(i);
    formula.type = scope.locals[i].type;
    formula.span = at;
    return add(formula);
  }
  if (name == words_.yes || name == words_.no) {
    Formula formula;
    formula.op = FormulaOp::constant;
    formula.type = flag_type();
    formula.value = name == words_.yes ? 1 : 0;
    formula.a = none;
    formula.span = at;
    return add(formula);
  }
  if (scope.kind != none) {
    const Kind& kind = program_.kinds[scope.kind];
    if (name == words_.this_) return add(reference_formula(FormulaOp::self, scope.kind, at));
    if (name == words_.owner) {
      if (kind.within != none) return add(reference_formula(FormulaOp::owner, kind.within, at));
      report(Code::no_owner, at,
             fmt::format("`{}` does not say within what it stands, so it has no `owner` here", text(kind.name)))
          .help.push_back(fmt::format("write `kind {} within KIND {{ … }}`", text(kind.name)));
      return error(at);
    }
    if (name == words_.next || name == words_.previous) {
      // Neighbors are of the kind the owner's list holds.
      KindId neighbor = none;
      for (KindId owner = 0; owner < program_.kinds.size() && kind.within != none; ++owner) {
        if (!program_.is_a(owner, kind.within)) continue;
        for (const Field& field : program_.kinds[owner].fields) {
          if (field.type.tag == TypeTag::list && program_.is_a(scope.kind, field.type.id)) neighbor = field.type.id;
        }
      }
      if (neighbor != none) {
        return add(reference_formula(name == words_.next ? FormulaOp::next : FormulaOp::previous, neighbor, at,
                                     TypeTag::optional));
      }
      report(Code::no_owner, at, fmt::format("`{}` is in no list, so it has no `{}`", text(kind.name), text(name)))
          .help.push_back("say `within KIND`, where that kind has a field `list of …` for it");
      return error(at);
    }
  }
  const auto choice = [&]() -> FormulaId {
    const auto& names = program_.choices[expected->id];
    const auto found = std::find(names.begin(), names.end(), name);
    if (found == names.end()) return none;
    Formula formula;
    formula.op = FormulaOp::constant;
    formula.type = *expected;
    formula.value = static_cast<double>(found - names.begin());
    formula.a = none;
    formula.span = at;
    return add(formula);
  };
  if (expected != nullptr && expected->tag == TypeTag::choice) {
    const FormulaId found = choice();
    if (found != none) {
      use_choice(ref, *expected);
      return found;
    }
  }
  const auto instance = [&]() -> FormulaId {
    const auto found = program_.draft_names.find(name);
    if (found == program_.draft_names.end()) return none;
    use(ref, Named::instance, found->second);
    program_.drafts[found->second].used = true;
    if (!scope.tolerant) program_.drafts[found->second].given_as_value = true;
    Formula formula = reference_formula(FormulaOp::instance, program_.drafts[found->second].kind, at);
    formula.a = found->second;
    return add(formula);
  };
  const bool wants_reference =
      expected != nullptr && (expected->tag == TypeTag::reference || expected->tag == TypeTag::optional);
  if (scope.instances && wants_reference) {
    const FormulaId found = instance();
    if (found != none) return found;
  }
  if (scope.kind != none) {
    const Kind& kind = program_.kinds[scope.kind];
    if (const auto slot = kind.slots.find(name); slot != kind.slots.end()) {
      use(ref, Named::field, scope.kind, slot->second);
      const FormulaId self = add(reference_formula(FormulaOp::self, scope.kind, at));
      Formula formula;
      formula.op = FormulaOp::get;
      formula.a = slot->second;
      formula.type = kind.fields[slot->second].type;
      formula.span = at;
      if (formula.type.tag == TypeTag::error) return error(at);
      return add(formula, {self});
    }
  }
  if (scope.instances) {
    const FormulaId found = instance();
    if (found != none) return found;
  }
  return unknown_name(ref, scope, expected);
}

/// `n/a`, told once for both of its letters.
bool Checker::not_available(Span at, std::string_view word) {
  const std::string_view whole = sources_[at.source].text;
  const auto is = [](std::string_view text) { return text == "n/a" || text == "N/A"; };
  if ((word == "n" || word == "N") && is(whole.substr(at.begin, 3))) {
    const Span all{at.begin, at.begin + 3, at.source};
    advise_on_habit(report(Code::unknown_name, all, fmt::format("nothing here is called `{}`", sources_.text(all))),
                    "na");
    return true;
  }
  if ((word != "a" && word != "A") || at.begin < 2 || diagnostics_.list().empty()) return false;
  return diagnostics_.list().back().span == Span{at.begin - 2, at.end, at.source};
}

FormulaId Checker::unknown_name(TreeRef ref, const Scope& scope, const Type* expected) {
  const Symbol name = data(ref);
  const Span at = span(ref);
  const std::string_view word = text(name);
  if (damaged(name) || (scope.instances && file_missing())) return error(at);
  if (not_available(at, word)) return error(at);
  if (expected != nullptr && expected->tag == TypeTag::choice) {
    Diagnostic& diagnostic = report(Code::unknown_name, at, fmt::format("`{}` is none of the choices", word));
    std::vector<std::string_view> names;
    for (const Symbol known : program_.choices[expected->id]) names.push_back(text(known));
    suggest(diagnostic, word, names);
    diagnostic.notes.push_back(fmt::format("this is {}", describe(*expected)));
    return error(at);
  }
  Diagnostic& diagnostic = report(Code::unknown_name, at, fmt::format("nothing here is called `{}`", word));
  if (expected != nullptr && (expected->tag == TypeTag::reference || expected->tag == TypeTag::optional)) {
    diagnostic.message = fmt::format("no {} is called `{}`", text(program_.kinds[expected->id].name), word);
  }
  const bool wants_reference =
      expected != nullptr && (expected->tag == TypeTag::reference || expected->tag == TypeTag::optional);
  const std::vector<std::string_view> fitting = instances_of(wants_reference ? expected->id : none);
  // What the name is elsewhere says more than what it resembles.
  if (advise_on_habit(diagnostic, word)) return error(at);
  if (wants_reference && program_.kind_names.count(name) != 0) {
    diagnostic.help.push_back(
        fmt::format("`{}` is a kind; {}", word, advise_instance(wants_reference ? expected->id : none)));
  } else if (program_.units->named(name) != nullptr && program_.kind_names.count(name) == 0) {
    diagnostic.help.push_back(
        fmt::format("`{0}` is a unit: write it after a number without spaces inside, `1 {0}` or `4.20 USD/{0}`", word));
  } else if (program_.kind_names.count(name) != 0) {
    diagnostic.help.push_back(
        fmt::format("`{0}` is a kind: `all {0}` names its instances, `the {0}` the only one", word));
  } else if (function_names_.count(name) != 0) {
    diagnostic.help.push_back(fmt::format("`{0}` is a function: `{0}(…)`", word));
  } else if (ledger_names_.count(name) != 0) {
    diagnostic.help.push_back(fmt::format("`{0}` is a ledger: `{0}.total` is its sum", word));
  } else if (!scope.instances && program_.draft_names.count(name) != 0) {
    diagnostic.help.push_back(
        "a formula of a kind cannot name an instance: give the kind a field `one KIND`, or write `the KIND`");
  }
  if (diagnostic.help.empty() && word.ends_with('s')) {
    const std::string_view one = word.substr(0, word.size() - 1);
    if (program_.kind_names.count(program_.symbols.intern(one)) != 0)
      diagnostic.help.push_back(fmt::format("`all {}` names the instances of that kind", one));
  }
  if (!diagnostic.help.empty()) return error(at);
  std::vector<std::string_view> names;
  for (const Local& local : scope.locals) {
    if (local.name != 0) names.push_back(text(local.name));
  }
  // Where an instance is given one, another of its fields is hardly meant.
  if (scope.kind != none && !(scope.instances && wants_reference)) {
    for (const Field& field : program_.kinds[scope.kind].fields) names.push_back(text(field.name));
  }
  if (scope.instances) names.insert(names.end(), fitting.begin(), fitting.end());
  suggest(diagnostic, word, names);
  if (diagnostic.help.empty() && wants_reference)
    diagnostic.help.push_back(advise_instance(wants_reference ? expected->id : none));
  return error(at);
}

FormulaId Checker::check_the_only(TreeRef ref) {
  const KindId kind = read_kind(child(ref, 0));
  if (kind == none) return error(span(ref));
  Formula formula = reference_formula(FormulaOp::the_only, kind, span(ref));
  formula.a = kind;
  return add(formula);
}

FormulaId Checker::check_member_access(TreeRef ref, Scope& scope) {
  if (const LedgerId ledger = ledger_of(ref, scope); ledger != none)
    return check_ledger(ref, ledger, child(ref, 1), {}, scope);
  const TreeRef name = child(ref, 1);
  const FormulaId base = check(child(ref, 0), scope);
  if (is_error(base)) return error(span(ref));
  const Type base_type = type(base);
  if (base_type.tag != TypeTag::reference && base_type.tag != TypeTag::optional) {
    Diagnostic& diagnostic = report(Code::wrong_type, span(name), fmt::format("{} has no fields", describe(base_type)));
    if (base_type.tag == TypeTag::list || base_type.tag == TypeTag::set || base_type.tag == TypeTag::many) {
      diagnostic.help.push_back(fmt::format("write `sum(x.{} for x in …)`, or `first(…)`", text(data(name))));
    } else if (kind_of(child(ref, 0)) == NodeKind::member && ledger_names_.count(data(child(child(ref, 0), 1))) != 0) {
      diagnostic.help.push_back(
          fmt::format("of the ledger write `{}.{}`", source_text(child(child(ref, 0), 1)), text(data(name))));
    }
    return error(span(ref));
  }
  if (formula(base).op == FormulaOp::instance) {
    const DraftId inner = find_child(formula(base).a, data(name));
    if (inner != none) {
      use(name, Named::instance, inner);
      program_.drafts[inner].used = true;
      Formula instance = reference_formula(FormulaOp::instance, program_.drafts[inner].kind, span(ref));
      instance.a = inner;
      return add(instance);
    }
  }
  return get(base, base_type.id, name, span(ref));
}

FormulaId Checker::get(FormulaId reference, KindId kind_id, TreeRef name, Span at) {
  const Kind& kind = program_.kinds[kind_id];
  if (data(name) == words_.owner && kind.within != none) {
    return add(reference_formula(FormulaOp::owner, kind.within, at), {reference});
  }
  const auto slot = kind.slots.find(data(name));
  if (slot == kind.slots.end()) {
    if (damaged(data(name))) return error(at);
    Diagnostic& diagnostic =
        report(Code::unknown_field, span(name), fmt::format("{} has no field `{}`", text(kind.name), text(data(name))));
    std::vector<std::string_view> names;
    for (const Field& field : kind.fields) names.push_back(text(field.name));
    if (formula(reference).op == FormulaOp::instance) {
      for (const DraftId id : program_.drafts[formula(reference).a].children)
        names.push_back(text(program_.drafts[id].name));
    }
    suggest(diagnostic, text(data(name)), names);
    for (const Kind& other : program_.kinds) {
      if (diagnostic.help.empty() && other.slots.count(data(name)) != 0 &&
          program_.is_a(static_cast<KindId>(&other - program_.kinds.data()), kind_id)) {
        diagnostic.help.push_back(
            fmt::format("`{}` has it: narrow with `where x is {}`", text(other.name), text(other.name)));
      }
    }
    if (diagnostic.help.empty()) tell_within(diagnostic, kind, data(name));
    if (diagnostic.help.empty()) tell_related(diagnostic, text(data(name)), names);
    return error(at);
  }
  const Formula& of = this->formula(reference);
  use(name, Named::field, kind_id, slot->second, of.op == FormulaOp::instance ? of.a : none);
  Formula formula;
  formula.op = FormulaOp::get;
  formula.a = slot->second;
  formula.type = kind.fields[slot->second].type;
  formula.span = at;
  if (formula.type.tag == TypeTag::error) return error(at);
  return add(formula, {reference});
}

}  // namespace sprue
