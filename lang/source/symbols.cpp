// Open-addressing intern table.
#include "lang/source/symbols.hpp"

#include <algorithm>
#include <cstring>

namespace sprue {
namespace {

/// Eight bytes at a time.
std::uint64_t hash_of(std::string_view text) {
  std::uint64_t hash = text.size();
  while (!text.empty()) {
    std::uint64_t word = 0;
    const std::size_t taken = std::min(text.size(), sizeof word);
    std::memcpy(&word, text.data(), taken);
    hash = (hash ^ word) * 0x9E3779B97F4A7C15ULL;
    hash ^= hash >> 29U;
    text.remove_prefix(taken);
  }
  return hash;
}

}  // namespace

Symbols::Symbols() : texts_{std::string_view{}}, hashes_{0}, table_(1024, 0) {}

Symbol Symbols::intern(std::string_view text) {
  if (text.empty()) return 0;
  const std::uint64_t hash = hash_of(text);
  const std::size_t mask = table_.size() - 1;
  std::size_t slot = hash & mask;
  while (table_[slot] != 0) {
    const Symbol symbol = table_[slot];
    if (hashes_[symbol] == hash && texts_[symbol] == text) return symbol;
    slot = (slot + 1) & mask;
  }
  storage_.emplace_back(text);
  const auto symbol = static_cast<Symbol>(texts_.size());
  texts_.push_back(storage_.back());
  hashes_.push_back(hash);
  table_[slot] = symbol;
  if (texts_.size() * 2 > table_.size()) grow();
  return symbol;
}

void Symbols::grow() {
  std::vector<Symbol> table(table_.size() * 2, 0);
  const std::size_t mask = table.size() - 1;
  for (Symbol symbol = 1; symbol < texts_.size(); ++symbol) {
    std::size_t slot = hashes_[symbol] & mask;
    while (table[slot] != 0) slot = (slot + 1) & mask;
    table[slot] = symbol;
  }
  table_ = std::move(table);
}

}  // namespace sprue
