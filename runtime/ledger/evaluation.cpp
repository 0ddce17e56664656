// Evaluating a lowered scenario and judging it: faults, requirements, expectations.
#include "runtime/ledger/evaluation.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <unordered_map>

#include "lang/graph/arithmetic.hpp"
#include "runtime/ledger/shown.hpp"
#include "runtime/machine/faults.hpp"
#include "runtime/machine/machine.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

constexpr const char* calendar_help = "years run from 1583 to 9999";

class Judge {
 public:
  Judge(const Program& program, std::uint32_t scenario, const LowerOptions& options, Evaluation& evaluation,
        Diagnostics& diagnostics)
      : program_(program),
        scenario_(scenario),
        options_(options),
        evaluation_(evaluation),
        lowered_(evaluation.lowered),
        diagnostics_(diagnostics) {}

  void run() {
    demanded_ = demand(lowered_.graph, evaluation_.values, outputs_of(evaluation_));
    bool outside = false;  // a table was asked outside its keys
    for (const Check& check : lowered_.requirements) {
      if (!fails(check, evaluation_)) continue;
      if (check.code == Code::below_table) {
        outside = outside || demanded_[check.demanded_by];
      } else {
        requirement(check);
      }
    }
    const bool faulty = !faults_of(lowered_.graph, evaluation_.values, demanded_).empty();
    if (outside || faulty || !off_calendar(evaluation_).empty()) tell_places();
    evaluation_.sound = !diagnostics_.has_errors();
    if (evaluation_.sound) cautions();
    for (const Check& check : lowered_.expectations) expectation(check);
  }

 private:
  bool skipped(GraphId node) const { return evaluation_.absent(node); }

  /// Where a side has no value the cause is told, and the comparison says nothing.
  static bool rests_on_fault(const Check& check, const Evaluation& evaluation) {
    const auto without_value = [&](GraphId side) {
      return side < slot_missing && !std::isfinite(evaluation.value(side));
    };
    return without_value(check.left) || without_value(check.right);
  }

  static bool fails(const Check& check, const Evaluation& evaluation) {
    return !evaluation.absent(check.node) && evaluation.value(check.node) == 0 && !rests_on_fault(check, evaluation);
  }

  /// What is asked for and has a figure.
  std::vector<GraphId> outputs_of(const Evaluation& evaluation) const {
    const Lowered& lowered = evaluation.lowered;
    std::vector<GraphId> outputs;
    const auto want = [&](GraphId node) {
      if (node != no_node && !evaluation.absent(node)) outputs.push_back(node);
    };
    for (const Headline& headline : lowered.headlines) want(headline.node);
    for (const Posting& posting : lowered.postings) {
      want(posting.amount);
      want(posting.date);
    }
    for (const Check& check : lowered.requirements) {
      if (check.code != Code::below_table) want(check.node);
    }
    for (const Check& check : lowered.expectations) want(check.node);
    for (const Check& check : lowered.cautions) want(check.node);
    for (const ListingTable& table : lowered.listings) {
      for (const ListingCell& cell : table.cells) {
        if (is_number(cell.type)) want(cell.value);
      }
    }
    return outputs;
  }

  /// The same with the places that nodes come from. They are rarely asked for and take room: the program is lowered
  /// once more to find out, so that equal operations of different formulas are different nodes.
  const Evaluation& traced() {
    if (!traced_) {
      LowerOptions again = options_;
      again.origins = true;
      Diagnostics unheard;
      traced_.emplace();
      traced_->lowered = lower(program_, scenario_, again, unheard);
      traced_->values = evaluate_all(traced_->lowered.graph);
    }
    return *traced_;
  }

  /// What is asked outside its keys, what has no finite value, and what is on no calendar.
  void tell_places() {
    const Evaluation& traced = this->traced();
    const std::vector<bool> demanded = demand(traced.lowered.graph, traced.values, outputs_of(traced));
    std::vector<std::pair<Origin, std::string>> told;
    for (const Check& check : traced.lowered.requirements) {
      if (check.code == Code::below_table && fails(check, traced) && demanded[check.demanded_by])
        below_table(traced, check, told);
    }
    for (const GraphId node : faults_of(traced.lowered.graph, traced.values, demanded)) {
      const Origin origin = traced.lowered.origins[node];
      // What a failed requirement forbids needs no second complaint about where it leads.
      const bool said = std::find(blamed_.begin(), blamed_.end(), origin.instance) != blamed_.end();
      if (!traced.absent(node) && (origin.instance == none || !said)) fault(traced, node, told);
    }
    dates(traced);
  }

