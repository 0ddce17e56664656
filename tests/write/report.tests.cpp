// The report's tables: what they show adds up, and they agree with each other.
#include "runtime/view/report.hpp"

#include <cmath>
#include <set>

#include "runtime/write/write.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using sprue::testing::Checked;

namespace {

long long last_places(std::string text) {
  std::string digits;
  for (const char c : text) {
    if ((c >= '0' && c <= '9') || c == '-') digits += c;
    if (c == ' ') break;
  }
  return std::stoll(digits);
}

}  // namespace

TEST_CASE("every column that foots adds up to its shown total, in every scenario", "[write][property]") {
  std::set<std::string> seen;
  for (const std::string scenario : {"", "symmetric_housing", "no_overmold", "half_volume", "weak_euro"}) {
    const Checked checked(testing::source_dir() / "scenarios/herb_mill/herb_mill.sprue", scenario);
    const Document document = report_document({checked.program, checked.sources, checked.evaluation}, {});
    for (const Block& block : document) {
      const auto* table = std::get_if<Table>(&block);
      if (table == nullptr) continue;
      const auto cells = shown_cells(*table, true, false);
      for (std::size_t c = 0; c < table->columns.size(); ++c) {
        if (!table->columns[c].foots) continue;
        REQUIRE(table->rows.back().total);
        long long sum = 0;
        for (std::size_t r = 0; r + 1 < cells.size(); ++r) sum += last_places(cells[r][c]);
        INFO(scenario << " " << table->id << " " << table->columns[c].id);
        CHECK(sum == last_places(cells.back()[c]));
        seen.insert(table->id);
      }
    }
  }
  CHECK(seen.count("landed_cost_by_category") == 1);
  CHECK(seen.count("landed_cost_by_item_and_category") == 1);
  CHECK(seen.count("cash_by_month") == 1);
}

TEST_CASE("items and categories of a ledger sum to the same total", "[write]") {
  const Checked checked(testing::source_dir() / "scenarios/herb_mill/herb_mill.sprue");
  double by_category = 0;
  for (const std::string category : {"material", "bought", "excess", "conversion", "labor", "setup", "overhead",
                                     "packaging", "freight", "insurance", "duty"}) {
    by_category += checked.figure("landed_cost." + category);
  }
  CHECK(by_category == Approx(checked.figure("landed_cost.total")).epsilon(1e-14));
  CHECK(checked.sum("landed_cost.items.") == Approx(by_category).epsilon(1e-14));
}
