// Two versions compared: headlines, what each change of the source contributed to them, the changes themselves,
// ledgers, expectations that changed state.
#pragma once

#include "runtime/study/walk.hpp"
#include "runtime/view/columns.hpp"

namespace sprue {

/// One side of a comparison, as written.
struct Written {
  std::string label;
  const Version& version;
  const Pieces& pieces;
};

/// A change with the values it changed, for people.
struct ShownChange {
  std::string path;
  std::string what;  // changed, added, removed; title, range or source, which no figure depends on
  std::string before;
  std::string after;
  std::string source;  // of the later value
  std::string place;   // "parts.sprue:12"
};

/// The walk of one headline.
struct ShownWalk {
  HeadlineRow headline;
  std::vector<HeadlineRow> same;  // other headlines that have the same values and bars
  double before = 0, after = 0;   // in the unit shown
  std::vector<std::string> labels;
  std::vector<Estimate> bars;  // in the unit shown; those that are not zero, largest first
};

struct Comparison {
  std::vector<Version> versions;  // two: Before and After
  std::string before, after;      // what they are
  std::vector<ShownChange> changes;
  std::vector<ShownWalk> walks;  // of every headline that differs
  bool exact = true;
  std::size_t orders = 0;
  std::string no_walk;  // why there is none, where figures differ
  bool same = false;    // nothing differs: neither text nor figures
};

Comparison compare(const Written& before, const Written& after, const Loader& library);

/// The main points: edits, figures and expectations that changed, the first walks; or all of it.
Document comparison_document(const Comparison& comparison, bool all = true);

}  // namespace sprue
