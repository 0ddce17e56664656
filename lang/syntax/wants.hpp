// What may be missing where a statement stops making sense. Knows words for people; knows no rule.
#pragma once

#include <cstdint>
#include <string_view>

namespace sprue {

enum class Want : std::uint8_t {
#define SPRUE_WANT(name, phrase, help) name,
#include "lang/syntax/wants.def"
#undef SPRUE_WANT
};

struct WantText {
  std::string_view phrase;  // "expected …"
  std::string_view help;    // what to write; may be empty
};
const WantText& text_of(Want want);

}  // namespace sprue
