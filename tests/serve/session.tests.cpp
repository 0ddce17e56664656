// The course of a session: its beginning and end, changes of texts, diagnostics, and messages that make no sense.
#include <algorithm>
#include <random>
#include <stdexcept>

#include "tests/catch.hpp"
#include "tests/serve/client.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/program.hpp"
#include "tests/support/trade_program.hpp"

using namespace sprue::testing;

namespace {

std::string uri_of(const std::filesystem::path& path) {
  return "file://" + std::filesystem::weakly_canonical(path).generic_string();
}

Json range(int line, int from, int to) {
  return Json::object({{"start", Json::object({{"line", line}, {"character", from}})},
                       {"end", Json::object({{"line", line}, {"character", to}})}});
}

const std::string good = "kind box { size: ratio }\nbox a { size: 2 }\nexpect a.size = 2 \"as given\"\n";

}  // namespace

TEST_CASE("a session begins with initialize and ends with exit", "[serve]") {
  Client client(false);
  CHECK(client.request("textDocument/hover", {})["error"]["code"] == Json(-32002));
  const Json capabilities = client.result("initialize", {})["capabilities"];
  CHECK(capabilities["positionEncoding"] == Json("utf-16"));
  CHECK(capabilities["hoverProvider"] == Json(true));
  CHECK(client.request("initialize", {})["error"]["code"] == Json(-32600));
  CHECK(client.request("workspace/unheard", {})["error"]["code"] == Json(-32601));
  CHECK(client.request("shutdown", {})["error"].is_null());
  CHECK(client.request("textDocument/hover", {})["error"]["code"] == Json(-32600));
  CHECK(client.notify("exit", {}) == 0);
}

TEST_CASE("exit without shutdown is a failure", "[serve]") {
  Client client;
  CHECK(client.notify("exit", {}) == 1);
}

TEST_CASE("diagnostics follow each change and go with the file", "[serve]") {
  Client client;
  client.open("untitled:one", good);
  CHECK(client.diagnostics("untitled:one") == Json::array());
  client.change("untitled:one", Json::object({{"range", range(1, 0, 3)}, {"text", "bax"}}));
  const Json wrong = client.diagnostics("untitled:one");
  REQUIRE(wrong.items()->size() >= 1);
  const Json& first = wrong.items()->front();
  CHECK(first["range"] == range(1, 0, 3));
  CHECK(first["severity"] == Json(1));
  CHECK(first["source"] == Json("sprue"));
  CHECK(first["code"].text()->front() == 'E');
  CHECK_THAT(*first["message"].text(), Catch::Contains("unknown kind `bax`") && Catch::Contains("help: "));
  client.change("untitled:one", Json::object({{"text", good}}));
  CHECK(client.diagnostics("untitled:one") == Json::array());
}

TEST_CASE("a failing expectation is a diagnostic, other places are related information", "[serve]") {
  Client client;
  client.open("untitled:one", "kind box { size: ratio }\nbox a { size: 2 }\nexpect a.size = 3 \"three\"\n");
  REQUIRE(client.diagnostics("untitled:one").items()->size() == 1);
  client.open("untitled:two", "kind box { size: ratio }\nkind box { size: ratio }\n");
  const Json twice = client.diagnostics("untitled:two");
  REQUIRE(twice.items()->size() == 1);
  const Json related = twice.items()->front()["relatedInformation"];
  REQUIRE(related.items() != nullptr);
  CHECK(related.items()->front()["location"]["range"] == range(0, 5, 8));
}

TEST_CASE("what is typed counts over what is on disk, in every file of a program", "[serve]") {
  const TemporaryFolder folder;
  const std::string main = "use \"part.sprue\"\nbox a { size: 2 }\nexpect a.size = 2 \"as given\"\n";
  const auto main_uri = uri_of(folder.file("main.sprue", main));
  const auto part_uri = uri_of(folder.file("part.sprue", "kind bux { size: ratio }\n"));
  Client client;
  client.open(main_uri, main);
  CHECK(client.diagnostics(main_uri).items()->size() >= 1);
  client.open(part_uri, "kind box { size: ratio }\n");
  CHECK(client.diagnostics(main_uri) == Json::array());
  client.change(part_uri, Json::object({{"text", "kind box { size: ratio, bad: nonsense }\n"}}));
  CHECK(client.diagnostics(part_uri).items()->size() == 1);
  client.notify("textDocument/didClose", Json::object({{"textDocument", Json::object({{"uri", part_uri}})}}));
  CHECK(client.diagnostics(part_uri) == Json::array());
  CHECK(client.diagnostics(main_uri).items()->size() >= 1);
  // A file that is not on disk at all.
  const std::string fresh = uri_of(folder.path() / "fresh.sprue");
  client.change(main_uri, Json::object({{"text", "use \"fresh.sprue\"\nbox a { size: 2 }\n"}}));
  CHECK(client.diagnostics(main_uri).items()->size() >= 1);
  client.open(fresh, "kind box { size: ratio }\n");
  CHECK(client.diagnostics(main_uri) == Json::array());
}

