// What the server answers about places: one text, a place marked with ^, an answer.
#include <algorithm>

#include "runtime/serve/features.hpp"
#include "tests/catch.hpp"
#include "tests/serve/client.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

const std::string shop = R"(currency EUR "Euro" to 2 places
report in EUR
countable pc
ledger bill "Bill": money { goods "Goods" }
function double(x: money/pc): money/pc = 2 * x
kind item {
  ## What one costs.
  price: money/pc
  twice: money/pc = double(price)
  mode: choice of slow, fast = slow
}
kind order { what: one item, count: pc
  total: money = what.twice * count
  post bill.goods = total
  lines: list of remark }
kind remark within order { words: text }
item ball { price: 4 EUR/pc from quote "Q-1" }
item cube like ball { price: ball.price + 1 EUR/pc, mode: fast }
order first { what: ball, count: 3 pc
  remark note { words: "soon" } }
scenario dearer { ball.price: 5 EUR/pc }
expect first.total = 24 EUR "twice the price of three"
show money/pc to 2 places
)";

/// The shop with the mark before the n-th time the words stand there, `into` them.
Marked at(const std::string& words, int n = 1, std::size_t into = 0, const std::string& text = shop) {
  std::size_t place = text.find(words);
  for (; n > 1; --n) place = text.find(words, place + 1);
  REQUIRE(place != std::string::npos);
  return Marked(text.substr(0, place + into) + "^" + text.substr(place + into));
}

/// The shop with something typed at the end of a line.
Marked typed(const std::string& line, const std::string& instead) {
  const std::size_t place = shop.find(line);
  REQUIRE(place != std::string::npos);
  return Marked(shop.substr(0, place) + instead + shop.substr(place + line.size()));
}

std::string hover_of(const Marked& marked) {
  Client client;
  const Json result = client.ask("hover", marked)["result"];
  return result.is_null() ? "" : *result["contents"]["value"].text();
}

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

/// The text after the edits of one file.
std::string edited(const std::string& text, const Json& edits) {
  const serve::Lines lines(text, serve::PositionEncoding::utf16);
  std::vector<std::pair<std::uint32_t, const Json*>> sorted;
  for (const Json& edit : *edits.items())
    sorted.emplace_back(lines.offset(serve::position_of(edit["range"]["start"])), &edit);
  std::sort(sorted.rbegin(), sorted.rend());
  std::string out = text;
  for (const auto& [begin, edit] : sorted) {
    const std::uint32_t end = lines.offset(serve::position_of((*edit)["range"]["end"]));
    out.replace(begin, end - begin, *(*edit)["newText"].text());
  }
  return out;
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
    text.replace(at, from.size(), to);
  return text;
}

}  // namespace

TEST_CASE("hover shows the declaration, the value, its source and the doc comment", "[serve]") {
  CHECK_THAT(hover_of(at("price: 4")),
             Catch::Contains("price: money/pc") && Catch::Contains("`ball.price = 4.00 EUR/pc`") &&
                 Catch::Contains("Source: quote \"Q-1\"") && Catch::Contains("What one costs."));
  CHECK_THAT(hover_of(at("total = 24")),
             Catch::Contains("`first.total = 24.00 EUR`") && Catch::Contains("Formula: `what.twice * count`"));
  CHECK_THAT(hover_of(at("double(price)")), Catch::Contains("function double(x: money/pc): money/pc"));
  CHECK_THAT(hover_of(at("order first")), Catch::Contains("kind order"));
  CHECK_THAT(hover_of(at("ball,")), Catch::Contains("item ball"));
  CHECK_THAT(hover_of(at("goods =")), Catch::Contains("bill.goods: money"));
  CHECK_THAT(hover_of(at("fast }")), Catch::Contains("fast: choice of slow, fast"));
  CHECK_THAT(hover_of(at("bill.goods")), Catch::Contains("ledger bill \"Bill\": money"));
  CHECK_THAT(hover_of(at("EUR/pc from")), Catch::Contains("currency EUR"));
  CHECK_THAT(hover_of(at("x\nkind", 1)), Catch::Contains("x: money/pc"));
  CHECK(hover_of(at("= 2 *")).empty());
}

TEST_CASE("a name leads to its declaration", "[serve]") {
  const auto line = [](const Marked& marked) {
    Client client;
    return *client.ask("definition", marked)["result"]["range"]["start"]["line"].number();
  };
  CHECK(line(at("price)")) == 7);
  CHECK(line(at("price: 4")) == 7);
  CHECK(line(at("twice * count")) == 8);
  CHECK(line(at("item cube")) == 5);
  CHECK(line(at("ball {", 2)) == 16);
  CHECK(line(at("EUR \"twice")) == 0);
  CHECK(line(at("first.total")) == 18);
  CHECK(line(at("ball.price: 5")) == 16);
}

