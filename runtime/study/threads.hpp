// The same work on several threads, each with a stack as large as compiling a program may need.
#pragma once

#include <cstddef>
#include <functional>

namespace sprue {

/// Calls `work` with 0 … count - 1 on some threads; 0 is as many as the machine has. The calls must not depend on each
/// other.
void on_threads(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work);

}  // namespace sprue
