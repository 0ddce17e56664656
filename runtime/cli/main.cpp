// The process: standard streams, color only on a terminal, the exit code.
#include <unistd.h>
#include <cstdlib>
#include <iostream>

#include "runtime/cli/commands.hpp"
#include "runtime/cli/memory.hpp"

int main(int argc, char** argv) {
  sprue::keep_memory();
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
