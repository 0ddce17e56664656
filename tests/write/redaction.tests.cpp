// Redacted reports, read as somebody would who wants to know: no number that is shown, and no sum or difference of two of
// them, may be the amount of a single item.
#include <cmath>
#include <set>

#include "runtime/view/report.hpp"
#include "runtime/write/write.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using sprue::testing::Checked;

namespace {

const std::string head =
    "countable unit\ncurrency EUR to 2 places\nreport in EUR\nshow money to 2 places\nunit s: time\nunit day = 86400 s\n"
    "ledger cost: money { goods, work, duty }\nledger cash: money dated { out spent }\n"
    "kind plan { headline total: money = cost.total }\nplan p {}\n";

/// Everything that a reader sees as a number: in tables, figures, texts of charts and along their lines.
std::vector<double> numbers_in(const Document& document) {
  std::vector<double> out;
  const auto read = [&](std::string text) {
    std::erase(text, ',');
    char* end = nullptr;
    const double value = std::strtod(text.c_str(), &end);
    if (end != text.c_str() && text.find('-', 1) == std::string::npos) out.push_back(value);
  };
  for (const Block& block : document) {
    if (const auto* table = std::get_if<Table>(&block)) {
      for (const auto& row : shown_cells(*table, true)) {
        for (const std::string& cell : row) read(cell);
      }
    } else if (const auto* figures = std::get_if<KeyFigures>(&block)) {
      for (const KeyFigure& figure : figures->figures) read(figure.value);
    } else if (const auto* bars = std::get_if<BarChart>(&block)) {
      for (const auto& bar : bars->bars) {
        read(bar.note);
        for (const auto& stretch : bar.stretches) out.insert(out.end(), {stretch.from, stretch.to});
      }
    } else if (const auto* lines = std::get_if<LineChart>(&block)) {
      for (const auto& line : lines->lines) {
        for (const auto& point : line.points) out.push_back(point.y);
      }
    }
  }
  return out;
}

Document redacted(const Checked& checked, std::vector<AudienceView> views = {}) {
  REQUIRE_FALSE(checked.diagnostics.has_errors());
  return report_document({checked.program, checked.sources, checked.evaluation, true}, {none, {}, views, {}});
}

/// Amounts are chosen so that no others come out the same by chance.
bool derivable(double hidden, const std::vector<double>& shown) {
  const auto is = [&](double value) { return std::fabs(std::fabs(value) - hidden) < 0.006; };
  for (const double a : shown) {
    if (is(a)) return true;
    for (const double b : shown) {
      if (is(a - b) || is(a + b)) return true;
    }
  }
  return false;
}

const Table& table_of(const Document& document, const std::string& id) {
  for (const Block& block : document) {
    const auto* table = std::get_if<Table>(&block);
    if (table != nullptr && table->id == id) return *table;
  }
  throw std::runtime_error("no table " + id);
}

}  // namespace

TEST_CASE("a category of a single item is not what the others leave of the total", "[write][redaction]") {
  const Checked checked(head +
                        "kind thing { a: money, b: money = 0 EUR, c: money = 0 EUR\n"
                        "  post cost.goods = a\n  post cost.work = b\n  post cost.duty = c }\n"
                        "thing x { a: 1003.17 EUR, b: 211.83 EUR, c: 57.41 EUR }\nthing y { a: 2741.59 EUR, b: 97.03 EUR }\n");
  const Document document = redacted(checked);
  const std::vector<double> shown = numbers_in(document);
  for (const double hidden : {1003.17, 211.83, 57.41, 2741.59, 97.03, 1003.17 + 211.83 + 57.41, 2741.59 + 97.03}) {
    CAPTURE(hidden);
    CHECK_FALSE(derivable(hidden, shown));
  }
  // Goods of both items stand; duty, of one, stands with work, of both: 57.41 + 211.83 + 97.03.
  const auto cells = shown_cells(table_of(document, "cost_by_category"), true);
  REQUIRE(cells.size() == 3);
  CHECK(cells[0][1] == "3,744.76");
  CHECK(cells[1][1] == "366.27");
  CHECK(cells[2][1] == "4,111.03");
  // Where every amount of an item is withheld, the totals of the categories are, too, and say so.
  for (const auto& row : shown_cells(table_of(document, "cost_by_item_and_category"), true)) {
    for (std::size_t c = 1; c < row.size(); ++c) CHECK((row[c] == "withheld" || (row[c].empty() && row[0] == "y")));
  }
}

TEST_CASE("where one item is all, nothing is told, nor the headline that is the same", "[write][redaction]") {
  const Checked checked(head +
                        "kind thing { a: money, b: money\n  post cost.goods = a\n  post cost.work = b\n"
                        "  post cash.spent = a on 2026-03-04\n  post cash.spent = b on 2026-05-06 }\n"
                        "thing x { a: 1003.17 EUR, b: 211.83 EUR }\n");
  const Document document = redacted(checked);
  const std::vector<double> shown = numbers_in(document);
  for (const double hidden : {1003.17, 211.83, 1003.17 + 211.83}) {
    CAPTURE(hidden);
    CHECK_FALSE(derivable(hidden, shown));
  }
  for (const std::string id : {"cost_by_category", "cost_by_item", "cash_by_month"}) {
    INFO(id);
    CHECK(shown_cells(table_of(document, id), true).back()[1] == "withheld");
  }
  const auto* figures = std::get_if<KeyFigures>(&document[2]);
  REQUIRE(figures != nullptr);
  CHECK(figures->figures[0].value == "withheld");
}

