// Every word that means something to the language, in groups, for tools that show or propose them. The parser goes by
// text.hpp; what both say is held together here.
#pragma once

#include <algorithm>
#include <array>
#include <span>
#include <string_view>

#include "lang/syntax/text.hpp"

namespace sprue::words {

/// Within a declaration, an entry or an expression.
inline constexpr std::array<std::string_view, 35> inner{
    "in",    "to",     "places", "percent", "rows", "like", "with", "over",  "when",      "dated", "out", "private",
    "add",   "remove", "zero",   "within",  "as",   "from", "on",   "until", "x",         "for",   "all", "whose",
    "where", "the",    "if",     "then",    "else", "and",  "or",   "not",   "otherwise", "is",    "of"};
inline constexpr std::array<std::string_view, 14> types{"date",     "flag",   "text",  "whole", "choice",
                                                        "point",    "series", "table", "curve", "one",
                                                        "optional", "many",   "list",  "set"};
inline constexpr std::array<std::string_view, 8> aggregates{"sum", "greatest", "least", "count",
                                                            "any", "every",    "first", "last"};
inline constexpr std::array<std::string_view, 12> functions{"min",  "max", "abs", "ceil",  "floor",        "round",
                                                            "sqrt", "exp", "ln",  "log10", "months_after", "given"};
/// Values and places every expression knows.
inline constexpr std::array<std::string_view, 7> values{"yes", "no", "unknown", "this", "owner", "next", "previous"};
/// Shapes of ranges and kinds of sources.
inline constexpr std::array<std::string_view, 10> facts{"triangular", "pert",     "uniform",  "normal",   "quote",
                                                        "invoice",    "measured", "handbook", "estimate", "assumed"};
inline constexpr std::span shapes = std::span(facts).first<4>();
inline constexpr std::span sources = std::span(facts).last<6>();

struct Group {
  std::string_view name;
  std::span<const std::string_view> words;
};
inline constexpr std::array<Group, 7> groups{{{"statement", text::statement_words},
                                              {"inner", inner},
                                              {"type", types},
                                              {"aggregate", aggregates},
                                              {"function", functions},
                                              {"value", values},
                                              {"fact", facts}}};

constexpr bool is_word_of_the_language(std::string_view word) {
  return std::any_of(groups.begin(), groups.end(), [&](const Group& group) {
    return std::find(group.words.begin(), group.words.end(), word) != group.words.end();
  });
}

static_assert(std::all_of(aggregates.begin(), aggregates.end(), text::is_aggregate_word));

}  // namespace sprue::words
