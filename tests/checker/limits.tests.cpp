// Programs that would unroll without bound are refused, in bounded time and memory.
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"

using sprue::testing::Checked;

namespace {

bool refused(const Checked& checked, const std::string& code) {
  return !checked.evaluation.sound && checked.messages().find("[" + code + "]") != std::string::npos;
}

}  // namespace

TEST_CASE("a range too long to unroll is refused", "[checker][limits]") {
  CHECK(refused(Checked(std::string("kind k { headline a: ratio = sum(1 for i in 1 .. 900_000_000) }\nk one\n")),
                "E0503"));
}

TEST_CASE("loops in loops in loops are refused", "[checker][limits]") {
  CHECK(refused(Checked(std::string("kind k { headline a: ratio = sum(sum(sum(1 for c in 1 .. 1_000) for b in 1 .. "
                                    "1_000) for a in 1 .. 1_000) }\nk one\n")),
                "E0503"));
}

TEST_CASE("functions that double at every step are refused", "[checker][limits]") {
  std::string text = "function f0(x: ratio): ratio = x\n";
  for (int i = 1; i <= 60; ++i)
    text += "function f" + std::to_string(i) + "(x: ratio): ratio = f" + std::to_string(i - 1) + "(x) + f" +
            std::to_string(i - 1) + "(x)\n";
  CHECK(refused(Checked(text + "kind k { n: ratio = 1, headline a: ratio = f60(n) }\nk one\n"), "E0503"));
}

TEST_CASE("copies that double at every step are refused", "[checker][limits]") {
  std::string text = "kind k { inner: set of k, v: ratio = 1 }\nk k0 { }\n";
  for (int i = 1; i <= 40; ++i)
    text += "k k" + std::to_string(i) + " { k a like k" + std::to_string(i - 1) + " { }\n k b like k" +
            std::to_string(i - 1) + " { } }\n";
  CHECK(Checked(text).messages().find("[E0503]") != std::string::npos);
}

TEST_CASE("long formulas in a long chain are refused before the stack ends", "[checker][limits]") {
  std::string sum = "(next.v otherwise 0)";
  for (int i = 0; i < 150; ++i) sum = "(1 + " + sum + ")";
  std::string text =
      "kind node within chain { v: ratio = " + sum +
      " }\nkind chain { nodes: list of node, headline top: ratio = first(nodes).v otherwise 0 }\nchain c {\n";
  for (int i = 0; i < 390; ++i) text += "  node n" + std::to_string(i) + " { }\n";
  const Checked checked(text + "}\n");
  CHECK((checked.evaluation.sound || checked.messages().find("[E0504]") != std::string::npos));
}

TEST_CASE("names are proposed for the first of many errors only", "[checker][limits]") {
  std::string text = "kind k { v: ratio }\n";
  for (int i = 0; i < 1'000; ++i)
    text += "k instance_" + std::to_string(i) + " { v: instanze_" + std::to_string(i) + ".v }\n";
  const Checked checked(text);
  std::size_t proposals = 0;
  for (const sprue::Diagnostic& diagnostic : checked.diagnostics.list()) proposals += diagnostic.help.empty() ? 0 : 1;
  CHECK(checked.diagnostics.error_count() == 1'000);
  CHECK(proposals >= 400);
  CHECK(proposals <= 500);
}

TEST_CASE("no name is proposed for one that is far too long to be a slip", "[checker][limits]") {
  CHECK(sprue::nearest("instanze", {"instance"}) == "instance");
  CHECK(sprue::nearest(std::string(30'000, 'a') + "b", {std::string_view("instance")}).empty());
  const std::string name(30'000, 'a');
  CHECK(Checked("kind k { v: ratio }\nk " + name + "b { v: 1 }\nk y { v: " + name + "c.v }\n")
            .messages()
            .find("nothing here is called `aaa") != std::string::npos);
}
