// The lowering's working object, shared by its source files. Not for use outside lang/graph.
#pragma once

#include <functional>

#include "lang/graph/builder.hpp"
#include "lang/graph/lowered.hpp"

namespace sprue {

/// The instance a formula speaks for, and its loop variables or parameters: nodes, instances or indices, by type.
struct Frame {
  InstanceId self = none;
  std::vector<std::uint32_t> locals;
};

class Lowerer {
 public:
  Lowerer(const Program& program, std::uint32_t scenario, const LowerOptions& options, Diagnostics& diagnostics);
  Lowered run();

 private:
  // lower.cpp: outputs and fields.
  void check_references();
  void find_idle_cycles();
  void lower_replaced();
  void lower_headlines();
  void lower_requirements();
  void lower_cautions();
  void lower_expectations();
  void lower_listings();
  Check comparison_check(Code code, FormulaId condition, Frame& frame);
  std::uint32_t field(InstanceId instance, Slot slot);
  std::uint32_t field_value(InstanceId instance, Slot slot);
  std::uint32_t literal(const Amount& amount, const Type& type, InputOrigin origin, const Facts* facts, bool unknown);
  void report_cycle(std::size_t from);
  void report_missing(Span span);
  void report_removed(Span span, DraftId removed, const std::vector<std::string>& users);
  // formula.cpp: one formula in one frame. Missing things are slot_missing.
  std::uint32_t lower(FormulaId id, Frame& frame);
  std::uint32_t lower_one(FormulaId id, Frame& frame);
  GraphId node(FormulaId id, Frame& frame) { return lower(id, frame); }
  std::uint32_t lower_arithmetic(FormulaId id, Frame& frame);
  std::uint32_t lower_reference(FormulaId id, Frame& frame);
  void report_not_only(const Formula& asked, std::string_view kind, const std::vector<InstanceId>& all,
                       InstanceId self);
  GraphId lower_given(FormulaId asked, Frame& frame);
  std::uint32_t lower_lookup(FormulaId id, Frame& frame);
  GraphId money(GraphId amount, std::uint32_t currency, int power);
  GraphId rate(std::uint32_t currency);
  void find_routes();
  GraphId exchange_input(std::uint32_t exchange);
  std::optional<long> whole(GraphId id, Span span);
  std::uint32_t fail(Code code, Span span, std::string message, std::string help = {});
  bool within_budget(Span span);
  // loops.cpp
  using Step = std::function<bool()>;  // false: stop
  bool each(std::uint32_t loop, Frame& frame, const Step& step);
  std::uint32_t lower_aggregate(FormulaId id, Frame& frame);
  std::uint32_t lower_total(FormulaId id, Frame& frame);
  std::uint32_t lower_series(FormulaId id, Frame& frame);
  const std::vector<InstanceId>& of_kind(KindId kind);
  const std::vector<InstanceId>& referring(KindId kind, Slot slot, InstanceId to);
  // ledgers.cpp
  bool ensure(LedgerId ledger, std::uint32_t category, Span span);
  void lower_postings(LedgerId ledger, std::uint32_t category);
  void add_posting(InstanceId instance, const PostTemplate& post, Frame& frame);
  std::uint32_t lower_ledger(FormulaId id, Frame& frame);
  GraphId sum(const std::vector<const Posting*>& postings, const std::function<GraphId(const Posting&)>& term);
  GraphId category_total(LedgerId ledger, std::uint32_t category);
  GraphId ledger_total(LedgerId ledger);
  void collect_ledgers();

  const Formula& formula(FormulaId id) const { return program_.formulas[id]; }
  FormulaId argument(FormulaId id, std::uint32_t i) const {
    return program_.arguments[program_.formulas[id].first + i];
  }
  const Instance& instance(InstanceId id) const { return out_.instances.all[id]; }
  std::string path(InstanceId id) const { return out_.instances.path(program_, id); }
  bool is_broken(std::uint32_t node) const { return (builder_.marks(node) & mark_broken) != 0; }
  void note(Dependency dependency);

  struct Table {
    std::vector<double> keys;
    std::vector<GraphId> values;
    bool curve = false;
  };
  struct CategoryState {
    int state = 0;  // 0 fresh, 1 under way, 2 done
    std::vector<Posting> postings;
    GraphId total = no_node;
  };

  const Program& program_;
  const LowerOptions& options_;
  Diagnostics* diagnostics_;
  Lowered out_;
  GraphBuilder builder_;
  std::vector<std::vector<GraphId>> series_;
  std::vector<std::vector<InstanceId>> lists_;
  std::vector<Table> tables_;
  std::vector<std::vector<CategoryState>> ledgers_;
  std::vector<GraphId> rates_;
  struct Route {
    std::uint32_t exchange = none;  // by which …
    std::uint32_t towards = none;   // … one comes to this currency, nearer to the report currency
  };
  std::vector<Route> routes_;  // by currency; empty until asked for
  std::vector<GraphId> exchange_nodes_;
  std::unordered_map<KindId, std::vector<InstanceId>> of_kind_;
  std::unordered_map<std::uint64_t, std::unordered_map<InstanceId, std::vector<InstanceId>>> referring_;
  std::vector<std::pair<InstanceId, Slot>> stack_;  // fields under way
  std::vector<std::vector<Dependency>> recording_;
  /// Why something is missing: where in the text, and of what field where a value was never given.
  struct Missing {
    Span at{};
    InstanceId instance = none;
    Slot slot = 0;
    Slot needed_by = none;  // a field of the same instance, not given either, whose formula asks for it
  };
  Missing missing_;                                        // the latest
  std::unordered_map<std::uint32_t, Missing> missing_of_;  // by absolute slot
  bool too_large_ = false;
  std::size_t steps_ = 0;
  std::uintptr_t stack_base_ = 0;  // where the run began
};

}  // namespace sprue
