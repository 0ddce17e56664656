// What each rule of the grammar is called when it is missing.
#pragma once

#include "lang/syntax/grammar.hpp"

namespace sprue {

template <class Rule> constexpr std::string_view expected = "something else";
#define SPRUE_EXPECTED(RULE, TEXT) \
  template <> constexpr std::string_view expected<grammar::RULE> = TEXT;
#define SPRUE_EXPECTED_W(RULE, TEXT) \
  template <class W> constexpr std::string_view expected<grammar::RULE<W>> = TEXT;
SPRUE_EXPECTED_W(need_expr, "an expression")
SPRUE_EXPECTED_W(need_operand, "a value after the operator")
SPRUE_EXPECTED_W(need_domain, "what to go through")
SPRUE_EXPECTED_W(need_block, "`{`")
SPRUE_EXPECTED(need_name, "a name")
SPRUE_EXPECTED(need_in, "`in`")
SPRUE_EXPECTED(k_is, "`is`")
SPRUE_EXPECTED(need_then, "`then`")
SPRUE_EXPECTED(need_else, "`else`")
SPRUE_EXPECTED(paren_end, "`)`")
SPRUE_EXPECTED(bracket_end, "`]`")
SPRUE_EXPECTED(brace_end, "`}`")
SPRUE_EXPECTED(string_end, "a closing `\"` on the same line")
SPRUE_EXPECTED(integer, "a whole number")
SPRUE_EXPECTED(need_integer, "a whole number")
SPRUE_EXPECTED(row_colon, "`:` between the key and the value of a row")
SPRUE_EXPECTED(table_open, "`[`")
SPRUE_EXPECTED(need_value, "a value")
SPRUE_EXPECTED(range_dots, "`..` between the ends of the range")
SPRUE_EXPECTED(need_date, "a date such as 2026-10-05")
SPRUE_EXPECTED(source_text, "the source's text in quotes")
SPRUE_EXPECTED(need_path, "a path")
SPRUE_EXPECTED(need_of, "`of`")
SPRUE_EXPECTED(need_to, "`to`")
SPRUE_EXPECTED(need_dims, "a dimension or unit")
SPRUE_EXPECTED(need_type, "a type")
SPRUE_EXPECTED(statement_end, "the end of the line")
SPRUE_EXPECTED(colon, "`:`")
SPRUE_EXPECTED(equals, "`=`")
SPRUE_EXPECTED(need_post_path, "LEDGER.CATEGORY")
SPRUE_EXPECTED(post_category, "`.` and a category")
SPRUE_EXPECTED(use_target, "a module such as std.molding, or a path in quotes")
SPRUE_EXPECTED(unit_rest, "`: DIMENSION` or `= AMOUNT`")
SPRUE_EXPECTED(need_to_places, "`to N places`")
SPRUE_EXPECTED(need_places, "`places`")
SPRUE_EXPECTED(need_number, "an amount such as 1 USD")
SPRUE_EXPECTED(need_open_paren, "`(`")
SPRUE_EXPECTED(need_for, "`for x in …`")
SPRUE_EXPECTED(added, "KIND NAME { … }")

}  // namespace sprue
