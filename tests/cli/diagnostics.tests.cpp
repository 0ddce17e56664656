// Diagnostics for machines, and mending in place, as used from the command line.
#include "runtime/cli/process.hpp"
#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::testing;

namespace {

const char* const slips = "dimension length\nunit m: length\nkind k { a: length = 2m, b: length = lenght }\n";

bool valid(const std::string& kind, const std::filesystem::path& file) {
  const sprue::Finished done =
      sprue::run_program({"python3", (source_dir() / "tests/cli/check_diagnostics.py").string(), kind, file.string()});
  INFO(done.out << done.err);
  CHECK(done.code == 0);
  return done.code == 0;
}

}  // namespace

TEST_CASE("diagnostics as JSON lines and as SARIF", "[cli][golden]") {
  const TemporaryFolder folder;
  folder.file("a name/50%.sprue", slips);
  for (const std::string format : {"jsonl", "sarif"}) {
    const Run run = run_in(folder.path(), {"check", "a name/50%.sprue", "--format", format});
    CHECK(run.code == 2);
    CHECK(run.err.empty());
    CHECK(run.out == golden(source_dir() / "tests/cli" / ("check." + format + ".expected"), run.out));
    CHECK(valid(format, folder.file("out." + format, run.out)));
  }
}

TEST_CASE("what is written for machines is valid for every bad example", "[cli]") {
  const TemporaryFolder folder;
  std::vector<std::string> arguments{"check"};
  for (const auto& entry : std::filesystem::directory_iterator(source_dir() / "tests/checker/bad")) {
    if (entry.path().extension() == ".sprue") arguments.push_back(entry.path().filename().string());
  }
  std::sort(arguments.begin() + 1, arguments.end());
  REQUIRE(arguments.size() > 100);
  for (const std::string format : {"jsonl", "sarif"}) {
    std::vector<std::string> all = arguments;
    all.insert(all.end(), {"--format", format});
    const Run run = run_in(source_dir() / "tests/checker/bad", all);
    CHECK(run.err.empty());
    CHECK(valid(format, folder.file("out." + format, run.out)));
  }
}

TEST_CASE("a file name that is no UTF-8 spoils no record", "[cli]") {
  const TemporaryFolder folder;
  folder.file("a\xFF.sprue", "kind k { a: ratio = 97 % }\n");
  for (const std::string format : {"jsonl", "sarif"}) {
    const Run run = run_in(folder.path(), {"check", "a\xFF.sprue", "--format", format});
    CHECK(valid(format, folder.file("out." + format, run.out)));
  }
}

TEST_CASE("a program without mistakes has an empty log", "[cli]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", "kind k { headline a: ratio = 2 }\nk one\n");
  CHECK(run_in(folder.path(), {"check", "a.sprue", "--format", "jsonl"}).out.empty());
  const Run run = run_in(folder.path(), {"check", "a.sprue", "--format", "sarif"});
  CHECK(run.code == 0);
  CHECK(run.out.find("\"results\": []") != std::string::npos);
}

TEST_CASE("a file used by two programs is reported once", "[cli]") {
  const TemporaryFolder folder;
  folder.file("shared.sprue", "kind k { a: ratio = 97 % }\n");
  folder.file("a.sprue", "use \"shared.sprue\"\n");
  folder.file("b.sprue", "use \"shared.sprue\"\n");
  const Run run = run_in(folder.path(), {"check", "a.sprue", "b.sprue", "--format", "jsonl"});
  CHECK(std::count(run.out.begin(), run.out.end(), '\n') == 1);
}

TEST_CASE("--fix writes the sure fixes and leaves proposals alone", "[cli]") {
  const TemporaryFolder folder;
  const auto file = folder.file("a.sprue", slips);
  const auto used = folder.file("used.sprue", "kind u {\n  a: ratio = 97 %;\n}\n");
  folder.file("b.sprue", "use \"used.sprue\"\nkind v { b: ratio = 1,5 }\n");
  const Run run = run_in(folder.path(), {"check", "--fix", "a.sprue"});
  CHECK(run.code == 2);
  CHECK(run.out == "a.sprue: 1 fix applied\n");
  CHECK(read(file) == "dimension length\nunit m: length\nkind k { a: length = 2 m, b: length = lenght }\n");
  const Run both = run_in(folder.path(), {"check", "--fix", "b.sprue"});
  CHECK(both.out.find("b.sprue: 1 fix applied\n") == 0);
  CHECK(both.out.find("used.sprue: 2 fixes applied\n") != std::string::npos);
  CHECK(read(used) == "kind u {\n  a: ratio = 97%\n}\n");
  CHECK(run_in(folder.path(), {"check", "--fix", "b.sprue"}).out.find("applied") == std::string::npos);
}

TEST_CASE("--fix stays inside the project, and follows no link out of it", "[cli]") {
  const TemporaryFolder outside;
  const auto target = outside.file("t.sprue", "kind k { a: ratio = 97 % }\n");
  const TemporaryFolder folder;
  folder.file("a.sprue", "use \"link.sprue\"\n");
  std::filesystem::create_symlink(target, folder.path() / "link.sprue");
  CHECK(run_in(folder.path(), {"check", "--fix", "a.sprue"}).code == 2);
  CHECK(read(target) == "kind k { a: ratio = 97 % }\n");
}

TEST_CASE("--fix through a link inside the project keeps the link", "[cli]") {
  const TemporaryFolder folder;
  const auto real = folder.file("parts/real.sprue", "kind k { a: ratio = 97 % }\n");
  folder.file("a.sprue", "use \"link.sprue\"\n");
  std::filesystem::create_symlink("parts/real.sprue", folder.path() / "link.sprue");
  CHECK(run_in(folder.path(), {"check", "--fix", "a.sprue"}).code == 0);
  CHECK(read(real) == "kind k { a: ratio = 97% }\n");
  CHECK(std::filesystem::is_symlink(folder.path() / "link.sprue"));
}
