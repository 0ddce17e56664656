// Walks between versions: they sum to the difference, do not depend on order, and keep together what needs each other.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>
#include <regex>

#include "runtime/cli/project.hpp"
#include "runtime/study/walk.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/trade_program.hpp"

using namespace sprue;
using sprue::testing::Checked;

namespace {

/// Two versions, their changes and the walk of every headline both have.
struct Walked {
  Walked(const std::string& before_text, const std::string& after_text, const std::string& before_scenario = {},
         const std::string& after_scenario = {})
      : before(before_text, before_scenario), after(after_text, after_scenario) {
    INFO(before.messages() << after.messages());
    REQUIRE(before.evaluation.sound);
    REQUIRE(after.evaluation.sound);
    before_pieces = pieces_of(before.program, before.sources, scenario(before, before_scenario));
    after_pieces = pieces_of(after.program, after.sources, scenario(after, after_scenario));
    changes = changes_between(before_pieces, after_pieces);
    keys = headline_keys(after.program, after.evaluation.lowered);
    walk = sprue::walk(changes, keys, project_loader({}));
  }

  static std::uint32_t scenario(const Checked& checked, const std::string& name) {
    for (std::uint32_t i = 0; i < checked.program.scenarios.size(); ++i) {
      if (checked.program.text(checked.program.scenarios[i].name) == name) return i;
    }
    return none;
  }

  std::vector<std::string> paths() const {
    std::vector<std::string> out;
    for (const Change& change : changes.list) out.push_back(change.path);
    return out;
  }
  double bar(std::size_t group, std::size_t headline = 0) const { return walk.bars[headline][group].value; }

  Checked before;
  Checked after;
  Pieces before_pieces, after_pieces;
  Changes changes;
  std::vector<HeadlineKey> keys;
  Walk walk;
};

/// Bars add up to the difference, and both ends are the figures of the versions to the last bit.
void check_walk(const Walked& w) {
  REQUIRE(w.walk.found);
  REQUIRE(w.walk.bars.size() == w.keys.size());
  for (std::size_t h = 0; h < w.keys.size(); ++h) {
    INFO(w.keys[h].path);
    CHECK(w.walk.before[h] == w.before.evaluation.value(w.before.evaluation.lowered.headlines[h].node));
    CHECK(w.walk.after[h] == w.after.evaluation.value(w.after.evaluation.lowered.headlines[h].node));
    double sum = 0;
    for (const Estimate& bar : w.walk.bars[h]) sum += bar.value;
    const double difference = w.walk.after[h] - w.walk.before[h];
    const double scale = std::max({1.0, std::fabs(w.walk.before[h]), std::fabs(w.walk.after[h])});
    CHECK(std::fabs(sum - difference) <= 1e-9 * std::max(1.0, scale * 1e-6));
  }
}

const std::string items =
    "kind item { price: ratio, count: ratio = 1, made_by: optional machine }\n"
    "kind machine { rate: ratio = 1 }\n"
    "kind total { headline sum: ratio = sum(i.price * i.count * (i.made_by.rate otherwise 1) for i in all item) }\n"
    "total t\n";

}  // namespace

TEST_CASE("two changes that multiply share what they do together", "[study]") {
  const Walked w(items + "item a { price: 2, count: 3 }\n", items + "item a { price: 5, count: 7 }\n");
  check_walk(w);
  REQUIRE(w.paths() == std::vector<std::string>{"a.price", "a.count"});
  // From 6 to 35: price alone 9, count alone 8, together 29.
  CHECK(w.bar(0) == Approx((9 + (29 - 8)) / 2.0));
  CHECK(w.bar(1) == Approx((8 + (29 - 9)) / 2.0));
}

TEST_CASE("values are lanes of one graph", "[study]") {
  const Walked w(items + "item a { price: 2, count: 3 }\nitem b { price: 1 }\n",
                 items + "item a { price: 5, count: 7 }\nitem b { price: 4 }\n");
  check_walk(w);
  CHECK(w.walk.counters.lanes == 8);
}

TEST_CASE("parts and what they use come and go together", "[study]") {
  const std::string old_machine = "machine old { rate: 2 }\n";
  const Walked w(
      items + old_machine + "item a { price: 2, made_by: old }\nitem b { price: 1 }\n",
      items +
          "machine new { rate: 3 }\nitem a { price: 2, made_by: new }\nitem b { price: 4 }\nitem c { price: 10 }\n");
  check_walk(w);
  // The machines with the part that names them; b's price; c.
  REQUIRE(w.walk.groups.size() == 3);
  double sum = 0;
  for (std::size_t g = 0; g < 3; ++g) sum += w.bar(g);
  CHECK(sum == Approx(20 - 5));
}

