// The order of the checks, sorting declarations by what they declare, and the small helpers every check uses.
#include <fmt/format.h>
#include <algorithm>

#include "lang/check/check.hpp"
#include "lang/check/checker.hpp"

namespace sprue {

std::string Program::path(DraftId draft) const {
  const Draft& d = drafts[draft];
  return d.owner == none ? std::string(symbols[d.name]) : path(d.owner) + "." + std::string(symbols[d.name]);
}

void check(Program& program, Sources& sources, SourceId main, const Loader& loader, Diagnostics& diagnostics,
           Uses* uses) {
  program.units = std::make_unique<Units>(program.symbols, program.dimensions);
  load(program, sources, main, loader, diagnostics);
  Checker(program, sources, diagnostics, uses).run();
  program.sound = !diagnostics.has_errors();
}

Checker::Checker(Program& program, const Sources& sources, Diagnostics& diagnostics, Uses* uses)
    : program_(program), sources_(sources), diagnostics_(diagnostics), uses_(uses) {
  const auto word = [&](std::string_view text) { return program_.symbols.intern(text); };
  words_ = {word("this"),        word("owner"),      word("next"),       word("previous"),
            word("yes"),         word("no"),         word("total"),      word("of"),
            word("before"),      word("through"),    word("out_before"), word("out_through"),
            word("in_before"),   word("in_through"), word("lowest"),     word("lowest_through"),
            word("lowest_date"), word("sum"),        word("greatest"),   word("least"),
            word("count"),       word("any"),        word("every"),      word("first"),
            word("last"),        word("%")};
}

void Checker::run() {
  collect();
  declare_dimensions();
  declare_units();
  declare_exchanges();
  declare_shows();
  declare_kinds();
  declare_ledgers();
  declare_functions();
  declare_drafts();
  declare_scenarios();
  check_function_bodies();
  check_kind_formulas();
  check_values();
  check_required(0);
  check_listings();
  check_audiences();
  check_correlations();
  check_expectations();
  check_scenarios();
  if (diagnostics_.has_errors()) return;
  warn_unused();
  warn_expired();
}

void Checker::collect() {
  for (std::uint32_t t = 0; t < program_.trees.size(); ++t) {
    const Tree& tree = program_.trees[t];
    damaged_.insert(tree.damaged.begin(), tree.damaged.end());
    for (const NodeId id : tree.children_of(tree.root)) {
      const TreeRef ref{t, id};
      switch (tree[id].kind) {
        case NodeKind::dimension:
          declared_.dimensions.push_back(ref);
          break;
        case NodeKind::countable:
          declared_.countables.push_back(ref);
          break;
        case NodeKind::currency:
          declared_.currencies.push_back(ref);
          break;
        case NodeKind::base_unit:
          declared_.base_units.push_back(ref);
          break;
        case NodeKind::derived_unit:
          declared_.derived_units.push_back(ref);
          break;
        case NodeKind::exchange:
          declared_.exchanges.push_back(ref);
          break;
        case NodeKind::function:
          declared_.functions.push_back(ref);
          break;
        case NodeKind::kind:
          declared_.kinds.push_back(ref);
          break;
        case NodeKind::ledger:
          declared_.ledgers.push_back(ref);
          break;
        case NodeKind::correlate:
          declared_.correlations.push_back(ref);
          break;
        case NodeKind::audience:
          declared_.audiences.push_back(ref);
          break;
        case NodeKind::chart:
        case NodeKind::listing:
          declared_.listings.push_back(ref);
          break;
        case NodeKind::show:
          declared_.shows.push_back(ref);
          break;
        case NodeKind::instance:
          declared_.instances.push_back(ref);
          break;
        case NodeKind::scenario:
          declared_.scenarios.push_back(ref);
          break;
        case NodeKind::expect:
          declared_.expectations.push_back(ref);
          break;
        case NodeKind::report:
          declared_.reports.push_back(ref);
          break;
        default:
          break;
      }
    }
  }
}

std::vector<TreeRef> Checker::children(TreeRef ref) const {
  std::vector<TreeRef> out;
  for (const NodeId id : program_.trees[ref.tree].children_of(ref.node)) out.push_back({ref.tree, id});
  return out;
}

FormulaId Checker::add(Formula formula, std::initializer_list<FormulaId> arguments) {
  formula.first = static_cast<std::uint32_t>(program_.arguments.size());
  formula.count = static_cast<std::uint32_t>(arguments.size());
  program_.arguments.insert(program_.arguments.end(), arguments);
  program_.formulas.push_back(formula);
  return static_cast<FormulaId>(program_.formulas.size() - 1);
}

FormulaId Checker::add_list(Formula formula, const std::vector<FormulaId>& arguments) {
  formula.first = static_cast<std::uint32_t>(program_.arguments.size());
  formula.count = static_cast<std::uint32_t>(arguments.size());
  program_.arguments.insert(program_.arguments.end(), arguments.begin(), arguments.end());
  program_.formulas.push_back(formula);
  return static_cast<FormulaId>(program_.formulas.size() - 1);
}

FormulaId Checker::error(Span at) {
  Formula formula;
  formula.span = at;
  return add(formula);
}

std::optional<DimensionId> Checker::dimension_of(FormulaId id) const {
  const Type& t = type(id);
  if (t.tag == TypeTag::quantity) return t.id;
  if (t.tag == TypeTag::whole) return ratio;
  return std::nullopt;
}

/// What is wrong with a unit or dimension as written.
void Checker::report_problem(Code code, Span at, Units::Problem& problem) {
  Diagnostic& diagnostic = report(code, at, std::move(problem.text));
  if (!problem.help.empty()) diagnostic.help.push_back(std::move(problem.help));
}

const Unit* Checker::read_unit(Symbol unit, Span at) {
  Units::Problem problem;
  const Unit* found = program_.units->unit(unit, problem);
  if (found == nullptr) {
    if (units_reported_.insert(unit).second) {
      report_problem(Code::unknown_unit, at, problem);
    }
    return nullptr;
  }
  if (found->currency != no_currency && found->currency_power != 0 && !has_rate(found->currency) &&
      currencies_without_rate_.insert(found->currency).second) {
    const std::string_view name = text(program_.units->currencies()[found->currency].name);
    if (program_.report_currency == no_currency) {
      report(Code::no_report_currency, at, "an amount of money, and no currency to report in")
          .help.push_back(fmt::format("add `report in {}` (or another currency) to the main file", name));
      for (std::uint32_t i = 0; i < program_.units->currencies().size(); ++i) currencies_without_rate_.insert(i);
    } else {
      const std::string_view into = text(program_.units->currencies()[program_.report_currency].name);
      report(Code::no_exchange_rate, at, fmt::format("no exchange rate leads from {} to {}", name, into))
          .help.push_back(fmt::format("add `exchange 1 {} = … {} from estimate \"…\" on …`", name, into));
    }
  }
  return found;
}

bool Checker::has_rate(std::uint32_t currency) const {
  if (currency == program_.report_currency) return true;
  std::vector<std::uint32_t> reached{program_.report_currency};
  for (std::size_t i = 0; i < reached.size(); ++i) {
    for (const Exchange& exchange : program_.exchanges) {
      for (const auto& [from, to] :
           {std::pair{exchange.currency, exchange.in}, std::pair{exchange.in, exchange.currency}}) {
        if (from != reached[i] || std::find(reached.begin(), reached.end(), to) != reached.end()) continue;
        if (to == currency) return true;
        reached.push_back(to);
      }
    }
  }
  return false;
}

void Checker::duplicate(Span at, std::string_view what, Symbol name, Span first) {
  report(Code::duplicate_name, at, fmt::format("{} `{}` is declared twice", what, text(name)))
      .labels.push_back({first, "declared here first"});
}

void Checker::suggest(Diagnostic& diagnostic, std::string_view word, const std::vector<std::string_view>& candidates) {
  const std::string_view near = nearest(word, candidates);
  if (!near.empty()) diagnostic.help.push_back(fmt::format("did you mean `{}`?", near));
}

}  // namespace sprue