TEST_CASE("references are every place of the name", "[serve]") {
  const auto count = [](const Marked& marked, bool declaration) {
    Client client;
    return client
        .ask("references", marked,
             Json::object({{"context", Json::object({{"includeDeclaration", declaration}})}}))["result"]
        .items()
        ->size();
  };
  CHECK(count(at("price: money"), true) == 6);
  CHECK(count(at("price: money"), false) == 5);
  CHECK(count(at("ball.price: 5"), true) == 5);
  CHECK(count(at("goods ="), true) == 2);
  CHECK(count(at("countable pc", 1, 10), true) == 11);
}

TEST_CASE("rename changes every place and nothing else", "[serve]") {
  const auto renamed = [](const Marked& marked, const std::string& name) {
    Client client;
    const Json response = client.ask("rename", marked, Json::object({{"newName", name}}));
    REQUIRE(response["error"].is_null());
    return edited(shop, response["result"]["changes"]["untitled:one"]);
  };
  CHECK(renamed(at("ball.price: 5"), "globe") == replaced(shop, "ball", "globe"));
  CHECK(renamed(at("double(price)"), "doubled") == replaced(shop, "double", "doubled"));
  CHECK(renamed(at("goods ="), "things") == replaced(shop, "goods", "things"));
  CHECK(renamed(at("total = 24"), "sum_of_all") == replaced(shop, "total", "sum_of_all"));
}

TEST_CASE("rename refuses what would mean something else", "[serve]") {
  const auto refused = [](const Marked& marked, const std::string& name) {
    Client client;
    const Json error = client.ask("rename", marked, Json::object({{"newName", name}}))["error"];
    CHECK(error["code"] == Json(-32803));
    return *error["message"].text();
  };
  CHECK_THAT(refused(at("ball {"), "cube"), Catch::Contains("`cube` cannot be the name"));
  CHECK_THAT(refused(at("ball {"), "two words"), Catch::Contains("is no name"));
  CHECK_THAT(refused(at("ball {"), "otherwise"), Catch::Contains("word of the language"));
  CHECK_THAT(refused(at("price: money"), "mode"), Catch::Contains("cannot be the name"));
  CHECK_THAT(refused(at("= 2 *"), "three"), Catch::Contains("no name here"));
  CHECK_THAT(refused(at("money/pc\n"), "cash"), Catch::Contains("no name here"));
  Client client;
  const Marked library("use std.units\nkind box { wide: ^length }\n");
  CHECK_THAT(*client.ask("prepareRename", library)["error"]["message"].text(), Catch::Contains("standard library"));
  CHECK(client.ask("prepareRename", at("ball {"))["result"]["placeholder"] == Json("ball"));
}

TEST_CASE("a client that shows no Markdown gets plain text", "[serve]") {
  const auto contents = [](Json formats) {
    Json hover = Json::object({{"contentFormat", std::move(formats)}});
    Client client(true, Json::object({{"textDocument", Json::object({{"hover", std::move(hover)}})}}));
    return client.ask("hover", at("price: 5", 1, 1))["result"]["contents"];
  };
  const Json plain = contents(Json::array({"plaintext"}));
  CHECK(plain["kind"] == Json("plaintext"));
  const std::string text = *plain["value"].text();
  CHECK(text.starts_with("price: money/pc\n\nField of item\n"));
  CHECK_THAT(text, Catch::Contains("What one costs."));
  CHECK(text.find('`') == std::string::npos);
  CHECK(contents(Json::array({"markdown", "plaintext"}))["kind"] == Json("markdown"));
}

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
    for (const char* const place : {"dimension q = money*^", "show ^", "show money/^"})
      CHECK(completions(typed(line, place)) == dimensions);
    CHECK(completions(typed(line, "show money/pc ^")) == Labels{"in", "to"});
    const Labels units = completions(typed(line, "show money/pc in ^"));
    CHECK(has(units, "EUR"));
    CHECK_FALSE(has(units, "money"));
    CHECK(completions(typed(line, "show money/pc in EUR/^")) == units);
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

TEST_CASE("formatting replaces what differs, and leaves damaged files alone", "[serve]") {
  Client client;
  const std::string text = "kind box { size: ratio }\nbox a {size:2}\nbox b { size: 3 }\n";
  client.open("untitled:one", text);
  const Json edits = client.about("formatting", "untitled:one");
  REQUIRE(edits.items()->size() == 1);
  CHECK(edits.items()->front()["range"]["start"]["line"] == Json(1));
  CHECK(edited(text, edits) == replaced(text, "{size:2}", "{ size: 2 }"));
  client.open("untitled:one", edited(text, edits));
  CHECK(client.about("formatting", "untitled:one") == Json::array());
  client.open("untitled:one", "kind box {\n");
  CHECK(client.about("formatting", "untitled:one").is_null());
}

