// Two lanes an input.
#include "runtime/study/responses.hpp"

#include <algorithm>
#include <cmath>

#include "lang/graph/arithmetic.hpp"
#include "runtime/machine/gradient.hpp"
#include "runtime/machine/plan.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/study/lanes.hpp"

namespace sprue {
namespace {

constexpr double share = 0.01;
constexpr std::size_t inputs_at_a_time = 256;      // each takes room for every other that varies beside it
constexpr std::size_t work_limit = 4'000'000'000;  // operations; some seconds

class Stepper {
 public:
  Stepper(const Program& program, const Evaluation& evaluation, std::span<const GraphId> figures, bool defaults)
      : program_(program),
        evaluation_(evaluation),
        lowered_(evaluation.lowered),
        figures_(figures),
        defaults_(defaults) {}

  Responses run() {
    for (const std::uint32_t input : reaching()) plan_step(input);
    keep_steepest();
    evaluate_steps();
    count_other_fields();
    return std::move(out_);
  }

 private:
  /// Inputs that a figure depends on.
  std::vector<std::uint32_t> reaching() const {
    std::vector<std::uint32_t> all(lowered_.inputs.size());
    for (std::uint32_t i = 0; i < all.size(); ++i) all[i] = i;
    const Plan plan(lowered_.graph, figures_, all);
    std::vector<std::uint32_t> found(plan.inputs().begin(), plan.inputs().end());
    std::sort(found.begin(), found.end());
    return found;
  }

  void plan_step(std::uint32_t input) {
    const InputOrigin& origin = lowered_.inputs[input];
    const Type type = input_type(program_, lowered_, origin);
    if (type.tag == TypeTag::flag || type.tag == TypeTag::choice) return;  // counted with the other fields
    if (!defaults_ && !is_stated(program_, lowered_, origin)) {
      ++out_.held.defaults;
      return;
    }
    const double stated = std::fabs(lowered_.graph.inputs[input]);
    Response response{input, share * stated, true, {}, {}};
    if (type.tag == TypeTag::point) {
      response = {input, 1, false, {}, {}};
    } else if (is_stepped(program_, type)) {
      response = {input, std::max(1.0, arithmetic::round(share * stated)), false, {}, {}};
    }
    if (response.step > 0) {
      out_.tried.push_back(std::move(response));
    } else {
      ++out_.held.zeros;
    }
  }

  /// Where there are too many inputs for each to be tried: those that the slopes make out to matter most.
  void keep_steepest() {
    const std::size_t most = std::max<std::size_t>(1, work_limit / (2 * lowered_.graph.size()));
    if (out_.tried.size() <= most) return;
    std::vector<double> steepness(lowered_.inputs.size(), 0);
    for (const GraphId figure : figures_) {
      const Gradient sweep = gradient(lowered_.graph, evaluation_.values, figure);
      const double value = std::fabs(evaluation_.value(figure));
      for (const Response& response : out_.tried) {
        const double moved = std::fabs(sweep.slope[response.input]) * response.step / (value > 0 ? value : 1);
        if (std::isfinite(moved)) steepness[response.input] = std::max(steepness[response.input], moved);
      }
    }
    std::stable_sort(out_.tried.begin(), out_.tried.end(),
                     [&](const Response& a, const Response& b) { return steepness[a.input] > steepness[b.input]; });
    out_.held.untried = out_.tried.size() - most;
    out_.tried.resize(most);
    std::sort(out_.tried.begin(), out_.tried.end(),
              [](const Response& a, const Response& b) { return a.input < b.input; });
  }

  void evaluate_steps() {
    for (std::size_t at = 0; at < out_.tried.size(); at += inputs_at_a_time) {
      const std::size_t end = std::min(at + inputs_at_a_time, out_.tried.size());
      std::vector<Lane> lanes;
      for (std::size_t i = at; i < end; ++i) {
        const Response& response = out_.tried[i];
        const double stated = lowered_.graph.inputs[response.input];
        lanes.push_back({{response.input, stated - response.step}});
        lanes.push_back({{response.input, stated + response.step}});
      }
      auto results = evaluate_lanes(evaluation_, figures_, lanes);
      for (std::size_t i = at; i < end; ++i) {
        out_.tried[i].less = std::move(results[2 * (i - at)]);
        out_.tried[i].more = std::move(results[2 * (i - at) + 1]);
      }
    }
  }

  /// What the program states and uses beside its inputs.
  void count_other_fields() {
    const Instances& instances = lowered_.instances;
    for (InstanceId id = 0; id < instances.size(); ++id) {
      const Kind& kind = program_.kinds[instances.all[id].kind];
      for (Slot slot = 0; slot < kind.fields.size(); ++slot) {
        std::size_t* const count = counter_for(kind.fields[slot].type.tag);
        if (count == nullptr || lowered_.slot_values[instances.all[id].first_slot + slot] >= slot_missing) continue;
        const Given* const given = instances.given(id, slot);
        const bool plain = given == nullptr ? is_plain(kind.fields[slot].literal, kind.fields[slot].formula)
                                            : is_plain(given->literal, given->formula);
        if (plain && (defaults_ || is_stated(program_, lowered_, {id, slot}))) ++*count;
      }
    }
  }

  bool is_plain(bool literal, FormulaId formula) const {
    if (literal || formula == none) return literal;
    const FormulaOp op = program_.formulas[formula].op;
    return op == FormulaOp::constant || op == FormulaOp::table || op == FormulaOp::series;
  }

  std::size_t* counter_for(TypeTag tag) {
    if (tag == TypeTag::table || tag == TypeTag::curve) return &out_.held.tables;
    if (tag == TypeTag::series) return &out_.held.series;
    if (tag == TypeTag::whole) return &out_.held.wholes;
    return tag == TypeTag::choice || tag == TypeTag::flag ? &out_.held.choices : nullptr;
  }

  const Program& program_;
  const Evaluation& evaluation_;
  const Lowered& lowered_;
  std::span<const GraphId> figures_;
  bool defaults_;
  Responses out_;
};

}  // namespace

Responses responses_of(const Program& program, const Evaluation& evaluation, std::span<const GraphId> figures,
                       bool defaults) {
  return Stepper(program, evaluation, figures, defaults).run();
}

double effect_of(const Response& response, std::size_t figure, double stated) {
  double effect = 0;
  for (const auto& side : {response.less, response.more}) {
    if (side) effect = std::max(effect, std::fabs((*side)[figure] - stated));
  }
  return effect;
}

}  // namespace sprue
