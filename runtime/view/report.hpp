// The report of one evaluated scenario as a document: headlines, ledgers by category, item and month, listings,
// expectations.
#pragma once

#include "runtime/ledger/evaluation.hpp"
#include "runtime/view/document.hpp"

namespace sprue {

Document report_document(const Program& program, const Sources& sources, const Evaluation& evaluation,
                         std::uint32_t scenario);

}  // namespace sprue
