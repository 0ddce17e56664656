// The order of the checks, sorting declarations by what they declare, and the small helpers every check uses.
#include <fmt/format.h>
#include <algorithm>

#include "lang/check/check.hpp"
#include "lang/check/checker.hpp"
#include "lang/check/habits.hpp"
#include "lang/diagnostics/fixes.hpp"
#include "lang/syntax/text.hpp"

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
            word("last"),        word("%"),          word("use")};
}

void Checker::run() {
  collect();
  if (diagnostics_.full()) return;
  declare_dimensions();
  declare_units();
  program_.units->complete = true;
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
  if (diagnostics_.full()) return;
  check_required(0);
  check_percentages();
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
    const auto keep = [&](std::vector<TreeRef>& list, TreeRef ref, std::size_t limit, std::string_view what) {
      if (list.size() < limit) {
        list.push_back(ref);
      } else if (list.size() == limit) {
        report(Code::too_many, {span(ref).begin, span(ref).begin + 1, span(ref).source},
               fmt::format("more than {} {}", limit, what))
            .help.push_back("leave out what is not needed, or split the program");
        list.push_back(ref);
      }
    };
    for (const NodeId id : tree.children_of(tree.root)) {
      const TreeRef ref{t, id};
      switch (tree[id].kind) {
        case NodeKind::dimension:
          keep(declared_.dimensions, ref, limits::definitions, "dimensions");
          break;
        case NodeKind::countable:
          keep(declared_.countables, ref, limits::definitions, "countables");
          break;
        case NodeKind::currency:
          keep(declared_.currencies, ref, limits::definitions, "currencies");
          break;
        case NodeKind::base_unit:
          keep(declared_.base_units, ref, limits::definitions, "units");
          break;
        case NodeKind::derived_unit:
          keep(declared_.derived_units, ref, limits::definitions, "units");
          break;
        case NodeKind::exchange:
          keep(declared_.exchanges, ref, limits::definitions, "exchange rates");
          break;
        case NodeKind::function:
          keep(declared_.functions, ref, limits::definitions, "functions");
          break;
        case NodeKind::kind:
          keep(declared_.kinds, ref, limits::definitions, "kinds");
          break;
        case NodeKind::ledger:
          keep(declared_.ledgers, ref, limits::definitions, "ledgers");
          break;
        case NodeKind::correlate:
          keep(declared_.correlations, ref, limits::correlations, "correlations");
          break;
        case NodeKind::audience:
          keep(declared_.audiences, ref, limits::definitions, "audiences");
          break;
        case NodeKind::chart:
        case NodeKind::listing:
          keep(declared_.listings, ref, limits::definitions, "listings and charts");
          break;
        case NodeKind::show:
          keep(declared_.shows, ref, limits::definitions, "lines `show`");
          break;
        case NodeKind::instance:
          keep(declared_.instances, ref, limits::declarations, "instances");
          break;
        case NodeKind::scenario:
          keep(declared_.scenarios, ref, limits::scenarios, "scenarios");
          break;
        case NodeKind::expect:
          keep(declared_.expectations, ref, limits::declarations, "expectations");
          break;
        case NodeKind::report:
          keep(declared_.reports, ref, limits::definitions, "lines `report`");
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

/// Names may be missing because of that: it cannot be read, or the line that names it cannot.
bool Checker::file_missing() const {
  return damaged(words_.use) || std::any_of(diagnostics_.list().begin(), diagnostics_.list().end(),
                                            [](const Diagnostic& d) { return d.code == Code::cannot_use; });
}

/// Where `word` stands as a whole word in the text of a span that has it.
Span Checker::word_in(Span whole, std::string_view word) const {
  const std::string_view all = sources_.text(whole);
  for (std::size_t begin = 0; begin < all.size();) {
    const auto end = static_cast<std::size_t>(sprue::text::past_word(all.data() + begin) - all.data());
    if (all.substr(begin, end - begin) == word)
      return {whole.begin + static_cast<std::uint32_t>(begin), whole.begin + static_cast<std::uint32_t>(end),
              whole.source};
    begin = std::max(end, begin + 1);
  }
  return whole;
}

/// What is wrong with a unit or dimension as written; the nearest name for its word.
void Checker::report_problem(Code code, Span at, Units::Problem& problem) {
  if (!problem.word.empty() && file_missing()) return;
  if (const std::string_view type = type_for(problem.word); code == Code::unknown_dimension && !type.empty()) {
    Diagnostic& diagnostic = report(code, at, fmt::format("there is no type `{}`", problem.word));
    diagnostic.help.push_back(fmt::format("write `{}`", type));
    propose(diagnostic, word_in(at, problem.word), std::string(type));
    return;
  }
  const bool currency =
      problem.word.size() == 3 && std::all_of(problem.word.begin(), problem.word.end(), text::is_upper);
  if (code == Code::unknown_unit && currency && program_.units->currencies().empty()) {
    if (no_currency_told_) return;
    no_currency_told_ = true;
    report(code, at, "no currency is declared here")
        .help.push_back(fmt::format("add `use std.currencies` and `report in {}`", problem.word));
    return;
  }
  std::string near;
  if (suggests())
    near = code == Code::unknown_dimension ? std::string(program_.units->nearest_dimension(problem.word))
                                           : program_.units->nearest_unit(problem.word);
  Diagnostic& diagnostic = report(code, at, std::move(problem.text));
  if (!near.empty()) {
    diagnostic.help.push_back(fmt::format("did you mean `{}`?", near));
    propose(diagnostic, word_in(at, problem.word), near);
  } else if (!problem.help.empty()) {
    diagnostic.help.push_back(std::move(problem.help));
  }
}

/// A statement for the main file: below what it uses, else at its top.
void Checker::propose_statement(Diagnostic& diagnostic, const std::string& statement) const {
  const Tree& main = program_.trees.front();
  Span place{0, 0, main.source};
  for (const NodeId id : main.children_of(main.root)) {
    if (main[id].kind != NodeKind::use_module && main[id].kind != NodeKind::use_file) continue;
    place.begin = place.end = main.span(id).end;
  }
  propose(diagnostic, place, place.begin == 0 ? statement + "\n" : "\n" + statement);
}

const Unit* Checker::read_unit(Symbol unit, Span at) {
  Units::Problem problem;
  const Unit* found = program_.units->unit(unit, problem);
  if (found == nullptr) {
    // One word that is unknown is one mistake, whatever stands around it.
    if (units_reported_.insert(unit).second && units_reported_.insert(program_.symbols.intern(problem.text)).second)
      report_problem(Code::unknown_unit, at, problem);
    return nullptr;
  }
  if (found->currency != no_currency && found->currency_power != 0 && !has_rate(found->currency) &&
      currencies_without_rate_.insert(found->currency).second) {
    const Symbol code = program_.units->currencies()[found->currency].name;
    const std::string_view name = text(code);
    if (program_.report_currency == no_currency && !declared_.reports.empty()) return found;  // has been told
    if (damaged(code)) return found;  // perhaps in a rate that could not be read
    if (program_.report_currency == no_currency) {
      Diagnostic& diagnostic = report(Code::no_report_currency, at, "an amount of money, and no currency to report in");
      diagnostic.help.push_back(fmt::format("add `report in {}` (or another currency) to the main file", name));
      propose_statement(diagnostic, fmt::format("report in {}", name));
      for (std::uint32_t i = 0; i < program_.units->currencies().size(); ++i) currencies_without_rate_.insert(i);
    } else {
      const std::string_view into = text(program_.units->currencies()[program_.report_currency].name);
      report(Code::no_exchange_rate, at, fmt::format("no exchange rate leads from {} to {}", name, into))
          .help.push_back(fmt::format("add `exchange 1 {} = … {} from estimate \"…\" on …`", name, into));
    }
  }
  return found;
}

bool Checker::has_rate(std::uint32_t currency) {
  if (currency == program_.report_currency) return true;
  if (convertible_.empty()) {
    convertible_.resize(program_.units->currencies().size(), false);
    std::vector<std::uint32_t> reached;
    const auto reach = [&](std::uint32_t id) {
      if (id == no_currency || convertible_[id]) return;
      convertible_[id] = true;
      reached.push_back(id);
    };
    reach(program_.report_currency);
    for (std::size_t i = 0; i < reached.size(); ++i) {
      for (const Exchange& exchange : program_.exchanges) {
        if (exchange.currency == reached[i]) reach(exchange.in);
        if (exchange.in == reached[i]) reach(exchange.currency);
      }
    }
  }
  return convertible_[currency];
}

/// Told at the one that is not in the library, where only one of them is.
void Checker::duplicate(Span at, std::string_view what, Symbol name, Span first) {
  const bool in_library = program_.from_library(at) && !program_.from_library(first);
  if (in_library) std::swap(at, first);
  Diagnostic& diagnostic = report(Code::duplicate_name, at, fmt::format("{} `{}` is declared twice", what, text(name)));
  diagnostic.labels.push_back({first, in_library ? "the library declares it here" : "declared here first"});
  diagnostic.help.push_back("give one of the two another name, or take it out");
}

std::string_view Checker::suggest(Diagnostic& diagnostic, std::string_view word,
                                  const std::vector<std::string_view>& candidates) {
  if (!suggests()) return {};
  const std::string_view near = nearest(word, candidates);
  if (near.empty()) return near;
  diagnostic.help.push_back(fmt::format("did you mean `{}`?", near));
  if (sources_.text(diagnostic.span) == word) propose(diagnostic, diagnostic.span, std::string(near));
  return near;
}

bool Checker::reported_in(Span span) const {
  return std::any_of(diagnostics_.list().begin(), diagnostics_.list().end(), [&](const Diagnostic& d) {
    return info(d.code).severity == Severity::error && d.span.source == span.source && d.span.begin >= span.begin &&
           d.span.end <= span.end;
  });
}

}  // namespace sprue
