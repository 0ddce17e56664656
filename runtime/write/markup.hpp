// Text inside HTML and SVG. Knows what must be escaped, nothing of what is written.
#pragma once

#include <string>
#include <string_view>

namespace sprue {

/// Safe as text and as a quoted attribute; control characters and turns of the reading direction are made visible.
std::string escaped_markup(std::string_view text);

/// Letters, digits, `-` and `_`; anything else becomes `_`: usable as an id.
std::string markup_id(std::string_view text);

}  // namespace sprue
