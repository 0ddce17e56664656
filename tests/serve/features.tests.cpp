// What the server answers about places: one text, a place marked with ^, an answer.
#include <algorithm>

#include "runtime/serve/features.hpp"
#include "tests/catch.hpp"
#include "tests/serve/client.hpp"
#include "tests/serve/shop.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

std::string hover_of(const Marked& marked) {
  Client client;
  const Json result = client.ask("hover", marked)["result"];
  return result.is_null() ? "" : *result["contents"]["value"].text();
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
