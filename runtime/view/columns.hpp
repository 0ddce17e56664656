// Several evaluated versions side by side: scenarios of a file, files, revisions.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "runtime/study/headlines.hpp"
#include "runtime/view/document.hpp"

namespace sprue {

struct Version {
  std::string title;
  const Program* program = nullptr;
  const Sources* sources = nullptr;
  const Evaluation* evaluation = nullptr;
};

/// What the versions do not share and a comparison needs to be like for like: basis fields, report currency, exchange
/// rates. A sentence each.
std::vector<std::string> unlike(std::span<const Version> versions);

/// One headline in several versions.
struct HeadlineRow {
  HeadlineKey key;
  std::string title;
  Type type{};
  std::string unit;            // of the first
  std::vector<GraphId> nodes;  // by version; no_node where it lacks the headline
  bool comparable = true;      // all have it, in the same unit
};
/// In the order of the last version, then what only others have.
std::vector<HeadlineRow> headline_rows(std::span<const Version> versions);

/// A column for each version, and for each but the first what it has more.
Table headlines_side_by_side(std::span<const Version> versions);
/// By category and by item, for each ledger that any version posts to; rows that are the same everywhere are one.
std::vector<Table> ledgers_side_by_side(std::span<const Version> versions);
/// Expectations by their text; only those that do not hold alike, if so asked.
Table expectations_side_by_side(std::span<const Version> versions, bool only_changed);

}  // namespace sprue
