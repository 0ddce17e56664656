// One scenario of a program as a cost graph, with everything that hangs on its nodes: inputs, postings, headlines,
// requirements, expectations, listings, and the way back from a figure to its formula.
#pragma once

#include <cstdint>
#include <unordered_map>
#include <vector>

#include "lang/graph/graph.hpp"
#include "lang/graph/instances.hpp"

namespace sprue {

/// Where an input comes from: a field of an instance; or, without an instance, the exchange rate of that index.
struct InputOrigin {
  InstanceId instance = none;
  std::uint32_t slot = none;

  bool is_exchange() const { return instance == none; }
};

struct Posting {
  LedgerId ledger = 0;
  std::uint32_t category = 0;
  InstanceId instance = none;  // that posts
  GraphId amount = no_node;
  GraphId date = no_node;  // dated ledgers: a whole day
  Span span{};
};

struct LedgerTotals {
  std::vector<GraphId> categories;
  GraphId total = no_node;
  std::uint32_t first_posting = 0;  // of Lowered::postings, grouped by category, in path order
  std::uint32_t posting_count = 0;
};

struct Headline {
  InstanceId instance = none;
  Slot slot = 0;
  GraphId node = no_node;
};

/// A condition that must hold. With `code` below_table it matters only where `demanded_by` is used; `condition` is the
/// question then.
struct Check {
  Code code{};
  InstanceId instance = none;
  GraphId node = no_node;
  GraphId left = no_node;  // sides of a comparison, where it is one
  GraphId right = no_node;
  GraphId demanded_by = no_node;
  FormulaId condition = none;
  std::uint32_t index = none;  // requirement of the kind, or expectation
  Span span{};
};

struct ListingCell {
  Type type{};
  std::uint32_t value = no_node;  // node, instance or symbol; no_node: nothing there
};
struct ListingTable {
  std::uint32_t listing = 0;
  std::vector<InstanceId> rows;
  std::vector<ListingCell> cells;  // row by row
};

/// What a field's formula used, in order, for `explain`.
struct Dependency {
  InstanceId instance = none;
  Slot slot = none;
  LedgerId ledger = none;         // a ledger value
  std::uint32_t category = none;  // … of one category
  std::uint32_t exchange = none;
  bool operator==(const Dependency&) const = default;
};

struct Origin {
  FormulaId formula = none;
  InstanceId instance = none;
};

struct Lowered {
  Instances instances;
  Graph graph;
  std::vector<std::uint8_t> marks;  // by node; see builder.hpp
  std::vector<InputOrigin> inputs;  // by index into graph.inputs
  std::vector<Posting> postings;
  std::vector<LedgerTotals> ledgers;  // by LedgerId
  std::vector<Headline> headlines;
  std::vector<Check> requirements;
  std::vector<Check> cautions;  // those that may come true; index: of the kind's
  std::vector<Check> expectations;
  std::vector<ListingTable> listings;
  std::vector<std::uint32_t> slot_values;  // by slot: a node, an instance, an index or `unset`
  std::unordered_map<std::uint32_t, std::vector<Dependency>> dependencies;  // by slot, where asked for
  std::vector<Headline> modelled;  // replaced formulas: field and the model's own value
  std::vector<Origin> origins;     // by node, where asked for: the formula that made it
  std::size_t turns = 0;           // of loops and calls, some of which left no node
  bool sound = false;

  /// The node of a field that is a quantity, date, flag, choice or whole number; no_node where it was not needed.
  GraphId node_of(InstanceId instance, Slot slot) const;
};

struct LowerOptions {
  bool listings = true;
  bool dependencies = false;          // record what each field used
  bool modelled = true;               // lower the formulas that given values replace, too
  bool origins = false;               // record which formula made which node, and share none between formulas
  std::vector<PathTarget> also = {};  // fields wanted besides what the outputs need
};

inline constexpr std::uint32_t slot_unset = 0xFFFFFFFFU;
inline constexpr std::uint32_t slot_busy = 0xFFFFFFFEU;
inline constexpr std::uint32_t slot_missing = 0xFFFFFFFDU;

Lowered lower(const Program& program, std::uint32_t scenario, const LowerOptions& options, Diagnostics& diagnostics);

}  // namespace sprue
