// Words, signs and space as PEGTL rules; literals.hpp reads the literals, slips.hpp tells the usual slips. Included by
// the grammar's own source file alone; knows no sentence of the language.
#pragma once

#include <cstdint>
#include <string_view>
#include <tao/pegtl.hpp>

#include "lang/syntax/builder.hpp"
#include "lang/syntax/literals.hpp"
#include "lang/syntax/slips.hpp"
#include "lang/syntax/text.hpp"

namespace sprue::grammar {

namespace pegtl = tao::pegtl;
using pegtl::apply_mode;
using pegtl::at;
using pegtl::eof;
using pegtl::not_at;
using pegtl::one;
using pegtl::opt;
using pegtl::rewind_mode;
using pegtl::seq;
using pegtl::sor;
using pegtl::star;

using Input = pegtl::memory_input<pegtl::tracking_mode::lazy, pegtl::eol::lf_crlf, const char*>;

inline std::uint32_t here(const Input& in) {
  return static_cast<std::uint32_t>(in.current() - in.begin());
}
inline void go_to(Input& in, std::uint32_t offset) {
  in.iterator() = in.begin() + offset;
}

/// A word as a template argument.
template <std::size_t N>
struct Text {
  char chars[N];
  constexpr Text(const char (&written)[N]) {  // NOLINT: converts from a literal
    for (std::size_t i = 0; i < N; ++i) chars[i] = written[i];
  }
  constexpr std::string_view view() const { return {chars, N - 1}; }
};

#define SPRUE_MATCH                                                                                           \
  template <apply_mode A, rewind_mode M, template <class...> class Action, template <class...> class Control> \
  static bool match
#define SPRUE_SUB(Rule, Mode) Control<Rule>::template match<A, Mode, Action, Control>(in, b)

// Signs and words. A terminal consumes nothing where it fails. `rule_t` tells PEGTL's analysis what it is like.
struct terminal {
  using rule_t = pegtl::any::rule_t;
  using subs_t = pegtl::empty_list;
};
struct empty_terminal {
  using rule_t = pegtl::success::rule_t;
  using subs_t = pegtl::empty_list;
};
template <std::uint32_t (*Read)(TreeBuilder&, std::uint32_t)>
struct literal : terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const std::uint32_t end = Read(b, here(in));
    if (end == 0) return false;
    go_to(in, end);
    return true;
  }
};
struct name : literal<read_name> {};
struct new_name : literal<read_new_name> {};
struct kind_name : literal<read_kind_name> {};
struct dims : literal<read_dims> {};
struct integer : literal<read_integer> {};
struct number : literal<read_number> {};
struct date : literal<read_date> {};
struct plain_given : literal<read_plain_given> {};
struct string : literal<read_string> {};

template <char... C>
struct string_ : pegtl::string<C...> {};
struct comma : one<','> {};
struct dots : pegtl::two<'.'> {};
struct blanks : pegtl::plus<one<' ', '\t'>> {};
struct blank_space : star<one<' ', '\t'>> {};
struct amount : seq<not_at<string_<'1', '/'>>, pegtl::digit> {};

template <Text Word>
struct key : terminal {
  static bool match(Input& in) {
    constexpr std::string_view word = Word.view();
    const char* const p = in.current();
    for (std::size_t i = 0; i < word.size(); ++i) {
      if (p[i] != word[i]) return false;  // a text ends in NUL, which is in no word
    }
    if (text::is_word(p[word.size()])) return false;
    in.iterator() = p + word.size();
    return true;
  }
};

/// Words by a property.
template <bool (*Is)(std::string_view, const char*)>
struct word_that : terminal {
  static bool match(Input& in) {
    const char* const begin = in.current();
    const char* const end = text::past_word(begin);
    if (end == begin || !Is({begin, static_cast<std::size_t>(end - begin)}, end)) return false;
    in.iterator() = end;
    return true;
  }
};
inline bool any_word(std::string_view, const char*) {
  return true;
}
inline bool joins(std::string_view word, const char*) {
  return text::is_joining_word(word);
}
struct word : word_that<any_word> {};
struct joining_word : word_that<joins> {};

// Space. Outside brackets a statement stays on its line; inside them lines do not count.
struct ws : empty_terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    in.iterator() = b.in_brackets() ? text::past_space(in.current(), in.end()) : text::past_blanks(in.current());
    return true;
  }
};
/// Whether a line that starts with the word from `p` to `end` starts a statement for certain.
inline bool starts_statement(const char* p, const char* end) {
  const char* const next = text::past_blanks(end);
  if (end == p) return false;
  return *next == ':' || (text::is_letter(*next) && text::is_statement_word({p, static_cast<std::size_t>(end - p)}));
}
/// Space after what makes a line go on; a line that starts a statement is not the rest of the one above.
struct wrap : empty_terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const char* const blank_end = text::past_blanks(in.current());
    in.iterator() = blank_end;
    if (!text::is(*blank_end, text::line_break) && *blank_end != '#') return true;
    const char* const next = text::past_space(blank_end, in.end());
    if (!b.in_brackets() && starts_statement(next, text::past_word(next))) return true;
    in.iterator() = next;
    return true;
  }
};

/// A name that can be nothing else: the usual operand.
struct plain_name : terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const char* const begin = in.current();
    const char* const end = text::past_word(begin);
    if (end == begin) return false;
    const std::string_view word(begin, static_cast<std::size_t>(end - begin));
    if (text::is_joining_word(word) || (*end == '(' && text::is_aggregate_word(word)) || word == "the" ||
        word == "series")
      return false;
    b.leaf(NodeKind::name, here(in), b.offset(end), b.symbols.intern(word));
    in.iterator() = end;
    return true;
  }
};

