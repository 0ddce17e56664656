// The same work on several threads, each with a stack as large as compiling a program may need.
#pragma once

#include <cstddef>
#include <functional>

namespace sprue {

/// Calls `work` with 0 … count - 1, on as many threads as the machine has for it. The calls must not depend on each
/// other.
void on_threads(std::size_t count, const std::function<void(std::size_t)>& work);

}  // namespace sprue
