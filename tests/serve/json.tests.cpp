// Reading and writing JSON, and the framing of messages.
#include <sstream>

#include "lang/limits/limits.hpp"
#include "runtime/serve/json_read.hpp"
#include "runtime/serve/message.hpp"
#include "tests/catch.hpp"

using namespace sprue::serve;

TEST_CASE("JSON is read and written back", "[serve]") {
  for (const std::string text : {"null", "true", "[]", "{}", "[1,2.5,-3]", R"({"a":[{"b":"c"}],"d":null})",
                                 R"("a\"b\\c\nd\u0001")", R"("äöü → 𝄞")"}) {
    const auto json = read_json(text);
    REQUIRE(json);
    CHECK(write(*json) == text);
  }
  CHECK(write(*read_json(" { \"a\" : [ 1 , 2 ] } \n")) == R"({"a":[1,2]})");
  CHECK(*read_json("1.5e3")->number() == 1500);
}

TEST_CASE("escapes of strings are undone, pairs of surrogates joined", "[serve]") {
  CHECK(*read_json(R"("\u00e4\/\t\ud834\udd1e")")->text() == "ä/\t𝄞");
  CHECK(*read_json(R"("\ud834x\udd1e")")->text() == "\xEF\xBF\xBDx\xEF\xBF\xBD");
  CHECK(*read_json(R"("\ud834")")->text() == "\xEF\xBF\xBD");
}

TEST_CASE("what is no JSON is refused", "[serve]") {
  for (const std::string text : {"", "{", "[1,]", "{\"a\":}", "nul", "\"a", "01", "1.", "[1 2]", "{a:1}", "\"\x01\"",
                                 "\"\xFF\"", "\"\\x\"", "1 2"})
    CHECK_FALSE(read_json(text));
  CHECK(read_json(std::string(sprue::limits::message_depth, '[') + std::string(sprue::limits::message_depth, ']')));
  CHECK_FALSE(read_json(std::string(sprue::limits::message_depth + 1, '[') +
                        std::string(sprue::limits::message_depth + 1, ']')));
  CHECK_FALSE(read_json(std::string(10'000'000, '[')));
}

TEST_CASE("a message is its length and its content", "[serve]") {
  std::istringstream in("content-LENGTH:  2 \r\nContent-Type: x\r\n\r\n{}Content-Length: 4\n\nnull");
  CHECK(read_message(in)->text == "{}");
  CHECK(read_message(in)->text == "null");
  CHECK_FALSE(read_message(in));
}

TEST_CASE("a header without a usable length is skipped", "[serve]") {
  std::istringstream in(
      "Content-Length: -5\r\n\r\nContent-Length: 99999999999999999999\r\n\r\nHello\r\n\r\nContent-Length: 2\r\n\r\n{}");
  for (int i = 0; i < 3; ++i) CHECK_FALSE(read_message(in)->problem.empty());
  CHECK(read_message(in)->text == "{}");
  std::istringstream huge("Content-Length: 9999999999999\r\n\r\n{}");
  CHECK_FALSE(read_message(huge)->problem.empty());
  CHECK_FALSE(read_message(huge));
  std::istringstream cut("Content-Length: 400000000\r\n\r\n{}");
  CHECK_FALSE(read_message(cut));
}
