// Random words, literals and space: whatever the language allows between two words and at the end of a line.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <random>
#include <string>
#include <string_view>

namespace sprue::testing {

class RandomWords {
 public:
  explicit RandomWords(std::uint32_t seed) : random_(seed) {}

 protected:
  std::size_t below(std::size_t n) { return random_() % n; }
  bool chance(std::size_t percent) { return below(100) < percent; }
  std::string_view pick(std::initializer_list<std::string_view> words) { return words.begin()[below(words.size())]; }
  void put(std::string_view text) { out_ += text; }

  // Space.
  void blank() { put(pick({" ", " ", " ", "  ", "\t", " \t "})); }
  void maybe_blank() {
    if (chance(70)) blank();
  }
  void comment() { put(pick({"# why", "## doc", "#", "# { ( \" ' ümläut", "## a  b\t"})); }
  void line_break() { put(chance(10) ? "\r\n" : "\n"); }
  void free_space() {  // where line ends and comments may stand
    maybe_blank();
    while (chance(12)) {
      if (chance(30)) comment();
      line_break();
      maybe_blank();
    }
  }
  /// Between two tokens of an expression that need no space between them.
  void gap() { brackets_ > 0 ? free_space() : maybe_blank(); }
  /// Between two words.
  void wide_gap() {
    blank();
    if (brackets_ > 0) free_space();
  }
  void line_end() {
    maybe_blank();
    if (chance(15)) comment();
    line_break();
  }
  void between_lines() {
    while (chance(30)) {
      maybe_blank();
      if (chance(40)) comment();
      line_break();
    }
    maybe_blank();
  }

  // Words and literals.
  void name() {
    put(pick(
        {"a", "b_1", "weight", "x", "within", "from", "series_of", "lens", "on", "to", "owner", "next", "all", "in"}));
  }
  void plain_name() { put(pick({"a", "b_1", "weight", "lens", "owner"})); }
  void dims() { put(pick({"ratio", "money/pc", "1/time", "mass*length/time^2", "g/cm^3", "length^-1"})); }
  void integer() { put(pick({"0", "2", "12", "1_000"})); }
  void number() {
    put(pick({"0", "1", "24_000", "0.25", "1.5e-3", "2E6", "97%", "0.5%"}));
    if (out_.back() != '%' && chance(50)) {
      blank();
      put(pick({"kg", "USD/kg", "W/m/K", "1/s", "pc", "g/cm^3"}));
    }
  }
  void date() { put(pick({"2026-10-05", "2024-02-29", "1999-12-31"})); }
  void string() { put(pick({"\"\"", "\"a title\"", "\"# { ( \\\" \\\\\"", "\"日本\tx\"", "\"two  spaces\""})); }
  void title() {
    if (!chance(30)) return;
    maybe_blank();
    string();
  }
  void path() {
    name();
    while (chance(30)) {
      put(".");
      name();
    }
  }
  /// Space after what makes a line go on.
  void after_word() {
    blank();
    if (chance(8)) {
      if (chance(30)) comment();
      line_break();
      blank();
    }
  }
  template <class Inside>
  void in_brackets(std::string_view open, std::string_view close, Inside inside) {
    put(open);
    ++brackets_;
    free_space();
    inside();
    free_space();
    --brackets_;
    put(close);
  }
  template <class Item>
  void list(Item item, std::size_t count, bool may_end_with_comma) {
    for (std::size_t i = 0; i < count; ++i) {
      if (i > 0) {
        free_space();
        put(",");
        free_space();
      }
      item();
    }
    if (may_end_with_comma && count > 0 && chance(20)) put(" ,");
  }
  std::string out_;

 private:
  std::mt19937 random_;
  int brackets_ = 0;
};

}  // namespace sprue::testing
