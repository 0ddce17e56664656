// What happens around an error in the text: the diagnostic with its advice, where the statement ends, what was lost.
#pragma once

#include <string_view>
#include <vector>

#include "lang/syntax/builder.hpp"

namespace sprue {

/// "expected …, found …" at a byte offset, with advice for the usual slips.
void report_syntax(TreeBuilder& builder, std::uint32_t at, std::string_view expected);

/// The end of the statement that begins at `begin`: its line's end outside braces, or before the `}` that closes its block.
/// Always past `begin`.
std::uint32_t statement_end_after(std::string_view text, std::uint32_t begin, bool top_level);

/// Notes the names in lost text, so that later stages stay silent about them.
void note_damage(TreeBuilder& builder, std::uint32_t begin, std::uint32_t end);

/// Reports a byte-order mark and bytes that are not UTF-8 text; the number of bytes to skip at the start.
std::size_t report_bad_bytes(TreeBuilder& builder);

/// Every comment outside quoted texts, in order.
void collect_comments(std::string_view text, std::vector<Comment>& comments);

}  // namespace sprue
