// A generator that follows the grammar sentence by sentence and puts random space wherever the language allows some.
#include "tests/support/program.hpp"

#include <initializer_list>
#include <random>
#include <string_view>

namespace sprue::testing {
namespace {

class Generator {
 public:
  explicit Generator(std::uint32_t seed) : random_(seed) {}

  std::string run() {
    const std::size_t count = 1 + below(8);
    for (std::size_t i = 0; i < count; ++i) {
      between_lines();
      declaration();
      line_end();
    }
    between_lines();
    return std::move(out_);
  }

 private:
  std::size_t below(std::size_t n) { return random_() % n; }
  bool chance(std::size_t percent) { return below(100) < percent; }
  std::string_view pick(std::initializer_list<std::string_view> words) { return words.begin()[below(words.size())]; }
  void put(std::string_view text) { out_ += text; }

  // Space.
  void blank() { put(pick({" ", " ", " ", "  ", "\t", " \t "})); }
  void maybe_blank() {
    if (chance(70)) blank();
  }
  void comment() { put(pick({"# why", "## doc", "#", "# { ( \" ' ümläut", "## a  b\t"})); }
  void line_break() { put(chance(10) ? "\r\n" : "\n"); }
  void free_space() {  // where line ends and comments may stand
    maybe_blank();
    while (chance(12)) {
      if (chance(30)) comment();
      line_break();
      maybe_blank();
    }
  }
  /// Between two tokens of an expression that need no space between them.
  void gap() { brackets_ > 0 ? free_space() : maybe_blank(); }
  /// Between two words.
  void wide_gap() {
    blank();
    if (brackets_ > 0) free_space();
  }
  void line_end() {
    maybe_blank();
    if (chance(15)) comment();
    line_break();
  }
  void between_lines() {
    while (chance(30)) {
      maybe_blank();
      if (chance(40)) comment();
      line_break();
    }
    maybe_blank();
  }

  // Words and literals.
  void name() {
    put(pick(
        {"a", "b_1", "weight", "x", "within", "from", "series_of", "lens", "on", "to", "owner", "next", "all", "in"}));
  }
  void plain_name() { put(pick({"a", "b_1", "weight", "lens", "owner"})); }
  void dims() { put(pick({"ratio", "money/pc", "1/time", "mass*length/time^2", "g/cm^3", "length^-1"})); }
  void integer() { put(pick({"0", "2", "12", "1_000"})); }
  void number() {
    put(pick({"0", "1", "24_000", "0.25", "1.5e-3", "2E6", "97%", "0.5%"}));
    if (out_.back() != '%' && chance(50)) {
      blank();
      put(pick({"kg", "USD/kg", "W/m/K", "1/s", "pc", "g/cm^3"}));
    }
  }
  void date() { put(pick({"2026-10-05", "2024-02-29", "1999-12-31"})); }
  void string() { put(pick({"\"\"", "\"a title\"", "\"# { ( \\\" \\\\\"", "\"日本\tx\"", "\"two  spaces\""})); }
  void title() {
    if (!chance(30)) return;
    maybe_blank();
    string();
  }
  void path() {
    name();
    while (chance(30)) {
      put(".");
      name();
    }
  }

