// What the server proposes at a place, by the words around it.
#include <algorithm>

#include "tests/serve/shop.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

std::vector<std::string> completions(const Marked& marked) {
  Client client;
  const Json result = client.ask("completion", marked)["result"];
  std::vector<std::string> labels;
  for (const Json& item : *result["items"].items()) labels.push_back(*item["label"].text());
  return labels;
}
bool has(const std::vector<std::string>& labels, const std::string& label) {
  return std::find(labels.begin(), labels.end(), label) != labels.end();
}

}  // namespace

TEST_CASE("completion proposes what fits the place", "[serve]") {
  SECTION("fields not yet given, and what may stand inside") {
    const auto labels = completions(typed("order first { what: ball, count: 3 pc", "order first { what: ball, ^"));
    CHECK(has(labels, "count"));
    CHECK(has(labels, "remark"));
    CHECK(has(labels, "total"));
    CHECK_FALSE(has(labels, "what"));
    CHECK_FALSE(has(labels, "lines"));
  }
  SECTION("instances of the field's kind") {
    const auto labels = completions(typed("what: ball, count: 3 pc", "what: ^"));
    CHECK(labels == std::vector<std::string>{"ball", "cube"});
  }
  SECTION("choices") {
    CHECK(completions(typed("price: 4 EUR/pc from quote \"Q-1\"", "mode: f^")) ==
          std::vector<std::string>{"slow", "fast"});
  }
  SECTION("units of the field's dimension") {
    CHECK(completions(typed("price: 4 EUR/pc from quote \"Q-1\"", "price: 4 ^")) == std::vector<std::string>{"EUR/pc"});
    CHECK(completions(typed("price: 4 EUR/pc from quote \"Q-1\"", "price: 4 EUR/^")) ==
          std::vector<std::string>{"EUR/pc"});
    CHECK(completions(typed("ball.price: 5 EUR/pc", "ball.price: 5 ^")) == std::vector<std::string>{"EUR/pc"});
  }
  SECTION("members behind a dot") {
    CHECK(has(completions(typed("what.twice * count", "what.^")), "twice"));
    CHECK(has(completions(typed("first.total = 24 EUR", "first.^")), "note"));
    CHECK(has(completions(typed("first.total = 24 EUR", "bill.^")), "goods"));
    CHECK(has(completions(typed("first.total = 24 EUR", "first.what.^")), "price"));
    CHECK(has(completions(typed("what.twice * count", "the item.^")), "mode"));
    CHECK(has(completions(typed("first.total = 24 EUR", "sum(o.^ for o in all order) = 24 EUR")), "total"));
  }
  SECTION("kinds, declarations, modules, types") {
    CHECK(has(completions(typed("scenario dearer { ball.price: 5 EUR/pc }", "ord^")), "order"));
    CHECK(has(completions(typed("scenario dearer { ball.price: 5 EUR/pc }", "sc^")), "scenario"));
    CHECK_FALSE(has(completions(typed("scenario dearer { ball.price: 5 EUR/pc }", "^")), "remark"));
    CHECK(has(completions(typed("report in EUR", "use std.^")), "std.units"));
    CHECK(has(completions(typed("words: text", "words: t^")), "text"));
    CHECK(has(completions(typed("one item", "one ^")), "item"));
    CHECK(has(completions(typed("list of remark", "list of ^")), "remark"));
    CHECK_FALSE(has(completions(typed("choice of slow", "choice of ^")), "remark"));
    CHECK(has(completions(typed("report in EUR", "report in ^")), "EUR"));
  }
  SECTION("changes of a scenario") {
    const auto changes = completions(typed("ball.price: 5 EUR/pc", "^"));
    for (const char* const label : {"remove", "add", "ball", "first"}) CHECK(has(changes, label));
    CHECK(has(completions(typed("ball.price: 5 EUR/pc", "add ^")), "item"));
    CHECK(has(completions(typed("ball.price: 5 EUR/pc", "remove ^")), "cube"));
    CHECK(completions(typed("ball.price: 5 EUR/pc", "ball.mode: ^")) == std::vector<std::string>{"slow", "fast"});
    CHECK(has(completions(typed("ball.price: 5 EUR/pc", "first.note.^")), "words"));
    CHECK(has(completions(typed("ball.price: 5 EUR/pc", "add item cone { ^ }")), "price"));
  }
  SECTION("what a statement goes on with") {
    CHECK(completions(typed("report in EUR", "report ^")) == std::vector<std::string>{"in"});
    CHECK(completions(typed("scenario dearer { ball.price: 5 EUR/pc }", "item cone like ^")) ==
          std::vector<std::string>{"ball", "cube"});
    CHECK(completions(typed("post bill.goods", "post ^")) == std::vector<std::string>{"bill"});
    CHECK(has(completions(typed("first.total = 24 EUR", "bill.^")), "total"));
    CHECK_FALSE(has(completions(typed("first.total = 24 EUR", "bill.^")), "before"));
    const Marked dated(
        "currency EUR to 2 places\nreport in EUR\nledger cash \"Cash\": money dated { in pay \"Pay\" }\n"
        "kind k { day: date, m: money = cash.^ }\n");
    for (const char* const label : {"pay", "before", "through", "lowest_date"}) CHECK(has(completions(dated), label));
  }
  SECTION("values of flags, tables and curves") {
    const std::string kinds = "kind k { f: flag, t: table of ratio to ratio, c: curve of ratio to ratio }\n";
    CHECK(has(completions(Marked(kinds + "k one { f: ^ }\n")), "yes"));
    CHECK(has(completions(Marked(kinds + "k one { t: ^ }\n")), "table"));
    CHECK(has(completions(Marked(kinds + "k one { c: ^ }\n")), "curve"));
  }
  SECTION("fields of the kind that is derived from") {
    CHECK(has(completions(typed("kind remark within", "kind rush is order { ^ }\nkind remark within")), "count"));
  }
  const std::string line = "expect first.total = 24 EUR \"twice the price of three\"";
  using Labels = std::vector<std::string>;
  SECTION("scenarios that another is like") {
    CHECK(completions(typed(line, "scenario other like ^")) == Labels{"dearer"});
    CHECK(completions(typed(line, "scenario other \"Other\" like d^")) == Labels{"dearer"});
  }
  SECTION("sources and shapes behind a value") {
    const Labels sources{"quote", "invoice", "measured", "handbook", "estimate", "assumed"};
    const Labels shapes{"triangular", "pert", "uniform", "normal"};
    CHECK(completions(typed("from quote \"Q-1\"", "from ^")) == sources);
    CHECK(completions(typed("from quote \"Q-1\"", "within 1 .. 3 as ^")) == shapes);
    CHECK(completions(typed("ball.price: 5 EUR/pc", "ball.price: 5 EUR/pc +- 10% as ^")) == shapes);
    CHECK(completions(typed("= slow", "= slow from ^")) == sources);
  }
  SECTION("currencies of a rate") {
    const std::string rate = "currency USD to 2 places\nexchange 1 ";
    CHECK(completions(typed(line, rate + "^")) == Labels{"EUR", "USD"});
    CHECK(completions(typed(line, rate + "USD = 0.9 E^")) == Labels{"EUR", "USD"});
    CHECK(has(completions(typed(line, rate + "USD = 0.9 EUR from ^")), "quote"));
  }
  SECTION("dimensions and what they are shown in") {
    const Labels dimensions = completions(typed(line, "dimension q = ^"));
    CHECK(has(dimensions, "money"));
    CHECK(has(dimensions, "pc"));
    CHECK_FALSE(has(dimensions, "EUR"));
    CHECK_FALSE(has(dimensions, "ball"));
    for (const char* const place : {"dimension q = money*^", "show money/^"})
      CHECK(completions(typed(line, place)) == dimensions);
    CHECK(completions(typed(line, "show money/pc ^")) == Labels{"in", "to"});
    const Labels units = completions(typed(line, "show money/pc in ^"));
    CHECK(units == Labels{"EUR/pc"});
    CHECK(completions(typed(line, "show money/pc in EUR/^")) == units);
    CHECK(completions(typed(line, "show money*money/pc in ^")) == Labels{"EUR^2/pc"});
    CHECK(completions(typed(line, "show money in ^")) == Labels{"EUR"});
    CHECK(completions(typed(line, "show mony in ^")).empty());
  }
  SECTION("fields that are shown in percent") {
    const Labels all = completions(typed(line, "show ^"));
    for (const char* const label : {"money", "item", "order"}) CHECK(has(all, label));
    const std::string card = "kind card { share: ratio = 1, each: money/pc = 1 EUR/pc }\n";
    CHECK(completions(typed(line, card + "show card.^")) == Labels{"share"});
    CHECK(completions(typed(line, card + "show card.share ^")) == Labels{"in"});
    CHECK(completions(typed(line, card + "show card.share in ^")) == Labels{"percent"});
    CHECK(completions(typed(line, card + "show card.share in percent ^")) == Labels{"to"});
  }
  SECTION("views of an audience") {
    const std::string board = "audience board \"For a board\" { ";
    const Labels views = completions(typed(line, board + "^ }"));
    for (const char* const label : {"headlines", "bill", "bill.by_item", "bill.by_item_and_category"})
      CHECK(has(views, label));
    CHECK_FALSE(has(views, "ball"));
    CHECK(completions(typed(line, board + "headlines, bill.by^ }")) == views);
    CHECK(completions(typed(line, board + "bill.by_item ^ }")) == Labels{"to"});
    CHECK(completions(typed(line, board + "bill.by_item to 8 ^ }")) == Labels{"rows"});
    CHECK(completions(typed(line, board + "bill.by_item to 8 rows ^ }")).empty());
  }
  SECTION("types and parameters of a function") {
    for (const char* const place : {"function f(a: ^", "function f(a: money, b: ^", "function f(a: money): ^"}) {
      const Labels types = completions(typed(line, place));
      CHECK(has(types, "money"));
      CHECK(has(types, "series of"));
      CHECK_FALSE(has(types, "ball"));
    }
    const Labels body = completions(typed(line, "function f(wall: money, n: pc): money = 2 * ^"));
    for (const char* const label : {"wall", "n", "double", "sqrt"}) CHECK(has(body, label));
    for (const char* const label : {"ball", "bill", "money"}) CHECK_FALSE(has(body, label));
  }
  SECTION("what a loop runs over") {
    const Labels domains =
        completions(typed("total: money = what.twice * count", "total: money = sum(x.price for x in ^"));
    CHECK(domains.front() == "all");
    for (const char* const label : {"lines", "item"}) CHECK(has(domains, label));
    for (const char* const label : {"count", "what", "sqrt"}) CHECK_FALSE(has(domains, label));
    const Labels listed = completions(typed(line, "listing l for x in ^"));
    CHECK(listed.front() == "all");
    CHECK(has(listed, "first"));
    CHECK(completions(typed(line, "listing l for i, x in ^")) == listed);
    CHECK(completions(typed(line, "listing l for x in item whose ^")) == Labels{"price", "twice", "mode"});
    CHECK(completions(typed(line, "listing l for x in item whose mode is ^")) == Labels{"slow", "fast"});
    const Labels whose = completions(typed(line, "listing l for x in order whose what is ^"));
    for (const char* const label : {"this", "ball", "cube"}) CHECK(has(whose, label));
    CHECK_FALSE(has(whose, "first"));
  }
  SECTION("categories to post to") {
    CHECK(completions(typed("post bill.goods = total", "post bill.^")) == Labels{"goods"});
    CHECK(has(completions(typed("post bill.goods = total", "post bill.goods = bill.^")), "total"));
  }
  SECTION("what a choice is, and kinds behind any other `is`") {
    CHECK(completions(typed(line, "expect ball.mode is ^")) == Labels{"slow", "fast"});
    CHECK(completions(typed(line, "expect ball.mode is not ^")) == Labels{"slow", "fast"});
    CHECK(completions(typed(line, "expect first.what.mode is f^")) == Labels{"slow", "fast"});
    CHECK(completions(typed(line, "expect first.what is ^")) == Labels{"item", "order", "remark"});
    CHECK(completions(typed(line, "expect first.what is not ^")) == Labels{"item", "order", "remark"});
    CHECK(completions(typed(line, "kind ball is ^")) == Labels{"item", "order", "remark"});
  }
  SECTION("inputs that move together") {
    CHECK(completions(typed(line, "correlate ^")) == Labels{"ball", "cube", "first"});
    CHECK(completions(typed(line, "correlate ball.price ^")) == Labels{"with"});
    CHECK(completions(typed(line, "correlate ball.price with ^")) == Labels{"ball", "cube", "first"});
    CHECK(has(completions(typed(line, "correlate ball.^")), "price"));
  }
  SECTION("nothing in comments and texts") {
    CHECK(completions(typed("\"soon\"", "\"so^on\"")).empty());
    CHECK(completions(typed("## What one costs.", "## What ^one costs.")).empty());
    CHECK(completions(typed("report in EUR", "report in EUR # in ^")).empty());
  }
}
