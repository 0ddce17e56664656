// The server's edits give what the command writes, and stand exactly where they should.
#include <algorithm>

#include "lang/syntax/format.hpp"
#include "runtime/serve/features.hpp"
#include "tests/catch.hpp"
#include "tests/serve/client.hpp"
#include "tests/serve/shop.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

/// What `sprue format` makes of the text.
std::string formatted(const std::string& text) {
  Sources sources;
  Diagnostics diagnostics;
  const auto out = format(sources, sources.add("a", text), diagnostics);
  REQUIRE(out);
  return *out;
}

/// The text after the server's edits for formatting.
std::string edited(Client& client, const std::string& text) {
  client.open("untitled:one", text);
  const Json edits = client.about("formatting", "untitled:one");
  if (edits.items()->empty()) return text;
  REQUIRE(edits.items()->size() == 1);
  const Json& edit = edits.items()->front();
  const serve::Lines lines(text, serve::PositionEncoding::utf16);
  const std::uint32_t begin = lines.offset(serve::position_of(edit["range"]["start"]));
  const std::uint32_t end = lines.offset(serve::position_of(edit["range"]["end"]));
  CHECK(serve::position_of(edit["range"]["start"]).character == 0);
  REQUIRE(begin <= end);
  return text.substr(0, begin) + *edit["newText"].text() + text.substr(end);
}

}  // namespace

TEST_CASE("an empty line too many is taken out, and nothing is doubled", "[serve][edits][by_hand]") {
  // What stays before and what stays behind would overlap in the empty lines.
  Client client;
  CHECK(edited(client, "kind k { a: ratio = 1 }\n\n\n\nk one\n") == "kind k { a: ratio = 1 }\n\nk one\n");
  CHECK(edited(client, "kind k { a: ratio = 1 }\n\n\n\n\n\nk one\n\n\n\nk two\n") ==
        "kind k { a: ratio = 1 }\n\nk one\n\nk two\n");
  CHECK(edited(client, "k one\n\n\n") == formatted("k one\n\n\n"));
  CHECK(edited(client, "k one\nk   one\n") == "k one\nk one\n");
  CHECK(edited(client, "k one") == "k one\n");
}

TEST_CASE("formatting in the editor gives what the command gives, wherever the layout is off", "[serve][edits][property][by_hand]") {
  Client client;
  const std::string base = formatted(shop);
  for (std::size_t at = base.find('\n'); at != std::string::npos; at = base.find('\n', at + 1)) {
    for (const std::string odd : {"\n\n\n", " \n", "\n   ", "\r\n", "\n\n\n\n# note\n"}) {
      const std::string text = base.substr(0, at) + odd + base.substr(at + 1);
      INFO(text);
      CHECK(edited(client, text) == formatted(text));
    }
  }
}

TEST_CASE("a fix is offered from the first to behind the last character of its place", "[serve][edits][by_hand]") {
  serve::Programs programs(serve_host());
  programs.documents.open(Json::object({{"uri", "untitled:one"}, {"text", "kind box { size: ratio }\n"}}));
  programs.refresh();
  Diagnostic diagnostic{Code::unknown_name, {5, 8, 0}, "an example"};
  diagnostic.fixes.push_back({"write `crate`", {{{5, 8, 0}, "crate"}}, true});
  programs.all().front()->diagnostics.add(diagnostic);
  const auto view = programs.view("untitled:one");
  REQUIRE(view);
  const auto offered = [&](std::uint32_t begin, std::uint32_t end) {
    return !serve::code_actions(*view, begin, end, {}).items()->empty();
  };
  CHECK_FALSE(offered(0, 4));
  CHECK(offered(0, 5));
  CHECK(offered(5, 5));
  CHECK(offered(8, 8));
  CHECK_FALSE(offered(9, 9));
}

TEST_CASE("places count UTF-16 or UTF-8 and never lie within a character", "[serve][edits][by_hand]") {
  // One byte, two, three, four: a, u with two dots, a euro sign, a face.
  const std::string text = "a\xC3\xBC\xE2\x82\xAC\xF0\x9F\x98\x80z\nb";
  const serve::Lines wide(text, serve::PositionEncoding::utf16);
  const serve::Lines narrow(text, serve::PositionEncoding::utf8);
  const std::uint32_t offsets[] = {0, 1, 3, 6, 10, 11};
  const std::uint32_t in_utf16[] = {0, 1, 2, 3, 5, 6};
  for (std::size_t i = 0; i < 6; ++i) {
    CHECK(wide.position(offsets[i]).character == in_utf16[i]);
    CHECK(wide.offset({0, in_utf16[i]}) == offsets[i]);
    CHECK(narrow.position(offsets[i]).character == offsets[i]);
    CHECK(narrow.offset({0, offsets[i]}) == offsets[i]);
  }
  for (const auto& [within, behind] : {std::pair{2U, 3U}, {4U, 6U}, {5U, 6U}, {7U, 10U}, {9U, 10U}})
    CHECK(narrow.offset({0, within}) == behind);
  CHECK(wide.offset({0, 99}) == 11);
  CHECK(wide.offset({1, 0}) == 12);
  CHECK(wide.offset({9, 0}) == text.size());
}

TEST_CASE("escapes of a URI are undone wherever they stand", "[serve][edits][by_hand]") {
  CHECK(serve::path_of_uri("file:///a%20b/%C3%BC.sprue") == "/a b/\xC3\xBC.sprue");
  CHECK(serve::path_of_uri("file:///a%20") == "/a ");
  CHECK(serve::path_of_uri("file:///%61") == "/a");
  CHECK(serve::path_of_uri("file:///a%2") == "/a%2");
  CHECK(serve::path_of_uri("file:///a%zz") == "/a%zz");
  CHECK(serve::path_of_uri("untitled:a%20b") == "untitled:a%20b");
}

TEST_CASE("no value stands behind a formula of a kind that its only instance replaces", "[serve][edits][by_hand]") {
  Client client;
  const auto labels = [&](const std::string& text) {
    client.open("untitled:one", text);
    const Json whole = Json::object({{"range", Json::object({{"start", Json::object({{"line", 0}, {"character", 0}})},
                                                             {"end", Json::object({{"line", 99}, {"character", 0}})}})}});
    std::vector<std::string> out;
    const Json hints = client.about("inlayHint", "untitled:one", whole);
    for (const Json& hint : *hints.items()) out.push_back(*hint["label"].text());
    return out;
  };
  const std::string kind = "kind k { n: ratio = 3, twice: ratio = 2 * n, headline all: ratio = twice + n }\n";
  CHECK(labels(kind + "k one\n") == std::vector<std::string>{"= 6.000000", "= 9.000000"});
  CHECK(labels(kind + "k one { twice: 7 }\n") == std::vector<std::string>{"= 10.000000"});
  CHECK(labels(kind + "k one\nk two\n").empty());
}

TEST_CASE("each colored word is counted from the one before it, and from the start of its line", "[serve][edits][by_hand]") {
  Client client;
  client.open("untitled:one", "expect 1 < 22\nexpect 3 = 3\n");
  std::vector<std::vector<int>> places;
  const Json data = client.about("semanticTokens/full", "untitled:one")["data"];
  for (std::size_t i = 0; i + 4 < data.items()->size(); i += 5) {
    places.emplace_back();
    for (std::size_t k = 0; k < 3; ++k) places.back().push_back(static_cast<int>(*(*data.items())[i + k].number()));
  }
  CHECK(places == std::vector<std::vector<int>>{{0, 0, 6}, {0, 7, 1}, {0, 4, 2}, {1, 0, 6}, {0, 7, 1}, {0, 4, 1}});
}