  /// The same formula written twice, or met again, of the same instance: one mistake.
  bool is_same(const Origin& a, const Origin& b) const {
    return a.instance == b.instance &&
           (a.formula == b.formula || (a.formula != none && b.formula != none && is_same(a.formula, b.formula)));
  }
  bool is_same(FormulaId id, FormulaId other) const {
    const Formula& a = program_.formulas[id];
    const Formula& b = program_.formulas[other];
    if (a.op != b.op || a.a != b.a || a.b != b.b || a.c != b.c || a.value != b.value || a.count != b.count)
      return false;
    for (std::uint32_t i = 0; i < a.count; ++i) {
      if (!is_same(program_.arguments[a.first + i], program_.arguments[b.first + i])) return false;
    }
    return true;
  }

  bool is_told(std::vector<std::pair<Origin, std::string>>& told, const Origin& origin,
               const std::string& message) const {
    for (const auto& [where, what] : told) {
      if (what == message && is_same(where, origin)) return true;
    }
    told.emplace_back(origin, message);
    return false;
  }

  void fault(const Evaluation& traced, GraphId node, std::vector<std::pair<Origin, std::string>>& told) {
    const Origin origin = traced.lowered.origins[node];
    const GraphNode& n = traced.lowered.graph.nodes[node];
    const double a = info(n.op).operands > 0 ? traced.value(n.a) : 0;
    const double b = info(n.op).operands > 1 ? traced.value(n.b) : 0;
    std::string message;
    std::string help;
    if (n.op == Op::divide && b == 0) {
      message = "division by zero";
      help = "give the divisor a value above zero, or write `if x > 0 UNIT then … else …`";
    } else if (n.op == Op::logarithm || n.op == Op::logarithm10) {
      message = fmt::format("a logarithm of {}", a);
      help = "a logarithm needs a ratio above zero";
    } else if (n.op == Op::square_root) {
      message = fmt::format("a square root of {}", a);
    } else if (n.op == Op::months_after) {
      message = fmt::format("no calendar reaches {} months after {}", b, iso_date(a));
      help = calendar_help;
    } else {
      message = fmt::format("this has no finite result ({} of {} and {})", info(n.op).name, a, b);
    }
    if (is_told(told, origin, message)) return;
    Diagnostic& diagnostic = report_at(Code::not_a_number, origin, std::move(message));
    if (!help.empty()) diagnostic.help.push_back(std::move(help));
  }

  /// Dates that are shown: nobody can read, or write into a file, what is on no calendar.
  std::map<GraphId, const Posting*> off_calendar(const Evaluation& evaluation) const {
    const Lowered& lowered = evaluation.lowered;
    std::map<GraphId, const Posting*> off;
    const auto look = [&](GraphId node, const Posting* posting) {
      if (node == no_node || evaluation.absent(node) || !std::isfinite(evaluation.value(node))) return;
      const double day = evaluation.value(node);
      if (day < arithmetic::first_day || day > arithmetic::last_day) off.emplace(node, posting);
    };
    const auto is_date = [&](const Type& type) {
      return type.tag == TypeTag::point && type.id == program_.dimensions.time;
    };
    for (const Posting& posting : lowered.postings) look(posting.date, &posting);
    for (const Headline& headline : lowered.headlines) {
      if (is_date(program_.kinds[lowered.instances.all[headline.instance].kind].fields[headline.slot].type))
        look(headline.node, nullptr);
    }
    for (const ListingTable& table : lowered.listings) {
      for (const ListingCell& cell : table.cells) {
        if (is_date(cell.type)) look(cell.value, nullptr);
      }
    }
    return off;
  }

  void dates(const Evaluation& traced) {
    for (const auto& [node, posting] : off_calendar(traced)) {
      std::string message = fmt::format("this date is {} the calendar", traced.value(node) < 0 ? "before" : "beyond");
      Diagnostic& diagnostic = posting == nullptr
                                   ? report_at(Code::off_calendar, traced.lowered.origins[node], std::move(message))
                                   : diagnostics_.report(Code::off_calendar, posting->span, message);
      if (posting != nullptr) blame(posting->instance, diagnostic);
      diagnostic.help.push_back(calendar_help);
    }
  }

  Diagnostic& report_at(Code code, const Origin& origin, std::string message) {
    const Span span = origin.formula == none ? Span{} : program_.formulas[origin.formula].span;
    Diagnostic& diagnostic = diagnostics_.report(code, span, std::move(message));
    blame(origin.instance, diagnostic);
    return diagnostic;
  }

  void blame(InstanceId id, Diagnostic& diagnostic) const {
    if (id != none) diagnostic.labels.push_back({place(id), fmt::format("for {}", who(id))});
  }

