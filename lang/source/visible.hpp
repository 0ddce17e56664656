// Text from outside (names of files, titles, lines of other files) made safe to print: nothing in it steers a terminal or
// changes the order of what is read. Knows characters only.
#pragma once

#include <string>
#include <string_view>

namespace sprue {

/// Control characters (C0, delete, C1) and characters that turn the reading direction become `\u{1B}`, bytes that are no
/// UTF-8 become `\x{9B}`, tabs a space. Line ends become a space, too, unless they are kept.
std::string visible(std::string_view text, bool keep_lines = false);

}  // namespace sprue
