// What happens at an error: the one diagnostic, where the statement ends, what was lost, and blocks whose braces do not
// match. Knows the look of statements; knows no rule.
#pragma once

#include <cstdint>

#include "lang/syntax/builder.hpp"

namespace sprue {

/// Reports the failure of the statement at `begin`, unless something in its line has been reported; takes back what it
/// built and returns where the next one may begin.
std::uint32_t recover(TreeBuilder& b, const TreeBuilder::State& state, std::uint32_t begin, const SyntaxError& error,
                      Want entry);

/// Checks that a statement ends at `at`; returns the offset behind the blanks there.
std::uint32_t end_statement(TreeBuilder& b, std::uint32_t at);

/// Notes the names in lost text, so that later stages stay silent about them.
void note_damage(TreeBuilder& b, std::uint32_t begin, std::uint32_t end);

/// Whether the block under way ends before `at`: at its `}`, at the end of the file, or where its `}` must be missing.
bool block_ends(TreeBuilder& b, std::uint32_t at);
/// Reads the `}` or reports that it is missing; returns the offset behind the block.
std::uint32_t end_block(TreeBuilder& b, std::uint32_t at);
/// Whether the `}` at `at` closes nothing; it is reported.
bool is_stray_brace(TreeBuilder& b, std::uint32_t at);

/// Reports what the scan found.
void report_bad_bytes(TreeBuilder& b);

/// The lines of a merge that was left undone: `<<<<<<<`, `|||||||`, `=======`, `>>>>>>>`.
bool is_conflict(const TreeBuilder& b, const char* p);
/// Whether the mark at `begin` belongs to a conflict that has been reported.
bool is_later_in_conflict(const TreeBuilder& b, std::uint32_t begin);

}  // namespace sprue
