// docs/diagnostics.md is written from the codes, from tests/checker/codes.txt (what there is to say about each, and
// which example shows it) and from the examples themselves: `NAME.sprue` in bad/, mended as `NAME.mended.sprue`, or two
// command lines in commands/. A code without a failing and a mended example fails here.
#include <fmt/format.h>
#include <map>

#include "lang/diagnostics/diagnostic.hpp"
#include "tests/catch.hpp"
#include "tests/support/corpus.hpp"
#include "tests/support/golden.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

const std::vector<CodeInfo> codes{
#define SPRUE_CODE(name, number, severity, summary) {#name, number, Severity::severity, summary},
#include "lang/diagnostics/codes.def"
#undef SPRUE_CODE
};

constexpr std::size_t longest_line = 200;

std::filesystem::path examples() {
  return source_dir() / "tests/checker/bad";
}

std::string fenced(const std::string& text) {
  return "```\n" + text + "```\n";
}

/// Without the line every example begins with; of a line too long for a page its beginning.
std::string shown(const std::string& text) {
  const std::string use = "use \"base.sprue\"\n";
  std::string out;
  std::size_t lines = 0;
  for (std::size_t at = text.starts_with(use) ? use.size() : 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    const std::string line = text.substr(at, end - at);
    if (++lines > 12) return out + "…\n";
    out += (line.size() > longest_line ? line.substr(0, longest_line) + "…" : line) + "\n";
    at = end + 1;
  }
  return out;
}

/// What the command prints about it, without the counts at the end.
std::string said(const std::string& err) {
  const std::size_t counts = err.rfind('\n', err.size() - 2);
  return shown(counts == std::string::npos ? err : err.substr(0, counts + 1));
}

bool mentions(const Run& run, std::string_view code) {
  return run.err.find(fmt::format("[{}]", code)) != std::string::npos;
}

std::string example_section(const CodeInfo& code, const std::string& name) {
  const Run fails = run_in(examples(), {"check", name + ".sprue"});
  CHECK(mentions(fails, code.number));
  const std::string twin = name + ".mended.sprue";
  REQUIRE(std::filesystem::exists(examples() / twin));
  const Run holds = run_in(examples(), {"check", twin});
  CHECK(holds.code == 0);
  CHECK(holds.err.empty());
  const std::string before = read(examples() / (name + ".sprue"));
  const std::string after = read(examples() / twin);
  CHECK(before != after);
  return fmt::format("From `{}.sprue`:\n\n{}\nsays\n\n{}\nMended:\n\n{}", name, fenced(shown(before)),
                     fenced(said(fails.err)), fenced(shown(after)));
}

std::vector<std::string> words_of(const std::string& line) {
  std::vector<std::string> words;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t end = std::min(line.find(' ', at), line.size());
    words.push_back(line.substr(at, end - at));
    at = end + 1;
  }
  return words;
}

/// The command of the line that begins with `role`, without `sprue`.
std::string command_of(const std::string& lines, const std::string& role) {
  const std::string begin = role + ": sprue ";
  const std::size_t at = lines.find(begin);
  REQUIRE(at != std::string::npos);
  return lines.substr(at + begin.size(), lines.find('\n', at) - at - begin.size());
}

std::string command_section(const CodeInfo& code, const std::string& lines) {
  // In a folder of its own, since some commands write.
  const TemporaryFolder folder;
  for (const auto& entry : std::filesystem::directory_iterator(source_dir() / "tests/checker/commands"))
    std::filesystem::copy(entry.path(), folder.path());
  const std::string failing = command_of(lines, "fails");
  const std::string mended = command_of(lines, "mended");
  const Run fails = run_in(folder.path(), words_of(failing));
  CHECK(fails.code != 0);
  CHECK(mentions(fails, code.number));
  const Run holds = run_in(folder.path(), words_of(mended));
  CHECK(holds.code == 0);
  CHECK(holds.err.empty());
  return fmt::format("`sprue {}` says\n\n{}\nMended: `sprue {}`\n", failing, fenced(fails.out + fails.err), mended);
}

}  // namespace

TEST_CASE("docs/diagnostics.md shows every code failing and mended", "[checker][golden][docs]") {
  std::map<std::string, Case> told;
  for (const Case& one : read_cases(source_dir() / "tests/checker/codes.txt")) told[one.title] = one;
  CHECK(told.size() == codes.size() + 1);
  const auto paragraph = [](std::string text) {
    while (text.ends_with("\n\n")) text.pop_back();
    return text == "\n" ? std::string() : text;
  };
  std::string page = "# Diagnostics\n\n" + paragraph(told["head"].source);
  for (const CodeInfo& code : codes) {
    INFO(code.number << " " << code.name);
    REQUIRE(told.count(std::string(code.number)) == 1);
    const Case& about = told[std::string(code.number)];
    std::string title(code.name);
    std::replace(title.begin(), title.end(), '_', ' ');
    std::string summary(code.summary);
    summary[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(summary[0])));
    const std::string more = paragraph(about.source);
    page += fmt::format("\n## {} {}\n\n{}.{}\n", code.number, title, summary, more.empty() ? "\n" : " " + more);
    page += about.expected.starts_with("fails:")
                ? command_section(code, about.expected)
                : example_section(code, about.expected.substr(0, about.expected.find('\n')));
  }
  CHECK(golden(source_dir() / "docs/diagnostics.md", page) == page);
}
