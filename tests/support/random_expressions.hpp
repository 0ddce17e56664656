// Random expressions and values, sentence by sentence of the grammar.
#pragma once

#include "tests/support/random_words.hpp"

namespace sprue::testing {

class RandomExpressions : protected RandomWords {
 public:
  using RandomWords::RandomWords;

 protected:
  // Expressions.
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
};

}  // namespace sprue::testing
