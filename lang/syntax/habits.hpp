// What people write by habit: from spreadsheets, from letters, from programming languages. Advice only; nothing is read
// instead. Knows habits; knows no rule.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "lang/syntax/builder.hpp"

namespace sprue {

/// What to say where reading stopped; an empty message leaves the usual one.
struct Advice {
  std::string message;
  std::string help;
  std::optional<Fix> fix = {};
  bool at_start = false;    // the first word is the place to look at
  bool names_file = false;  // another file was to be used

  bool empty() const { return message.empty() && help.empty(); }
};

/// For the statement that begins at `begin` and stops at `p`.
Advice habit_at(const TreeBuilder& b, std::uint32_t begin, const char* p, Want want);

/// For a currency's sign at `p`: `$5`, `5 €`. Empty where there is none, or no number beside it.
Advice currency_at(const TreeBuilder& b, const char* p);

/// For a long dash at `p` between two numbers: `8%–12%`. Empty where there is none.
Advice dash_at(const TreeBuilder& b, const char* p);

}  // namespace sprue
