// Currencies by their powers and rates, worked out by hand.
#include "tests/support/golden.hpp"
#include "tests/support/holds.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

const std::string money =
    "dimension mass\nunit kg: mass\ncurrency EUR \"Euro\" to 2 places\ncurrency USD \"Dollar\" to 2 places\n"
    "currency JPY \"Yen\" to 0 places\nreport in EUR\n";

}  // namespace

TEST_CASE("a currency below the line is converted the other way, and a square twice", "[language][money][by_hand]") {
  // A dollar is half a euro. 10 kg for a dollar are 20 kg for a euro: 100 kg cost 5 euros.
  check_holds(money +
              "exchange 1 USD = 0.50 EUR\n"
              "kind k { per: mass/money, spread: money^2, inverse: 1/money^2 }\n"
              "k x { per: 10 kg/USD, spread: 9 USD^2, inverse: 0.25 1/USD^2 }\n"
              "expect 100 kg / x.per = 5 EUR \"below the line\"\n"
              "expect 100 kg / (10 kg/USD) = 5 EUR \"in a formula, too\"\n"
              "expect sqrt(x.spread) = 1.50 EUR \"3 dollars\"\n"
              "expect sqrt(1 / x.inverse) = 1 EUR \"2 dollars\"\n");
}

TEST_CASE("a rate is read both ways, chained, and for as many as it is given for", "[language][money][by_hand]") {
  // 200 yen are 2 dollars, of which a euro has 2: 1 euro.
  check_holds(money +
              "exchange 100 JPY = 1 USD\nexchange 1 EUR = 2 USD\n"
              "expect 10 USD = 5 EUR \"the other way\"\nexpect 200 JPY = 1 EUR \"by way of the dollar\"\n");
}

TEST_CASE("a rate per hundred has a range per hundred", "[language][money][study][by_hand]") {
  // 1,000 yen at 0.50, 0.60 and 0.70 euros for a hundred: 5, 6 and 7 euros.
  const std::string text = money +
                           "exchange 100 JPY = 0.60 EUR within 0.50 .. 0.70\n"
                           "kind k { price: money, headline cost: money = price }\nk x { price: 1000 JPY }\n";
  check_holds(text + "expect x.cost = 6 EUR \"stated\"\n");
  const TemporaryFolder folder;
  folder.file("a.sprue", text);
  const Run run = run_in(folder.path(), {"drivers", "a.sprue", "--format", "csv"});
  INFO(run.out << run.err);
  CHECK(run.out.find(",5.00,7.00,2.00\r\n") != std::string::npos);
}

TEST_CASE("a scenario's rate takes the place of the file's", "[language][money][by_hand]") {
  const std::string text = money +
                           "exchange 1 USD = 0.50 EUR\nkind k { price: money, headline cost: money = price }\n"
                           "k x { price: 10 USD }\nscenario weak { exchange.USD: 0.80 EUR }\n";
  CHECK(Checked(text).figure("x.cost") == Approx(5));
  CHECK(Checked(text, "weak").figure("x.cost") == Approx(8));
}

TEST_CASE("a square of a unit has the square of its factor, and a power below the line its inverse", "[language][by_hand]") {
  check_holds(
      "dimension length\nunit m: length\nunit cm = 0.01 m\nunit per_cm = 1 / 1 cm\n"
      "expect 10_000 cm^2 = 1 m^2 \"a hundred by a hundred\"\n"
      "expect 100 m / (100 cm) = 100 \"a length over a length\"\n"
      "expect 3 1/cm^2 = 30_000 1/m^2 \"below the line\"\n"
      "expect 2 per_cm = 200 1/m \"a unit made of a quotient\"\n");
}

TEST_CASE("a file decides over a module how a dimension is shown", "[language][by_hand]") {
  const TemporaryFolder folder;
  folder.file("shown.sprue", "dimension length\nunit m: length\nunit mm = 0.001 m\nshow length in mm to 1 places\n");
  folder.file("a.sprue", "use \"shown.sprue\"\nshow length in m to 3 places\nkind k { headline a: length = 2 m }\nk x\n");
  CHECK(run_in(folder.path(), {"report", "a.sprue", "--format", "lines"}).out == "x.a = 2.000 m\n");
}

TEST_CASE("a unit below the line is shown below the line", "[language][by_hand]") {
  CHECK(lines_of("countable pc\ncountable shot\nkind k { headline a: pc/shot = 2 pc/shot, headline b: 1/pc = 3 1/pc }\nk x\n") == "x.a = 2.000000 pc/shot\nx.b = 3.000000 1/pc\n");
}
