// Widths of columns between what they need at least and what they would like to have.
#include "runtime/write/layout.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "runtime/write/write.hpp"

namespace sprue {
namespace {

constexpr std::size_t gap = 2;          // between columns
constexpr std::size_t word_limit = 18;  // longer words of a text may be broken to let the table fit
constexpr std::size_t narrowest = 8;    // of a column of texts
constexpr std::size_t short_text = 24;  // what is no longer stays whole in a brief table, behind the first column

/// Where a word that is too long is broken: behind a sign that joins names, else after as many characters as fit.
std::size_t break_in(std::string_view word, std::size_t width) {
  std::size_t bytes = 0;
  std::size_t sign = 0;
  for (std::size_t used = 0; bytes < word.size();) {
    std::size_t next = bytes + 1;
    while (next < word.size() && (static_cast<unsigned char>(word[next]) & 0xC0U) == 0x80) ++next;
    used += shown_width(word.substr(bytes, next - bytes));
    if (used > width && bytes > 0) break;
    if (next < word.size() && std::string_view("_./,#:").find(word[bytes]) != std::string_view::npos) sign = next;
    bytes = next;
  }
  return bytes < word.size() && sign > 0 ? sign : bytes;
}

std::size_t longest_word(std::string_view text) {
  std::size_t longest = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    longest = std::max(longest, shown_width(text.substr(at, end - at)));
    at = end + 1;
  }
  return longest;
}

struct Wish {
  std::size_t least = 0;
  std::size_t most = 0;
};

Wish wish_of(const TableColumn& column, bool brief, std::size_t c, const std::string& head,
             const std::vector<std::vector<std::string>>& cells) {
  Wish wish;
  const auto add = [&](std::string_view text, bool number) {
    const std::size_t size = shown_width(text);
    wish.most = std::max(wish.most, size);
    wish.least = std::max(wish.least, number ? size : std::min(longest_word(text), word_limit));
  };
  add(head, false);
  for (const auto& row : cells) add(row[c], column.number);
  if (!column.number) wish.least = std::max(wish.least, std::min(wish.most, narrowest));
  if (brief && c > 0 && wish.most <= short_text) wish.least = wish.most;
  return wish;
}

/// Widths that add up to no more than `room`, where the least ones do: those that lack most get more first.
std::vector<std::size_t> shared(const std::vector<Wish>& wishes, const std::vector<std::size_t>& columns,
                                std::size_t room) {
  std::vector<std::size_t> widths;
  std::size_t used = 0;
  for (const std::size_t c : columns) {
    widths.push_back(wishes[c].least);
    used += wishes[c].least;
  }
  while (used < room) {
    std::size_t neediest = columns.size();
    std::size_t lack = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const std::size_t lacks = wishes[columns[i]].most - widths[i];
      if (lacks > lack) {
        lack = lacks;
        neediest = i;
      }
    }
    if (neediest == columns.size()) break;
    ++widths[neediest];
    ++used;
  }
  return widths;
}

}  // namespace

std::size_t shown_width(std::string_view text) {
  const std::size_t room = text.size() + 1;
  return room - (fmt::formatted_size("{:<{}}", text, room) - text.size());
}

std::vector<std::string> broken(std::string_view text, std::size_t width) {
  width = std::max<std::size_t>(width, 1);
  std::vector<std::string> lines(1);
  std::size_t used = 0;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    std::string_view word = text.substr(at, end - at);
    at = end + 1;
    std::size_t size = shown_width(word);
    if (used > 0 && used + 1 + size > width) {
      lines.emplace_back();
      used = 0;
    } else if (used > 0) {
      lines.back() += ' ';
      ++used;
    }
    while (size > width) {
      const std::size_t bytes = break_in(word, width);
      if (bytes == 0 || bytes >= word.size()) break;
      lines.back() += word.substr(0, bytes);
      lines.emplace_back();
      word.remove_prefix(bytes);
      size = shown_width(word);
    }
    lines.back() += word;
    used += size;
  }
  return lines;
}

std::string cut_short(std::string_view text, std::size_t width) {
  if (shown_width(text) <= width) return std::string(text);
  std::string out(text);
  while (!out.empty() && shown_width(out) + 1 > width) {
    while (!out.empty() && (static_cast<unsigned char>(out.back()) & 0xC0U) == 0x80) out.pop_back();
    if (!out.empty()) out.pop_back();
  }
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out + "…";
}

Trimmed without_zero_columns(const Table& table) {
  const auto cells = shown_cells(table, true);
  std::vector<bool> keep(table.columns.size(), true);
  std::size_t numbers = 0;
  std::size_t kept = 0;
  for (std::size_t c = 1; c < table.columns.size(); ++c) {
    if (!table.columns[c].number) continue;
    ++numbers;
    keep[c] = std::any_of(cells.begin(), cells.end(),
                          [&](const auto& row) { return row[c].find_first_not_of("0.,-") != std::string::npos; });
    kept += keep[c] ? 1 : 0;
  }
  Trimmed out{table, numbers - kept};
  if (kept == 0 || out.left_out == 0) return {table, 0};  // a table of nothing says that it is nothing
  for (std::size_t c = table.columns.size(); c-- > 0;) {
    if (keep[c]) continue;
    const auto at = static_cast<std::ptrdiff_t>(c);
    out.table.columns.erase(out.table.columns.begin() + at);
    for (TableRow& row : out.table.rows) row.cells.erase(row.cells.begin() + at);
  }
  return out;
}

std::string left_out_note(std::size_t columns) {
  if (columns == 0) return {};
  return columns == 1 ? "1 column that is zero throughout is left out."
                      : fmt::format("{} columns that are zero throughout are left out.", columns);
}

std::vector<ColumnBlock> blocks_of(const Table& table, const std::vector<std::string>& heads,
                                   const std::vector<std::vector<std::string>>& cells, std::size_t width) {
  std::vector<Wish> wishes;
  for (std::size_t c = 0; c < table.columns.size(); ++c)
    wishes.push_back(wish_of(table.columns[c], table.brief, c, heads[c], cells));
  std::vector<ColumnBlock> blocks;
  std::size_t used = 0;
  for (std::size_t c = 1; c < table.columns.size(); ++c) {
    if (blocks.empty() || used + gap + wishes[c].least > width) {
      if (blocks.empty() || blocks.back().columns.size() > 1) {
        blocks.push_back({{0}, {}});
        used = wishes[0].least;
      }
    }
    blocks.back().columns.push_back(c);
    used += gap + wishes[c].least;
  }
  if (blocks.empty()) blocks.push_back({{0}, {}});
  for (ColumnBlock& block : blocks) {
    const std::size_t gaps = gap * (block.columns.size() - 1);
    block.widths = shared(wishes, block.columns, width > gaps ? width - gaps : 0);
  }
  return blocks;
}

}  // namespace sprue
