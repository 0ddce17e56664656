// The report's tables: what they show adds up, and they agree with each other.
#include "runtime/view/report.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/view/comparison.hpp"

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

/// Down each column that foots, and across where a column is the difference of two.
void foot(const Document& document, std::set<std::string>& seen) {
  for (const Block& block : document) {
    const auto* table = std::get_if<Table>(&block);
    if (table == nullptr) continue;
    const auto cells = shown_cells(*table, true, false);
    for (std::size_t c = 0; c < table->columns.size(); ++c) {
      const TableColumn& column = table->columns[c];
      INFO(table->id << " " << column.id);
      for (std::size_t r = 0; column.minuend >= 0 && r < cells.size(); ++r) {
        const auto& row = table->rows[r].cells;
        const auto minuend = static_cast<std::size_t>(column.minuend);
        const auto subtrahend = static_cast<std::size_t>(column.subtrahend);
        if (!row[c].number || !row[minuend].number || !row[subtrahend].number) continue;
        CHECK(last_places(cells[r][c]) == last_places(cells[r][minuend]) - last_places(cells[r][subtrahend]));
        seen.insert("across " + table->id);
      }
      if (!column.foots) continue;
      REQUIRE(table->rows.back().total);
      long long sum = 0;
      for (std::size_t r = 0; r + 1 < cells.size(); ++r) sum += last_places(cells[r][c]);
      CHECK(sum == last_places(cells.back()[c]));
      seen.insert(table->id);
    }
  }
}

}  // namespace

TEST_CASE("every column that foots adds up to its shown total, in every scenario", "[write][property]") {
  std::set<std::string> seen;
  for (const std::string scenario : {"", "symmetric_housing", "no_overmold", "half_volume", "weak_euro"}) {
    const Checked checked(testing::source_dir() / "scenarios/herb_mill/herb_mill.sprue", scenario);
    const Document document = report_document({checked.program, checked.sources, checked.evaluation}, {});
    INFO(scenario);
    foot(document, seen);
  }
  CHECK(seen.count("landed_cost_by_category") == 1);
  CHECK(seen.count("landed_cost_by_item_and_category") == 1);
  CHECK(seen.count("cash_by_month") == 1);
}

TEST_CASE("columns side by side foot down and across, and so does every walk", "[write][property]") {
  const auto file = testing::source_dir() / "scenarios/herb_mill/herb_mill.sprue";
  const Checked base(file);
  const auto pieces = [](const Checked& checked, const std::string& name) {
    std::uint32_t scenario = none;
    for (std::uint32_t i = 0; i < checked.program.scenarios.size(); ++i) {
      if (checked.program.text(checked.program.scenarios[i].name) == name) scenario = i;
    }
    return pieces_of(checked.program, checked.sources, scenario);
  };
  std::set<std::string> seen;
  for (const std::string scenario : {"symmetric_housing", "no_overmold", "half_volume", "weak_euro"}) {
    INFO(scenario);
    const Checked other(file, scenario);
    const Version versions[] = {{"base", &base.program, &base.sources, &base.evaluation},
                                {scenario, &other.program, &other.sources, &other.evaluation}};
    foot(report_document({base.program, base.sources, base.evaluation}, {none, versions, {}, {}}), seen);
    const Pieces before = pieces(base, "");
    const Pieces after = pieces(other, scenario);
    foot(comparison_document(compare({"a", versions[0], before}, {"b", versions[1], after}, project_loader({}))), seen);
  }
  for (const std::string id : {"across headlines", "across landed_cost_by_item", "across cash_by_category",
                               "walk_herb_mill.landed_cost", "cash_by_item"}) {
    INFO(id);
    CHECK(seen.count(id) == 1);
  }
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
