// Well-formed UTF-8. Knows bytes only.
#pragma once

#include <cstddef>

namespace sprue {

/// The length of the sequence of more than one byte at `p`, or 0 where none is well formed: no overlong forms, no
/// surrogates, nothing past U+10FFFF.
std::size_t utf8_length(const char* p, const char* end);

}  // namespace sprue
