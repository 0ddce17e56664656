// Each habit: how it is told, what to write instead.
#include "lang/syntax/habits.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cctype>

#include "lang/syntax/text.hpp"
#include "lang/syntax/words.hpp"

namespace sprue {
namespace {

std::string_view view(const char* begin, const char* end) {
  return {begin, static_cast<std::size_t>(end - begin)};
}

Fix written(const TreeBuilder& b, const char* begin, const char* end, std::string text, bool sure) {
  std::string title = text.empty() ? std::string("leave it out") : fmt::format("write `{}`", text);
  return {std::move(title), {{b.span(b.offset(begin), b.offset(end)), std::move(text)}}, sure};
}

/// Behind the last character before `p` that is no blank.
const char* end_before(const TreeBuilder& b, const char* p) {
  while (p != b.text.data() && text::is_blank(p[-1])) --p;
  return p;
}

/// The beginning of the word or number that ends at `end`.
const char* begin_of(const TreeBuilder& b, const char* end) {
  while (end != b.text.data() && text::is_word(end[-1])) --end;
  return end;
}

/// Behind a number as people write it, with any separators.
const char* past_number(const char* p) {
  while (text::is_digit(*p) || ((*p == '.' || *p == ',' || *p == '_') && text::is_digit(p[1]))) ++p;
  return p;
}

/// `6,400` as `6_400`.
std::string plain_number(std::string_view number) {
  std::string plain(number);
  for (std::size_t comma = plain.find(','); comma != std::string::npos; comma = plain.find(',', comma + 1)) {
    const bool groups = plain.size() >= comma + 4 && (plain.size() == comma + 4 || !text::is_digit(plain[comma + 4]));
    plain[comma] = groups ? '_' : '.';
  }
  return plain;
}

/// `300 000`.
Advice number_with_blanks(const TreeBuilder& b, const char* before, const char* p) {
  const char* const begin = begin_of(b, before);
  if (before == p || begin == before || before - begin > 3 || (begin != b.text.data() && begin[-1] == '.')) return {};
  if (!std::all_of(begin, before, text::is_digit)) return {};
  std::string number(begin, before);
  const char* end = before;
  for (const char* group = p; group != end && std::all_of(group, group + 3, text::is_digit) && !text::is_word(group[3]);
       group = text::past_blanks(end)) {
    number += "_" + std::string(group, group + 3);
    end = group + 3;
  }
  if (end == before) return {};
  return {"a number has no blanks inside", fmt::format("write `{}`", number),
          written(b, begin, end, number, !text::is_digit(*text::past_blanks(end)))};
}

/// `5 Oct 2026`.
Advice day_in_words(const TreeBuilder& b, const char* before, const char* p) {
  static constexpr std::array<std::string_view, 12> months{"jan", "feb", "mar", "apr", "may", "jun",
                                                           "jul", "aug", "sep", "oct", "nov", "dec"};
  const char* const word = begin_of(b, before);
  const char* const day_end = end_before(b, word);
  const char* const day = begin_of(b, day_end);
  if (before - word < 3 || day == day_end || day_end - day > 2 || !std::all_of(day, day_end, text::is_digit)) return {};
  if (!std::all_of(p, p + 4, text::is_digit) || text::is_word(p[4])) return {};
  std::string name(word, word + 3);
  for (char& c : name) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  const auto month = std::find(months.begin(), months.end(), name);
  if (month == months.end()) return {};
  const std::string date =
      fmt::format("{}-{:02}-{:0>2}", view(p, p + 4), month - months.begin() + 1, view(day, day_end));
  return {"a date is written year-month-day", fmt::format("write `{}`", date), written(b, day, p + 4, date, false)};
}

/// `USD 6_400`.
Advice currency_first(const TreeBuilder& b, const char* before, const char* p) {
  const char* const word = begin_of(b, before);
  if (before - word != 3 || !std::all_of(word, before, text::is_upper)) return {};
  const char* const end = past_number(p);
  const std::string amount = fmt::format("{} {}", plain_number(view(p, end)), view(word, before));
  return {"a unit stands after its number", fmt::format("write `{}`", amount),
          written(b, word, end, amount, !text::is_letter(*text::past_blanks(end)))};
}

/// How many words stand from `p` to `end`, with nothing else between; 0 where there is something else.
std::size_t words_between(const char* p, const char* end) {
  std::size_t count = 0;
  for (; p < end; p = text::past_blanks(p)) {
    const char* const past = text::past_word(p);
    if (past == p) return 0;
    ++count;
    p = past;
  }
  return count;
}

/// `KIND NAME` and then something that is neither a title nor a block.
Advice after_head(const TreeBuilder& b, const char* begin, const char* before, const char* p) {
  const char* const end = text::past_word(p);
  const std::string_view word = view(p, end);
  const std::string_view first = view(begin, text::past_word(begin));
  if (end == p || words_between(begin, before) != 2 || text::is_statement_word(first)) return {};
  for (const std::string_view joint : {"is", "extends", "inherits", "from", "as", "of"}) {
    if (word == joint)
      return {fmt::format("expected the end of the line, found `{}`", word),
              "an instance copies another with `like NAME`; only a kind is derived from another with `is`"};
  }
  const char* last = end;
  while (text::past_word(text::past_blanks(last)) != text::past_blanks(last))
    last = text::past_word(text::past_blanks(last));
  if (*last == '"') return {};  // a title that lacks its first quote
  if (*text::past_blanks(last) == '"') {
    const char* const name = begin_of(b, before);
    std::string joined(name, last);
    std::replace(joined.begin(), joined.end(), ' ', '_');
    return {"a name has no blanks inside", fmt::format("write `{}`", joined), written(b, name, last, joined, false)};
  }
  if (*text::past_blanks(last) != '{') return {};
  const std::string title = fmt::format("\"{}\"", view(p, last));
  return {"a title stands in double quotes", fmt::format("write `{}`", title), written(b, p, last, title, false)};
}

/// `KIND NAME "Title" copy of OTHER`, `KIND NAME like OTHER "Title"`.
Advice around_like(const char* begin, const char* before, const char* p) {
  if (before <= begin) return {};
  const std::string_view head = view(begin, before);
  const std::string_view word = view(p, text::past_word(p));
  if (*p == '"' && head.find(" like ") != head.npos)
    return {"a title stands before `like`", "write `KIND NAME \"Title\" like OTHER`"};
  if (!head.ends_with('"')) return {};
  for (const std::string_view joint :
       {"as", "of", "is", "extends", "inherits", "copies", "copy", "mirrors", "mirror"}) {
    if (word == joint)
      return {fmt::format("expected the end of the line, found `{}`", word),
              "an instance copies another with `like NAME`"};
  }
  return {};
}

constexpr std::ptrdiff_t longest_name = 60;

/// `field: two words`, where a name or a text was to stand.
Advice words_in_value(const TreeBuilder& b, const char* begin, const char* before, const char* p) {
  const char* const colon = text::past_blanks(text::past_word(begin));
  if (!b.in_block() || colon == begin || *colon != ':' || words_between(text::past_blanks(colon + 1), before) == 0)
    return {};
  const char* last = p;
  while (text::past_word(text::past_blanks(last)) != text::past_blanks(last))
    last = text::past_word(text::past_blanks(last));
  const char* const value = text::past_blanks(colon + 1);
  if (last == p || last - value > longest_name || text::is_joining_word(view(p, text::past_word(p))) ||
      text::is_digit(*value))
    return {};
  std::string joined(value, last);
  std::replace(joined.begin(), joined.end(), ' ', '_');
  return {"a name has no blanks inside",
          fmt::format("write `{}` if it is a name, `\"{}\"` if it is a text", joined, view(value, last))};
}

Advice at_line_end(const TreeBuilder& b, const char* begin, const char* before, const char* p) {
  const char* const word_end = text::past_word(p);
  if (before == b.text.data()) return {};
  if (text::is_digit(*p)) {
    if (Advice found = number_with_blanks(b, before, p); !found.empty()) return found;
    if (Advice found = day_in_words(b, before, p); !found.empty()) return found;
    if (Advice found = currency_first(b, before, p); !found.empty()) return found;
  }
  if (*p == '"' && text::is_digit(before[-1])) {
    return {"a `\"` after a number is no unit", "write `in` for inches",
            Fix{"write ` in`", {{b.span(b.offset(p), b.offset(p) + 1), " in"}}}};
  }
  if (b.in_block() && word_end != p && (*text::past_blanks(word_end) == ':' || before[-1] == '}')) {
    return {fmt::format("a comma is missing before `{}`", view(p, word_end)),
            "entries on one line are separated by commas",
            Fix{"insert `,`", {{b.span(b.offset(before), b.offset(before)), ","}}, true}};
  }
  if (*p == '?' && view(p, text::line_end(p, b.end())).find(" : ") != std::string_view::npos)
    return {"a choice is written in words", "write `if CONDITION then VALUE else VALUE`"};
  if (view(begin, text::past_word(begin)) == "expect" && *p == ',')
    return {{}, "join two comparisons with `and`, or write a second `expect`"};
  if (!b.in_block() && *p == '=' && words_between(begin, before) == 2)
    return {fmt::format("`{}` stands outside any block", view(begin, before)),
            "values are given inside the `{ … }` of an instance, formulas inside the `{ … }` of a kind"};
  if (view(begin, text::past_word(begin)) == "expect" && text::is_word(*p) && !text::is_joining_word(view(p, word_end)))
    return {{}, "what is expected is a comparison, as in `expect A <= B`"};
  if (Advice found = after_head(b, begin, before, p); !found.empty()) return found;
  if (Advice found = around_like(begin, before, p); !found.empty()) return found;
  if (Advice found = words_in_value(b, begin, before, p); !found.empty()) return found;
  if (*p == '(' && b.in_block()) {
    for (const std::string_view source : words::sources) {
      if (view(text::past_blanks(p + 1), text::past_word(text::past_blanks(p + 1))) == source)
        return {"a source follows its value without parentheses", fmt::format("write `from {} \"…\" on …`", source)};
    }
  }
  if (*p == ':' && text::is_digit(before[-1]) && text::is_digit(p[1]))
    return {"a time is a number and its unit", "write `90 s`, or `1 min + 30 s`"};
  if (view(p, word_end) == "on" && b.slice(b.offset(begin), b.offset(p)).find(" until ") != std::string_view::npos)
    return {"`until` stands after `on`", "write `on` the date it was given, `until` the last day it holds"};
  if (before[-1] == '"' && *p == '(') return {"a block stands in braces", "write `{ … }`"};
  if (before[-1] == '"' && word_end != p && b.scan.unopened != 0)
    return {fmt::format("a `{{` is missing before `{}`", view(p, word_end)), "a block stands in `{ … }`"};
  return {};
}

}  // namespace

Advice habit_at(const TreeBuilder& b, std::uint32_t begin, const char* p, Want want) {
  const char* const before = end_before(b, p);
  const bool after_word = before != b.text.data() && text::is_word(before[-1]);
  const char* const first = b.at(begin);
  if (want == Want::line_end) return at_line_end(b, first, before, p);
  if (want == Want::change_colon) {
    const std::string_view word = view(first, text::past_word(first));
    if (word == "exchange")
      return {"a change of an exchange rate names its currency", "write `exchange.USD: 0.98 EUR`"};
    for (const std::string_view taken : {"delete", "drop", "without", "no"}) {
      if (word == taken)
        return {fmt::format("there is no `{}`", word), "write `remove PATH`",
                written(b, first, text::past_word(first), "remove", false), true};
    }
    if (word == "set" || word == "change" || word == "let")
      return {fmt::format("there is no `{}`", word), "leave it out: a change is `path: value`",
              written(b, first, p, {}, false), true};
  }
  if (want == Want::bracket && *p == '%') {
    const std::string_view read = b.slice(0, b.offset(p));
    const std::size_t mark = read.find_last_of("x,[");
    if (mark != read.npos && read[mark] == 'x')
      return {"a repeat names its value first", "write `12% x 4` for four times 12%"};
  }
  if (*p == '=' && before != p && before != b.text.data() &&
      (before[-1] == '<' || before[-1] == '>' || before[-1] == '!'))
    return {fmt::format("there is a blank inside `{}=`", before[-1]), fmt::format("write `{}=`", before[-1]),
            written(b, before, p, {}, true)};
  if (want == Want::name_or_block && after_word && b.in_block()) {
    const std::string_view name = view(begin_of(b, before), before);
    if (text::is_digit(*p))
      return {fmt::format("a `:` is missing after `{}`", name), fmt::format("write `{}: …`", name),
              Fix{"insert `:`", {{b.span(b.offset(before), b.offset(before)), ":"}}, true}};
    if (*p == '.')
      return {"a path stands in a scenario, not inside a block",
              fmt::format("write `{} {{ {}: … }}`", name, view(p + 1, text::past_word(p + 1)))};
  }
  const std::string_view word = view(first, text::past_word(first));
  if (want == Want::block && (word == "kind" || word == "abstract")) {
    const std::string_view joint = view(p, text::past_word(p));
    if (*p == ':' || joint == "extends" || joint == "inherits" || joint == "from" || joint == "like")
      return {"a kind is derived from another with `is`", "write `kind NAME is OTHER { … }`",
              written(b, before, *p == ':' ? p + 1 : p + joint.size(), " is", false)};
  }
  if (want == Want::type && text::is_digit(*p) && before != b.text.data() && before[-1] == ':') {
    const char* const name_end = end_before(b, before - 1);
    const std::string_view name = view(begin_of(b, name_end), name_end);
    if (!name.empty())
      return {
          fmt::format("the type of `{}` is missing", name),
          fmt::format("a field is `name: TYPE = EXPRESSION`: write `{}: … = {}`", name, text::entry_at(p, b.end()))};
  }
  if (want == Want::bracket && *p == ':') return {"a table has its word before it", "write `table [KEY: VALUE, …]`"};
  if (want == Want::name_or_block && (word == "import" || word == "include" || word == "require"))
    return {"another file is named by `use`", "write `use \"FILE.sprue\"`",
            written(b, first, text::past_word(first), "use", false), true, true};
  const bool wants_value = want == Want::expression || want == Want::operand || want == Want::value;
  if (!wants_value) return {};
  if (*p == '=') {
    const char* rest = p;
    while (*rest == '=' || text::is_blank(*rest)) ++rest;
    return {"a formula is written without `=` before it", "leave it out; a formula goes by names: `NAME.field`",
            written(b, p, rest, {}, true)};
  }
  if (*p == '?')
    return {"what is not known yet is written `unknown`", "write `unknown`; what rests on it is marked as incomplete",
            written(b, p, p + 1, "unknown", false)};
  if (want == Want::value && (*p == ',' || *p == '}' || *p == '\n' || *p == '\r'))
    return {"a value is missing", "write it, or `unknown` where it is not known yet"};
  return {};
}

Advice currency_at(const TreeBuilder& b, const char* p) {
  struct Sign {
    std::string_view bytes;
    std::string_view code;
    bool sure;  // only one currency has it
  };
  static constexpr Sign signs[] = {{"$", "USD", false}, {"€", "EUR", true}, {"£", "GBP", true}, {"¥", "JPY", false}};
  const auto found = std::find_if(std::begin(signs), std::end(signs), [&](const Sign& sign) {
    return b.text.substr(b.offset(p), sign.bytes.size()) == sign.bytes;
  });
  if (found == std::end(signs)) return {};
  const std::string message = "a currency is named by its code, after the amount";
  const char* const after = p + found->bytes.size();
  const char* const number = text::past_blanks(after);
  const char* const number_end = past_number(number);
  if (number_end != number) {
    const std::string amount = fmt::format("{} {}", plain_number(view(number, number_end)), found->code);
    return {message, fmt::format("write `{}`", amount), written(b, p, number_end, amount, found->sure)};
  }
  const char* const before = end_before(b, p);
  const char* begin = before;
  while (begin != b.text.data() && (text::is_digit(begin[-1]) || begin[-1] == '_' || begin[-1] == '.')) --begin;
  if (begin == before) return {};
  const char* end = after;
  while (text::is_word(*end) || (*end == '/' && text::is_letter(end[1]))) ++end;
  const std::string amount = fmt::format("{} {}{}", view(begin, before), found->code, view(after, end));
  return {message, fmt::format("write `{}`", amount), written(b, begin, end, amount, found->sure)};
}

Advice dash_at(const TreeBuilder& b, const char* p) {
  const std::string_view rest = b.text.substr(b.offset(p));
  if (!rest.starts_with("–") && !rest.starts_with("—")) return {};
  const char* const after = p + std::string_view("–").size();
  const std::string_view high = text::entry_at(after, b.end());
  const char* low = end_before(b, p);
  const char* const low_end = low;
  while (low != b.text.data() &&
         (text::is_word(low[-1]) || text::is_blank(low[-1]) || low[-1] == '.' || low[-1] == '%' || low[-1] == '/'))
    --low;
  const char before = low == b.text.data() ? '\n' : low[-1];
  low = text::past_blanks(low);
  if (low >= low_end || !text::is_digit(*low) || high.empty() || !text::is_digit(high.front())) return {};
  const bool within = view(low, low_end).find(" within ") != std::string_view::npos;
  if (high.find(b.slice(b.offset(p), b.offset(after))) != std::string_view::npos) return {};  // a date
  if (within)
    return {"a range is written with two points", "write `LOW .. HIGH`",
            written(b, low_end, high.data(), " .. ", false)};
  if (before != ':') return {"this is a dash, not a minus sign", "write `-`", written(b, p, after, "-", false)};
  const std::string range = fmt::format("unknown within {} .. {}", view(low, low_end), high);
  return {"this is a dash, not a minus sign", fmt::format("for a range write `{}`, to subtract `-`", range),
          written(b, low, high.data() + high.size(), range, false)};
}

}  // namespace sprue
