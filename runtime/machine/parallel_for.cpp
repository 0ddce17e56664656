// POSIX threads: the standard's own take the stack that the shell's limit happens to give.
#include "runtime/machine/parallel_for.hpp"

#include <pthread.h>
#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

#include "lang/graph/lowered.hpp"

namespace sprue {
namespace {

std::size_t threads_for(std::size_t count, unsigned threads) {
  return std::min<std::size_t>(threads > 0 ? threads : std::max(1U, std::thread::hardware_concurrency()), count);
}

class Turns {
 public:
  Turns(std::size_t count, const std::function<void(std::size_t)>& work) : count_(count), work_(work) {}

  /// Indices are handed out in rising order, so those below one that throws are all done.
  void take() noexcept {
    for (std::size_t at = next_++; at < count_ && !stopped_; at = next_++) {
      try {
        work_(at);
      } catch (...) {
        stopped_ = true;
        const std::lock_guard lock(mutex_);
        if (failure_ == nullptr || at < failed_at_) failure_ = std::current_exception();
        failed_at_ = std::min(failed_at_, at);
      }
    }
  }

  void rethrow() const {
    if (failure_ != nullptr) std::rethrow_exception(failure_);
  }

 private:
  const std::size_t count_;
  const std::function<void(std::size_t)>& work_;
  std::atomic<std::size_t> next_ = 0;
  std::atomic<bool> stopped_ = false;
  std::mutex mutex_;  // of what follows
  std::exception_ptr failure_;
  std::size_t failed_at_ = static_cast<std::size_t>(-1);
};

void* take_turns(void* turns) {
  static_cast<Turns*>(turns)->take();
  return nullptr;
}

}  // namespace

void parallel_for(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work) {
  Turns turns(count, work);
  const std::size_t wanted = threads_for(count, threads);
  std::vector<pthread_t> helpers;
  helpers.reserve(wanted);  // nothing may throw while they run
  pthread_attr_t attributes;
  pthread_attr_init(&attributes);
  pthread_attr_setstacksize(&attributes, 3 * limits::stack_bytes);
  for (std::size_t i = 1; i < wanted; ++i) {
    pthread_t helper{};
    if (pthread_create(&helper, &attributes, take_turns, &turns) == 0) helpers.push_back(helper);
  }
  pthread_attr_destroy(&attributes);
  turns.take();
  for (const pthread_t helper : helpers) pthread_join(helper, nullptr);
  turns.rethrow();
}

void parallel_for_stretches(std::size_t count, unsigned threads,
                            const std::function<void(std::size_t first, std::size_t after)>& work) {
  if (count == 0) return;
  const std::size_t on = threads_for(count, threads);
  const std::size_t length = on == 1 ? count : std::max<std::size_t>(1, count / (4 * on));
  parallel_for((count + length - 1) / length, threads,
               [&](std::size_t stretch) { work(stretch * length, std::min(count, (stretch + 1) * length)); });
}

}  // namespace sprue
