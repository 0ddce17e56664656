// The README's example and its printed output are what the program says today.
#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::testing;

TEST_CASE("the README shows the real example and its real output", "[cli][golden][docs]") {
  const std::string readme = read(source_dir() / "README.md");
  const std::string example = read(source_dir() / "scenarios/first/first.sprue");
  CHECK(readme.find(example.substr(example.find("use "))) != std::string::npos);
  const std::string report = run_in(source_dir(), {"report", "scenarios/first/first.sprue"}).out;
  std::size_t end = 0;
  for (int line = 0; line < 14; ++line) end = report.find('\n', end) + 1;
  CHECK(golden_part(readme, report.substr(0, end)));
  const std::string walk = run_in(source_dir(), {"compare", "scenarios/slide_clamp/slide_clamp.sprue", "#rescue"}).out;
  const std::size_t begin = walk.find("Tooling exposure at first shipment\n\n");
  CHECK(golden_part(readme, walk.substr(begin, walk.find("\nThe same for:", begin) - begin)));
  CHECK(golden_part(readme, run_in(source_dir(), {"explain", "scenarios/first/first.sprue", "knob.mold.cycle"}).out));
}

TEST_CASE("the README shows what a forgotten value is answered with", "[cli][golden][docs]") {
  const std::filesystem::path first = source_dir() / "scenarios/first";
  const TemporaryFolder folder;
  folder.file("shop.sprue", read(first / "shop.sprue"));
  std::string text = read(first / "first.sprue");
  const std::string forgotten = "cavities: 2 pc/shot, ";
  text.erase(text.find(forgotten), forgotten.size());
  folder.file("first.sprue", text);
  const Run run = run_in(folder.path(), {"check", "first.sprue"});
  CHECK(run.code == 2);
  CHECK(golden_part(read(source_dir() / "README.md"), "```\n" + run.err + "```\n"));
}
