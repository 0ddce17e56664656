// Instances as declared: names, owners, the values given to their fields.
#include <fmt/format.h>
#include <algorithm>

#include "lang/check/checker.hpp"
#include "lang/diagnostics/fixes.hpp"

namespace sprue {

void Checker::declare_drafts() {
  for (const TreeRef ref : declared_.instances) {
    const DraftId id = add_draft(ref, none);
    if (id == none) continue;
    const auto [found, fresh] = program_.draft_names.emplace(program_.drafts[id].name, id);
    if (!fresh)
      duplicate(program_.drafts[id].span, "instance", program_.drafts[id].name, program_.drafts[found->second].span);
  }
  const auto count = static_cast<DraftId>(program_.drafts.size());
  std::vector<int> state(count, 0);
  for (DraftId id = 0; id < count; ++id) resolve_like(id, state);
}

/// The draft and its children; `none` where its kind is not known.
DraftId Checker::add_draft(TreeRef ref, DraftId owner) {
  Draft draft;
  draft.owner = owner;
  draft.where = ref;
  const TreeRef kind_name = child(ref, 0);
  const auto kind = program_.kind_names.find(data(kind_name));
  if (kind == program_.kind_names.end()) {
    // What it is called is no news where it is named.
    if (node(ref).count > 1 && kind_of(child(ref, 1)) == NodeKind::name) damaged_.insert(data(child(ref, 1)));
    if (!damaged(data(kind_name)) && !file_missing() && !no_kind_told_) {
      Diagnostic& diagnostic =
          report(Code::unknown_kind, span(kind_name), fmt::format("unknown kind `{}`", text(data(kind_name))));
      std::vector<std::string_view> names;
      for (const Kind& known : program_.kinds) {
        if (!known.abstract) names.push_back(text(known.name));
      }
      suggest(diagnostic, text(data(kind_name)), names);
      if (owner != none && program_.kinds[program_.drafts[owner].kind].slots.count(data(kind_name)) != 0) {
        diagnostic.help.push_back(fmt::format("`{0}` is a field; write `{0}: VALUE`", text(data(kind_name))));
      } else if (program_.kinds.empty()) {  // told once
        no_kind_told_ = true;
        diagnostic.help.push_back(
            "no kind is known here: begin with what declares them, as in `use \"FILE.sprue\"` or `use std.MODULE`");
      } else if (diagnostic.help.empty()) {
        diagnostic.help.push_back("declare it with `kind NAME { … }`, or `use` the module that does");
      }
    }
    return none;
  }
  use(kind_name, Named::kind, kind->second);
  draft.kind = kind->second;
  draft.name = data(kind_name);
  draft.span = span(kind_name);
  bool named = false;
  std::uint32_t head = 1;  // children before the block
  for (; head < node(ref).count; ++head) {
    const TreeRef part = child(ref, head);
    if (kind_of(part) == NodeKind::name) {
      draft.name = data(part);
      draft.span = span(part);
      named = true;
    } else if (kind_of(part) == NodeKind::string) {
      draft.title = data(part);
    } else {
      break;
    }
  }
  const Kind& of = program_.kinds[draft.kind];
  if (of.abstract) {
    report(Code::abstract_kind, span(kind_name),
           fmt::format("`{}` is abstract and has no instances of its own", text(of.name)))
        .help.push_back("name a kind that is derived from it");
    return none;
  }
  if (owner == none && !named) {
    report(Code::name_missing, span(kind_name), fmt::format("this {} needs a name", text(of.name)))
        .help.push_back(fmt::format("write `{} NAME {{ … }}`", text(of.name)));
    return none;
  }
  if (has_other_meaning(draft)) {
    damaged_.insert(draft.name);
    return none;
  }
  const auto id = static_cast<DraftId>(program_.drafts.size());
  draft.givens.reserve(node(ref).count - head);
  program_.drafts.push_back(std::move(draft));
  if (owner == none) {
    if (of.within != none) {
      const std::string owners = kinds_to_write(of.within);
      report(Code::wrong_place, span(kind_name),
             fmt::format("`{}` stands within {}, not by itself", text(of.name), owners))
          .help.push_back(fmt::format("move it into the block of its {}", owners));
      program_.drafts[id].misplaced = true;
      return none;
    }
  } else {
    place_child(id);
  }
  std::unordered_map<Symbol, DraftId> named_children;
  for (std::uint32_t i = 1; i < node(ref).count; ++i) {
    const TreeRef part = child(ref, i);
    if (kind_of(part) == NodeKind::given) {
      add_given(id, part);
    } else if (kind_of(part) == NodeKind::instance) {
      const DraftId inner = add_draft(part, id);
      if (inner == none) continue;
      const auto [found, fresh] = named_children.emplace(program_.drafts[inner].name, inner);
      if (!fresh) {
        const DraftId twin = found->second;
        Diagnostic& diagnostic = report(
            Code::duplicate_name, program_.drafts[inner].span,
            fmt::format("`{}` has two children called `{}`", program_.path(id), text(program_.drafts[inner].name)));
        diagnostic.labels.push_back({program_.drafts[twin].span, "the first is here"});
        diagnostic.help.push_back(
            fmt::format("give each a name: `{} NAME {{ … }}`", text(program_.kinds[program_.drafts[inner].kind].name)));
      } else {
        program_.drafts[id].children.push_back(inner);
      }
    }
  }
  return id;
}

/// Paths name ledgers and fields, too: what an instance is called must leave no doubt.
bool Checker::has_other_meaning(const Draft& draft) {
  const std::string_view name = text(draft.name);
  const auto tell = [&](std::string message, Span other, std::string_view what) {
    const bool in_library = program_.from_library(draft.span) && !program_.from_library(other);
    Diagnostic& diagnostic = report(Code::duplicate_name, in_library ? other : draft.span, std::move(message));
    diagnostic.labels.push_back({in_library ? draft.span : other, std::string(in_library ? "the instance" : what)});
    diagnostic.help.push_back("give one of the two another name");
    return true;
  };
  if (draft.owner == none) {
    const auto ledger = ledger_names_.find(draft.name);
    if (ledger == ledger_names_.end()) return false;
    const Kind& kind = program_.kinds[draft.kind];
    const auto shared = std::find_if(kind.fields.begin(), kind.fields.end(), [&](const Field& field) {
      return has_member(program_.ledgers[ledger->second], field.name);
    });
    return shared != kind.fields.end() &&
           tell(fmt::format("`{0}` names a ledger, too, and `{0}.{1}` would be two things", name, text(shared->name)),
                program_.ledgers[ledger->second].span, "the ledger");
  }
  const Draft& above = program_.drafts[draft.owner];
  if (const auto ledger = ledger_names_.find(above.name);
      above.owner == none && ledger != ledger_names_.end() && has_member(program_.ledgers[ledger->second], draft.name))
    return tell(fmt::format("`{0}` names a ledger, too, and `{0}.{1}` would be two things", text(above.name), name),
                program_.ledgers[ledger->second].span, "the ledger");
  const Kind& owner = program_.kinds[above.kind];
  const auto field = owner.slots.find(draft.name);
  return field != owner.slots.end() &&
         tell(fmt::format("`{}` names a field of {}, so what stands in one cannot have that name", name,
                          text(owner.name)),
              owner.fields[field->second].span, "the field");
}

void Checker::place_child(DraftId id) {
  Draft& draft = program_.drafts[id];
  const Kind& of = program_.kinds[draft.kind];
  const KindId owner_kind = program_.drafts[draft.owner].kind;
  const Kind& owner = program_.kinds[owner_kind];
  if (of.within != none && !program_.is_a(owner_kind, of.within)) {
    const std::string owners = kinds_to_write(of.within);
    report(Code::wrong_place, draft.span,
           fmt::format("`{}` stands within {}, and this is within {}", text(of.name), owners, text(owner.name)))
        .help.push_back(fmt::format("declare it in the block of a {}", owners));
    return;
  }
  for (Slot slot = 0; slot < owner.fields.size(); ++slot) {
    const Type& type = owner.fields[slot].type;
    if ((type.tag != TypeTag::list && type.tag != TypeTag::set) || !program_.is_a(draft.kind, type.id)) continue;
    if (draft.slot == none || program_.is_a(type.id, owner.fields[draft.slot].type.id)) draft.slot = slot;
  }
  if (draft.slot != none || damaged(of.name)) return;
  draft.misplaced = true;
  Diagnostic& diagnostic =
      report(Code::wrong_place, draft.span, fmt::format("`{}` takes no {} inside it", text(owner.name), text(of.name)));
  std::string takes;
  for (const Field& field : owner.fields) {
    if (field.type.tag == TypeTag::list || field.type.tag == TypeTag::set) {
      takes += fmt::format("{}{}", takes.empty() ? "" : ", ", text(program_.kinds[field.type.id].name));
    }
  }
  for (const Field& field : owner.fields) {
    const bool refers = field.type.tag == TypeTag::reference || field.type.tag == TypeTag::optional;
    if (!refers || !program_.is_a(draft.kind, field.type.id)) continue;
    damaged_.insert(field.name);  // that it is not given is no news
    diagnostic.help.push_back(
        fmt::format("declare it outside, and write `{}: {}` here", text(field.name), text(draft.name)));
    return;
  }
  if (!takes.empty()) diagnostic.help.push_back(fmt::format("inside {} there may be: {}", text(owner.name), takes));
}

/// The field a given names, or nothing where it cannot be given.
std::optional<Given> Checker::make_given(DraftId id, TreeRef ref, TreeRef name) {
  const Draft& draft = program_.drafts[id];
  const Kind& kind = program_.kinds[draft.kind];
  const auto found = kind.slots.find(data(name));
  if (found == kind.slots.end()) {
    if (damaged(data(name))) return std::nullopt;
    Diagnostic& diagnostic =
        report(Code::unknown_field, span(name), fmt::format("{} has no field `{}`", text(kind.name), text(data(name))));
    std::vector<std::string_view> names;
    for (const Field& field : kind.fields) names.push_back(text(field.name));
    const std::string_view near = suggest(diagnostic, text(data(name)), names);
    for (const Field& field : kind.fields) {
      if (text(field.name) == near) damaged_.insert(field.name);  // that it is not given is no news
    }
    if (near.empty()) tell_where(diagnostic, kind, data(name));
    if (diagnostic.help.empty()) tell_block(diagnostic, kind, data(name));
    if (diagnostic.help.empty()) tell_related(diagnostic, text(data(name)), names);
    return std::nullopt;
  }
  use(name, Named::field, draft.kind, found->second, id);
  const Field& field = kind.fields[found->second];
  if (field.type.tag == TypeTag::list || field.type.tag == TypeTag::set) {
    report(Code::unknown_field, span(name),
           fmt::format("`{}` holds the blocks inside {} and is not given a value", text(field.name), text(kind.name)))
        .help.push_back(
            fmt::format("write `{} NAME {{ … }}` inside the block", text(program_.kinds[field.type.id].name)));
    return std::nullopt;
  }
  if (field.is_final) {
    report(Code::final_field, span(name), fmt::format("`{}` is final and cannot be given", text(field.name)))
        .labels.push_back({field.span, "declared final here"});
    return std::nullopt;
  }
  if (field.fixed) {
    Diagnostic& diagnostic =
        report(Code::final_field, span(name),
               fmt::format("`{}` is a headline with a formula and cannot be given a value", text(field.name)));
    diagnostic.labels.push_back({field.span, "its formula is here"});
    diagnostic.help.push_back(program_.from_library(field.span)
                                  ? "leave it out: change the values that its formula is made of"
                                  : "leave it out, or declare the field as `replaceable headline`");
    return std::nullopt;
  }
  Given given;
  given.slot = found->second;
  given.span = span(name);
  const Span value = span(child(ref, 1));
  given.value_begin = value.begin;
  given.value_end = value.end;
  return given;
}

void Checker::add_given(DraftId id, TreeRef ref) {
  auto given = make_given(id, ref, child(ref, 0));
  if (!given) return;
  for (const Given& other : program_.drafts[id].givens) {
    if (other.slot != given->slot) continue;
    report(Code::duplicate_name, given->span, fmt::format("`{}` is given twice", text(data(child(ref, 0)))))
        .labels.push_back({other.span, "the first is here"});
    return;
  }
  auto& givens = program_.drafts[id].givens;
  if (!check_fact(program_.drafts[id].kind, *given, ref))
    waiting_.push_back({id, static_cast<std::uint32_t>(givens.size()), ref});
  givens.push_back(*given);
}

DraftId Checker::find_child(DraftId owner, Symbol name) const {
  for (const DraftId id : program_.drafts[owner].children) {
    if (program_.drafts[id].name == name) return id;
  }
  return none;
}

/// The instance a path names. With `field`, the last name may be a field; it is put there and the instance before it
/// returned.
DraftId Checker::find_path(TreeRef path, bool report_problem, TreeRef* field) {
  if (kind_of(path) == NodeKind::name) {
    const auto found = program_.draft_names.find(data(path));
    if (found != program_.draft_names.end()) {
      use(path, Named::instance, found->second);
      return found->second;
    }
    if (report_problem && !damaged(data(path)) && !file_missing()) {
      Diagnostic& diagnostic =
          report(Code::unknown_name, span(path), fmt::format("nothing is called `{}`", text(data(path))));
      const auto kind = program_.kind_names.find(data(path));
      if (kind == program_.kind_names.end()) {
        suggest(diagnostic, text(data(path)), instances_of(none));
      } else {
        diagnostic.help.push_back(fmt::format("`{}` is a kind; {}", text(data(path)), advise_instance(kind->second)));
      }
    }
    return none;
  }
  if (kind_of(path) != NodeKind::member) return none;
  const DraftId owner = find_path(child(path, 0), report_problem);
  if (owner == none) return none;
  const TreeRef name = child(path, 1);
  const DraftId inner = find_child(owner, data(name));
  if (inner != none) {
    use(name, Named::instance, inner);
    return inner;
  }
  const Kind& kind = program_.kinds[program_.drafts[owner].kind];
  if (field != nullptr && kind.slots.count(data(name)) != 0) {
    *field = name;
    use(name, Named::field, program_.drafts[owner].kind, kind.slots.at(data(name)), owner);
    return owner;
  }
  const auto slot = kind.slots.find(data(name));
  if (report_problem && field == nullptr && slot != kind.slots.end()) {
    tell_not_inside(owner, slot->second, path);
  } else if (report_problem && !damaged(data(name))) {
    Diagnostic& diagnostic =
        report(Code::unknown_field, span(name),
               fmt::format("`{}` has nothing called `{}`", program_.path(owner), text(data(name))));
    std::vector<std::string_view> names;
    for (const DraftId id : program_.drafts[owner].children) names.push_back(text(program_.drafts[id].name));
    if (field != nullptr) {
      for (const Field& known : kind.fields) names.push_back(text(known.name));
    }
    for (const DraftId id : program_.drafts[owner].children) {
      const bool has = program_.kinds[program_.drafts[id].kind].slots.count(data(name)) != 0;
      if (!has || field == nullptr || !diagnostic.help.empty()) continue;
      diagnostic.help.push_back(fmt::format("did you mean `{}.{}`?", program_.path(id), text(data(name))));
      propose(diagnostic, span(path), fmt::format("{}.{}", program_.path(id), text(data(name))));
    }
    if (diagnostic.help.empty()) suggest(diagnostic, text(data(name)), names);
  }
  return none;
}

/// A path goes down to what stands inside, and does not follow fields.
void Checker::tell_not_inside(DraftId owner, Slot slot, TreeRef path) {
  const Field& field = program_.kinds[program_.drafts[owner].kind].fields[slot];
  const std::string_view written = source_text(path);
  if (field.type.tag != TypeTag::reference && field.type.tag != TypeTag::optional) {
    report(Code::unknown_field, span(path), fmt::format("`{}` is a field and has nothing inside", written))
        .help.push_back(fmt::format("it is {}", describe(field.type)));
    return;
  }
  Diagnostic& diagnostic =
      report(Code::unknown_field, span(path), fmt::format("`{}` refers to an instance that stands elsewhere", written));
  std::string target = fmt::format("the path of that {}", text(program_.kinds[field.type.id].name));
  for (const Given& given : program_.drafts[owner].givens) {
    if (given.slot == slot && given.formula != none && formula(given.formula).op == FormulaOp::instance)
      target = fmt::format("`{}`", program_.path(formula(given.formula).a));
  }
  diagnostic.help.push_back(fmt::format(
      "write {} in place of `{}`, which changes it for all that refer to it; or let `{}` refer to another one: "
      "`{}: NAME`",
      target, written, program_.path(owner), written));
}

/// Of the drafts from `first` on.
void Checker::check_required(DraftId first) {
  std::vector<std::vector<Slot>> required(program_.kinds.size());
  for (KindId id = 0; id < program_.kinds.size(); ++id) {
    for (Slot slot = 0; slot < program_.kinds[id].fields.size(); ++slot) {
      if (program_.kinds[id].fields[slot].required) required[id].push_back(slot);
    }
  }
  std::vector<DraftId> given_by;  // by slot: the last draft that gives it
  for (DraftId id = first; id < program_.drafts.size(); ++id) {
    const Draft& draft = program_.drafts[id];
    if (draft.like != none || draft.misplaced) continue;  // what it lacks is said of what it copies
    given_by.resize(std::max(given_by.size(), program_.kinds[draft.kind].fields.size()), none);
    for (const Given& given : draft.givens) given_by[given.slot] = id;
    std::vector<Slot> missing;
    for (const Slot slot : required[draft.kind]) {
      if (given_by[slot] != id && !damaged(program_.kinds[draft.kind].fields[slot].name)) missing.push_back(slot);
    }
    if (missing.empty()) continue;
    const Kind& kind = program_.kinds[draft.kind];
    std::string names;
    for (const Slot slot : missing)
      names += fmt::format("{}`{}`", names.empty() ? "" : ", ", text(kind.fields[slot].name));
    Diagnostic& diagnostic = report(Code::missing_field, draft.span,
                                    fmt::format("{} `{}` lacks {}", text(kind.name), program_.path(id), names));
    for (const Slot slot : missing) {
      const Field& field = kind.fields[slot];
      const std::string doc = doc_comment(program_.trees[field.where.tree], sources_, field.where.node);
      diagnostic.help.push_back(
          fmt::format("add `{}: …`, {}{}{}", text(field.name), describe(field.type), doc.empty() ? "" : ": ", doc));
      const std::vector<TreeRef> parts = children(draft.where);
      const auto entry = std::find_if(parts.begin(), parts.end(), [&](TreeRef part) {
        return kind_of(part) == NodeKind::given || kind_of(part) == NodeKind::instance;
      });
      if (entry != parts.end() && field.type.tag == TypeTag::quantity) {  // what may be an open question
        const Span at = span(*entry);
        propose(diagnostic, {at.begin, at.begin, at.source}, fmt::format("{}: unknown, ", text(field.name)));
      }
    }
  }
}

/// What waited for all names; then copies take over what they do not say themselves.
void Checker::check_values() {
  for (const Waiting& waiting : waiting_) {
    if (diagnostics_.full()) return;
    Given given = program_.drafts[waiting.draft].givens[waiting.given];
    check_given(program_.drafts[waiting.draft].kind, given, waiting.where);
    program_.drafts[waiting.draft].givens[waiting.given] = given;
  }
  waiting_.clear();
  copy_values();
  warn_large_shares();
}

/// A value that is no plain fact.
void Checker::check_given(KindId kind, Given& given, TreeRef where) {
  Scope scope;
  scope.kind = kind;
  scope.instances = true;
  const Field& field = program_.kinds[kind].fields[given.slot];
  const TreeRef value = child(where, 1);
  bool literal = false;
  given.formula = check_value(value, field.type, scope, fmt::format("`{}`", text(field.name)), literal);
  std::vector<TreeRef> facts;
  for (std::uint32_t k = 2; k < node(where).count; ++k) facts.push_back(child(where, k));
  if (facts.empty()) return;
  Amount amount;
  const Type type = formula(given.formula).type;
  given.facts = check_facts(facts, value, type, amount, false);
}

}  // namespace sprue
