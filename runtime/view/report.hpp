// The report of one evaluated scenario as a document: headlines, scenario columns, ledgers, listings, charts, drivers,
// evidence, judgments; whole, or as much of it as an audience gets.
#pragma once

#include <span>

#include "runtime/view/columns.hpp"
#include "runtime/view/view.hpp"

namespace sprue {

struct ReportRequest {
  std::uint32_t scenario = none;        // of the subject
  std::span<const Version> versions;    // side by side, the subject first; fewer than two: none
  std::span<const AudienceView> views;  // none: all of them
  std::string audience;                 // title, where there is one
  bool brief = false;                   // one screen: no definitions, no charts, a line each
};

Document report_document(const Subject& subject, const ReportRequest& request);

}  // namespace sprue
