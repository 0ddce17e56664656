// What `like` takes over and what it leaves.
#include "tests/support/holds.hpp"

using namespace sprue::testing;

namespace {

const std::string boxes =
    "kind box { size: ratio = 1, weight: ratio = 1, parts: set of part, all: ratio = sum(p.worth for p in parts) }\n"
    "abstract kind part within box { worth: ratio = 0 }\n"
    "kind screw is part { worth: ratio = 1 + length, length: ratio = 3 }\nkind nut is part { worth: ratio = 10 + pitch, pitch: ratio = 0 }\n";

}  // namespace

TEST_CASE("a child of another kind replaces the one of its name whole", "[language][copies][by_hand]") {
  // The nut has nothing of the screw's: not its length, which would stand in the place of the nut's pitch, not its children.
  check_holds(boxes +
              "box a { screw x { length: 5 }, screw y }\nbox b like a { nut x }\nbox c like b { screw x { length: 7 } }\n"
              "expect a.all = 6 + 4 \"two screws\"\nexpect b.all = 10 + 4 \"a nut and a screw\"\n"
              "expect b.x is nut and b.y is screw and a.x is screw \"each of its kind\"\n"
              "expect c.all = 8 + 4 \"and back\"\n");
}

TEST_CASE("what a copy says itself stays, the rest is taken over", "[language][copies][by_hand]") {
  check_holds(boxes +
              "box a { size: 2, weight: 3, screw x { length: 5 } }\nbox b like a { weight: 30, screw x { length: 6 }, nut z }\n"
              "box c like b { size: 20 }\n"
              "expect b.size = 2 and b.weight = 30 and b.x.length = 6 and b.all = 7 + 10 \"one step\"\n"
              "expect c.size = 20 and c.weight = 30 and c.x.length = 6 and c.all = 7 + 10 \"two steps\"\n"
              "expect a.size = 2 and a.weight = 3 and a.x.length = 5 \"the first is left alone\"\n");
}

TEST_CASE("what a scenario adds is there in that scenario alone", "[language][copies][by_hand]") {
  // Two scenarios may each add an instance of one name.
  const std::string text =
      "kind item { price: ratio }\nkind whole { headline sum: ratio = sum(i.price for i in all item) }\nwhole w\n"
      "item a { price: 1 }\nscenario more { add item b { price: 10 }, add item c { price: 100 } }\n"
      "scenario other { add item b { price: 1_000 }, add item c { price: 10_000 } }\n";
  CHECK(Checked(text).figure("w.sum") == 1);
  CHECK(Checked(text, "more").figure("w.sum") == 111);
  CHECK(Checked(text, "other").figure("w.sum") == 11001);
}

TEST_CASE("a derived kind posts what its base posts, and what it adds", "[language][by_hand]") {
  check_holds(
      "ledger l: ratio { a, b }\nkind k { n: ratio = 2\n  post l.a = n\n  require n > 0 \"above nothing\" }\n"
      "kind d is k { n: ratio = 3\n  post l.b = 10 * n }\nk x\nd y\n"
      "expect l.a = 5 and l.b = 30 and l.of(y) = 33 \"both\"\n");
}
