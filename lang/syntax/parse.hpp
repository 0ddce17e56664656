// Text to tree. Never fails: what cannot be read is reported and skipped, the rest is kept.
#pragma once

#include "lang/diagnostics/diagnostic.hpp"
#include "lang/syntax/tree.hpp"

namespace sprue {

Tree parse(const Sources& sources, SourceId source, Symbols& symbols, Diagnostics& diagnostics);

/// The tree as an indented listing, one node a line, for `dump tree` and tests.
std::string dump(const Tree& tree, const Sources& sources, const Symbols& symbols);

/// What the grammar check finds: rules that could loop without reading anything. For tests.
std::size_t grammar_problems();

}  // namespace sprue