TEST_CASE("a month in which one item is paid stands with others", "[write][redaction]") {
  const Checked checked(head +
                        "kind thing { a: money, on: date\n  post cash.spent = a on on\n"
                        "  post cash.spent = a / 2 on on + 60 day }\n"
                        "thing x { a: 1003.17 EUR, on: 2026-01-05 }\nthing y { a: 2741.59 EUR, on: 2026-01-20 }\n"
                        "thing z { a: 517.23 EUR, on: 2026-04-20 }\n");
  // x and y in January and March; z alone in April and June: with the months before.
  const Document document = redacted(checked);
  const std::vector<double> shown = numbers_in(document);
  for (const double hidden : {1003.17, 2741.59, 517.23, 501.585, 1370.795, 258.615, 517.23 * 1.5}) {
    CAPTURE(hidden);
    CHECK_FALSE(derivable(hidden, shown));
  }
  const auto cells = shown_cells(table_of(document, "cash_by_month"), true);
  REQUIRE(cells.size() == 3);
  CHECK(cells[0][0] == "2026-01");
  CHECK(cells[0][1] == "-3,744.76");
  CHECK(cells[1][0] == "2026-03 to 2026-06");
  CHECK(cells[1][1] == "-2,648.23");  // 1872.38 + 517.23 + 258.615, by hand 2648.225
}

TEST_CASE("rows cut off a redacted table are withheld, and exactly as many rows leave none over", "[write][redaction]") {
  std::string text = head + "kind thing { a: money\n  post cost.goods = a }\n";
  for (int i = 1; i <= 4; ++i) text += "thing t" + std::to_string(i) + " { a: " + std::to_string(100 * i) + " EUR }\n";
  const Checked checked(text);
  const auto rows = [&](std::uint32_t most, bool withheld) {
    const std::vector<AudienceView> views{{"cost.by_item", most, {}}};
    return shown_cells(table_of(report_document({checked.program, checked.sources, checked.evaluation, withheld},
                                                {none, {}, views, {}}),
                                "cost_by_item"),
                       true);
  };
  const auto cut = rows(2, true);
  REQUIRE(cut.size() == 4);
  CHECK(cut[2] == std::vector<std::string>{"2 more", "withheld"});
  CHECK(cut[3] == std::vector<std::string>{"Total", "1,000.00"});
  // Unredacted the largest come first: 400 and 300, and 200 + 100 are left.
  CHECK(rows(2, false)[2] == std::vector<std::string>{"2 more", "300.00"});
  for (const bool withheld : {false, true}) {
    CHECK(rows(4, withheld).size() == 5);
    CHECK(rows(5, withheld).size() == 5);
    CHECK(rows(3, withheld)[3][0] == "1 more");
  }
}

TEST_CASE("what a given value and the model say is withheld, and so is the gap, which would tell the one by the other",
          "[write][redaction]") {
  const Checked checked(head +
                        "kind thing { a: money = 100 EUR, b: money = a * 3\n  post cost.goods = b }\n"
                        "thing x { a: 711.31 EUR, b: 1003.17 EUR }\nthing y { b: 411.93 EUR }\n");
  const Document document = redacted(checked);
  const auto cells = shown_cells(table_of(document, "given_and_modelled"), true);
  REQUIRE(cells.size() == 2);
  for (const auto& row : cells) {
    for (std::size_t c = 1; c < row.size(); ++c) CHECK(row[c] == "withheld");
  }
  const std::vector<double> shown = numbers_in(document);
  for (const double hidden : {1003.17, 411.93, 2133.93, -52.99, 52.99}) CHECK_FALSE(derivable(std::fabs(hidden), shown));
}

TEST_CASE("no demo tells the price of one of its items", "[write][redaction]") {
  for (const std::string name : {"herb_mill", "soil_probe", "slide_clamp", "trail_light"}) {
    const Checked checked(testing::source_dir() / "scenarios" / name / (name + ".sprue"));
    const std::vector<double> all = numbers_in(redacted(checked));
    const std::set<long long> shown = [&] {
      std::set<long long> cents;
      for (const double value : all) cents.insert(std::llround(std::fabs(value) * 1e4));
      return cents;
    }();
    for (const auto& figure : {std::string("landed_cost.items."), std::string("tooling.items."), std::string("cash.items.")}) {
      std::size_t seen = 0;
      std::string line;
      for (std::size_t at = checked.lines().find(figure); at != std::string::npos; at = checked.lines().find(figure, at + 1)) {
        line = checked.lines().substr(at, checked.lines().find('\n', at) - at);
        const double value = std::fabs(std::strtod(line.c_str() + line.find("= ") + 2, nullptr));
        ++seen;
        if (value < 1) continue;  // small round numbers come again by chance
        INFO(name << ": " << line);
        CHECK(shown.count(std::llround(value * 1e4)) == 0);
      }
      CHECK(seen > 0);
    }
  }
}
