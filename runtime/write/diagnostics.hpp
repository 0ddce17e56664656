// Diagnostics for machines: JSON lines, and SARIF 2.1.0.
#pragma once

#include <string>
#include <vector>

#include "lang/diagnostics/diagnostic.hpp"

namespace sprue {

/// One JSON object a diagnostic, each on one line; described in docs/diagnostic.schema.json.
std::vector<std::string> json_records(const Diagnostics& diagnostics, const Sources& sources);

/// One SARIF `result` a diagnostic.
std::vector<std::string> sarif_results(const Diagnostics& diagnostics, const Sources& sources);
/// The log of one run with these results.
std::string sarif_log(const std::vector<std::string>& results);

}  // namespace sprue
