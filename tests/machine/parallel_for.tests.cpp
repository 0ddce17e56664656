// Work on several threads: each index once, and an exception comes back as it would from one thread.
#include "runtime/machine/parallel_for.hpp"

#include <atomic>
#include <new>
#include <string>
#include <vector>

#include "tests/catch.hpp"

using namespace sprue;

namespace {

constexpr unsigned all_threads[] = {0, 1, 2, 7};

}  // namespace

TEST_CASE("each index is worked on once, whatever the number of threads", "[machine][threads]") {
  for (const std::size_t count : {0, 1, 2, 5, 1000}) {
    for (const unsigned threads : all_threads) {
      INFO(count << " on " << threads);
      std::vector<int> times(count, 0);
      parallel_for(count, threads, [&](std::size_t at) { ++times[at]; });
      CHECK(times == std::vector<int>(count, 1));
      std::vector<int> by_stretch(count, 0);
      parallel_for_stretches(count, threads, [&](std::size_t first, std::size_t after) {
        for (std::size_t at = first; at < after; ++at) ++by_stretch[at];
      });
      CHECK(by_stretch == std::vector<int>(count, 1));
    }
  }
}

TEST_CASE("an exception in a helper thread reaches the caller", "[machine][threads]") {
  for (const unsigned threads : all_threads) {
    INFO(threads);
    CHECK_THROWS_AS(parallel_for(1000, threads,
                                 [](std::size_t at) {
                                   if (at >= 3) throw std::bad_alloc();
                                 }),
                    std::bad_alloc);
    CHECK_THROWS_AS(parallel_for_stretches(1000, threads, [](std::size_t, std::size_t) { throw std::bad_alloc(); }),
                    std::bad_alloc);
  }
}

TEST_CASE("of several exceptions that of the lowest index is thrown, as on one thread", "[machine][threads]") {
  for (int turn = 0; turn < 200; ++turn) {
    for (const unsigned threads : all_threads) {
      std::atomic<int> done = 0;
      std::string thrown;
      try {
        parallel_for(64, threads, [&](std::size_t at) {
          if (at >= 10) throw std::to_string(at);
          ++done;
        });
      } catch (const std::string& at) {
        thrown = at;
      }
      REQUIRE(thrown == "10");
      REQUIRE(done == 10);  // what stands before it is done, wherever it ran
    }
  }
}
