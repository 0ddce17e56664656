// Settings of glibc; nothing elsewhere.
#include "runtime/cli/memory.hpp"

#include <malloc.h>

namespace sprue {

void keep_memory() {
#ifdef M_MMAP_THRESHOLD
  mallopt(M_MMAP_THRESHOLD, 1 << 30);
  mallopt(M_TRIM_THRESHOLD, 1 << 30);
  mallopt(M_TOP_PAD, 16 << 20);
#endif
}

}  // namespace sprue
