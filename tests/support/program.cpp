// A generator that follows the grammar declaration by declaration and puts random space wherever the language allows
// some.
#include "tests/support/program.hpp"

#include <random>

#include "tests/support/random_expressions.hpp"

namespace sprue::testing {
namespace {

class RandomDeclarations : RandomExpressions {
 public:
  using RandomExpressions::RandomExpressions;

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
};

}  // namespace

std::string random_program(std::uint32_t seed) {
  return RandomDeclarations(seed).run();
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