  // Expressions.
  template <class Inside>
  void in_brackets(std::string_view open, std::string_view close, Inside inside) {
    put(open);
    ++brackets_;
    free_space();
    inside();
    free_space();
    --brackets_;
    put(close);
  }
  void expr(int depth) {
    if (depth > 0 && chance(8)) {
      put("if");
      wide_gap();
      operand(depth - 1);
      wide_gap();
      put("then");
      after_word();
      expr(depth - 1);
      wide_gap();
      put("else");
      after_word();
      expr(depth - 1);
      return;
    }
    operand(depth);
    bool compared = false;
    for (std::size_t i = below(depth > 0 ? 4 : 2); i > 0; --i) {
      const bool word = chance(25);
      wide_gap();  // a unit or a name before, so that `-` and words stay apart
      std::string_view op = word ? pick({"and", "or", "otherwise"})
                                 : pick({"+", "-", "*", "/", "^", "<", "<=", ">", ">=", "=", "!=", "is", "is not"});
      const bool comparison = op[0] == '<' || op[0] == '>' || op[0] == '=' || op[0] == '!' || op[0] == 'i';
      if (comparison && compared) op = "and";
      compared = compared || comparison;
      if (op == "is not") {
        put("is");
        blank();
        op = "not";
      }
      put(op);
      after_word();
      operand(depth);
    }
  }
  /// Space after what makes a line go on.
  void after_word() {
    blank();
    if (chance(8)) {
      if (chance(30)) comment();
      line_break();
      blank();
    }
  }
  void operand(int depth) {
    while (chance(8)) {
      put(pick({"-", "- ", "not "}));
      gap();
    }
    switch (below(depth > 0 ? 14 : 5)) {
      case 0:
        number();
        break;
      case 1:
        date();
        break;
      case 2:
        string();
        break;
      case 5:
        in_brackets("(", ")", [&] { expr(depth - 1); });
        break;
      case 6:
        aggregate(depth - 1);
        break;
      case 7:
        series(depth - 1);
        break;
      case 8:
        put("the");
        blank();
        plain_name();
        break;
      case 9:
        plain_name();
        in_brackets("(", ")", [&] { list([&] { expr(depth - 1); }, below(3), false); });
        break;
      case 10:
        plain_name();
        in_brackets("[", "]", [&] { expr(depth - 1); });
        break;
      case 11:
        plain_name();
        put(".");
        name();
        break;
      default:
        plain_name();
    }
  }
  template <class Item>
  void list(Item item, std::size_t count, bool may_end_with_comma) {
    for (std::size_t i = 0; i < count; ++i) {
      if (i > 0) {
        free_space();
        put(",");
        free_space();
      }
      item();
    }
    if (may_end_with_comma && count > 0 && chance(20)) put(" ,");
  }
  void loops(int depth, bool must_loop) {
    if (must_loop || chance(60)) {
      wide_gap();
      put("for");
      wide_gap();
      plain_name();
      if (chance(20)) {
        gap();
        put(",");
        gap();
        plain_name();
      }
      wide_gap();
      put("in");
      wide_gap();
      switch (below(4)) {
        case 0:
          put("all");
          wide_gap();
          plain_name();
          break;
        case 1:
          plain_name();
          wide_gap();
          put("whose");
          wide_gap();
          plain_name();
          wide_gap();
          put("is");
          after_word();
          operand(0);
          break;
        case 2:
          operand(0);
          wide_gap();
          put("..");
          gap();
          operand(depth);
          break;
        default:
          operand(depth);
      }
    }
    if (chance(30)) {
      wide_gap();
      put("where");
      wide_gap();
      expr(depth);
    }
  }
  void aggregate(int depth) {
    put(pick({"sum", "greatest", "least", "count", "any", "every", "first", "last"}));
    in_brackets("(", ")", [&] {
      expr(depth);
      loops(depth, false);
    });
  }
  void series(int depth) {
    if (chance(30)) {
      put("series");
      gap();
    }
    in_brackets("[", "]", [&] {
      if (chance(25)) {
        expr(depth);
        loops(depth, true);
        return;
      }
      list(
          [&] {
            operand(depth);
            if (!chance(25)) return;
            wide_gap();
            put("x");
            blank();
            integer();
          },
          below(4), true);
    });
  }

