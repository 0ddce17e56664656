// Interned words: a name, a unit as written or a text becomes one small number, equal exactly when the text is equal.
#pragma once

#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

namespace sprue {

using Symbol = std::uint32_t;  // 0 is the empty text

class Symbols {
 public:
  Symbols();
  Symbol intern(std::string_view text);
  std::string_view operator[](Symbol symbol) const { return texts_[symbol]; }
  std::size_t size() const { return texts_.size(); }

 private:
  void grow();

  std::deque<std::string> storage_;
  std::vector<std::string_view> texts_;
  std::vector<std::uint64_t> hashes_;
  std::vector<Symbol> table_;  // open addressing; 0 is free (the empty text is answered without it)
};

}  // namespace sprue