TEST_CASE("a file that changes on disk is read again, whatever its name", "[serve]") {
  const TemporaryFolder folder;
  const std::string main = "use \"part Ä.sprue\"\nbox a { size: 2 }\n";
  const auto main_uri = uri_of(folder.file("main.sprue", main));
  folder.file("part Ä.sprue", "kind bux { size: ratio }\n");
  const std::string part_uri = uri_of(folder.path()) + "/part%20%C3%84.sprue";
  Client client;
  client.open(main_uri, main);
  CHECK(client.diagnostics(main_uri).items()->size() >= 1);
  folder.file("part Ä.sprue", "kind box { size: ratio }\n");
  client.notify("workspace/didChangeWatchedFiles",
                Json::object({{"changes", Json::array({Json::object({{"uri", part_uri}, {"type", 2}})})}}));
  CHECK(client.diagnostics(main_uri) == Json::array());
  folder.file("part Ä.sprue", "kind box { size: nonsense }\n");
  client.notify("textDocument/didSave", Json::object({{"textDocument", Json::object({{"uri", part_uri}})}}));
  CHECK(client.diagnostics(part_uri).items()->size() == 1);
  client.notify("workspace/didChangeWatchedFiles", {});
  CHECK(client.about("documentSymbol", main_uri).items()->size() == 1);
}

TEST_CASE("characters are counted in UTF-16, or in UTF-8 where the client offers it", "[serve]") {
  const auto check_at = [](Client& client, int character) {
    client.open("untitled:one", "kind box { t: text }\nbox a { t: \"ä𝄞\", x: 1 }\n");
    CHECK(client.diagnostics("untitled:one").items()->front()["range"] == range(1, character, character + 1));
    client.change("untitled:one", Json::object({{"range", range(1, character, character + 1)}, {"text", "t"}}));
    CHECK_THAT(*client.diagnostics("untitled:one").items()->front()["message"].text(),
               Catch::Contains("`t` is given twice"));
  };
  Client utf16;
  check_at(utf16, 18);
  const Json offer = Json::array({"utf-16", "utf-8"});
  Client utf8(true, Json::object({{"general", Json::object({{"positionEncodings", offer}})}}));
  check_at(utf8, 21);
}

