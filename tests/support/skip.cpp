// Collects what tests skip and prints it when the run ends.
#include "tests/support/skip.hpp"

#include <iostream>
#include <vector>

#if __has_include(<catch2/catch_test_macros.hpp>)
#include <catch2/catch_test_case_info.hpp>
#include <catch2/reporters/catch_reporter_event_listener.hpp>
#include <catch2/reporters/catch_reporter_registrars.hpp>
using Listener = Catch::EventListenerBase;
#else
#define CATCH_CONFIG_EXTERNAL_INTERFACES
#include <catch2/catch.hpp>
using Listener = Catch::TestEventListenerBase;
#endif

namespace sprue::testing {
namespace {

std::string reason_of_this;        // empty: nothing skipped so far in the running test
std::vector<std::string> skipped;  // "TEST: REASON"

const Catch::TestCaseInfo& info_of(const Catch::TestCaseInfo& info) {
  return info;
}
[[maybe_unused]] const Catch::TestCaseInfo& info_of(const Catch::TestCaseInfo* info) {
  return *info;
}

class Skips : public Listener {
 public:
  using Listener::Listener;
  void testCaseStarting(const Catch::TestCaseInfo& info) override {
    Listener::testCaseStarting(info);
    reason_of_this.clear();
  }
  void testCaseEnded(const Catch::TestCaseStats& stats) override {
    if (!reason_of_this.empty() && stats.totals.assertions.failed == 0)
      skipped.push_back(info_of(stats.testInfo).name + ": " + reason_of_this);
    Listener::testCaseEnded(stats);
  }
  void testRunEnded(const Catch::TestRunStats& stats) override {
    for (const std::string& line : skipped) std::cout << "skipped: " << line << "\n";
    std::cout.flush();
    Listener::testRunEnded(stats);
  }
};

}  // namespace

void skip(const std::string& reason) {
  reason_of_this = reason;
}

}  // namespace sprue::testing

using sprue::testing::Skips;
CATCH_REGISTER_LISTENER(Skips)
