// What stands around a place in a text that need not be whole: the blocks it is in and the entry it is part of. Reads
// words and signs; knows no meaning.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

namespace sprue::serve {

struct Lexeme {
  enum class Kind : std::uint8_t { word, number, string, sign } kind{};
  std::string_view text;
  std::uint32_t begin = 0;

  bool is(std::string_view wanted) const { return text == wanted && kind != Kind::string; }
  bool is_word() const { return kind == Kind::word; }
  std::uint32_t end() const { return begin + static_cast<std::uint32_t>(text.size()); }
};

struct Block {
  std::vector<Lexeme> head;             // of the statement up to its `{`
  std::vector<std::string_view> given;  // words before a `:` in it, wherever the place is
};

struct Context {
  std::vector<Block> blocks;   // the outermost first
  std::vector<Lexeme> before;  // of the entry, up to the word at the place
  std::vector<Lexeme> after;   // the rest of the entry
  std::string_view typed;      // the word at the place, up to it
  std::uint32_t typed_begin = 0;
  bool in_string = false;
  bool in_comment = false;

  bool ends_with(std::string_view word) const { return !before.empty() && before.back().is(word); }
};

Context context_at(std::string_view text, std::uint32_t offset);

/// Behind what begins with a digit: "1_000", "2.5", "1.5e-3", "98%".
const char* past_number(const char* p);

}  // namespace sprue::serve
