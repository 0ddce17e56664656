// Files through the system's own calls: what is opened is what is asked about, and every failure has its reason.
#include "runtime/cli/file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <utility>

#include "lang/limits/limits.hpp"

namespace sprue {
namespace fs = std::filesystem;

namespace {

class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() { close(); }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;

  bool is_open() const { return number_ >= 0; }
  int number() const { return number_; }
  /// False where the last of what was written could not be kept.
  bool close() { return number_ < 0 || ::close(std::exchange(number_, -1)) == 0; }

 private:
  int number_;
};

std::string reason() {
  return std::strerror(errno);
}

bool write_all(int to, std::string_view text) {
  while (!text.empty()) {
    const ssize_t count = ::write(to, text.data(), text.size());
    if (count < 0 && errno != EINTR) return false;
    if (count > 0) text.remove_prefix(static_cast<std::size_t>(count));
  }
  return true;
}

/// A new file in the folder; its name is put into `name`.
int create_beside(const fs::path& folder, fs::path& name) {
  constexpr int attempts = 100;
  for (int i = 0; i < attempts; ++i) {
    name = folder / fmt::format(".sprue-{}-{}", ::getpid(), i);
    const int file = ::open(name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (file >= 0 || errno != EEXIST) return file;
  }
  return -1;
}

/// What the path leads to, whether it is there or not; a ring of links leads to one of them.
fs::path behind_links(fs::path path) {
  constexpr int most = 40;
  std::error_code error;
  for (int i = 0; i < most && fs::is_symlink(path, error); ++i) {
    const fs::path next = fs::read_symlink(path, error);
    if (error) break;
    path = path.parent_path() / next;  // an absolute one stays as it is
  }
  return path;
}

std::string write_through(const fs::path& device, std::string_view text) {
  Descriptor file(::open(device.c_str(), O_WRONLY | O_CLOEXEC));
  if (!file.is_open() || !write_all(file.number(), text) || !file.close()) return reason();
  return {};
}

}  // namespace

FileText read_file(const fs::path& path) {
  if (path.native().find('\0') != std::string::npos) return {{}, "no such file"};
  // A pipe must not make this wait.
  Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY));
  if (!file.is_open()) return {{}, errno == ENOENT ? "no such file" : reason()};
  struct stat status {};
  if (::fstat(file.number(), &status) != 0) return {{}, reason()};
  if (S_ISDIR(status.st_mode)) return {{}, "this is a folder, not a file"};
  if (!S_ISREG(status.st_mode)) return {{}, "this is not a regular file"};
  const auto too_large = [] {
    return FileText{{}, fmt::format("the file is larger than {} MiB", limits::source_bytes >> 20U)};
  };
  if (static_cast<std::uint64_t>(status.st_size) > limits::source_bytes) return too_large();
  // One byte more than it says it has shows its end at the first attempt.
  FileText found;
  found.text.resize(static_cast<std::size_t>(status.st_size) + 1);
  for (std::size_t size = 0;;) {
    const ssize_t count = ::read(file.number(), found.text.data() + size, found.text.size() - size);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return {{}, reason()};
    size += static_cast<std::size_t>(count);
    if (size > limits::source_bytes) return too_large();
    if (count == 0) {
      found.text.resize(size);
      return found;
    }
    if (size == found.text.size()) found.text.resize(2 * size);  // it grows
  }
}

std::string write_file(const fs::path& path, std::string_view text) {
  const fs::path target = behind_links(path);
  struct stat before {};
  const bool exists = ::stat(target.c_str(), &before) == 0;
  if (exists && S_ISDIR(before.st_mode)) return "this is a folder, not a file";
  if (exists && !S_ISREG(before.st_mode)) return write_through(target, text);
  fs::path beside;
  Descriptor file(create_beside(target.parent_path(), beside));
  if (!file.is_open()) return reason();
  const bool written = write_all(file.number(), text) && (!exists || ::fchmod(file.number(), before.st_mode) == 0) &&
                       ::fsync(file.number()) == 0 && file.close() && ::rename(beside.c_str(), target.c_str()) == 0;
  if (written) return {};
  std::string problem = reason();
  ::unlink(beside.c_str());
  return problem;
}

}  // namespace sprue