/// Words that become the data of the node around them.
template <class Rule>
struct data_of {
  using rule_t = typename seq<Rule>::rule_t;
  using subs_t = pegtl::type_list<Rule>;
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const std::uint32_t begin = here(in);
    if (!SPRUE_SUB(Rule, M)) return false;
    b.current.data = b.symbols.intern(b.slice(begin, here(in)));
    return true;
  }
};
inline bool aggregates(std::string_view word, const char* end) {
  return *end == '(' && text::is_aggregate_word(word);
}
struct data_word : data_of<word> {};
struct data_dotted : data_of<pegtl::list<word, one<'.'>>> {};
struct aggregate_word : data_of<word_that<aggregates>> {};

template <std::uint8_t Flag>
struct mark : empty_terminal {
  SPRUE_MATCH(Input&, TreeBuilder& b) {
    b.current.flags |= Flag;
    return true;
  }
};
template <NodeKind Kind>
struct become : empty_terminal {
  SPRUE_MATCH(Input&, TreeBuilder& b) {
    b.current.kind = Kind;
    return true;
  }
};
/// A word before a name.
template <Text Word, std::uint8_t Flag>
struct modifier : seq<key<Word>, at<blanks, word>, blanks, mark<Flag>> {};

/// `:` or `=`, or the other sign where it can only be a slip. A type follows the `:` of a kind's field.
template <char Sign, bool Typed = false>
struct sign : terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const char* const p = in.current();
    const bool right = *p == Sign && p[1] != '=' && !(Sign == '=' && p[1] == '>');
    const std::uint32_t length = right                                 ? 1
                                 : *p == ':' || *p == '=' || *p == '-' ? slips::wrong_sign(b, here(in), Sign, Typed)
                                                                       : 0;
    in.iterator() = p + length;
    return length != 0;
  }
};
struct colon : sign<':'> {};
struct colon_of_type : sign<':', true> {};
struct equals : sign<'='> {};

struct binary_operator : terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const char* const p = in.current();
    slips::Meant found = read(p);
    if (found.length == 0 && is_foreign(p)) found = slips::binary_operator(b, here(in));
    if (found.length == 0) return false;
    b.binary(found.op, here(in), here(in) + found.length);
    in.iterator() = p + found.length;
    return true;
  }

 private:
  static bool is_foreign(const char* p) {
    return *p == '=' || *p == '<' || *p == '*' || *p == '&' || *p == '|' || static_cast<unsigned char>(*p) >= 0x80;
  }
  static slips::Meant read(const char* p) {
    switch (*p) {
      case '+':
        return p[1] == '-' ? slips::Meant{} : slips::Meant{Operator::add, 1};
      case '-':
        return {Operator::subtract, 1};
      case '*':
        return p[1] == '*' ? slips::Meant{} : slips::Meant{Operator::multiply, 1};
      case '/':
        return p[1] == '/' || p[1] == '*' ? slips::Meant{} : slips::Meant{Operator::divide, 1};
      case '^':
        return {Operator::power, 1};
      case '<':
        return p[1] == '='   ? slips::Meant{Operator::less_equal, 2}
               : p[1] == '>' ? slips::Meant{}
                             : slips::Meant{Operator::less, 1};
      case '>':
        return p[1] == '=' ? slips::Meant{Operator::greater_equal, 2} : slips::Meant{Operator::greater, 1};
      case '=':
        return p[1] == '=' || p[1] == '<' || p[1] == '>' ? slips::Meant{} : slips::Meant{Operator::equal, 1};
      case '!':
        return p[1] == '=' ? slips::Meant{Operator::not_equal, 2} : slips::Meant{};
      case 'a':
        return word(p, "and", Operator::logical_and);
      case 'o':
        return word(p, p[1] == 'r' ? "or" : "otherwise", p[1] == 'r' ? Operator::logical_or : Operator::otherwise);
      case 'i':
        return word(p, "is", Operator::is);
      default:
        return {};
    }
  }
  static slips::Meant word(const char* p, std::string_view wanted, Operator op) {
    const char* end = text::past_word(p);
    if (std::string_view(p, static_cast<std::size_t>(end - p)) != wanted) return {};
    if (op == Operator::is) {
      const char* const next = text::past_blanks(end);
      const char* const next_end = text::past_word(next);
      if (std::string_view(next, static_cast<std::size_t>(next_end - next)) == "not") {
        end = next_end;
        op = Operator::is_not;
      }
    }
    return {op, static_cast<std::uint32_t>(end - p)};
  }
};

struct prefix_operator : terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const char* const p = in.current();
    slips::Meant found;
    if (*p == '-') found = {Operator::negate, 1};
    if (*p == 'n' && p[1] == 'o' && p[2] == 't' && !text::is_word(p[3])) found = {Operator::logical_not, 3};
    if (*p == '!') found = slips::prefix_operator(b, here(in));
    if (found.length == 0) return false;
    b.prefix(found.op, here(in));
    in.iterator() = p + found.length;
    return true;
  }
};

/// An `if` where only an operand may stand.
struct misplaced_if : empty_terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    const char* const p = in.current();
    if (*p != 'i' || p[1] != 'f' || text::is_word(p[2])) return false;
    slips::conditional_inside(b, here(in));
    return true;
  }
};

// Brackets.
template <char Bracket>
struct open : terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    if (*in.current() != Bracket) return false;
    b.push_opener(Bracket, here(in));
    in.bump(1);
    return true;
  }
};
template <char Bracket>
struct close : terminal {
  SPRUE_MATCH(Input& in, TreeBuilder& b) {
    if (*in.current() != Bracket) b.fail(here(in), Bracket == ')' ? Want::parenthesis : Want::bracket);
    b.pop_opener();
    in.bump(1);
    return true;
  }
};

}  // namespace sprue::grammar
