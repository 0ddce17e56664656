// Cells as shown: decimals, grouping, what rounding leaves over; hostile characters made visible.
#include <fmt/format.h>
#include <algorithm>
#include <cstdlib>
#include <optional>

#include "runtime/write/json.hpp"
#include "runtime/write/number.hpp"
#include "runtime/write/write.hpp"

namespace sprue {

namespace {

int places_of(const TableColumn& column, const Cell& cell) {
  return cell.places >= 0 ? cell.places : column.places;
}

int percent_of(const TableColumn& column, const Cell& cell) {
  return cell.percent >= 0 ? cell.percent : column.percent;
}

/// A number as people see it.
std::string for_people(const TableColumn& column, const Cell& cell) {
  const int percent = percent_of(column, cell);
  const double value = percent >= 0 ? 100 * cell.value : cell.value;
  const int places = percent >= 0 ? percent : places_of(column, cell);
  const bool change = column.change || cell.change;
  if (change && is_shown_as_zero(value, places)) return {};
  std::string text = grouped(decimal(value, places));
  if (change && value > 0) text.insert(text.begin(), '+');
  if (change && percent >= 0) text += " points";
  if (cell.incomplete) text += " (incomplete)";
  return text;
}

/// The shown decimal in its last places: "12.50" is 1250. Nothing where it is too long to be counted.
std::optional<long long> last_places(std::string digits) {
  digits.erase(std::remove(digits.begin(), digits.end(), '.'), digits.end());
  if (digits.size() > 17) return std::nullopt;
  return std::strtoll(digits.c_str(), nullptr, 10);
}

/// By how much the shown rows of a column miss its shown total, as a decimal; empty where they do not, or where no one
/// can say.
std::string miss_of(const Table& table, std::size_t c) {
  const int percent = table.columns[c].percent;
  const int places = percent >= 0 ? percent : table.columns[c].places;
  long long miss = 0;
  bool total = false;
  for (const TableRow& row : table.rows) {
    const Cell& cell = row.cells[c];
    if (cell.withheld || cell.absent) return {};
    if (!cell.number) continue;
    const std::optional<long long> units = last_places(decimal(percent >= 0 ? 100 * cell.value : cell.value, places));
    if (!units) return {};
    miss += row.total ? -*units : *units;
    total = total || row.total;
  }
  if (!total || miss == 0) return {};
  double scale = 1;
  for (int i = 0; i < places; ++i) scale *= 10;
  return (miss > 0 ? "+" : "") + decimal(static_cast<double>(miss) / scale, places);
}

}  // namespace

std::string unit_for_people(const TableColumn& column) {
  return column.percent >= 0 ? "%" : column.unit;
}

std::string rounding_note(const Table& table) {
  std::string columns;
  std::string unit;  // said once for columns that follow each other
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    const TableColumn& column = table.columns[c];
    const std::string miss = column.summed ? miss_of(table, c) : std::string();
    if (miss.empty()) continue;
    if (!columns.empty()) columns += (unit == unit_for_people(column) || unit.empty() ? "" : " " + unit) + ", ";
    columns += fmt::format("{} by {}", column.title, miss);
    unit = unit_for_people(column);
  }
  if (columns.empty()) return {};
  return fmt::format("Rounded rows miss the total: {}{}{}.", columns, unit.empty() ? "" : " ", unit);
}

std::vector<std::vector<std::string>> shown_cells(const Table& table, bool people) {
  std::vector<std::vector<std::string>> shown(table.rows.size(), std::vector<std::string>(table.columns.size()));
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    const TableColumn& column = table.columns[c];
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
      const Cell& cell = table.rows[r].cells[c];
      std::string& text = shown[r][c];
      if (!cell.number || cell.absent) {
        text = cell.number ? "unknown" : people && !cell.for_people.empty() ? cell.for_people : cell.text;
      } else {
        text = people         ? for_people(column, cell)
               : column.exact ? json_number(cell.value)
                              : decimal(cell.value, places_of(column, cell));
      }
    }
  }
  return shown;
}

}  // namespace sprue
