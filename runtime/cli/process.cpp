// posix_spawn with three pipes, read together so that none fills up.
#include "runtime/cli/process.hpp"

#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>
#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>

extern char** environ;

namespace sprue {
namespace {

/// Both ends are closed in the child unless they become one of its standard streams.
class Pipe {
 public:
  Pipe() { open_ = ::pipe2(ends_.data(), O_CLOEXEC) == 0; }
  ~Pipe() {
    close(0);
    close(1);
  }
  Pipe(const Pipe&) = delete;
  Pipe& operator=(const Pipe&) = delete;

  bool is_open() const { return open_; }
  int end(std::size_t which) const { return ends_[which]; }
  void close(std::size_t which) {
    if (ends_[which] >= 0) ::close(ends_[which]);
    ends_[which] = -1;
  }

 private:
  std::array<int, 2> ends_{-1, -1};
  bool open_ = false;
};

/// Appends what there is to read; false at the end.
bool read_some(int from, std::string& to) {
  std::array<char, 1 << 16> buffer;
  const ssize_t count = ::read(from, buffer.data(), buffer.size());
  if (count > 0) to.append(buffer.data(), static_cast<std::size_t>(count));
  return count > 0 || (count < 0 && errno == EINTR);
}

void exchange(Pipe& in, Pipe& out, Pipe& err, std::string_view input, Finished& finished) {
  if (input.empty()) in.close(1);
  while (out.end(0) >= 0 || err.end(0) >= 0) {
    // poll() skips ends that are closed (-1).
    std::array<pollfd, 3> ends{pollfd{in.end(1), POLLOUT, 0}, pollfd{out.end(0), POLLIN, 0},
                               pollfd{err.end(0), POLLIN, 0}};
    if (::poll(ends.data(), ends.size(), -1) < 0) {
      if (errno == EINTR) continue;
      return;
    }
    if (ends[0].revents != 0) {
      const ssize_t count = ::write(in.end(1), input.data(), input.size());
      if (count > 0) input.remove_prefix(static_cast<std::size_t>(count));
      if (input.empty() || (count < 0 && errno != EINTR && errno != EAGAIN)) in.close(1);
    }
    if (ends[1].revents != 0 && !read_some(out.end(0), finished.out)) out.close(0);
    if (ends[2].revents != 0 && !read_some(err.end(0), finished.err)) err.close(0);
  }
}

std::vector<std::string> changed_environment(const std::vector<std::string>& changes) {
  const auto name = [](std::string_view variable) { return variable.substr(0, variable.find('=')); };
  std::vector<std::string> variables;
  for (char** at = environ; *at != nullptr; ++at) {
    const bool stays = std::none_of(changes.begin(), changes.end(),
                                    [&](const std::string& change) { return name(change) == name(*at); });
    if (stays) variables.emplace_back(*at);
  }
  for (const std::string& change : changes) {
    if (change.find('=') != std::string::npos) variables.push_back(change);
  }
  return variables;
}

std::vector<char*> as_array(const std::vector<std::string>& texts) {
  std::vector<char*> array;
  for (const std::string& text : texts) array.push_back(const_cast<char*>(text.c_str()));
  array.push_back(nullptr);
  return array;
}

}  // namespace

Finished run_program(const std::vector<std::string>& arguments, std::string_view input,
                     const std::vector<std::string>& environment) {
  Finished finished;
  Pipe in;
  Pipe out;
  Pipe err;
  if (!in.is_open() || !out.is_open() || !err.is_open()) return finished;
  ::fcntl(in.end(1), F_SETFL, O_NONBLOCK);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_adddup2(&actions, in.end(0), STDIN_FILENO);
  posix_spawn_file_actions_adddup2(&actions, out.end(1), STDOUT_FILENO);
  posix_spawn_file_actions_adddup2(&actions, err.end(1), STDERR_FILENO);
  const std::vector<std::string> variables = changed_environment(environment);
  const std::vector<char*> argv = as_array(arguments);
  const std::vector<char*> envp = as_array(variables);
  pid_t child = 0;
  finished.started = ::posix_spawnp(&child, argv[0], &actions, nullptr, argv.data(), envp.data()) == 0;
  posix_spawn_file_actions_destroy(&actions);
  if (!finished.started) return finished;
  in.close(0);
  out.close(1);
  err.close(1);
  // A program that ends before it has read everything must not end this one.
  void (*const before)(int) = std::signal(SIGPIPE, SIG_IGN);
  exchange(in, out, err, input, finished);
  std::signal(SIGPIPE, before);
  int status = 0;
  while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  finished.code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  return finished;
}

}  // namespace sprue
