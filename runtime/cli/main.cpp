// The process: standard streams, color only on a terminal, its width, the exit code.
#include <sys/ioctl.h>
#include <unistd.h>
#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <exception>
#include <iostream>
#include <new>

#include "runtime/cli/commands.hpp"
#include "runtime/cli/memory.hpp"
#include "runtime/cli/workspace.hpp"

int main(int argc, char** argv) {
  sprue::keep_memory();
  // A reader that went away and a file that may grow no more are errors of writing, told like others.
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);
  const char* const no_color = std::getenv("NO_COLOR");
  const bool terminal = isatty(STDERR_FILENO) != 0;
  const bool color = terminal && (no_color == nullptr || *no_color == '\0');
  winsize size{};
  const bool wide = isatty(STDOUT_FILENO) != 0 && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0;
  const sprue::Streams streams{std::cout, std::cerr, color, terminal, wide ? size.ws_col : 0U};
  int result = sprue::exit_unusable;
  try {
    std::ios::sync_with_stdio(false);
    result = sprue::run(argc, argv, streams);
  } catch (const std::bad_alloc&) {
    std::cerr << "error: there is not enough memory for this\n";
  } catch (const std::exception& fault) {
    std::cerr << "error: the program itself is at fault: " << fault.what() << "\n";
  }
  errno = 0;
  std::cout.flush();
  if (!std::cout) {
    const std::string reason = errno == 0 ? "the output could not be written" : std::strerror(errno);
    sprue::complain(streams, "cannot write the output: " + reason, sprue::Code::cannot_write);
    return sprue::exit_unusable;
  }
  return result;
}
