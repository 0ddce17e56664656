// Asking the system for memory in few and large pieces. Knows the C library's allocator.
#pragma once

namespace sprue {

/// Once, at the start: what one stage gives back the next one takes. Asking anew for every large array costs a third of
/// a run.
void keep_memory();

}  // namespace sprue
