// The same work for many indices on several threads. Results and exceptions do not depend on how many threads there
// are.
#pragma once

#include <cstddef>
#include <functional>

namespace sprue {

/// Calls `work` with 0 … count - 1 on this thread and some others, each with a stack as large as compiling a program
/// may need; `threads` 0 is as many as the machine has. The calls must not depend on each other. When one throws, no
/// further index is begun and all threads end; then the exception of the lowest index that threw is thrown here.
void parallel_for(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work);

/// As parallel_for, by stretches `first` … `after` - 1, a few a thread so that all end at about the same time: for work
/// that sets something up that many indices share.
void parallel_for_stretches(std::size_t count, unsigned threads,
                            const std::function<void(std::size_t first, std::size_t after)>& work);

}  // namespace sprue