  // Values.
  void value(int depth) {
    switch (below(8)) {
      case 0:
        put(pick({"table", "curve"}));
        gap();
        in_brackets("[", "]", [&] {
          list(
              [&] {
                operand(0);
                free_space();
                put(":");
                free_space();
                expr(depth - 1);
              },
              below(4), true);
        });
        break;
      case 1:
        put("unknown");
        break;
      default:
        expr(depth);
    }
    facts();
  }
  void shape() {
    if (!chance(30)) return;
    blank();
    put("as");
    blank();
    put(pick({"normal", "pert", "triangular"}));
  }
  void facts() {
    while (chance(15)) {
      blank();
      switch (below(3)) {
        case 0:
          put("within");
          blank();
          operand(0);
          blank();
          put("..");
          maybe_blank();
          operand(0);
          shape();
          break;
        case 1:
          put("+-");
          maybe_blank();
          number();
          shape();
          break;
        default:
          put("from");
          blank();
          put(pick({"quote", "estimate"}));
          blank();
          string();
          if (chance(50)) {
            maybe_blank();
            put("on");
            blank();
            date();
          }
          if (chance(30)) {
            blank();
            put("until");
            blank();
            date();
          }
      }
    }
  }
  void sign(std::string_view text) {  // `:` or `=`, after which the line may go on
    maybe_blank();
    put(text);
    after_word();
  }
  void type() {
    switch (below(8)) {
      case 0:
        put(pick({"date", "flag", "text", "whole"}));
        break;
      case 1:
        put("choice of");
        blank();
        plain_name();
        while (chance(50)) {
          maybe_blank();
          put(",");
          after_word();
          plain_name();
        }
        break;
      case 2:
        put(pick({"point", "series"}));
        put(" of ");
        dims();
        break;
      case 3:
        put(pick({"table of ", "curve of "}));
        dims();
        put(" to ");
        dims();
        break;
      case 4:
        put(pick({"one", "optional", "many", "list of", "set of"}));
        blank();
        plain_name();
        break;
      default:
        dims();
    }
  }

