// A text without syntax errors as a row of tokens, for laying it out anew. Knows what belongs together; decides no
// layout.
#pragma once

#include <string_view>
#include <vector>

#include "lang/syntax/tree.hpp"

namespace sprue {

struct Token {
  enum class Kind : std::uint8_t { word, name, literal, sign, minus_prefix, comment };

  std::string_view text;  // of a number or a comment without what may be trimmed
  std::string_view unit;  // of a number
  Kind kind = Kind::sign;
  bool starts_entry = false;  // a declaration or an entry of a block begins here
  bool touches = false;       // nothing stood between it and the token before
  std::uint32_t lines = 0;    // line ends between it and the token before
  std::size_t partner = 0;    // of `{`: the index of its `}`, and the other way round

  bool is(std::string_view sign) const { return kind == Kind::sign && text == sign; }
  bool opens() const { return is("(") || is("["); }
  bool closes() const { return is(")") || is("]"); }
};

std::vector<Token> tokens_of(const Tree& tree, std::string_view text);

}  // namespace sprue
