// From the place where reading stopped to advice: first the slips that are told by what stands there, then what was
// wanted.
#include "lang/syntax/explain.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <string>
#include <utility>

#include "lang/diagnostics/fixes.hpp"
#include "lang/syntax/habits.hpp"
#include "lang/syntax/recovery.hpp"
#include "lang/syntax/slips.hpp"
#include "lang/syntax/text.hpp"
#include "lang/syntax/wants.hpp"

namespace sprue {
namespace {

constexpr std::array want_texts{
#define SPRUE_WANT(name, phrase, help) WantText{phrase, help},
#include "lang/syntax/wants.def"
#undef SPRUE_WANT
};

std::string_view view(const char* begin, const char* end) {
  return {begin, static_cast<std::size_t>(end - begin)};
}

std::size_t character_length(const char* p, const char* end) {
  std::size_t length = 1;
  while (p + length < end && (static_cast<unsigned char>(p[length]) & 0xC0U) == 0x80U) ++length;
  return length;
}

/// The token at `p`.
std::string_view token_at(const TreeBuilder& b, const char* p) {
  if (p == b.end() || *p == '\n' || *p == '\r') return {};
  if (text::is_word(*p)) {
    const char* end = p;
    while (text::is_word(*end)) ++end;
    return view(p, end);
  }
  if (*p == '"') {
    const char* const past = text::past_string(p, b.end());
    return view(p, past == nullptr ? p + 1 : past);
  }
  for (const std::string_view sign : {"<=", ">=", "!=", "+-", "..", ":=", "==", "&&", "||", "=>", "->"}) {
    if (b.text.substr(b.offset(p), 2) == sign) return view(p, p + 2);
  }
  return view(p, p + character_length(p, b.end()));
}

std::string found_text(const TreeBuilder& b, const char* p) {
  if (p == b.end()) return "the end of the file";
  if (*p == '\n' || *p == '\r' || *p == '#') return "the end of the line";
  const std::string_view token = token_at(b, p);
  if (token.size() > 40) return *p == '"' ? "a text" : "a long word";
  return fmt::format("`{}`", token);
}

struct Character {
  std::string_view bytes;
  std::string_view message;
  std::string_view help;
  std::string_view instead = {};  // what to write for it, where that is sure
};
constexpr Character characters[] = {
    {"“", "a text stands in straight quotes", "write `\"` before and after it"},
    {"”", "a text stands in straight quotes", "write `\"` before and after it"},
    {"„", "a text stands in straight quotes", "write `\"` before and after it"},
    {"’", "a text stands in straight double quotes", "write `\"` before and after it"},
    {"‘", "a text stands in straight double quotes", "write `\"` before and after it"},
    {"'", "a text stands in double quotes", "write `\"` before and after it"},
    {"$", "a currency is named by its code, after the amount", "write `5 USD`"},
    {"€", "a currency is named by its code, after the amount", "write `5 EUR`"},
    {"£", "a currency is named by its code, after the amount", "write `5 GBP`"},
    {"¥", "a currency is named by its code, after the amount", "write `5 JPY`"},
    {"²", "a power is written with `^`", "write `m^2`", "^2"},
    {"³", "a power is written with `^`", "write `m^3`", "^3"},
    {"°", "a degree is a unit with a name", "write `230 degC`"},
    {"µ", "a unit is written in plain letters", "write `um`", "u"},
    {"μ", "a unit is written in plain letters", "write `um`", "u"},
    {"±", "a tolerance is written with two signs", "write `+-`, as in `+- 4%` or `+- 0.3 mm`"},
    {"…", "a range is written with two points", "write `LOW .. HIGH`"},
    {"–", "this is a dash, not a minus sign", "write `-`", "-"},
    {"—", "this is a dash, not a minus sign", "write `-`", "-"},
    {"−", "a minus sign is written `-`", "write `-`", "-"},
    {"\xC2\xA0", "this is a no-break space", "write a plain space", " "},
};

/// Characters that mean something elsewhere.
bool explain_character(TreeBuilder& b, std::uint32_t at) {
  const char* const p = b.at(at);
  if (p == b.end()) return false;
  for (const BadByte& bad : b.scan.bad) {
    if (bad.begin <= at && at < bad.end) return true;  // has been reported
  }
  if (Advice advice = currency_at(b, p); !advice.empty()) {
    b.report(Code::bad_character, at, at + static_cast<std::uint32_t>(character_length(p, b.end())),
             std::move(advice.message), std::move(advice.help))
        .fixes.push_back(std::move(*advice.fix));
    return true;
  }
  if (Advice advice = dash_at(b, p); !advice.empty()) {
    b.report(Code::bad_character, at, at + static_cast<std::uint32_t>(character_length(p, b.end())),
             std::move(advice.message), std::move(advice.help))
        .fixes.push_back(std::move(*advice.fix));
    return true;
  }
  for (const Character& character : characters) {
    if (b.text.substr(at, character.bytes.size()) != character.bytes) continue;
    const auto end = at + static_cast<std::uint32_t>(character.bytes.size());
    Diagnostic& diagnostic =
        b.report(Code::bad_character, at, end, std::string(character.message), std::string(character.help));
    if (!character.instead.empty()) mend(diagnostic, b.span(at, end), std::string(character.instead));
    return true;
  }
  if (static_cast<unsigned char>(*p) < 0x80) return false;
  const auto length = static_cast<std::uint32_t>(character_length(p, b.end()));
  b.report(Code::bad_character, at, at + length,
           fmt::format("`{}` cannot stand outside texts and comments", b.slice(at, at + length)),
           "names and units are written in the letters a to z, digits and `_`");
  return true;
}

/// The keyword that the first word of a declaration was perhaps meant to be.
std::string_view meant_keyword(const TreeBuilder& b, std::uint32_t begin) {
  const char* const p = b.at(begin);
  const std::string_view word = view(p, text::past_word(p));
  if (word.empty() || text::is_statement_word(word)) return {};
  const std::string_view near = nearest(word, {text::declaration_words.begin(), text::declaration_words.end()});
  return !near.empty() && near.front() == (word.front() | 0x20) ? near : std::string_view();
}

bool is_assignment(const char* p) {
  return *p == ':' || *p == '=';
}

/// `price: 4 EUR` or `x = 5` where only declarations stand.
bool explain_outside(TreeBuilder& b, std::uint32_t begin, std::uint32_t at) {
  const char* const word_end = text::past_word(b.at(begin));
  if (b.in_block() || word_end == b.at(begin) || !is_assignment(text::past_blanks(word_end)) ||
      b.at(at) > text::past_blanks(word_end))
    return false;
  const std::string_view name = b.slice(begin, b.offset(word_end));
  if (b.outside) return true;  // the first of them tells enough
  Diagnostic& diagnostic = b.report(Code::syntax, begin, begin + static_cast<std::uint32_t>(name.size()),
                                    fmt::format("`{}` stands outside any block", name));
  if (b.scan.unopened != 0 && b.last_block_end != 0) {
    diagnostic.labels.push_back({b.span(b.last_block_end, b.last_block_end + 1), "the block before it ends here"});
    diagnostic.help.push_back("leave out that `}`");
    b.outside = true;
  } else {
    diagnostic.help.push_back(
        "values are given inside the `{ … }` of an instance, formulas inside the `{ … }` of a kind");
  }
  return true;
}

/// A bracket that is still open on a later line is itself the place to look at.
bool explain_open_bracket(TreeBuilder& b, const char* p) {
  const TreeBuilder::Opener& opener = b.openers().back();
  if (text::line_end(b.at(opener.at), p) == p) return false;
  Diagnostic& diagnostic =
      b.report(Code::syntax, opener.at, opener.at + 1, fmt::format("this `{}` is not closed", opener.bracket));
  if (p != b.end())
    diagnostic.labels.push_back({b.span(b.offset(p), b.offset(p) + static_cast<std::uint32_t>(token_at(b, p).size())),
                                 fmt::format("a `{}` is missing before this", opener.bracket == '(' ? ')' : ']')});
  diagnostic.help.push_back(fmt::format("add a `{}`, or a comma between two items", opener.bracket == '(' ? ')' : ']'));
  return true;
}

/// Slips that show in the words around the place.
Advice advice_for(const TreeBuilder& b, std::uint32_t begin, const char* p, Want want, Want entry) {
  const std::string_view token = token_at(b, p);
  const char* const word_end = text::past_word(p);
  const bool wants_name = want == Want::name || want == Want::new_name || want == Want::name_or_block;
  const bool wants_expression =
      want == Want::expression || want == Want::operand || want == Want::value || want == Want::domain;
  const char* before = p;
  while (before != b.text.data() && text::is_blank(before[-1])) --before;
  const Span here = b.span(b.offset(p), b.offset(p));
  const bool after_word = before != b.text.data() && text::is_word(before[-1]);
  if (word_end != p && *word_end == '"' && (want == Want::line_end || wants_name))
    return {"this text has no opening `\"`", fmt::format("write `\"{}\"`", token), Fix{"insert `\"`", {{here, "\""}}}};
  if (wants_name && word_end != p && text::is_joining_word(token))
    return {fmt::format("`{}` has a meaning of its own and cannot be a name", token), "take another name"};
  if (wants_name && text::is_digit(*p)) return {"a name starts with a letter", {}};
  if (wants_expression && word_end != p && text::is_joining_word(token) && token != "not" && token != "if") {
    return {fmt::format("expected {}, found `{}`", text_of(want).phrase, token),
            fmt::format("`{}` has a meaning of its own and cannot be a name", token)};
  }
  if (*p == '/' && slips::is_foreign_end(p))
    return {fmt::format("a comment does not start with `{}`", view(p, p + 2)),
            "a comment starts with `#` and ends with its line"};
  if (*p == '.' && b.slice(0, b.offset(p)).ends_with(".."))
    return {"a range is written with two points", "write `LOW .. HIGH`",
            Fix{"write `..`", {{b.span(b.offset(p) - 2, b.offset(p) + 1), ".."}}}};
  if (wants_expression && *p == '.' && text::is_digit(p[1])) {
    const std::string_view digits = view(p, std::find_if_not(p + 1, b.end(), text::is_digit));
    return {"a number starts with a digit", fmt::format("write `0{}`", digits), Fix{"insert `0`", {{here, "0"}}, true}};
  }
  if (wants_expression && *p == '+' && text::is_digit(*text::past_blanks(p + 1))) {
    const bool change = entry == Want::change;  // by so much, perhaps
    return {"a number has no `+` before it",
            change ? "a change states the new value, not by how much it differs" : "leave it out",
            Fix{"leave it out", {{b.span(b.offset(p), b.offset(text::past_blanks(p + 1))), {}}}, !change}};
  }
  if (*p == '/' && p[1] == '-' && b.slice(0, b.offset(p)).ends_with('+')) {
    const bool apart = text::is_blank(p[2]);
    return {"a tolerance is written with two signs", "write `+-`, as in `+- 4%` or `+- 0.3 mm`",
            Fix{"write `+-`", {{b.span(b.offset(p) - 1, b.offset(p) + 2), apart ? "+-" : "+- "}}, true}};
  }
  if (want == Want::operand && (*p == '\n' || *p == '\r' || *p == '#'))
    return {{}, "write what follows the operator, or take the operator away"};
  const bool wants_entry = want == Want::kind_member || want == Want::instance_entry || want == Want::category ||
                           want == Want::column || want == Want::change;
  if (wants_entry && word_end != p && text::is_joining_word(token) && is_assignment(text::past_blanks(word_end))) {
    return {fmt::format("`{}` has a meaning of its own and cannot be a name", token), "take another name"};
  }
  if (want == Want::line_end && after_word && *p == '-' && text::is_letter(p[1]))
    return {"a name is written in small letters, digits and `_`", "write `_` instead of `-`",
            Fix{"write `_`", {{b.span(b.offset(p), b.offset(p) + 1), "_"}}}};
  if (*p == '(' && after_word && before != p)
    return {"a space before `(`", "write the `(` right after the name, as in `max(a, b)`",
            Fix{"leave it out", {{b.span(b.offset(before), b.offset(p)), {}}}}};
  if (want == Want::line_end && (token == "then" || token == "else"))
    return {{}, "inside parentheses an `if` may take several lines"};
  if (want == Want::line_end && (token == "+-" || token == "within" || token == "from"))
    return {{}, fmt::format("`{}` follows a plain value of a field", token)};
  if (want == Want::line_end && (token == ")" || token == "]"))
    return {fmt::format("this `{}` closes nothing", token), "leave it out, or add the bracket that is missing"};
  if (want == Want::line_end && token == "{")
    return {"expected the end of the line, found `{`", "a block follows the name, title and `like` of an instance"};
  const bool starts_line = b.offset(p) == begin && (before == b.text.data() || before[-1] == '\n');
  if (starts_line && p != b.end() && !text::is_word(*p) &&
      std::string_view("+-*/^=<>!").find(*p) != std::string_view::npos) {
    return {fmt::format("a line cannot start with `{}`", token),
            "end the line above with the operator, or put the whole expression in parentheses"};
  }
  if (b.offset(p) == begin &&
      (token == "then" || token == "else" || token == "and" || token == "or" || token == "otherwise")) {
    return {fmt::format("a line cannot start with `{}`", token),
            fmt::format("end the line above with `{}`, or put the whole expression in parentheses", token)};
  }
  if (want == Want::line_end)
    return {{}, b.in_block() ? "one entry a line; a comma separates entries on one line" : "one declaration a line"};
  return {};
}

}  // namespace

const WantText& text_of(Want want) {
  return want_texts[static_cast<std::size_t>(want)];
}

void explain(TreeBuilder& b, std::uint32_t begin, const SyntaxError& error, Want entry) {
  const char* p = text::past_blanks(b.at(error.at));
  const std::uint32_t at = b.offset(p);
  if (error.reason != SyntaxError::Reason::missing) {
    b.gave_up = true;
    const bool nested = error.reason == SyntaxError::Reason::nested;
    b.report(Code::nesting_too_deep, error.at, error.at + 1,
             nested ? fmt::format("more than {} brackets, blocks or signs inside each other", limits::nesting)
                    : fmt::format("an expression of more than {} steps", limits::height),
             "give parts of it names of their own");
    return;
  }
  if (is_conflict(b, b.at(begin))) {
    if (!is_later_in_conflict(b, begin))
      b.report(Code::syntax, begin, begin + 7, "a merge left this conflict", "keep one side, and take out its marks");
    return;
  }
  if (explain_character(b, at) || explain_outside(b, begin, at)) return;
  const Want want = error.want;
  const bool wants_bracket = want == Want::parenthesis || want == Want::bracket;
  if (wants_bracket && explain_open_bracket(b, p)) return;
  const bool may_be_keyword = entry == Want::declaration &&
                              (want == Want::line_end || want == Want::name_or_block || want == Want::declaration);
  std::string_view keyword = may_be_keyword ? meant_keyword(b, begin) : std::string_view();
  Advice advice = keyword.empty() ? habit_at(b, begin, p, want) : Advice();
  if (advice.empty()) advice = advice_for(b, begin, p, want, entry);
  if (!advice.message.empty()) keyword = {};
  std::string message = advice.message.empty()
                            ? fmt::format("expected {}, found {}", text_of(want).phrase, found_text(b, p))
                            : advice.message;
  const bool at_break = p == b.end() || *p == '\n' || *p == '\r' || *p == '#';
  // At a line's end the place to look at is behind its last character.
  std::uint32_t shown = at_break ? error.at : at;
  std::uint32_t shown_end = at_break ? shown : at + static_cast<std::uint32_t>(token_at(b, p).size());
  if (advice.at_start) {
    shown = begin;
    shown_end = b.offset(text::past_word(b.at(begin)));
  }
  if (advice.names_file) b.tree.damaged.push_back(b.symbols.intern("use"));
  Diagnostic& diagnostic = b.report(Code::syntax, shown, shown_end, std::move(message));
  if (wants_bracket) {
    const TreeBuilder::Opener& opener = b.openers().back();
    diagnostic.labels.push_back(
        {b.span(opener.at, opener.at + 1), fmt::format("the `{}` is opened here", opener.bracket)});
  }
  if (advice.fix) diagnostic.fixes.push_back(std::move(*advice.fix));
  if (!keyword.empty()) {
    diagnostic.help.push_back(fmt::format("did you mean `{}` at the start of the line?", keyword));
    propose(diagnostic, b.span(begin, b.offset(text::past_word(b.at(begin)))), std::string(keyword));
  } else if (!advice.help.empty()) {
    diagnostic.help.push_back(std::move(advice.help));
  } else if (advice.message.empty() && !text_of(want).help.empty()) {
    diagnostic.help.push_back(std::string(text_of(want).help));
  }
}

void explain_bad_bytes(TreeBuilder& b, std::uint32_t begin, std::uint32_t end) {
  const auto byte = static_cast<unsigned char>(b.text[begin]);
  std::string message;
  std::string help = "save the file as plain UTF-8 text";
  const bool mark = begin == 0 && b.text.starts_with(byte_order_mark);
  if (mark) {
    message = "a byte-order mark before the text";
    help = "save the file as UTF-8 without a byte-order mark";
  } else if (byte == '\r') {
    message = "a carriage return that ends no line";
    help = "end lines with LF or CRLF";
  } else if (byte == 0xE2) {
    message = "an invisible character that changes the order of what is read";
    help = "take it out";
  } else if (byte < 0x80) {
    message = fmt::format("the control character 0x{:02X}", byte);
    help = "take it out";
  } else if (end - begin == 2) {
    message = fmt::format("the control character U+{:04X}", static_cast<unsigned char>(b.text[begin + 1]));
    help = "take it out";
  } else {
    message = fmt::format("the byte 0x{:02X} is not UTF-8", byte);
  }
  Diagnostic& diagnostic = b.report(Code::bad_character, begin, end, std::move(message), std::move(help));
  if (mark) mend(diagnostic, b.span(begin, end), {});
}

}  // namespace sprue