  std::string who(InstanceId id) const {
    return id == none ? std::string("the file")
                      : fmt::format("{} `{}`", program_.text(program_.kinds[lowered_.instances.all[id].kind].name),
                                    lowered_.instances.path(program_, id));
  }

  Span place(InstanceId id) const { return program_.drafts[lowered_.instances.all[id].draft].span; }

  void below_table(const Evaluation& traced, const Check& check, std::vector<std::pair<Origin, std::string>>& told) {
    const Formula& lookup = program_.formulas[check.condition];
    const Type& type = program_.formulas[program_.arguments[lookup.first + 1]].type;
    const double key = traced.value(check.left);
    const double first = traced.value(check.right);
    std::string message = fmt::format("the table is asked at {}, outside its keys", text_of(program_, type, key));
    if (is_told(told, {check.condition, check.instance}, message)) return;
    Diagnostic& diagnostic = diagnostics_.report(Code::below_table, check.span, std::move(message));
    const bool above = key >= first;
    if (!above) diagnostic.notes.push_back(fmt::format("its first key is {}", text_of(program_, type, first)));
    blame(check.instance, diagnostic);
    diagnostic.help.push_back(above ? "add a row that reaches further" : "add a row that begins lower");
  }

  /// The value at fault, where the instance gives one only of all fields a condition asks; otherwise the instance.
  Span blamed_value(const Check& check) const {
    std::set<Slot> slots;
    fields_of_this(check.condition, slots);
    const Given* only = nullptr;
    for (const Slot slot : slots) {
      const Given* const given = lowered_.instances.given(check.instance, slot);
      if (given == nullptr || given->value_end <= given->value_begin) continue;
      if (only != nullptr) return place(check.instance);
      only = given;
    }
    return only == nullptr ? place(check.instance) : only->value_span();
  }

  void fields_of_this(FormulaId id, std::set<Slot>& slots) const {
    const Formula& formula = program_.formulas[id];
    const auto argument = [&](std::uint32_t i) { return program_.arguments[formula.first + i]; };
    if (formula.op == FormulaOp::get && program_.formulas[argument(0)].op == FormulaOp::self) slots.insert(formula.a);
    for (std::uint32_t i = 0; i < formula.count; ++i) fields_of_this(argument(i), slots);
  }

  void requirement(const Check& check) {
    const Requirement& requirement =
        program_.kinds[lowered_.instances.all[check.instance].kind].requirements[check.index];
    const std::string_view text = program_.text(requirement.text);
    blamed_.push_back(check.instance);
    Diagnostic& diagnostic = diagnostics_.report(
        Code::requirement_failed, blamed_value(check),
        fmt::format("{}: {}", who(check.instance), text.empty() ? "a requirement does not hold" : text));
    diagnostic.labels.push_back({requirement.span, "required here"});
    sides(check, diagnostic);
  }

  /// Cautions with what they apply to; one warning for each that the figures made true.
  void cautions() {
    std::vector<const Check*> first;
    std::unordered_map<std::uint64_t, std::size_t> found;
    for (const Check& check : lowered_.cautions) {
      if (skipped(check.node) || evaluation_.value(check.node) == 0) continue;
      const Caution& caution = program_.kinds[lowered_.instances.all[check.instance].kind].cautions[check.index];
      const std::uint64_t key = (std::uint64_t{caution.span.source} << 32U) | caution.span.begin;
      const auto [at, fresh] = found.try_emplace(key, evaluation_.cautions.size());
      if (fresh) {
        evaluation_.cautions.push_back({&caution, {}});
        first.push_back(&check);
      }
      evaluation_.cautions[at->second].instances.push_back(check.instance);
    }
    for (std::size_t i = 0; i < first.size(); ++i) {
      const auto& [caution, instances] = evaluation_.cautions[i];
      if (lowered_.graph.nodes[first[i]->node].op == Op::constant) continue;  // known before: the report says it
      std::string where;
      for (std::size_t k = 0; k < instances.size() && k < 4; ++k)
        where += (k == 0 ? "" : ", ") + fmt::format("`{}`", lowered_.instances.path(program_, instances[k]));
      if (instances.size() > 4) where += fmt::format(" and {} more", instances.size() - 4);
      Diagnostic& diagnostic = diagnostics_.report(Code::caution, place(first[i]->instance),
                                                   fmt::format("{} ({})", program_.text(caution->text), where));
      diagnostic.labels.push_back({caution->span, "said here"});
      sides(*first[i], diagnostic);
    }
  }

