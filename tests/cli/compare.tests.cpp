// `sprue compare` as used: files, scenarios, revisions of a real git, renamed files, hostile names, what does not
// check.
#include <regex>

#include "runtime/cli/side.hpp"
#include "tests/catch.hpp"
#include "tests/support/repository.hpp"

using namespace sprue::testing;

namespace {

const std::string kinds =
    "dimension length\nunit m: length\ncountable pc\nshow length to 2 places\n"
    "kind k { size: length, headline twice \"Twice the size\": length = 2 * size }\n";

std::string one(int size) {
  return kinds + "k one { size: " + std::to_string(size) + " m }\nexpect one.size < 4 m \"small enough\"\n";
}

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("a version compared with itself is nothing, and fine", "[cli][compare]") {
  const std::string file = (source_dir() / "scenarios/herb_mill/herb_mill.sprue").string();
  for (const std::string format : {"text", "markdown", "csv"}) {
    const Run run = run_in(source_dir(), {"compare", file, file, "--format", format, "--check"});
    CHECK(run.code == 0);
    CHECK(run.out.empty());
    CHECK(run.err.empty());
  }
  const Run scenario = run_in(source_dir(), {"compare", file + "#weak_euro", file + "#weak_euro", "--check"});
  CHECK(output_of(scenario) == "exit 0\n");
}

TEST_CASE("what moves no headline is listed all the same", "[cli][compare]") {
  const TemporaryFolder folder;
  folder.file("before.sprue", one(2) + "kind label { words: text = \"old\" }\nlabel front\nlabel back\n");
  folder.file("after.sprue",
              one(2) + "kind label { words: text = \"old\" }\nlabel front { words: \"new\" }\nlabel side\n");
  const Run run = run_in(folder.path(), {"compare", "before.sprue", "after.sprue", "--format", "csv"});
  INFO(run.out << run.err);
  CHECK(run.code == 0);
  CHECK(has(run_in(folder.path(), {"compare", "before.sprue", "after.sprue"}).out, "No headline differs."));
  CHECK(has(run.out, "back,removed"));
  CHECK(has(run.out, "side,added"));
  CHECK(has(run.out, "\"\"\"old\"\" (default)\",\"\"\"new\"\"\""));
}

TEST_CASE("files are compared: headlines, walk, changes, expectations", "[cli][compare][golden]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", one(3));
  folder.file("b.sprue", one(5));
  const Run run = run_in(folder.path(), {"compare", "a.sprue", "b.sprue"});
  const auto file = source_dir() / "tests/cli/compare_files.expected";
  CHECK(output_of(run) == golden(file, output_of(run)));
  CHECK(run_in(folder.path(), {"compare", "a.sprue", "b.sprue", "--check"}).code == 1);
}

TEST_CASE("scenarios of the demo are compared in every format", "[cli][compare][golden]") {
  for (const std::string format : {"text", "markdown", "csv", "json"}) {
    const Run run =
        run_in(source_dir() / "scenarios", {"compare", "slide_clamp/slide_clamp.sprue", "#rescue", "--format", format});
    INFO(run.err);
    REQUIRE(run.code == 0);
    const auto file = source_dir() / ("tests/cli/compare." + format + ".expected");
    CHECK(run.out == golden(file, run.out));
  }
}

TEST_CASE("a revision is read with everything it uses, from any folder, without touching the working tree",
          "[cli][compare][git]") {
  const Repository repository;
  repository.put("shared/kinds.sprue", kinds);
  repository.put("deep/er/main.sprue", "use \"../../shared/kinds.sprue\"\nk one { size: 3 m }\n");
  repository.commit("first");
  repository.put("shared/kinds.sprue", std::regex_replace(kinds, std::regex("2 \\* size"), "3 * size"));
  const auto folder = repository.path() / "deep/er";
  for (const auto& [from, old_side, new_side] :
       {std::tuple{folder, "HEAD:main.sprue", "main.sprue"}, std::tuple{folder, "HEAD:", "main.sprue"},
        std::tuple{folder, "main:deep/er/main.sprue", "main.sprue"},
        std::tuple{repository.path(), "HEAD:", "deep/er/main.sprue"},
        std::tuple{repository.path() / "shared", "HEAD:../deep/er/main.sprue", "../deep/er/main.sprue"}}) {
    INFO(from << " " << old_side);
    const Run run = run_in(from, {"compare", old_side, new_side});
    CHECK(run.err.empty());
    CHECK(run.code == 0);
    CHECK(has(run.out, "Twice the size    6.00   9.00   +3.00     +50.00  m"));
  }
  CHECK(repository.git({"status", "--porcelain"}) == " M shared/kinds.sprue\n");
}

TEST_CASE("a renamed file is found under its old name", "[cli][compare][git]") {
  const Repository repository;
  repository.put("old.sprue", one(2));
  repository.commit("first");
  repository.git({"mv", "old.sprue", "new name.sprue"});
  repository.put("new name.sprue", one(3));
  const Run run = run_in(repository.path(), {"compare", "HEAD:", "new name.sprue"});
  CHECK(run.code == 0);
  CHECK(has(run.out, "Before: HEAD:old.sprue"));
  CHECK(has(run.out, "After: new name.sprue"));
  repository.commit("renamed");
  CHECK(run_in(repository.path(), {"compare", "HEAD~1:", "HEAD:new name.sprue"}).code == 0);
}

