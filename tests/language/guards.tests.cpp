// `and` and `or` guard as `if` does: what the left side decides, the right side cannot spoil. And a fault is told at a
// place that was asked for.
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"

using namespace sprue;
using sprue::testing::Checked;

namespace {

const std::string kind =
    "kind k { a: ratio\n"
    "  headline both: flag = a > 0 and 1 / a > 2\n"
    "  headline either: flag = a <= 0 or 1 / a > 2\n"
    "  headline chosen: ratio = if a > 0 and 1 / a > 2 then 1 else 2\n"
    "  headline each: flag = every(a > 0 and 1 / (a * i) > 0.5 for i in 1 .. 3)\n"
    "  require a <= 0 or ln(a) < 5 \"a is below e^5\" }\n";

/// Line and column, from 1, of the only error.
std::string place_of_error(const std::string& text) {
  const Checked checked(text);
  INFO(text << checked.messages());
  std::string places;
  for (const Diagnostic& diagnostic : checked.diagnostics.list()) {
    const Position place = checked.sources.position(diagnostic.span.source, diagnostic.span.begin);
    places += (places.empty() ? "" : " ") + std::to_string(place.line) + ":" + std::to_string(place.column);
  }
  return places;
}

}  // namespace

TEST_CASE("what the left side of `and` or `or` decides, the right side cannot spoil", "[language][guards]") {
  const Checked zero(kind + "k o { a: 0 }\n");
  INFO(zero.messages());
  REQUIRE(zero.evaluation.sound);
  CHECK(zero.figure("o.both") == 0);
  CHECK(zero.figure("o.either") == 1);
  CHECK(zero.figure("o.chosen") == 2);
  CHECK(zero.figure("o.each") == 0);
  const Checked quarter(kind + "k o { a: 0.25 }\n");
  CHECK(quarter.figure("o.both") == 1);
  CHECK(quarter.figure("o.either") == 1);
  CHECK(quarter.figure("o.chosen") == 1);
  CHECK(quarter.figure("o.each") == 1);
}

TEST_CASE("what the left side leaves open still has to have a value", "[language][guards]") {
  CHECK(place_of_error("kind k { a: ratio, headline h: flag = a < 1 and 1 / a > 2 }\nk o { a: 0 }\n") == "1:49");
  CHECK(place_of_error("kind k { a: ratio, headline h: flag = a > 1 or 1 / a > 2 }\nk o { a: 0 }\n") == "1:48");
  CHECK(place_of_error("kind k { a: ratio, headline h: flag = 1 / a > 2 and a > 0 }\nk o { a: 0 }\n") == "1:39");
}

TEST_CASE("a fault is told where it was asked for, not at its guarded twin", "[language][guards]") {
  CHECK(place_of_error(
            "kind k { a: ratio\n headline good: ratio = if a > 0 then 1 / a else 7\n headline bad: ratio = 1 / a }\n"
            "k o { a: 0 }\n") == "3:24");
  CHECK(place_of_error(
            "kind k { a: ratio\n headline good: flag = a > 0 and 1 / a > 2\n headline bad: flag = 1 / a > 3 }\n"
            "k o { a: 0 }\n") == "3:23");
}

TEST_CASE("the same fault at two places is one mistake, two faults are two", "[language][guards]") {
  CHECK(place_of_error(
            "kind k { a: ratio\n headline x: ratio = 1 / a\n headline y: ratio = 3 + 1 / a }\nk o { a: 0 }\n") ==
        "2:22");
  CHECK(place_of_error("kind k { a: ratio, b: ratio\n headline x: ratio = 1 / a\n headline y: ratio = 1 / b }\n"
                       "k o { a: 0, b: 0 }\n") == "2:22 3:22");
}

TEST_CASE("a table asked outside its keys is told where it was asked", "[language][guards]") {
  const std::string head = "kind k { a: ratio, t: table of ratio to ratio\n";
  const std::string guarded =
      " headline x: ratio = if a > 0 then t(a) else 7\n headline y: flag = a > 0 and t(a) > 2\n";
  const std::string rows = "k o { a: 0, t: table [1: 5, 2: 6] }\n";
  CHECK(place_of_error(head + guarded + " headline z: ratio = t(a) + 1 }\n" + rows) == "4:22");
  CHECK(place_of_error(head + guarded + " }\n" + rows).empty());
  // Of a table with one row, whose value stands elsewhere, too.
  CHECK(place_of_error(head + guarded + " headline five: ratio = a + 5 }\nk o { a: 0, t: table [1: 5] }\n").empty());
  CHECK(place_of_error(head + " headline x: ratio = t(a)\n headline y: ratio = 2 * t(a) }\n" + rows) == "2:22");
}

TEST_CASE("a fault in a rounding step or a sum has a place, too", "[language][guards]") {
  CHECK(place_of_error("kind k { a: ratio, headline h: ratio = 1 + ceil(3, a) }\nk o { a: 0 }\n") == "1:44");
}