TEST_CASE("fixes of diagnostics are code actions", "[serve]") {
  serve::Programs programs(serve_host());
  programs.documents.open(Json::object({{"uri", "untitled:one"}, {"text", "kind box { size: ratio }\n"}}));
  programs.refresh();
  REQUIRE(programs.all().size() == 1);
  Diagnostic diagnostic{Code::unknown_name, {5, 8, 0}, "an example"};
  diagnostic.fixes.push_back({"write `crate`", {{{5, 8, 0}, "crate"}, {{0, 0, 0}, "abstract "}}, true});
  programs.all().front()->diagnostics.add(diagnostic);
  const auto view = programs.view("untitled:one");
  REQUIRE(view);
  const Json actions = serve::code_actions(*view, 6, 6, {});
  REQUIRE(actions.items()->size() == 1);
  const Json& action = actions.items()->front();
  CHECK(action["title"] == Json("write `crate`"));
  CHECK(action["isPreferred"] == Json(true));
  CHECK((*action["diagnostics"].items())[0]["message"] == Json("an example"));
  CHECK(edited("kind box { size: ratio }\n", action["edit"]["changes"]["untitled:one"]) ==
        "abstract kind crate { size: ratio }\n");
  CHECK(serve::code_actions(*view, 12, 14, {}) == Json::array());
  CHECK(serve::code_actions(*view, 6, 6, Json::array({"refactor"})) == Json::array());
  CHECK(serve::code_actions(*view, 6, 6, Json::array({"refactor", "quickfix"})) == actions);
}

TEST_CASE("values of formulas stand behind them", "[serve]") {
  Client client;
  client.open("untitled:one", shop);
  const Json whole = Json::object({{"range", Json::object({{"start", Json::object({{"line", 0}, {"character", 0}})},
                                                           {"end", Json::object({{"line", 99}, {"character", 0}})}})}});
  std::vector<std::string> labels;
  const Json hints = client.about("inlayHint", "untitled:one", whole);
  for (const Json& hint : *hints.items()) labels.push_back(*hint["label"].text());
  CHECK(labels == std::vector<std::string>{"= 5.00 EUR/pc", "= 24.00 EUR"});
}

TEST_CASE("the outline, folds and colored words of a file", "[serve]") {
  Client client;
  client.open("untitled:one", shop);
  const Json symbols = client.about("documentSymbol", "untitled:one");
  std::vector<std::string> names;
  for (const Json& symbol : *symbols.items()) names.push_back(*symbol["name"].text());
  CHECK(names == std::vector<std::string>{"EUR", "pc", "bill", "double", "item", "order", "remark", "ball", "cube",
                                          "first", "dearer"});
  CHECK((*symbols.items())[4]["children"].items()->size() == 3);
  const Json folds = client.about("foldingRange", "untitled:one");
  CHECK(folds.items()->size() == 3);
  CHECK(folds.items()->front()["endLine"].number() != nullptr);
  // Five numbers a word; the first is `currency`, a keyword.
  const Json tokens = client.about("semanticTokens/full", "untitled:one")["data"];
  CHECK(tokens.items()->size() % 5 == 0);
  const Json legend = serve::semantic_token_types();
  CHECK(std::vector<Json>(tokens.items()->begin(), tokens.items()->begin() + 3) == std::vector<Json>{0, 0, 8});
  const auto type = static_cast<std::size_t>(*(*tokens.items())[3].number());
  CHECK((*legend.items())[type] == Json("keyword"));
}

TEST_CASE("a word's length in colors is that of what is seen of it", "[serve]") {
  Client client;
  const auto lengths = [&](const std::string& text) {
    client.open("untitled:one", text);
    std::vector<Json> out;
    const Json data = client.about("semanticTokens/full", "untitled:one")["data"];
    for (std::size_t i = 2; i < data.items()->size(); i += 5) out.push_back((*data.items())[i]);
    return out;
  };
  CHECK(lengths("expect 1.5e-3 < 2E+6") == std::vector<Json>{6, 6, 4});
  CHECK(lengths("expect 1e3-2 < 98%") == std::vector<Json>{6, 3, 1, 3});
  CHECK(lengths("expect \"ab\r\n# c\r\n\"\r\n\"") == std::vector<Json>{6, 3, 3, 1, 1});
}
