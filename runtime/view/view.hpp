// Views of one evaluated scenario, each under its name, and documents made of them.
#pragma once

#include <string>
#include <vector>

#include "runtime/ledger/evaluation.hpp"
#include "runtime/view/document.hpp"

namespace sprue {

/// One view: what an `audience` names.
struct View {
  std::string id;            // "cost.by_item", "drivers"
  std::string group;         // heading it stands under; empty: none
  std::string introduction;  // of the group
  std::vector<Block> blocks;
};

/// What is shown.
struct Subject {
  const Program& program;
  const Sources& sources;
  const Evaluation& evaluation;
  bool redacted = false;  // amounts of single items and private columns are withheld
};

// ledgers.cpp
/// By category, by item; by month or by item and category.
void add_ledger_views(const Subject& subject, LedgerId ledger, std::vector<View>& views);
// listings.cpp
void add_listing_views(const Subject& subject, std::vector<View>& views);
// evidence.cpp
/// Given against modelled, sources of the facts, open questions.
void add_evidence_views(const Subject& subject, std::vector<View>& views);
// judgments.cpp
/// Cautions and expectations.
void add_judgment_views(const Subject& subject, std::vector<View>& views);
/// Expectations with both sides, a line each.
Table brief_expectations(const Subject& subject);

}  // namespace sprue
