// Kinds: inheritance, fields and their types; ledgers; the heads of functions.
#include <fmt/format.h>
#include <algorithm>

#include "lang/check/checker.hpp"

namespace sprue {

void Checker::declare_kinds() {
  for (const TreeRef ref : declared_.kinds) {
    Kind kind;
    kind.name = data(child(ref, 0));
    kind.abstract = (node(ref).flags & flag_abstract) != 0;
    kind.span = span(child(ref, 0));
    kind.where = ref;
    const auto [found, fresh] = program_.kind_names.emplace(kind.name, static_cast<KindId>(program_.kinds.size()));
    if (!fresh) {
      duplicate(kind.span, "kind", kind.name, program_.kinds[found->second].span);
      continue;
    }
    program_.kinds.push_back(std::move(kind));
  }
  for (Kind& kind : program_.kinds) {
    for (const TreeRef part : children(kind.where)) {
      if (kind_of(part) == NodeKind::is_clause) kind.base = read_kind(child(part, 0));
      if (kind_of(part) == NodeKind::within_clause) kind.within = read_kind(child(part, 0));
    }
  }
  std::vector<int> state(program_.kinds.size(), 0);
  for (KindId id = 0; id < program_.kinds.size(); ++id) layout_kind(id, state);
}

/// Lays out the base first. State 1 means "under way": meeting it again is a cycle.
bool Checker::layout_kind(KindId id, std::vector<int>& state) {
  if (state[id] == 2) return true;
  Kind& kind = program_.kinds[id];
  if (state[id] == 1) {
    report(Code::kind_cycle, kind.span, fmt::format("the kind `{}` is derived from itself", text(kind.name)))
        .help.push_back("remove one of the `is` clauses");
    kind.base = none;
    return false;
  }
  state[id] = 1;
  if (kind.base != none && layout_kind(kind.base, state) && program_.kinds[id].base != none) {
    const Kind& base = program_.kinds[kind.base];
    kind.fields = base.fields;
    kind.slots = base.slots;
    if (kind.within == none) kind.within = base.within;
  }
  for (const TreeRef part : children(kind.where)) {
    if (kind_of(part) == NodeKind::field_decl) add_field(id, part);
  }
  state[id] = 2;
  return true;
}

void Checker::add_field(KindId id, TreeRef ref) {
  Kind& kind = program_.kinds[id];
  Field field;
  field.declared_in = id;
  field.is_final = (node(ref).flags & flag_final) != 0;
  field.headline = (node(ref).flags & flag_headline) != 0;
  field.basis = (node(ref).flags & flag_basis) != 0;
  field.where = ref;
  bool has_default = false;
  bool has_formula = false;
  bool typed = false;
  for (const TreeRef part : children(ref)) {
    const NodeKind what = kind_of(part);
    if (what == NodeKind::name && field.name == 0) {
      field.name = data(part);
      field.span = span(part);
    } else if (what == NodeKind::string && !typed) {
      field.title = data(part);
    } else if (!typed) {
      field.type = read_type(part);
      typed = true;
    } else if (what != NodeKind::within && what != NodeKind::plus_minus && what != NodeKind::source) {
      has_default = true;
      has_formula = !is_stated(part, field.type);
    }
  }
  if (field.name == words_.this_ || field.name == words_.owner || field.name == words_.next ||
      field.name == words_.previous) {
    report(Code::reserved_name, field.span,
           fmt::format("`{}` has a meaning of its own and cannot name a field", text(field.name)));
    return;
  }
  const bool replaceable = (node(ref).flags & flag_replaceable) != 0;
  if (replaceable && !(field.headline && has_formula)) {
    report(Code::final_field, field.span, fmt::format("`{}` is no headline with a formula", text(field.name)))
        .help.push_back("leave out `replaceable`: an instance may give a value to any other field");
  }
  field.fixed = field.headline && has_formula && !replaceable;
  const TypeTag tag = field.type.tag;
  const bool may_lack = tag == TypeTag::optional || tag == TypeTag::many || tag == TypeTag::list ||
                        tag == TypeTag::set || tag == TypeTag::text || tag == TypeTag::table || tag == TypeTag::curve;
  field.required = !has_default && !may_lack;
  if (field.is_final && !has_default) {
    report(Code::final_field, field.span, fmt::format("the final field `{}` needs a formula", text(field.name)))
        .help.push_back("write `final NAME: TYPE = EXPR`, or leave out `final`");
  }
  const auto found = kind.slots.find(field.name);
  if (found == kind.slots.end()) {
    if (kind.fields.size() >= limits::fields) {
      if (kind.fields.size() == limits::fields)
        report(Code::too_many, field.span, fmt::format("`{}` has more than {} fields", text(kind.name), limits::fields))
            .help.push_back("let it own instances of another kind that hold some of them");
      return;
    }
    kind.slots.emplace(field.name, static_cast<Slot>(kind.fields.size()));
    kind.fields.push_back(field);
    return;
  }
  Field& before = kind.fields[found->second];
  if (before.declared_in == id) {
    duplicate(field.span, "field", field.name, before.span);
  } else if (before.is_final) {
    Diagnostic& diagnostic =
        report(Code::final_field, field.span, fmt::format("`{}` is final and cannot be replaced", text(field.name)));
    diagnostic.labels.push_back({before.span, "declared final here"});
    diagnostic.help.push_back("leave it out, or change what its formula is made of");
  } else if (before.type != field.type && field.type.tag != TypeTag::error && before.type.tag != TypeTag::error) {
    Diagnostic& diagnostic =
        report(Code::wrong_type, field.span,
               fmt::format("`{}` is {} here and {} in `{}`", text(field.name), describe(field.type),
                           describe(before.type), text(program_.kinds[before.declared_in].name)));
    diagnostic.labels.push_back({before.span, "declared here first"});
    diagnostic.help.push_back("a derived kind may give a new default, with the same type");
  } else {
    if (field.title == 0) field.title = before.title;
    field.headline = field.headline || before.headline;
    field.basis = field.basis || before.basis;
    field.fixed = field.headline && has_formula && !replaceable;
    before = field;
  }
}

/// Whether a default is written as a value, without anything to work out.
bool Checker::is_stated(TreeRef value, const Type& type) const {
  const bool negative = kind_of(value) == NodeKind::unary && node(value).op == Operator::negate;
  const NodeKind what = kind_of(negative ? child(value, 0) : value);
  if (what == NodeKind::name) return type.tag == TypeTag::choice || type.tag == TypeTag::flag;
  return what == NodeKind::number || what == NodeKind::date || what == NodeKind::string || what == NodeKind::unknown;
}

KindId Checker::read_kind(TreeRef name) {
  const auto found = program_.kind_names.find(data(name));
  if (found != program_.kind_names.end()) {
    use(name, Named::kind, found->second);
    return found->second;
  }
  if (!damaged(data(name)) && !file_missing()) {
    Diagnostic& diagnostic = report(Code::unknown_kind, span(name), fmt::format("unknown kind `{}`", text(data(name))));
    std::vector<std::string_view> names;
    for (const Kind& kind : program_.kinds) names.push_back(text(kind.name));
    suggest(diagnostic, text(data(name)), names);
    if (diagnostic.help.empty())
      diagnostic.help.push_back("declare it with `kind NAME { … }`, or `use` the module that does");
  }
  return none;
}

Type Checker::read_type(TreeRef ref) {
  const auto dimension = [&](TreeRef part) -> std::optional<DimensionId> {
    Units::Problem problem;
    const auto found = program_.units->dimension(data(part), problem);
    if (!found && !damaged(data(part)) && units_reported_.insert(data(part)).second) {
      report_problem(Code::unknown_dimension, span(part), problem);
    }
    return found;
  };
  const auto of_dimension = [&](TypeTag tag) -> Type {
    const auto found = dimension(child(ref, 0));
    return found ? Type{tag, *found, 0} : Type{};
  };
  const auto of_kind = [&](TypeTag tag) -> Type {
    const KindId found = read_kind(child(ref, 0));
    return found == none ? Type{} : Type{tag, found, 0};
  };
  switch (kind_of(ref)) {
    case NodeKind::type_quantity:
      return of_dimension(TypeTag::quantity);
    case NodeKind::type_point:
      return of_dimension(TypeTag::point);
    case NodeKind::type_series:
      return of_dimension(TypeTag::series);
    case NodeKind::type_date:
      return {TypeTag::point, program_.dimensions.time, 0};
    case NodeKind::type_flag:
      return flag_type();
    case NodeKind::type_text:
      return {TypeTag::text, 0, 0};
    case NodeKind::type_whole:
      return {TypeTag::whole, 0, 0};
    case NodeKind::type_one:
      return of_kind(TypeTag::reference);
    case NodeKind::type_optional:
      return of_kind(TypeTag::optional);
    case NodeKind::type_many:
      return of_kind(TypeTag::many);
    case NodeKind::type_list:
      return of_kind(TypeTag::list);
    case NodeKind::type_set:
      return of_kind(TypeTag::set);
    case NodeKind::type_table:
    case NodeKind::type_curve: {
      const auto key = dimension(child(ref, 0));
      const auto value = dimension(child(ref, 1));
      const TypeTag tag = kind_of(ref) == NodeKind::type_table ? TypeTag::table : TypeTag::curve;
      return key && value ? Type{tag, *value, *key} : Type{};
    }
    case NodeKind::type_choice: {
      std::vector<Symbol> names;
      for (const TreeRef part : children(ref)) {
        if (names.size() == limits::fields) {
          report(Code::too_many, span(part), fmt::format("more than {} choices", limits::fields))
              .help.push_back("declare a kind, and an instance for each");
          break;
        }
        if (std::find(names.begin(), names.end(), data(part)) != names.end()) {
          report(Code::duplicate_name, span(part), fmt::format("the choice `{}` stands twice", text(data(part))));
        } else {
          names.push_back(data(part));
        }
      }
      const auto same = std::find(program_.choices.begin(), program_.choices.end(), names);
      const auto index = static_cast<std::uint32_t>(same - program_.choices.begin());
      if (same == program_.choices.end()) program_.choices.push_back(std::move(names));
      return {TypeTag::choice, index, 0};
    }
    default:
      return {};
  }
}

void Checker::declare_ledgers() {
  for (const TreeRef ref : declared_.ledgers) {
    Ledger ledger;
    ledger.dated = (node(ref).flags & flag_dated) != 0;
    ledger.where = ref;
    for (const TreeRef part : children(ref)) {
      if (kind_of(part) == NodeKind::name) {
        ledger.name = data(part);
        ledger.span = span(part);
      } else if (kind_of(part) == NodeKind::string) {
        ledger.title = data(part);
      } else if (kind_of(part) == NodeKind::dims) {
        Units::Problem problem;
        const auto dimension = program_.units->dimension(data(part), problem);
        if (dimension) {
          ledger.dimension = *dimension;
        } else {
          report_problem(Code::unknown_dimension, span(part), problem);
        }
      } else if (kind_of(part) == NodeKind::category) {
        Category category;
        category.name = data(child(part, 0));
        category.span = span(child(part, 0));
        if (node(part).count > 1) category.title = data(child(part, 1));
        if ((node(part).flags & flag_in) != 0) category.direction = Direction::in;
        if ((node(part).flags & flag_out) != 0) category.direction = Direction::out;
        ledger.signed_categories = ledger.signed_categories || category.direction != Direction::plain;
        const bool twice = std::any_of(ledger.categories.begin(), ledger.categories.end(),
                                       [&](const Category& other) { return other.name == category.name; });
        if (twice) {
          report(Code::duplicate_name, span(part), fmt::format("the category `{}` stands twice", text(category.name)));
        } else {
          ledger.categories.push_back(category);
        }
      }
    }
    const auto [found, fresh] = ledger_names_.emplace(ledger.name, static_cast<LedgerId>(program_.ledgers.size()));
    if (!fresh) {
      duplicate(ledger.span, "ledger", ledger.name, program_.ledgers[found->second].span);
      continue;
    }
    program_.ledgers.push_back(std::move(ledger));
  }
}

void Checker::declare_functions() {
  for (const TreeRef ref : declared_.functions) {
    Function function;
    const auto parts = children(ref);
    function.name = data(parts[0]);
    function.span = span(parts[0]);
    function.where = ref;
    for (std::size_t i = 1; i + 2 < parts.size(); ++i) {
      const Symbol name = data(child(parts[i], 0));
      if (std::find(function.parameters.begin(), function.parameters.end(), name) != function.parameters.end()) {
        report(Code::duplicate_name, span(parts[i]), fmt::format("the parameter `{}` stands twice", text(name)));
      }
      function.parameters.push_back(name);
      function.types.push_back(read_type(child(parts[i], 1)));
    }
    function.result = read_type(parts[parts.size() - 2]);
    const auto [found, fresh] =
        function_names_.emplace(function.name, static_cast<std::uint32_t>(program_.functions.size()));
    if (!fresh) {
      duplicate(function.span, "function", function.name, program_.functions[found->second].span);
      continue;
    }
    program_.functions.push_back(std::move(function));
  }
}

}  // namespace sprue