TEST_CASE("messages that make no sense are answered and survived", "[serve]") {
  Client client;
  client.send_raw("Content-Length: 5\r\n\r\n{\"a\":");
  CHECK(client.received.back()["error"]["code"] == Json(-32700));
  CHECK(client.received.back()["id"].is_null());
  client.send_raw("Content-Length: none\r\n\r\n");
  CHECK(client.received.back()["error"]["code"] == Json(-32700));
  client.send(Json::array({1, 2}));
  CHECK(client.received.back()["error"]["code"] == Json(-32600));
  client.notify("$/cancelRequest", Json::object({{"id", 1}}));
  client.notify("textDocument/didChange", Json("nonsense"));
  client.notify("textDocument/didOpen", {});
  CHECK(client.about("hover", "file:///no/such/file.sprue").is_null());
  client.open("untitled:one", good);
  for (const char* const method : {"hover", "definition", "references", "completion", "codeAction", "inlayHint"}) {
    for (const int line : {-1, 0, 2, 3, 99}) {
      const Json place = Json::object({{"line", line}, {"character", 1'000'000'000}});
      const Json response = client.request(std::string("textDocument/") + method,
                                           Json::object({{"textDocument", Json::object({{"uri", "untitled:one"}})},
                                                         {"position", place},
                                                         {"range", Json::object({{"start", place}, {"end", place}})}}));
      CHECK(response["error"].is_null());
    }
  }
}

TEST_CASE("a question that follows a change at once does not keep its diagnostics back", "[serve]") {
  Client client;
  const Json about = Json::object({{"textDocument", Json::object({{"uri", "untitled:one"}})}});
  client.send_raw(framed(opening("untitled:one", "kind box { size: ratio }\nbax a { size: 2 }\n")) +
                  framed(question(70, "textDocument/semanticTokens/full", about)) +
                  framed(question(71, "textDocument/documentSymbol", about)));
  CHECK(client.diagnostics("untitled:one").items()->size() == 1);
  const Json change = Json::object({{"text", "kind box { size: ratio }\nbox a { size: 2 }\n"}});
  const Json next = Json::object({{"uri", "untitled:one"}, {"version", 2}});
  client.send_raw(
      framed(notification("textDocument/didChange",
                          Json::object({{"textDocument", next}, {"contentChanges", Json::array({change})}}))) +
      framed(question(72, "textDocument/semanticTokens/full", about)));
  CHECK(client.diagnostics("untitled:one") == Json::array());
}

TEST_CASE("a client that can is asked to tell of files that change on disk", "[serve]") {
  const Json can = Json::object({{"dynamicRegistration", true}});
  Client client(true, Json::object({{"workspace", Json::object({{"didChangeWatchedFiles", can}})}}));
  client.notify("initialized", Json(Json::Object{}));
  const Json asked = client.received.back();
  CHECK(asked["method"] == Json("client/registerCapability"));
  CHECK((*asked["params"]["registrations"].items())[0]["method"] == Json("workspace/didChangeWatchedFiles"));
  const std::size_t before = client.received.size();
  client.send(Json::object({{"jsonrpc", "2.0"}, {"id", asked["id"]}, {"result", Json()}}));
  CHECK(client.received.size() == before);
  Client cannot;
  cannot.notify("initialized", Json(Json::Object{}));
  CHECK(cannot.received.size() == 1);
}

TEST_CASE("a file of two programs is one file", "[serve]") {
  const TemporaryFolder folder;
  const std::string shared = "kind box { size: ratio, bad: nonsense }\n";
  const auto shared_uri = uri_of(folder.file("shared.sprue", shared));
  std::vector<std::string> mains;
  Client client;
  for (const char* const name : {"a", "b"}) {
    const std::string text = std::string("use \"shared.sprue\"\nbox ") + name + "1 { size: 2 }\n";
    mains.push_back(uri_of(folder.file(std::string(name) + ".sprue", text)));
    client.open(mains.back(), text);
  }
  client.open(shared_uri, shared);
  CHECK(client.diagnostics(shared_uri).items()->size() == 1);
  client.change(shared_uri, Json::object({{"text", "kind box { size: ratio }\n"}}));
  CHECK(client.diagnostics(shared_uri) == Json::array());
  for (const auto& [uri, line, character] : {std::tuple{shared_uri, 0, 6}, {mains[0], 1, 1}, {mains[1], 1, 1}}) {
    const Json place = Json::object({{"line", line}, {"character", character}});
    const Json changes =
        client.about("rename", uri, Json::object({{"position", place}, {"newName", "crate"}}))["changes"];
    for (const std::string& file : {mains[0], mains[1], shared_uri}) CHECK(changes[file].items()->size() == 1);
    CHECK(client.about("references", uri, Json::object({{"position", place}})).items()->size() == 3);
  }
}

TEST_CASE("a new name fits files that are not open, as they are on disk now", "[serve]") {
  const TemporaryFolder folder;
  const std::string main = "use \"part.sprue\"\nbox a { size: 2 }\n";
  const auto main_uri = uri_of(folder.file("main.sprue", main));
  const auto part_uri = uri_of(folder.file("part.sprue", "kind box { size: ratio }\n"));
  Client client;
  client.open(main_uri, main);
  folder.file("part.sprue", "# A comment\n# of two lines.\nkind box { size: ratio }\n");
  const Json place = Json::object({{"line", 1}, {"character", 1}});
  const Json changes =
      client.about("rename", main_uri, Json::object({{"position", place}, {"newName", "crate"}}))["changes"];
  CHECK((*changes[part_uri].items())[0]["range"] == range(2, 5, 8));
}

TEST_CASE("files are known by every form of their URI", "[serve]") {
  const TemporaryFolder folder;
  const auto part = folder.file("part.sprue", "kind box { size: ratio }\n");
  for (const std::string scheme : {"file:", "file://", "file://localhost", "FILE://"}) {
    INFO(scheme);
    Client client;
    client.open(scheme + (folder.path() / "main.sprue").string(), "use \"part.sprue\"\nbox a { size: 2 }\n");
    CHECK(client.diagnostics(scheme + (folder.path() / "main.sprue").string()) == Json::array());
  }
}

TEST_CASE("changes that wait to be read are checked together", "[serve]") {
  Client client;
  std::string bytes;
  for (const char* const text : {"bad", "worse", "kind box { size: ratio }\n"})
    bytes += framed(opening("untitled:one", text));
  client.received.clear();
  client.send_raw(bytes);
  REQUIRE(client.received.size() == 1);
  CHECK(client.diagnostics("untitled:one") == Json::array());
}

TEST_CASE("a failure inside a request is its answer and no more", "[serve]") {
  sprue::serve::Host host = sprue::serve_host();
  bool broken = true;
  host.loader = [&, sound = host.loader](const std::string& file, sprue::serve::TextAtHand at_hand) {
    if (broken) throw std::runtime_error("out of order");
    return sound(file, std::move(at_hand));
  };
  Client client(true, {}, host);
  client.open("untitled:one", good);
  CHECK(client.received.back()["method"] == Json("window/logMessage"));
  const Json document = Json::object({{"uri", "untitled:one"}});
  client.send_raw(framed(opening("untitled:one", good)) +
                  framed(question(77, "textDocument/documentSymbol", Json::object({{"textDocument", document}}))));
  CHECK(client.received.back()["id"] == Json(77));
  CHECK(client.received.back()["error"]["code"] == Json(-32603));
  broken = false;
  client.open("untitled:one", good);
  CHECK(client.about("documentSymbol", "untitled:one").items()->size() == 2);
}

TEST_CASE("a name is changed in every file of the program", "[serve]") {
  const TemporaryFolder folder;
  const std::string main = "use \"part.sprue\"\nbox a { size: 2 }\n";
  const auto main_uri = uri_of(folder.file("main.sprue", main));
  const auto part_uri = uri_of(folder.file("part.sprue", "kind box { size: ratio }\n"));
  Client client;
  client.open(main_uri, main);
  const Json place = Json::object({{"line", 1}, {"character", 1}});
  const Json changes =
      client.about("rename", main_uri, Json::object({{"position", place}, {"newName", "crate"}}))["changes"];
  CHECK((*changes[main_uri].items())[0]["range"] == range(1, 0, 3));
  CHECK((*changes[part_uri].items())[0]["range"] == range(0, 5, 8));
  CHECK(client.about("definition", main_uri, Json::object({{"position", place}}))["uri"] == Json(part_uri));
}

namespace {

/// Everything a client sends in a short session, as bytes.
std::string whole_session() {
  const Json document = Json::object({{"uri", "untitled:one"}, {"version", 2}});
  const Json place =
      Json::object({{"textDocument", document}, {"position", Json::object({{"line", 1}, {"character", 8}})}});
  int id = 0;
  std::string bytes =
      framed(question(++id, "initialize", Json(Json::Object{}))) + framed(opening("untitled:one", good));
  for (const char* const method : {"textDocument/hover", "textDocument/completion", "textDocument/references",
                                   "textDocument/semanticTokens/full", "textDocument/documentSymbol"})
    bytes += framed(question(++id, method, place));
  const Json change = Json::object({{"range", range(1, 0, 3)}, {"text", "b\""}});
  bytes += framed(notification("textDocument/didChange",
                               Json::object({{"textDocument", document}, {"contentChanges", Json::array({change})}})));
  return bytes + framed(question(++id, "shutdown", {})) + framed(notification("exit", {}));
}

}  // namespace

TEST_CASE("every beginning of a session is survived", "[serve]") {
  const std::string session = whole_session();
  const std::size_t first = session.find("Content-Length", 1);  // where the first message ends
  for (std::size_t size = 0; size < session.size(); ++size) {
    Client client(false);
    const int code = client.send_raw(session.substr(0, size));
    const bool shut_down = std::any_of(client.received.begin(), client.received.end(),
                                       [](const Json& message) { return message["id"] == Json(7); });
    CHECK(code == (shut_down || size < first ? 0 : 1));  // nobody spoke, or all was said
  }
  Client client(false);
  CHECK(client.send_raw(session) == 0);
  CHECK(client.received.back()["id"] == Json(7));
}

TEST_CASE("every question about damaged programs is answered", "[serve]") {
  std::mt19937 random(2);
  std::size_t answers = 0;
  for (std::uint32_t seed = 1; seed <= 12; ++seed) {
    const std::string text = damaged(seed % 2 == 0 ? trade_program(seed) : random_program(seed), seed);
    Client client;
    client.open("untitled:one", text);
    for (int i = 0; i < 12; ++i) {
      const Json place =
          Json::object({{"line", static_cast<int>(random() % 60)}, {"character", static_cast<int>(random() % 60)}});
      for (const char* const method : {"hover", "definition", "references", "completion", "prepareRename", "rename",
                                       "formatting", "codeAction", "inlayHint", "documentSymbol", "foldingRange"}) {
        const Json response =
            client.request(std::string("textDocument/") + method,
                           Json::object({{"textDocument", Json::object({{"uri", "untitled:one"}})},
                                         {"position", place},
                                         {"newName", "other_name"},
                                         {"range", Json::object({{"start", place}, {"end", place}})}}));
        CHECK(response["error"]["code"] != Json(-32603));
        answers += response["result"].is_null() ? 0 : 1;
      }
    }
  }
  CHECK(answers > 100);
}

TEST_CASE("damaged bytes are survived", "[serve]") {
  const std::string session = whole_session();
  std::mt19937 random(1);
  std::size_t answered = 0;
  for (int round = 0; round < 400; ++round) {
    std::string bytes = session;
    for (int i = 0; i < 4; ++i) bytes[random() % bytes.size()] = static_cast<char>(random() % 256);
    Client client(false);
    client.send_raw(bytes);
    answered += client.received.size();
  }
  CHECK(answered > 400);
}
