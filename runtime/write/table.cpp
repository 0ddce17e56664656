// Cells as shown: decimals, grouping, footing; hostile characters made visible.
#include <fmt/format.h>

#include "runtime/write/footing.hpp"
#include "runtime/write/number.hpp"
#include "runtime/write/write.hpp"

namespace sprue {

std::string visible(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    if (c < 0x20 || c == 0x7F) {
      out += c == '\n' || c == '\t' ? std::string(" ") : fmt::format("\\u{{{:X}}}", c);
      continue;
    }
    // U+200E, U+200F, U+202A to U+202E and U+2066 to U+2069 turn the reading direction.
    if (c == 0xE2 && i + 2 < text.size()) {
      const auto b = static_cast<unsigned char>(text[i + 1]);
      const auto d = static_cast<unsigned char>(text[i + 2]);
      const unsigned code = ((c & 0x0FU) << 12U) | ((b & 0x3FU) << 6U) | (d & 0x3FU);
      if (code == 0x200E || code == 0x200F || (code >= 0x2028 && code <= 0x202E) ||
          (code >= 0x2066 && code <= 0x2069)) {
        out += fmt::format("\\u{{{:X}}}", code);
        i += 2;
        continue;
      }
    }
    out += static_cast<char>(c);
  }
  return out;
}

namespace {

int places_of(const TableColumn& column, const Cell& cell) {
  return cell.places >= 0 ? cell.places : column.places;
}

/// Rows that are not fixed share what the fixed ones leave of the total.
void foot_column(const Table& table, std::size_t c, std::vector<std::vector<std::string>>& shown) {
  const int places = table.columns[c].places;
  std::vector<double> values;
  std::vector<std::size_t> rows;
  long long fixed = 0;
  std::size_t total = table.rows.size();
  for (std::size_t r = 0; r < table.rows.size(); ++r) {
    const Cell& cell = table.rows[r].cells[c];
    if (!cell.number || cell.absent) continue;
    if (table.rows[r].total) {
      total = r;
    } else if (cell.fixed) {
      fixed += last_places(cell.value, places);
    } else {
      values.push_back(cell.value);
      rows.push_back(r);
    }
  }
  if (total == table.rows.size()) return;
  const long long whole = last_places(table.rows[total].cells[c].value, places);
  const std::vector<long long> units = foot(values, from_last_places(whole - fixed, places), places);
  for (std::size_t i = 0; i < units.size(); ++i)
    shown[rows[i]][c] = decimal(from_last_places(units[i], places), places);
}

/// Differences of what is shown, so that a table foots across, too.
void subtract_columns(const Table& table, std::size_t c, std::vector<std::vector<std::string>>& shown) {
  const TableColumn& column = table.columns[c];
  for (std::size_t r = 0; r < table.rows.size(); ++r) {
    const auto& cells = table.rows[r].cells;
    const auto minuend = static_cast<std::size_t>(column.minuend);
    const auto subtrahend = static_cast<std::size_t>(column.subtrahend);
    if (!cells[c].number || !cells[minuend].number || !cells[subtrahend].number) continue;
    const int places = places_of(column, cells[c]);
    const auto large = [](const std::string& text) { return text.size() > 17; };
    if (large(shown[r][minuend]) || large(shown[r][subtrahend])) continue;
    const long long difference = last_places_of(shown[r][minuend]) - last_places_of(shown[r][subtrahend]);
    shown[r][c] = decimal(from_last_places(difference, places), places);
  }
}

}  // namespace

std::vector<std::vector<std::string>> shown_cells(const Table& table, bool foot_columns, bool group) {
  std::vector<std::vector<std::string>> shown(table.rows.size(), std::vector<std::string>(table.columns.size()));
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    const TableColumn& column = table.columns[c];
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
      const Cell& cell = table.rows[r].cells[c];
      shown[r][c] = !cell.number ? cell.text : cell.absent ? "unknown" : decimal(cell.value, places_of(column, cell));
    }
    if (foot_columns && column.foots) foot_column(table, c, shown);
  }
  for (std::size_t c = 0; foot_columns && c < table.columns.size(); ++c) {
    if (table.columns[c].minuend >= 0) subtract_columns(table, c, shown);
  }
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
      const Cell& cell = table.rows[r].cells[c];
      if (!cell.number || cell.absent) continue;
      if (group) shown[r][c] = grouped(shown[r][c]);
      if (cell.incomplete && group) shown[r][c] += " (incomplete)";
    }
  }
  return shown;
}

}  // namespace sprue