  // Blocks and statements.
  template <class Entry>
  void block(Entry entry) {
    maybe_blank();
    put("{");
    const std::size_t count = below(5);
    for (std::size_t i = 0; i < count; ++i) {
      if (i == 0) {
        chance(50) ? maybe_blank() : (line_end(), between_lines());
      }
      entry();
      const bool last = i + 1 == count;
      if (chance(50)) {
        maybe_blank();
        put(",");
        chance(70) ? maybe_blank() : (line_end(), between_lines());
      } else if (!last || chance(50)) {
        line_end();
        between_lines();
      } else {
        maybe_blank();
      }
    }
    put("}");
  }
  void like() {
    if (!chance(20)) return;
    blank();
    put("like");
    blank();
    path();
  }
  void instance(int depth) {
    plain_name();
    if (chance(70)) {
      blank();
      plain_name();
      title();
      like();
      if (chance(70)) block([&] { entry(depth - 1); });
    } else {
      title();
      like();
      block([&] { entry(depth - 1); });
    }
  }
  void entry(int depth) {
    if (depth > 0 && chance(30)) return instance(depth);
    name();
    sign(":");
    value(depth);
  }
  void kind_member() {
    switch (below(6)) {
      case 5:
        put("caution");
        blank();
        string();
        if (chance(50)) {
          blank();
          put("when");
          blank();
          expr(2);
        }
        break;
      case 0:
        put("require");
        blank();
        expr(2);
        if (chance(50)) {
          blank();
          string();
        }
        break;
      case 1:
        put("post");
        blank();
        plain_name();
        put(".");
        name();
        sign("=");
        expr(2);
        if (chance(40)) {
          blank();
          put("on");
          blank();
          operand(1);
        }
        loops(1, false);
        break;
      default:
        if (chance(20)) put("final ");
        if (chance(20)) put("headline\t");
        if (chance(10)) put("basis  ");
        plain_name();
        title();
        sign(":");
        type();
        if (!chance(60)) break;
        sign("=");
        value(2);
    }
  }
  void declaration() {
    switch (below(16)) {
      case 0:
        put(pick({"use std.molding", "use\t a.b.c", "use \"x/y.sprue\""}));
        break;
      case 1:
        put(pick(
            {"dimension length", "dimension force =  mass*length/time^2", "unit kg:mass", "countable pc \"Piece\""}));
        break;
      case 2:
        put("unit g = ");
        operand(1);
        if (chance(30)) {
          blank();
          put("zero");
          blank();
          operand(0);
        }
        break;
      case 3:
        put(pick({"currency EUR \"Euro\" to  2 places", "report in EUR", "show money/pc in  EUR/pc to 2\tplaces"}));
        break;
      case 4:
        put("exchange 1 USD=0.92 EUR");
        facts();
        break;
      case 5:
        put("function");
        blank();
        plain_name();
        maybe_blank();
        in_brackets("(", ")", [&] {
          list(
              [&] {
                plain_name();
                free_space();
                put(":");
                free_space();
                type_without_list();
              },
              below(3), false);
        });
        sign(":");
        dims();
        sign("=");
        expr(3);
        break;
      case 6:
      case 7:
        if (chance(20)) put("abstract  ");
        put("kind");
        blank();
        plain_name();
        if (chance(40)) put(" is  other");
        if (chance(30)) put(" within\tpart");
        block([&] { kind_member(); });
        break;
      case 8:
        put("ledger");
        blank();
        plain_name();
        title();
        sign(":");
        dims();
        if (chance(40)) put("  dated");
        block([&] {
          if (chance(40)) put(pick({"in ", "out  "}));
          plain_name();
          title();
        });
        break;
      case 9:
        if (chance(20)) {
          put("correlate ");
          path();
          put("  with ");
          path();
          put(" -0.5");
          break;
        }
        if (chance(20)) {
          put("audience ");
          plain_name();
          title();
          block([&] {
            path();
            if (chance(40)) put(" to 8  rows");
          });
          break;
        }
        put(pick({"listing ", "chart\t"}));
        if (out_.ends_with("chart\t")) {
          plain_name();
          put(" for t in all part over  t.field");
        } else {
          plain_name();
          title();
          put(" for  t in all part");
        }
        block([&] {
          if (chance(20)) put("private ");
          plain_name();
          title();
          sign("=");
          expr(2);
        });
        break;
      case 10:
        put("scenario ");
        plain_name();
        title();
        like();
        block([&] { change(); });
        break;
      case 11:
        put("expect");
        blank();
        expr(2);
        if (chance(40)) {
          blank();
          put("+-");
          maybe_blank();
          operand(0);
        }
        if (chance(40)) {
          blank();
          string();
        }
        break;
      default:
        instance(3);
    }
  }
  void type_without_list() { put(pick({"length", "point of temperature", "series of money", "ratio"})); }
  void change() {
    switch (below(4)) {
      case 0:
        put("remove");
        blank();
        path();
        break;
      case 1:
        put("add");
        blank();
        instance(2);
        if (chance(50)) {
          blank();
          put("to");
          blank();
          path();
        }
        break;
      default:
        path();
        sign(":");
        value(1);
    }
  }

  std::mt19937 random_;
  std::string out_;
  int brackets_ = 0;
};

}  // namespace

std::string random_program(std::uint32_t seed) {
  return Generator(seed).run();
}

std::string damaged(const std::string& text, std::uint32_t seed) {
  std::mt19937 random(seed);
  const auto below = [&](std::size_t n) { return random() % n; };
  static constexpr std::string_view odd = "{}()[]\"'#,.:;=+-*/^<>!&|%_ \n\r\tx0\x01\xC3\xFF";
  std::string out = text;
  for (std::size_t i = 1 + below(4); i > 0 && !out.empty(); --i) {
    const std::size_t at = below(out.size());
    switch (below(5)) {
      case 0:
        out.erase(at, 1 + below(10));
        break;
      case 1:
        out.insert(at, 1, odd[below(odd.size())]);
        break;
      case 2:
        out[at] = odd[below(odd.size())];
        break;
      case 3:
        out.insert(at, out.substr(below(out.size()), below(30)));
        break;
      default:
        out.resize(at);
    }
  }
  return out;
}

}  // namespace sprue::testing