TEST_CASE("a copy follows what it is like, in lanes and in structures", "[study]") {
  const Walked w(items + "item a { price: 2 }\nitem b like a { count: 2 }\n",
                 items + "item a { price: 3 }\nitem b like a { count: 5 }\nitem c like b {}\n");
  check_walk(w);
  CHECK(w.walk.groups.size() == 3);
}

TEST_CASE("what must add up changes together", "[study]") {
  const std::string shares =
      "kind share { part: ratio, worth: ratio }\n"
      "kind whole { headline mean: ratio = sum(s.part * s.worth for s in all share)\n"
      "  require sum(s.part for s in all share) = 1 \"shares add up\" }\nwhole w\n";
  const Walked w(shares + "share a { part: 40%, worth: 10 }\nshare b { part: 60%, worth: 20 }\n",
                 shares + "share a { part: 50%, worth: 12 }\nshare b { part: 50%, worth: 20 }\n");
  check_walk(w);
  REQUIRE(w.walk.groups.size() == 2);  // both parts, and the worth of a
  CHECK(w.walk.groups[0].size() + w.walk.groups[1].size() == 3);
}

TEST_CASE("two changes that clash only while others are not made change together with one of those", "[study]") {
  const std::string rule =
      "kind total { a: ratio, b: ratio, c: ratio, d: ratio, headline worth: ratio = a * b + c * d\n"
      "  require a < 5 or b < 5 or c >= 5 or d >= 5 \"a and b need c or d\" }\n";
  const Walked w(rule + "total t { a: 1, b: 2, c: 3, d: 4 }\n", rule + "total t { a: 5, b: 6, c: 7, d: 8 }\n");
  check_walk(w);
  REQUIRE(w.walk.groups.size() == 2);
  CHECK(w.walk.groups[0].size() == 3);
  // c alone is worth 16 where nothing else changed, 32 where all else did; or d alone 12 and 28.
  CHECK((w.bar(1) == Approx((16 + 32) / 2.0) || w.bar(1) == Approx((12 + 28) / 2.0)));
}

TEST_CASE("formulas of kinds, functions and exchange rates are changes like any other", "[study]") {
  const std::string money =
      "currency EUR to 2 places\ncurrency USD to 2 places\nreport in EUR\nkind thing { price: money }\nthing a { "
      "price: 10 USD }\n";
  const Walked w(money +
                     "exchange 1 USD = 0.9 EUR\nfunction f(x: money): money = x\nkind all_of { headline all: money = "
                     "f(sum(t.price for t in all thing)) }\nall_of p\n",
                 money +
                     "exchange 1 USD = 1.1 EUR\nfunction f(x: money): money = 2 * x\nkind all_of { headline all: money "
                     "= f(sum(t.price for t in all thing)) + 1 EUR }\nall_of p\n");
  check_walk(w);
  REQUIRE(w.walk.groups.size() == 3);
  CHECK(w.walk.before[0] == Approx(9));
  CHECK(w.walk.after[0] == Approx(23));
}

TEST_CASE("a scenario is a set of changes; one like another has only its own", "[study]") {
  const std::string text = items +
                           "machine m { rate: 2 }\nitem a { price: 2, made_by: m }\nitem b { price: 1, count: 4 }\n"
                           "scenario dearer { a.price: 3, m.rate: 4 }\n"
                           "scenario smaller like dearer { remove b, a.price: 2.5, add item c { price: 7 } }\n";
  check_walk(Walked(text, text, "", "smaller"));
  check_walk(Walked(text, text, "dearer", "smaller"));
  const Walked w(text, text, "smaller", "dearer");
  check_walk(w);
  CHECK(w.walk.before[0] == Approx(10 + 7));
  CHECK(w.walk.after[0] == Approx(12 + 4));
}

TEST_CASE("nothing changed is no change", "[study]") {
  const Walked same(items + "item a { price: 2 }\n",
                    items + "# a comment\nitem   a \"A title\" {\n  price: 2.0 from assumed \"nobody\"\n}\n");
  for (const Change& change : same.changes.list) CHECK_FALSE(change.figures);
  CHECK(same.walk.groups.empty());
  CHECK(Walked(items + "item a { price: 2 }\n", items + "item a { price: 2 }\n").changes.list.empty());
}

