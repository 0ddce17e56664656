// What the server answers about a place or a file: each function takes an open file within its program and gives the
// protocol's result, null where there is none.
#pragma once

#include <string>

#include "runtime/serve/analysis.hpp"

namespace sprue::serve {

using View = Programs::View;

/// As Markdown or as plain text.
Json hover(const View& view, std::uint32_t offset, bool markdown);

Json definition(const View& view, std::uint32_t offset);
/// In every open program that the declaration is part of.
Json references(const Programs& programs, const View& view, std::uint32_t offset, bool with_declaration);

/// A result, or why it is refused.
struct Answer {
  Json result;
  std::string refused;
};
Answer prepare_rename(const View& view, std::uint32_t offset);
/// In every open program that the declaration is part of. Refuses names that are no names, of the standard library, or
/// under which anything would mean something else.
Answer rename(const Programs& programs, const View& view, std::uint32_t offset, const std::string& name);

Json completion(const Host& host, const View& view, std::uint32_t offset);

Json formatting(const View& view);
/// Of the kinds that are `only` wanted; of all where that is null.
Json code_actions(const View& view, std::uint32_t begin, std::uint32_t end, const Json& only);

/// The values of formulas, behind them.
Json inlay_hints(const View& view, std::uint32_t begin, std::uint32_t end);

Json document_symbols(const View& view);
Json folding_ranges(const View& view);

/// The legend of the numbers in `semantic_tokens`.
Json semantic_token_types();
Json semantic_tokens(const View& view, PositionEncoding encoding);

Json json_of(const Analysis& analysis, const Diagnostic& diagnostic);
/// By URI: the diagnostics of every file of the program, but for those that are there already.
void add_diagnostics(const Analysis& analysis, std::map<std::string, Json>& by_uri);

/// "money/pc", "one item", "series of ratio": as a field declares it.
std::string type_text(const Program& program, const Type& type);
/// The doc comment of a field, or of the one it gives a new default to.
std::string field_doc(const Analysis& analysis, KindId kind, Slot slot);

}  // namespace sprue::serve
