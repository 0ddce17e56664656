// POSIX threads: the standard's own take the stack that the shell's limit happens to give.
#include "runtime/study/threads.hpp"

#include <pthread.h>
#include <algorithm>
#include <atomic>
#include <thread>
#include <vector>

#include "lang/graph/lowered.hpp"

namespace sprue {
namespace {

struct Shared {
  std::size_t count;
  const std::function<void(std::size_t)>& work;
  std::atomic<std::size_t> next = 0;
};

void* take_turns(void* data) {
  Shared& shared = *static_cast<Shared*>(data);
  for (std::size_t at = shared.next++; at < shared.count; at = shared.next++) shared.work(at);
  return nullptr;
}

}  // namespace

void on_threads(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work) {
  Shared shared{count, work};
  pthread_attr_t attributes;
  pthread_attr_init(&attributes);
  pthread_attr_setstacksize(&attributes, 3 * limits::stack_bytes);
  std::vector<pthread_t> helpers;
  const std::size_t wanted =
      std::min<std::size_t>(threads > 0 ? threads : std::max(1U, std::thread::hardware_concurrency()), count);
  for (std::size_t i = 1; i < wanted; ++i) {
    pthread_t helper{};
    if (pthread_create(&helper, &attributes, take_turns, &shared) == 0) helpers.push_back(helper);
  }
  pthread_attr_destroy(&attributes);
  take_turns(&shared);
  for (const pthread_t helper : helpers) pthread_join(helper, nullptr);
}

}  // namespace sprue
