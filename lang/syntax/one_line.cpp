// Walks over blanks, comments and quoted texts.
#include "lang/syntax/one_line.hpp"

#include <algorithm>

#include "lang/syntax/text.hpp"

namespace sprue {

std::string one_line(std::string_view source) {
  std::string out;
  bool space = false;
  const char* const end = source.data() + source.size();
  for (const char* p = source.data(); p != end;) {
    if (text::is_space(*p) || *p == '#') {
      space = true;
      p = *p == '#' ? text::line_end(p, end) : p + 1;
      continue;
    }
    if (space && !out.empty()) out += ' ';
    space = false;
    // `#` begins no comment in a quoted text.
    const char* past = *p == '"' ? text::past_string(p, end) : nullptr;
    if (past == nullptr) past = p + 1;
    out.append(p, past);
    p = past;
  }
  return out;
}

}  // namespace sprue
