// What reports show besides ledgers: listings, charts, ratios in percent, and which views an audience gets.
#include <fmt/format.h>
#include <algorithm>
#include <set>

#include "lang/check/checker.hpp"

namespace sprue {

void Checker::check_listings() {
  std::unordered_map<Symbol, Span> seen;
  for (const TreeRef ref : declared_.listings) {
    Listing listing;
    Scope scope;
    scope.instances = true;
    const auto parts = children(ref);
    const bool chart = kind_of(ref) == NodeKind::chart;
    const std::string_view what = chart ? "chart" : "listing";
    listing.span = span(parts[0]);
    listing.name = data(parts[0]);
    const auto [first, fresh] = seen.emplace(listing.name, listing.span);
    if (!fresh) {
      duplicate(listing.span, what, listing.name, first->second);
      continue;
    }
    const auto where =
        std::find_if(parts.begin(), parts.end(), [&](TreeRef p) { return kind_of(p) == NodeKind::where_clause; });
    for (const TreeRef part : parts) {
      if (kind_of(part) == NodeKind::string && listing.title == 0) listing.title = data(part);
      if (kind_of(part) == NodeKind::over_clause) check_over(listing, child(part, 0), scope);
      if (kind_of(part) == NodeKind::for_clause) {
        listing.loop = open_loop(part, where == parts.end() ? nullptr : &*where, scope);
        if (program_.loops[listing.loop].domain != DomainKind::all) {
          report(Code::wrong_type, span(child(part, node(part).count - 1)),
                 fmt::format("a {} goes through `all KIND`", what))
              .help.push_back(fmt::format("write `{} NAME for x in all KIND{} {{ … }}`", what,
                                          chart ? " over x.FIELD" : " where …"));
          break;  // the rest speaks of an instance
        }
      }
      if (kind_of(part) != NodeKind::column) continue;
      Column column;
      column.name = data(child(part, 0));
      if (kind_of(child(part, 1)) == NodeKind::string && node(part).count > 2) column.title = data(child(part, 1));
      column.is_private = (node(part).flags & flag_private) != 0;
      column.formula = check(child(part, node(part).count - 1), scope);
      const TypeTag tag = type(column.formula).tag;
      if (tag == TypeTag::series || tag == TypeTag::table || tag == TypeTag::curve || tag == TypeTag::list ||
          tag == TypeTag::set) {
        report(Code::wrong_type, span(part),
               fmt::format("a column holds one value a row, and this is {}", describe(type(column.formula))));
      }
      for (const Column& other : listing.columns) {
        if (other.name == column.name)
          report(Code::duplicate_name, span(part), fmt::format("the column `{}` stands twice", text(column.name)));
      }
      if (chart) check_line(listing, column, span(part), scope);
      listing.columns.push_back(column);
    }
    program_.listings.push_back(std::move(listing));
  }
}

/// A chart runs over a field of the instance it is of: a plain quantity, which can be varied.
void Checker::check_over(Listing& chart, TreeRef ref, Scope& scope) {
  const FormulaId over = check(ref, scope);
  if (is_error(over)) return;
  const bool field = formula(over).op == FormulaOp::get && formula(argument(over, 0)).op == FormulaOp::local;
  if (!field || type(over).tag != TypeTag::quantity) {
    report(Code::wrong_type, span(ref), "a chart runs over a field of its instance that is a quantity")
        .help.push_back("write `over x.FIELD` with the x of `for x in …`");
    return;
  }
  chart.over = formula(over).a;
}

/// All lines of a chart share its scale.
void Checker::check_line(const Listing& chart, const Column& line, Span at, const Scope& scope) {
  if (is_error(line.formula)) return;
  const Type wanted = chart.columns.empty() ? type(line.formula) : type(chart.columns.front().formula);
  if (type(line.formula).tag != TypeTag::quantity) {
    report(Code::wrong_type, at, fmt::format("a chart shows quantities, and this is {}", describe(type(line.formula))));
  } else if (wanted.tag == TypeTag::quantity) {
    expect_type(line.formula, wanted, at, "a line of this chart", scope);
  }
}

/// The names in the path of a view: KIND.HEADLINE, LEDGER.by_item, a ledger, a listing or a chart.
void Checker::use_view(TreeRef path) {
  const bool member = kind_of(path) == NodeKind::member;
  const TreeRef head = member ? child(path, 0) : path;
  if (kind_of(head) != NodeKind::name) return;
  const Symbol name = data(head);
  const auto kind = program_.kind_names.find(name);
  if (member && kind != program_.kind_names.end()) {
    const TreeRef field = child(path, 1);
    const auto slot = program_.kinds[kind->second].slots.find(data(field));
    if (slot != program_.kinds[kind->second].slots.end()) {
      use(head, Named::kind, kind->second);
      use(field, Named::field, kind->second, slot->second);
      return;
    }
  }
  if (const auto ledger = ledger_names_.find(name); ledger != ledger_names_.end())
    use(head, Named::ledger, ledger->second);
  for (std::uint32_t i = 0; i < program_.listings.size(); ++i) {
    if (program_.listings[i].name == name) use(head, Named::listing, i);
  }
}

/// `show KIND.FIELD in percent`: of the kind and of those derived from it, where they say nothing of their own. A file
/// that uses a module decides over the module.
void Checker::check_percentages() {
  struct Percentage {
    KindId kind = none;
    Slot slot = none;
    int places = 1;
    Span span{};
  };
  std::vector<Percentage> percentages;
  for (const TreeRef ref : declared_.shows) {
    const TreeRef path = child(ref, 0);
    if (kind_of(path) != NodeKind::member) continue;
    Percentage shown;
    shown.span = span(ref);
    if (!find_field(path, shown.kind, shown.slot)) continue;
    const Type& type = program_.kinds[shown.kind].fields[shown.slot].type;
    if (type.tag != TypeTag::quantity || type.id != ratio) {
      report(Code::wrong_type, span(path),
             fmt::format("only a plain ratio is shown in percent, and this is {}", describe(type)))
          .help.push_back("a dimension is shown in a unit: `show DIMENSION in UNIT to 2 places`");
      continue;
    }
    if (node(ref).count > 1) shown.places = static_cast<int>(std::min(number_at(child(ref, 1)).value, 12.0));
    const auto same = std::find_if(percentages.begin(), percentages.end(), [&](const Percentage& other) {
      return other.kind == shown.kind && other.slot == shown.slot;
    });
    if (same == percentages.end()) {
      percentages.push_back(shown);
    } else if (same->span.source == shown.span.source) {
      Diagnostic& diagnostic = report(Code::duplicate_name, shown.span, "a second `show` for the same field");
      diagnostic.labels.push_back({same->span, "the first is here"});
      diagnostic.help.push_back("keep one of the two");
    } else if (shown.span.source < same->span.source) {
      *same = shown;
    }
  }
  std::unordered_map<KindId, std::vector<const Percentage*>> of_kind;
  for (const Percentage& shown : percentages) of_kind[shown.kind].push_back(&shown);
  for (Kind& kind : program_.kinds) {
    for (auto at = static_cast<KindId>(&kind - program_.kinds.data()); at != none; at = program_.kinds[at].base) {
      for (const Percentage* const shown : of_kind[at]) {
        int& places = kind.fields[shown->slot].percent_places;
        if (places < 0) places = shown->places;  // the nearest comes first
      }
    }
  }
}

/// The field that KIND.FIELD names; false where there is none, and said.
bool Checker::find_field(TreeRef path, KindId& kind, Slot& slot) {
  const TreeRef field = child(path, 1);
  kind = read_kind(child(path, 0));
  if (kind == none) return false;
  const Kind& found = program_.kinds[kind];
  const auto at = found.slots.find(data(field));
  if (at == found.slots.end()) {
    if (damaged(data(field))) return false;
    Diagnostic& diagnostic = report(Code::unknown_field, span(field),
                                    fmt::format("{} has no field `{}`", text(found.name), text(data(field))));
    std::vector<std::string_view> names;
    for (const Field& each : found.fields) names.push_back(text(each.name));
    suggest(diagnostic, text(data(field)), names);
    return false;
  }
  slot = at->second;
  use(field, Named::field, kind, slot);
  return true;
}

std::set<std::string> view_names(const Program& program) {
  std::set<std::string> names(std::begin(built_in_views), std::end(built_in_views));
  for (const Listing& listing : program.listings) names.emplace(program.text(listing.name));
  for (const Ledger& ledger : program.ledgers) {
    const std::string_view name = program.text(ledger.name);
    names.emplace(name);
    for (const std::string_view part : {"by_category", "by_item", ledger.dated ? "by_month" : "by_item_and_category"})
      names.insert(fmt::format("{}.{}", name, part));
  }
  for (const Kind& kind : program.kinds) {
    for (const Field& field : kind.fields) {
      if (field.headline) names.insert(fmt::format("{}.{}", program.text(kind.name), program.text(field.name)));
    }
  }
  return names;
}

void Checker::check_audiences() {
  const std::set<std::string> known = view_names(program_);
  std::unordered_map<Symbol, Span> seen;
  for (const TreeRef ref : declared_.audiences) {
    Audience audience;
    audience.name = data(child(ref, 0));
    audience.span = span(child(ref, 0));
    const auto [first, fresh] = seen.emplace(audience.name, audience.span);
    if (!fresh) {
      duplicate(audience.span, "audience", audience.name, first->second);
      continue;
    }
    for (const TreeRef part : children(ref)) {
      if (kind_of(part) == NodeKind::string) audience.title = data(part);
      if (kind_of(part) != NodeKind::section) continue;
      AudienceView view{std::string(source_text(child(part, 0))), none, span(part)};
      if (node(part).count > 1)
        view.rows = static_cast<std::uint32_t>(std::min(number_at(child(part, 1)).value, double{none - 1}));
      if (known.count(view.path) == 0) {
        Diagnostic& diagnostic =
            report(Code::unknown_name, span(part), fmt::format("no view is called `{}`", view.path));
        suggest(diagnostic, view.path, {known.begin(), known.end()});
        if (diagnostic.help.empty())
          diagnostic.help.push_back(fmt::format("name a listing, a chart, LEDGER.by_item, KIND.HEADLINE or one of: {}",
                                                fmt::join(built_in_views, ", ")));
        continue;
      }
      if (uses_ != nullptr) use_view(child(part, 0));
      audience.views.push_back(std::move(view));
    }
    program_.audiences.push_back(std::move(audience));
  }
}

}  // namespace sprue
