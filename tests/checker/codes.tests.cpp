// Codes, and how diagnostics are shown. That each code is documented is the affair of page.tests.cpp.
#include <set>

#include "lang/diagnostics/diagnostic.hpp"
#include "lang/diagnostics/render.hpp"
#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;

namespace {

const std::vector<CodeInfo> codes{
#define SPRUE_CODE(name, number, severity, summary) {#name, number, Severity::severity, summary},
#include "lang/diagnostics/codes.def"
#undef SPRUE_CODE
};

}  // namespace

TEST_CASE("every code is unique", "[checker]") {
  std::set<std::string_view> numbers;
  for (const CodeInfo& code : codes) {
    INFO(code.name);
    CHECK(numbers.insert(code.number).second);
    CHECK((code.number[0] == 'E') == (code.severity == Severity::error));
  }
}

TEST_CASE("a nearby name is suggested, a far one is not", "[checker]") {
  CHECK(nearest("yeild", {"yield", "field", "weld"}) == "yield");
  CHECK(nearest("cavites", {"cavities", "caves"}) == "cavities");
  CHECK(nearest("ab", {"abc"}).empty());
  CHECK(nearest("zzz", {"yield", "field"}).empty());
}

TEST_CASE("carets stand under what they mark, whatever the script", "[checker]") {
  Sources sources;
  Diagnostics diagnostics;
  const SourceId source = sources.add("x.sprue", "\tgr\xC3\xBC\xC3\x9F \xE6\x97\xA5\xE6\x9C\xAC here\n");
  diagnostics.report(Code::unknown_name, {15, 19, source}, "nothing here is called `here`");
  CHECK(render(diagnostics, sources) ==
        "x.sprue:1:10: error: nothing here is called `here` [E0201]\n 1 |  gr\xC3\xBC\xC3\x9F \xE6\x97\xA5\xE6\x9C\xAC "
        "here\n   |            ^^^^\n1 error, 0 warnings\n");
}

TEST_CASE("at most so many diagnostics are printed, the rest are counted", "[checker]") {
  Sources sources;
  Diagnostics diagnostics;
  const SourceId source = sources.add("x.sprue", std::string(100, 'a'));
  for (std::uint32_t i = 0; i < 60; ++i) diagnostics.report(Code::unknown_name, {i, i + 1, source}, "nothing");
  const std::string text = render(diagnostics, sources);
  CHECK(text.find("10 more not shown\n60 errors, 0 warnings\n") != std::string::npos);
}

TEST_CASE("a text of a scenario cannot steer the terminal", "[checker]") {
  Sources sources;
  Diagnostics diagnostics;
  const SourceId source = sources.add("x.sprue", "expect no \"\x1b[31mred\"\n");
  diagnostics.report(Code::expectation_failed, {7, 9, source}, "expectation does not hold: \x1b[31mred\nfake: error");
  const std::string text = render(diagnostics, sources);
  CHECK(text.find('\x1b') == std::string::npos);
  CHECK(text.find("\nfake") == std::string::npos);
}