  void expectation(const Check& check) {
    if (check.index == none) return;
    if (evaluation_.expectations_hold.size() <= check.index)
      evaluation_.expectations_hold.resize(check.index + 1, false);
    const bool holds = !skipped(check.node) && evaluation_.value(check.node) != 0;
    evaluation_.expectations_hold[check.index] = holds;
    if (holds || rests_on_fault(check, evaluation_)) return;
    const Expectation& expectation = program_.expectations[check.index];
    const std::string_view text = program_.text(expectation.text);
    Diagnostic& diagnostic = diagnostics_.report(Code::expectation_failed, check.span,
                                                 text.empty() ? std::string("this expectation does not hold")
                                                              : fmt::format("expectation does not hold: {}", text));
    if (skipped(check.node)) diagnostic.notes.push_back("it rests on something unknown");
    sides(check, diagnostic);
  }

  static bool compares(Op op) {
    return op == Op::less || op == Op::less_equal || op == Op::equal || op == Op::near_less ||
           op == Op::near_less_equal || op == Op::near_equal;
  }

  /// Both sides of the comparisons that made a condition of several what it should not be, each at its place.
  void sides_of_parts(FormulaId id, InstanceId of, bool wanted, Diagnostic& diagnostic) {
    const Formula& formula = program_.formulas[id];
    if (formula.op != FormulaOp::arithmetic) return;
    const auto argument = [&](std::uint32_t i) { return program_.arguments[formula.first + i]; };
    const auto op = static_cast<Op>(formula.a);
    if (op == Op::logical_not) sides_of_parts(argument(0), of, !wanted, diagnostic);
    if (op == Op::logical_and || op == Op::logical_or) {
      sides_of_parts(argument(0), of, wanted, diagnostic);
      sides_of_parts(argument(1), of, wanted, diagnostic);
    }
    if (!compares(op)) return;
    const Evaluation& traced = this->traced();
    if (comparisons_.empty()) {
      for (GraphId node = 0; node < traced.lowered.origins.size(); ++node) {
        const Origin& origin = traced.lowered.origins[node];
        if (compares(traced.lowered.graph.nodes[node].op)) comparisons_[{origin.formula, origin.instance}] = node;
      }
    }
    const auto found = comparisons_.find({id, of});  // none where it was known before
    if (found == comparisons_.end() || traced.absent(found->second) || (traced.value(found->second) != 0) == wanted)
      return;
    const GraphNode& node = traced.lowered.graph.nodes[found->second];
    const Type type = sides_type(program_, id);
    const bool turned = program_.formulas[argument(1)].span.begin < program_.formulas[argument(0)].span.begin;
    diagnostic.labels.push_back(
        {formula.span,
         fmt::format("left is {}, right is {}", text_of(program_, type, traced.value(turned ? node.b : node.a)),
                     text_of(program_, type, traced.value(turned ? node.a : node.b)))});
  }

  /// Both sides of a failed comparison and the margin between them.
  void sides(const Check& check, Diagnostic& diagnostic) {
    if (check.left == no_node && check.condition != none)
      sides_of_parts(check.condition, check.instance, check.code != Code::caution, diagnostic);
    if (check.left >= slot_missing || check.right >= slot_missing || skipped(check.left) || skipped(check.right))
      return;
    const Type type = sides_type(program_, check.condition);
    const double left = evaluation_.value(check.left);
    const double right = evaluation_.value(check.right);
    diagnostic.notes.push_back(
        fmt::format("left is {}, right is {}", text_of(program_, type, left), text_of(program_, type, right)));
    if (type.tag == TypeTag::quantity) {
      std::string relative;
      if (right != 0 && std::isfinite(left / right))
        relative = fmt::format(" ({:+.2f}%)", 100 * (left - right) / std::fabs(right));
      diagnostic.notes.push_back(
          fmt::format("left minus right is {}{}", difference_text(program_, type, left - right), relative));
    }
  }

  const Program& program_;
  std::uint32_t scenario_;
  const LowerOptions& options_;
  Evaluation& evaluation_;
  const Lowered& lowered_;
  Diagnostics& diagnostics_;
  std::vector<bool> demanded_;
  std::vector<InstanceId> blamed_;  // whose requirements failed
  std::optional<Evaluation> traced_;
  std::map<std::pair<FormulaId, InstanceId>, GraphId> comparisons_;  // of the same
};

}  // namespace

Evaluation evaluate(const Program& program, std::uint32_t scenario, const LowerOptions& options,
                    Diagnostics& diagnostics) {
  Evaluation evaluation;
  evaluation.lowered = lower(program, scenario, options, diagnostics);
  if (!evaluation.lowered.sound) return evaluation;
  evaluation.values = evaluate_all(evaluation.lowered.graph);
  Judge(program, scenario, options, evaluation, diagnostics).run();
  return evaluation;
}

}  // namespace sprue
