// The report's tables: each number is rounded once, and they agree with each other.
#include "runtime/view/report.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/view/comparison.hpp"

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <set>

#include "runtime/write/write.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using sprue::testing::Checked;

namespace {

/// What a text stands for in its last places: "1,234.50" is 123450.
long long last_places(std::string text) {
  std::string digits;
  for (const char c : text) {
    if ((c >= '0' && c <= '9') || c == '-') digits += c;
    if (c == ' ') break;
  }
  return digits.empty() ? 0 : std::stoll(digits);
}

/// Rounded by other means: on twelve printed digits, half away from zero.
std::string rounded(double value, int places) {
  char printed[400];
  std::snprintf(printed, sizeof printed, "%.11e", value);
  const long double scaled = std::strtold(printed, nullptr) * std::pow(10.0L, places);
  const long double units = scaled < 0 ? std::ceil(scaled - 0.5L - 1e-9L) : std::floor(scaled + 0.5L + 1e-9L);
  std::snprintf(printed, sizeof printed, "%.*Lf", places, units / std::pow(10.0L, places));
  const std::string text = printed;
  return text.find_first_not_of("-0.") == std::string::npos && text[0] == '-' ? text.substr(1) : text;
}

/// One number, one rounding: each cell is its full value rounded once, and a change that of the full values. Where the
/// rows miss their total, the note says by how much.
void look(const Document& document, std::set<std::string>& seen) {
  for (const Block& block : document) {
    const auto* table = std::get_if<Table>(&block);
    if (table == nullptr) continue;
    const auto cells = shown_cells(*table, true);
    const std::string note = rounding_note(*table);
    for (std::size_t c = 0; c < table->columns.size(); ++c) {
      const TableColumn& column = table->columns[c];
      INFO(table->id << " " << column.id);
      long long rows = 0;
      long long total = 0;
      for (std::size_t r = 0; r < cells.size(); ++r) {
        const Cell& cell = table->rows[r].cells[c];
        if (!cell.number || cell.absent) continue;
        std::string shown = cells[r][c].substr(0, cells[r][c].find(' '));
        std::erase(shown, ',');
        const bool change = column.change || cell.change;
        if (change && !shown.empty() && shown[0] == '+') shown.erase(0, 1);
        // A share is seen as a percentage, of its full value too.
        const int percent = cell.percent >= 0 ? cell.percent : column.percent;
        const int places = cell.places >= 0 ? cell.places : column.places;
        const std::string once = percent >= 0 ? rounded(100 * cell.value, percent) : rounded(cell.value, places);
        CHECK(shown == (change && once.find_first_not_of("-0.") == std::string::npos ? "" : once));
        (table->rows[r].total ? total : rows) += last_places(cells[r][c]);
        seen.insert(column.change ? "change in " + table->id : table->id);
      }
      if (!column.summed) continue;
      REQUIRE(table->rows.back().total);
      CHECK((note.find(column.title + " by ") != std::string::npos) == (rows != total));
      // Each row is rounded by half a last place at most, and so is the total.
      CHECK(2 * std::llabs(rows - total) <= static_cast<long long>(cells.size()));
      if (rows != total) seen.insert("a miss");
    }
  }
}

}  // namespace

TEST_CASE("every cell is its value rounded once, in every scenario", "[write][property]") {
  std::set<std::string> seen;
  for (const std::string scenario : {"", "symmetric_housing", "no_overmold", "half_volume", "weak_euro"}) {
    const Checked checked(testing::source_dir() / "scenarios/herb_mill/herb_mill.sprue", scenario);
    const Document document = report_document({checked.program, checked.sources, checked.evaluation}, {});
    INFO(scenario);
    look(document, seen);
  }
  for (const std::string id :
       {"landed_cost_by_category", "landed_cost_by_item_and_category", "cash_by_month", "a miss"})
    CHECK(seen.count(id) == 1);
}

TEST_CASE("columns side by side, their changes and every walk are rounded once", "[write][property]") {
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
    look(report_document({base.program, base.sources, base.evaluation}, {none, versions, {}, {}}), seen);
    const Pieces before = pieces(base, "");
    const Pieces after = pieces(other, scenario);
    look(comparison_document(compare({"a", versions[0], before}, {"b", versions[1], after}, project_loader({}))), seen);
  }
  for (const std::string id : {"change in headlines", "change in landed_cost_by_item", "change in cash_by_category",
                               "walk_herb_mill.landed_cost", "cash_by_item", "a miss"}) {
    INFO(id);
    CHECK(seen.count(id) == 1);
  }
}

TEST_CASE("a figure is shown alike wherever it stands: in a table, in the table of scenarios, on its chart",
          "[write]") {
  const auto file = testing::source_dir() / "scenarios/herb_mill/herb_mill.sprue";
  const Checked base(file);
  const Checked other(file, "no_overmold");
  const Version versions[] = {{"base", &base.program, &base.sources, &base.evaluation},
                              {"no_overmold", &other.program, &other.sources, &other.evaluation}};
  const auto texts = [](const Document& document) {
    std::map<std::string, std::set<std::string>> found;  // by ledger and row
    for (const Block& block : document) {
      if (const auto* table = std::get_if<Table>(&block);
          table != nullptr && table->id.find("_by_") != std::string::npos) {
        const auto cells = shown_cells(*table, true);
        for (const auto& row : cells) {
          if (row.size() > 1) found[table->id + ": " + row[0]].insert(row[1]);
        }
      }
      if (const auto* chart = std::get_if<BarChart>(&block)) {
        for (const auto& bar : chart->bars)
          found[chart->id + ": " + bar.label].insert(bar.note.substr(0, bar.note.find(' ')));
      }
    }
    return found;
  };
  const auto both = texts(report_document({base.program, base.sources, base.evaluation}, {none, versions, {}, {}}));
  std::size_t several = 0;
  for (const auto& [name, shown] : both) {
    const bool rest = name.find(" more") != std::string::npos || name.find("the same") != std::string::npos;
    if (rest || name.find("scenarios") == 0) continue;
    INFO(name);
    CHECK(shown.size() == 1);
    ++several;
  }
  CHECK(several > 100);
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
