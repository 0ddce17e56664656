// One fuzz target: the entry function it is built for.
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "tests/fuzz/entries.hpp"

// NOLINTNEXTLINE(readability-identifier-naming): the name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace sprue::testing;
  static const FuzzEntry* const entry = [] {
    for (const FuzzEntry& one : fuzz_entries()) {
      if (one.name == SPRUE_FUZZ_TARGET) return &one;
    }
    std::abort();
  }();
  const std::string problem = entry->problem({reinterpret_cast<const char*>(data), size});
  if (problem.empty()) return 0;
  std::fprintf(stderr, "%s: %s\n", SPRUE_FUZZ_TARGET, problem.c_str());
  std::abort();
}
