// What a test cannot check on this machine. A test never returns in silence: it fails, or it says `skip`.
#pragma once

#include <string>

namespace sprue::testing {

/// Counts the running test as skipped, whatever else it checks, unless it fails. The line `skipped: TEST: REASON`
/// stands before the last one of the run; tests/summary counts it.
void skip(const std::string& reason);

}  // namespace sprue::testing
