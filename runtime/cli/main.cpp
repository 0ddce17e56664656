// The process: standard streams, color only on a terminal, the exit code.
#include <malloc.h>
#include <unistd.h>
#include <cstdlib>
#include <iostream>

#include "runtime/cli/commands.hpp"

int main(int argc, char** argv) {
#ifdef M_MMAP_THRESHOLD
  // What one stage gives back the next one takes: asking the system anew for every large array costs a third of a run.
  mallopt(M_MMAP_THRESHOLD, 1 << 30);
  mallopt(M_TRIM_THRESHOLD, 1 << 30);
  mallopt(M_TOP_PAD, 16 << 20);
#endif
  std::ios::sync_with_stdio(false);
  const char* const no_color = std::getenv("NO_COLOR");
  const bool terminal = isatty(STDERR_FILENO) != 0;
  const bool color = terminal && (no_color == nullptr || *no_color == '\0');
  const int result = sprue::run(argc, argv, {std::cout, std::cerr, color, terminal});
  std::cout.flush();
  if (!std::cout) {
    std::cerr << "error: the output could not be written\n";
    return sprue::exit_unusable;
  }
  return result;
}
