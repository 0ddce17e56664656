// C++ knows no trade word: the trade lives in stdlib/*.sprue.
#include <regex>

#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::testing;

TEST_CASE("no trade word stands in lang or runtime", "[language][law]") {
  const std::regex words(
      R"((?:\b|_)(mou?ld\w*|resin\w*|freight\w*|duty|duties|tariff\w*|cavit\w*|overmou?ld\w*|solder\w*|landed|shipment\w*|shipping|tooling|incoterm\w*|customs|carton\w*|pallet\w*|regrind\w*|heat_?stak\w*|payroll|warranty|retail\w*)(?:\b|_))",
      std::regex::icase);
  std::size_t files = 0;
  for (const char* const top : {"lang", "runtime"}) {
    for (const auto& entry : std::filesystem::recursive_directory_iterator(source_dir() / top)) {
      const std::string extension = entry.path().extension().string();
      if (extension != ".cpp" && extension != ".hpp" && extension != ".def") continue;
      ++files;
      const std::string text = read(entry.path());
      std::smatch match;
      INFO(entry.path());
      const bool found = std::regex_search(text, match, words);
      INFO((found ? match.str() : ""));
      CHECK_FALSE(found);
    }
  }
  CHECK(files > 50);
}