TEST_CASE("many changes are estimated, and the estimate adds up", "[study]") {
  const auto version = [](int step) {
    std::string text = items;
    for (int i = 0; i < 16; ++i)
      text += fmt::format("item i{} {{ price: {}, count: {} }}\n", i, 1 + i + step * (i % 3), 2 + step);
    return text;
  };
  const Walked w(version(0), version(1));
  check_walk(w);
  CHECK_FALSE(w.walk.exact);
  CHECK(w.walk.groups.size() > exact_groups);
  // Prices and counts of different items do not meet, so each pair can be worked out by hand.
  for (std::size_t g = 0; g < w.walk.groups.size(); ++g) {
    const Change& change = w.changes.list[w.walk.groups[g].front()];
    const int i = std::stoi(change.path.substr(1));
    const double price = 1 + i;
    const double more = i % 3;
    const double exact = change.path.ends_with("price") ? more * 2.5 : price + more / 2;
    INFO(change.path);
    CHECK(std::fabs(w.bar(g) - exact) <= 4 * w.walk.bars[0][g].error + 1e-9);
  }
}

TEST_CASE("an exact walk is that of every order taken in turn", "[study][property]") {
  for (unsigned seed = 1; seed <= 12; ++seed) {
    std::mt19937 random(seed);
    const auto number = [&] { return static_cast<int>(1 + random() % 9); };
    std::string before = items;
    std::string after = items;
    for (const char* name : {"a", "b"}) {
      before += fmt::format("item {} {{ price: {}, count: {}, made_by: m }}\n", name, number(), number());
      after += fmt::format("item {} {{ price: {}, count: {}, made_by: m }}\n", name, number(), number());
    }
    before += fmt::format("machine m {{ rate: {} }}\n", number());
    after += fmt::format("machine m {{ rate: {} }}\n", number());
    if (seed % 2 == 0) after += fmt::format("item c {{ price: {}, made_by: m }}\n", number());
    const Walked w(before, after);
    INFO(before << "---\n" << after);
    check_walk(w);
    const std::size_t n = w.walk.groups.size();
    Between between(w.changes, w.keys, project_loader({}));
    between.set_groups(w.walk.groups);
    std::vector<std::uint32_t> order(n);
    std::iota(order.begin(), order.end(), 0U);
    std::vector<double> shares(n, 0);
    double count = 0;
    do {
      Subset made(n, false);
      double at = (*between.one(made))[0];
      for (const std::uint32_t g : order) {
        made[g] = true;
        const double next = (*between.one(made))[0];
        shares[g] += next - at;
        at = next;
      }
      ++count;
    } while (std::next_permutation(order.begin(), order.end()));
    for (std::size_t g = 0; g < n; ++g) CHECK(w.bar(g) == Approx(shares[g] / count).margin(1e-9));
  }
}

TEST_CASE("walks between generated programs sum to their differences", "[study][property][slow]") {
  for (std::uint32_t seed = 1; seed <= 4; ++seed) {
    testing::TradeOptions other;
    other.money = 1.25;
    other.delay_days = 20;
    INFO("seed " << seed);
    check_walk(Walked(testing::trade_program(seed), testing::trade_program(seed, other)));
    if (seed > 1) continue;
    const Walked w(testing::trade_program(seed), testing::trade_program(seed + 50));  // another product altogether
    check_walk(w);
    CHECK(w.walk.groups.size() > exact_groups);
  }
}

TEST_CASE("walks between scenarios of a whole program sum to their differences", "[study][property]") {
  const std::filesystem::path file = testing::source_dir() / "scenarios/herb_mill/herb_mill.sprue";
  std::string text;
  for (const char* part : {"shop", "tools", "parts", "bought", "herb_mill"}) {
    const std::string more = testing::read(file.parent_path() / (std::string(part) + ".sprue"));
    text += std::regex_replace(more, std::regex("use \"[a-z]+.sprue\"\n"), "");
  }
  for (const char* scenario : {"symmetric_housing", "no_overmold", "half_volume", "weak_euro"}) {
    INFO(scenario);
    const Walked w(text, text, "", scenario);
    check_walk(w);
  }
}
