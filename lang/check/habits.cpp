// The table of habits. Upper and lower case are the same here.
#include "lang/check/habits.hpp"

#include <algorithm>
#include <cctype>
#include <string>

#include "lang/diagnostics/fixes.hpp"

namespace sprue {
namespace {

struct Habit {
  std::string_view word;
  std::string_view help;
  std::string_view instead = {};
  bool sure = false;
};

constexpr std::string_view open_question =
    "write `unknown` for what is not known yet; what rests on it is marked as incomplete";
constexpr std::string_view table_lookup = "give a field a `table of … to …` and call it: `NAME(KEY)`";
constexpr Habit habits[] = {
    {"tbd", open_question, "unknown"},
    {"tba", open_question, "unknown"},
    {"tbc", open_question, "unknown"},
    {"na", open_question, "unknown"},
    {"nan", open_question, "unknown"},
    {"null", open_question, "unknown"},
    {"none", open_question, "unknown"},
    {"unknown", "`unknown` is a whole value, as in `price: unknown within 4 .. 6 EUR/pc`"},
    {"true", "write `yes`", "yes", true},
    {"false", "write `no`", "no", true},
    {"sum", "a few figures are joined by `+`; `sum(x.field for x in …)` adds up over many"},
    {"sumproduct", "write `sum(x.a * x.b for x in …)`"},
    {"sumif", "write `sum(x.field for x in … where …)`"},
    {"countif", "write `count(x for x in … where …)`"},
    {"average", "write a sum over a count: `sum(x.field for x in …) / count(…)`"},
    {"avg", "write a sum over a count: `sum(x.field for x in …) / count(…)`"},
    {"mean", "write a sum over a count: `sum(x.field for x in …) / count(…)`"},
    {"if", "write `(if CONDITION then A else B)`"},
    {"iif", "write `(if CONDITION then A else B)`"},
    {"iferror", "write `(… otherwise VALUE)` for what may be absent"},
    {"vlookup", table_lookup},
    {"hlookup", table_lookup},
    {"xlookup", table_lookup},
    {"lookup", table_lookup},
    {"roundup", "write `ceil(x)`, or `ceil(x, STEP)`"},
    {"rounddown", "write `floor(x)`, or `floor(x, STEP)`"},
    {"int", "write `floor(x)`"},
    {"power", "write `x ^ 2`"},
    {"pow", "write `x ^ 2`"},
    {"today", "nothing depends on the day it is run: write the date, as in `2026-10-05`"},
    {"now", "nothing depends on the day it is run: write the date, as in `2026-10-05`"},
};

struct Pair {
  std::string_view word;
  std::string_view instead;
};

constexpr Pair types[] = {
    {"int", "whole"},    {"integer", "whole"}, {"bool", "flag"},     {"boolean", "flag"},
    {"string", "text"},  {"str", "text"},      {"number", "ratio"},  {"float", "ratio"},
    {"double", "ratio"}, {"decimal", "ratio"}, {"percent", "ratio"}, {"percentage", "ratio"},
};

constexpr Pair units[] = {
    {"sec", "s"},      {"secs", "s"},      {"second", "s"},     {"seconds", "s"}, {"minute", "min"}, {"minutes", "min"},
    {"hr", "h"},       {"hrs", "h"},       {"hour", "h"},       {"hours", "h"},   {"gram", "g"},     {"grams", "g"},
    {"kilo", "kg"},    {"kilogram", "kg"}, {"kilograms", "kg"}, {"ton", "t"},     {"tons", "t"},     {"tonne", "t"},
    {"tonnes", "t"},   {"meter", "m"},     {"meters", "m"},     {"metre", "m"},   {"metres", "m"},   {"inch", "in"},
    {"inches", "in"},  {"litre", "l"},     {"litres", "l"},     {"liter", "l"},   {"liters", "l"},   {"euro", "EUR"},
    {"euros", "EUR"},  {"dollar", "USD"},  {"dollars", "USD"},  {"yen", "JPY"},   {"yuan", "CNY"},   {"rmb", "CNY"},
    {"wk", "week"},    {"wks", "week"},    {"mo", "month"},     {"mos", "month"}, {"yr", "year"},    {"yrs", "year"},
    {"mins", "min"},   {"lbs", "lb"},      {"pound", "lb"},     {"pounds", "lb"}, {"ounce", "oz"},   {"ounces", "oz"},
    {"w", "week"},     {"d", "day"},       {"gr", "g"},         {"gm", "g"},      {"kgs", "kg"},     {"micron", "um"},
    {"microns", "um"},
};

template <std::size_t Size>
std::string_view found_in(const Pair (&pairs)[Size], std::string_view word) {
  for (const Pair& pair : pairs) {
    if (pair.word == word) return pair.instead;
  }
  return {};
}

/// `A1`, `AB12`.
bool is_cell(std::string_view word) {
  const auto upper = [](char c) { return c >= 'A' && c <= 'Z'; };
  const auto digit = [](char c) { return c >= '0' && c <= '9'; };
  const auto letters = static_cast<std::size_t>(std::find_if_not(word.begin(), word.end(), upper) - word.begin());
  return letters >= 1 && letters <= 2 && letters < word.size() &&
         std::all_of(word.begin() + static_cast<std::ptrdiff_t>(letters), word.end(), digit);
}

}  // namespace

std::string_view type_for(std::string_view word) {
  return found_in(types, word);
}

std::string_view unit_for(std::string_view word) {
  return found_in(units, word);
}

bool advise_on_habit(Diagnostic& diagnostic, std::string_view word) {
  if (is_cell(word)) {
    diagnostic.help.push_back("there are no cells: a formula goes by names, as in `NAME.field`");
    return true;
  }
  std::string small(word);
  for (char& c : small) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  const auto* const found =
      std::find_if(std::begin(habits), std::end(habits), [&](const Habit& habit) { return habit.word == small; });
  if (found == std::end(habits)) return false;
  diagnostic.help.emplace_back(found->help);
  if (!found->instead.empty()) (found->sure ? mend : propose)(diagnostic, diagnostic.span, std::string(found->instead));
  return true;
}

}  // namespace sprue
