// Byte classes, and a loop that stops only at bytes that matter.
#include "lang/syntax/scan.hpp"

#include <array>
#include <utility>

#include "lang/source/utf8.hpp"
#include "lang/syntax/text.hpp"

namespace sprue {
namespace {

constexpr auto matters = [] {
  std::array<bool, 256> table{};
  for (std::size_t c = 0; c < 0x20; ++c) table[c] = c != '\n' && c != '\t';
  for (std::size_t c = 0x7F; c < 0x100; ++c) table[c] = true;
  for (const char c : {'"', '#', '{', '}'}) table[static_cast<std::size_t>(c)] = true;
  return table;
}();

/// Marks that make text read in another order than it is written.
bool is_direction_mark(const char* p) {
  const auto byte = [&](std::ptrdiff_t i) { return static_cast<unsigned char>(p[i]); };
  if (byte(0) != 0xE2) return false;
  return (byte(1) == 0x80 && byte(2) >= 0xAA && byte(2) <= 0xAE) ||
         (byte(1) == 0x81 && byte(2) >= 0xA6 && byte(2) <= 0xA9);
}

/// U+0080 to U+009F: invisible, and commands to some terminals.
bool is_control(const char* p) {
  return static_cast<unsigned char>(p[0]) == 0xC2 && static_cast<unsigned char>(p[1]) < 0xA0;
}

class Scanner {
 public:
  explicit Scanner(std::string_view text) : begin_(text.data()), end_(text.data() + text.size()) {}

  Scan run() {
    const char* p = begin_;
    if (std::string_view(p, static_cast<std::size_t>(end_ - p)).substr(0, 3) == byte_order_mark) {
      bad(p, 3);
      p += 3;
    }
    while (p < end_) {
      if (!matters[static_cast<unsigned char>(*p)]) {
        ++p;
      } else if (*p == '"') {
        const char* const past = text::past_string(p, end_);
        check(p, past == nullptr ? p + 1 : past);
        p = past == nullptr ? p + 1 : past;
      } else if (*p == '#') {
        const char* const line_end = text::line_end(p, end_);
        const char* const stop = line_end != end_ && line_end[-1] == '\r' ? line_end - 1 : line_end;
        found_.comments.push_back({offset(p), offset(stop), p + 1 < end_ && p[1] == '#'});
        check(p, stop);
        p = line_end;
      } else if (*p == '{') {
        ++found_.unclosed;
        ++p;
      } else if (*p == '}') {
        if (found_.unclosed != 0) {
          --found_.unclosed;
        } else {
          ++found_.unopened;
        }
        ++p;
      } else {
        p = check_one(p);
      }
    }
    return std::move(found_);
  }

 private:
  std::uint32_t offset(const char* p) const { return static_cast<std::uint32_t>(p - begin_); }

  void bad(const char* p, std::uint32_t length) {
    if (p < quiet_until_) return;  // one a line is enough
    quiet_until_ = text::line_end(p, end_);
    found_.bad.push_back({offset(p), offset(p) + length});
  }

  const char* check_one(const char* p) {
    const auto byte = static_cast<unsigned char>(*p);
    if (byte < 0x80) {
      if (byte != '\r' || p + 1 == end_ || p[1] != '\n') bad(p, 1);
      return p + 1;
    }
    const std::size_t length = utf8_length(p, end_);
    if (length == 0) {
      bad(p, 1);
      return p + 1;
    }
    if (length == 2 && is_control(p)) bad(p, 2);
    if (length == 3 && is_direction_mark(p)) bad(p, 3);
    return p + length;
  }

  void check(const char* p, const char* stop) {
    while (p < stop) {
      const bool look = matters[static_cast<unsigned char>(*p)] && *p != '"' && *p != '#' && *p != '{' && *p != '}';
      p = look ? check_one(p) : p + 1;
    }
  }

  const char* begin_;
  const char* end_;
  const char* quiet_until_ = begin_;
  Scan found_;
};

}  // namespace

Scan scan(std::string_view text) {
  return Scanner(text).run();
}

}  // namespace sprue
