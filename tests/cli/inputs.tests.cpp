// What a study says of a path that it cannot vary: what it is, and what can be varied instead.
#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::testing;

TEST_CASE("a path that is no input is told as what it is, with what can be varied", "[cli][study]") {
  const TemporaryFolder folder;
  folder.file(
      "t.sprue",
      "kind clip { orders: ratio, weight: ratio, breaks: table of ratio to ratio, ramp: series of ratio, note: text\n"
      "  price: ratio = breaks(orders) * weight + sum(ramp), headline cost: ratio = price }\n"
      "clip c { orders: 2, weight: 3, breaks: table [1: 5, 10: 4], ramp: [1, 2], note: \"n\" }\n");
  const auto told = [&](const std::string& path) {
    const Run run = run_in(folder.path(), {"sweep", "t.sprue", "--vary", path + "=1,2"});
    CHECK(run.code == 2);
    CHECK(run.out.empty());
    return run.err;
  };
  const std::string instead = "of `c` these can be varied: c.orders, c.weight; a scenario can change the rest";
  const std::string table = told("c.breaks");
  CHECK(table.find("`c.breaks` is no input: it is a table, which has no one value to vary") != std::string::npos);
  CHECK(table.find(instead) != std::string::npos);
  CHECK(told("c.ramp").find("`c.ramp` is no input: it is a series, which has no one value to vary") !=
        std::string::npos);
  CHECK(told("c.note").find("`c.note` is no input: only quantities and dates can be varied") != std::string::npos);
  CHECK(told("c.price").find("`c.price` is no input: it is worked out from others") != std::string::npos);
  CHECK(told("c.price").find(instead) != std::string::npos);
  CHECK(told("c.wieght").find("did you mean `c.weight`?") != std::string::npos);
  const Run solve = run_in(folder.path(), {"solve", "t.sprue", "--for", "c.breaks", "--until", "c.cost = 10"});
  CHECK(solve.err.find("it is a table") != std::string::npos);
}
