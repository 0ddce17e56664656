// A small program that tests of the language server ask about, and marks in it.
#pragma once

#include <string>

#include "tests/catch.hpp"
#include "tests/serve/client.hpp"

namespace sprue::testing {

inline const std::string shop = R"(currency EUR "Euro" to 2 places
report in EUR
countable pc
ledger bill "Bill": money { goods "Goods" }
function double(x: money/pc): money/pc = 2 * x
kind item {
  ## What one costs.
  price: money/pc
  twice: money/pc = double(price)
  mode: choice of slow, fast = slow
}
kind order { what: one item, count: pc
  total: money = what.twice * count
  post bill.goods = total
  lines: list of remark }
kind remark within order { words: text }
item ball { price: 4 EUR/pc from quote "Q-1" }
item cube like ball { price: ball.price + 1 EUR/pc, mode: fast }
order first { what: ball, count: 3 pc
  remark note { words: "soon" } }
scenario dearer { ball.price: 5 EUR/pc }
expect first.total = 24 EUR "twice the price of three"
show money/pc to 2 places
)";

/// The shop with the mark before the n-th time the words stand there, `into` them.
inline Marked at(const std::string& words, int n = 1, std::size_t into = 0, const std::string& text = shop) {
  std::size_t place = text.find(words);
  for (; n > 1; --n) place = text.find(words, place + 1);
  REQUIRE(place != std::string::npos);
  return Marked(text.substr(0, place + into) + "^" + text.substr(place + into));
}

/// The shop with something typed at the end of a line.
inline Marked typed(const std::string& line, const std::string& instead) {
  const std::size_t place = shop.find(line);
  REQUIRE(place != std::string::npos);
  return Marked(shop.substr(0, place) + instead + shop.substr(place + line.size()));
}

}  // namespace sprue::testing
