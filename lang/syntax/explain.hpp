// Words for what cannot be read: one diagnostic with the likely slip and what to write. Knows the look of statements.
#pragma once

#include <cstdint>

#include "lang/syntax/builder.hpp"

namespace sprue {

/// Reports why the statement at `begin` could not be read; `entry` tells what kind of statement was expected.
void explain(TreeBuilder& b, std::uint32_t begin, const SyntaxError& error, Want entry);

/// Reports bytes that cannot stand in a source file.
void explain_bad_bytes(TreeBuilder& b, std::uint32_t begin, std::uint32_t end);

}  // namespace sprue