TEST_CASE("a version that does not check or evaluate is said to be unusable", "[cli][compare][git]") {
  const Repository repository;
  repository.put("a.sprue", kinds + "k one { sise: 3 m }\n");
  repository.commit("broken");
  repository.put("a.sprue", one(3));
  const Run run = run_in(repository.path(), {"compare", "HEAD:", "a.sprue"});
  CHECK(run.code == 2);
  CHECK(run.out.empty());
  CHECK(has(run.err, "HEAD:a.sprue:6:9: error: "));
  CHECK(has(run.err, "error: `HEAD:a.sprue` does not check [E0805]"));
  repository.put("b.sprue", one(3) + "k two { size: 1 m / (one.twice / 1 m - 6) }\n");
  const Run divided = run_in(repository.path(), {"compare", "a.sprue", "b.sprue"});
  CHECK(divided.code == 2);
  CHECK(has(divided.err, "error: `b.sprue` does not evaluate [E0805]"));
}

TEST_CASE("names that mean nothing, or mean harm, are refused and nothing is run", "[cli][compare][git]") {
  const Repository repository;
  repository.put("a.sprue", one(3));
  repository.commit("first");
  for (const std::string revision : {"--output=pwned", "-C/", "nothing", "HEAD; touch pwned", "$(touch pwned)",
                                     "`touch pwned`", "HEAD\ntouch pwned", "..", "HEAD..HEAD", "HEAD^{tree}"}) {
    INFO(revision);
    const Run run = run_in(repository.path(), {"compare", "--", revision + ":a.sprue", "a.sprue"});
    CHECK(run.code == 2);
    CHECK(run.out.empty());
    CHECK(has(run.err, "[E0801]"));
    CHECK_FALSE(std::filesystem::exists(repository.path() / "pwned"));
  }
  for (const std::string file : {"nothing.sprue", "../a.sprue", "/etc/passwd", "a.sprue/", "", "a\nb.sprue"}) {
    INFO(file);
    const Run run = run_in(repository.path(), {"compare", "HEAD:" + file, "nothing.sprue"});
    CHECK(run.code == 2);
    CHECK(run.out.empty());
  }
  CHECK(has(run_in(repository.path(), {"compare", "a.sprue", "#nothing"}).err, "no scenario is called `nothing`"));
  CHECK(has(run_in(repository.path(), {"compare", "HEAD:", "main:"}).err, "neither side names a file"));
  const TemporaryFolder outside;
  outside.file("a.sprue", one(3));
  CHECK(has(run_in(outside.path(), {"compare", "HEAD:", "a.sprue"}).err, "this folder is in no git repository"));
}

TEST_CASE("links and folders in a revision", "[cli][compare][git]") {
  const Repository repository;
  repository.put("kinds.sprue", kinds);
  repository.put("folder/inside.sprue", "");
  repository.put("a.sprue", "use \"link.sprue\"\nk one { size: 3 m }\n");
  std::filesystem::create_symlink("kinds.sprue", repository.path() / "link.sprue");
  std::filesystem::create_symlink("/etc/hostname", repository.path() / "out.sprue");
  repository.put("b.sprue", "use \"out.sprue\"\n");
  repository.put("c.sprue", "use \"folder\"\n");
  repository.put("d.sprue", "use \"../kinds.sprue\"\n");
  repository.commit("first");
  CHECK(run_in(repository.path(), {"compare", "HEAD:", "a.sprue", "--check"}).code == 0);
  CHECK(has(run_in(repository.path(), {"compare", "HEAD:b.sprue", "a.sprue"}).err,
            "its symbolic link leads out of the repository"));
  CHECK(has(run_in(repository.path(), {"compare", "HEAD:c.sprue", "a.sprue"}).err, "this is a folder, not a file"));
  CHECK(has(run_in(repository.path(), {"compare", "HEAD:d.sprue", "a.sprue"}).err,
            "`../kinds.sprue` lies outside the project"));
}

TEST_CASE("a file of the name that is written is that file", "[cli][compare]") {
  const TemporaryFolder folder;
  folder.file("HEAD:x#y", "");
  const auto before = std::filesystem::current_path();
  std::filesystem::current_path(folder.path());
  const sprue::SideName odd = sprue::read_side("HEAD:x#y");
  const sprue::SideName plain = sprue::read_side("v1:a/b#c.sprue#base");
  std::filesystem::current_path(before);
  CHECK((!odd.revision && odd.file == "HEAD:x#y" && odd.scenario.empty()));
  CHECK((plain.revision == "v1" && plain.file == "a/b#c.sprue" && plain.scenario == "base"));
}

TEST_CASE("versions that differ in what a comparison rests on say so before the table", "[cli][compare]") {
  const Run run = run_in(source_dir() / "scenarios", {"compare", "herb_mill/herb_mill.sprue", "#half_volume"});
  const std::size_t said = run.out.find("Not like for like: Volume of program: Before 24,000 unit, After 12,000 unit.");
  REQUIRE(said != std::string::npos);
  CHECK(said < run.out.find("Headlines"));
  CHECK(has(run_in(source_dir() / "scenarios", {"compare", "herb_mill/herb_mill.sprue", "#weak_euro"}).out,
            "Not like for like: Rate of USD in EUR: Before 0.92, After 1.02."));
}

TEST_CASE("reports in different currencies are set side by side without differences", "[cli][compare]") {
  const TemporaryFolder folder;
  const std::string text =
      "currency EUR to 2 places\ncurrency USD to 2 places\nexchange 1 USD = 0.5 EUR\nkind k { headline a: money = 4 "
      "EUR }\nk one\nreport in ";
  folder.file("a.sprue", text + "EUR\n");
  folder.file("b.sprue", text + "USD\n");
  const Run run = run_in(folder.path(), {"compare", "a.sprue", "b.sprue", "--width", "200"});
  CHECK(run.code == 0);
  CHECK(has(run.out, "Not like for like: report currency: Before EUR, After USD."));
  CHECK(has(run.out,
            "What each change contributed is not known: the figures of the two versions are not in the same units."));
}
