// Points below zero, choices as parameters, and names that would mean two things.
#include "lang/syntax/text.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"

using namespace sprue;
using sprue::testing::Checked;

namespace {

const std::string degrees = "unit K: temperature\nunit degC = 1 K zero 273.15 K\n";

bool refuses(const std::string& text, Code code) {
  const Checked checked(text);
  INFO(text << checked.messages());
  const auto& list = checked.diagnostics.list();
  CHECK(list.size() == 1);
  return !list.empty() && list.front().code == code;
}

}  // namespace

TEST_CASE("a temperature below zero is written with its minus", "[language][points]") {
  const Checked checked(degrees +
                        "kind k { a: point of temperature, headline a_: point of temperature = a\n"
                        "  headline drop: temperature = a - -30 degC, headline frost: flag = a < -0.5 degC\n"
                        "  cold: point of temperature = -40 degC, headline c: temperature = a - cold }\n"
                        "k q { a: -20 degC within -30 degC .. -10 degC }\n");
  INFO(checked.messages());
  REQUIRE(checked.evaluation.sound);
  CHECK(checked.figure("q.a_") == Approx(273.15 - 20).epsilon(1e-15));
  CHECK(checked.figure("q.drop") == Approx(10).epsilon(1e-12));
  CHECK(checked.figure("q.frost") == 1);
  CHECK(checked.figure("q.c") == Approx(20).epsilon(1e-12));
  REQUIRE(checked.program.facts.size() == 1);
  CHECK(checked.program.facts[0].low == Approx(243.15));
  CHECK(checked.program.facts[0].high == Approx(263.15));
}

TEST_CASE("a choice may be the last parameter of a function", "[language][functions]") {
  const Checked checked(std::string(
      "kind k { at: choice of order, dispatch = dispatch, headline f_: ratio = f(at), headline g_: ratio = g(at, 5) }\n"
      "function f(at: choice of order, dispatch): ratio = if at is order then 1 else 2\n"
      "function g(at: choice of order, dispatch, n: ratio): ratio = if at is order then n else 2 * n\n"
      "k q\nk r { at: order }\n"));
  INFO(checked.messages());
  REQUIRE(checked.evaluation.sound);
  CHECK(checked.figure("q.f_") == 2);
  CHECK(checked.figure("q.g_") == 10);
  CHECK(checked.figure("r.f_") == 1);
  CHECK(checked.figure("r.g_") == 5);
}

TEST_CASE("no instance shares its paths with a ledger or a field", "[language][names]") {
  const std::string ledger =
      "countable unit\ncurrency EUR \"Euro\" to 2 places\nreport in EUR\n"
      "ledger cost \"Cost\": money/unit { goods }\n"
      "kind thing { price: money/unit, headline h: money/unit = price, inside: set of bit, post cost.goods = price }\n"
      "kind bit within thing { n: ratio = 1 }\nkind odd { goods: ratio = 3 }\nkind strange { total: ratio = 3 }\n";
  for (const std::string doubtful :
       {"odd cost\n", "strange cost\n", "odd cost\nexpect cost.goods = 0 EUR/unit\n",
        "scenario s \"S\" { add odd cost }\n", "thing cost { price: 2 EUR/unit, bit goods { } }\n"})
    CHECK(refuses(ledger + doubtful, Code::duplicate_name));
  // Otherwise the member says which is meant.
  const Checked clear(ledger +
                      "thing cost { price: 2 EUR/unit, bit b { } }\nthing other { price: 5 EUR/unit }\n"
                      "expect cost.price = 2 EUR/unit and cost.h = 2 EUR/unit and cost.b.n = 1\n"
                      "expect cost.goods = 7 EUR/unit and cost.total = 7 EUR/unit and cost.of(cost) = 2 EUR/unit\n");
  INFO(clear.messages());
  CHECK(clear.evaluation.expectations_hold == std::vector<bool>{true, true});
  CHECK(clear.figure("cost.h") == 2);
  CHECK(clear.figure("cost.goods") == 7);
  const std::string owned =
      "kind part { size: ratio = 1, steps: set of step }\nkind step within part { n: ratio = 2 }\n";
  CHECK(refuses(owned + "part a { step size }\n", Code::duplicate_name));
  CHECK(refuses(owned + "part a\nscenario s \"S\" { add step size to a }\n", Code::duplicate_name));
  CHECK(Checked(owned + "part a { step n }\npart size { step { } }\n").evaluation.sound);
}

TEST_CASE("no kind has the name of a word that begins statements", "[language][names]") {
  for (const std::string_view word : text::statement_words) {
    const std::string name(word);
    CHECK(refuses("kind " + name + " { x: ratio }\n", Code::reserved_name));
  }
}
