// Options taken together, and what each command's exit code says.
#include <sys/stat.h>

#include <algorithm>

#include "tests/catch.hpp"
#include "tests/support/golden.hpp"

using namespace sprue::testing;

namespace {

/// 2 m in the base, 3 m in the scenario; what is expected holds in the base alone.
const char* const lengths =
    "dimension length\nunit m: length\nkind k { a: length = 2 m, headline twice: length = 2 * a }\nk one\n"
    "scenario long { one.a: 3 m }\nexpect one.twice < 5 m \"short\"\n";

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

class Folder {
 public:
  Folder() { folder_.file("a.sprue", lengths); }
  Run run(const std::vector<std::string>& arguments) const { return run_in(folder_.path(), arguments); }
  int code(const std::vector<std::string>& arguments) const { return run(arguments).code; }
  void put(const std::string& name, const std::string& text) const { folder_.file(name, text); }
  std::filesystem::path path(const std::string& name) const { return folder_.path() / name; }

 private:
  TemporaryFolder folder_;
};

}  // namespace

TEST_CASE("figures are compared with those of the scenario asked for", "[cli][options][by_hand]") {
  const Folder folder;
  folder.put("base.figures", "one.twice = 4.000000 m\n");
  folder.put("long.figures", "one.twice = 6.000000 m\n");
  CHECK(folder.code({"check", "a.sprue", "--figures", "base.figures"}) == 0);
  CHECK(folder.code({"check", "a.sprue", "--figures", "long.figures"}) == 1);
  // What is expected does not hold in the scenario, so the exit code alone tells nothing there.
  const Run same = folder.run({"check", "a.sprue", "--scenario", "long", "--figures", "long.figures"});
  CHECK_FALSE(has(same.err, "figures differ"));
  const Run other = folder.run({"check", "a.sprue", "--scenario", "long", "--figures", "base.figures"});
  CHECK(other.code == 1);
  CHECK(has(other.out, "- one.twice = 4.000000 m\n+ one.twice = 6.000000 m  (+50.0000%)\n"));
  folder.put("b.sprue", std::string(lengths).substr(0, std::string(lengths).find("expect")));
  CHECK(folder.code({"check", "b.sprue", "--scenario", "long", "--figures", "long.figures"}) == 0);
  CHECK(folder.code({"check", "b.sprue", "--scenario", "long", "--figures", "base.figures"}) == 1);
}

TEST_CASE("a figure that only one side has is a difference", "[cli][options][by_hand]") {
  const Folder folder;
  folder.put("none.figures", "");
  const Run added = folder.run({"check", "a.sprue", "--figures", "none.figures"});
  CHECK(added.code == 1);
  CHECK(has(added.out, "+ one.twice = 4.000000 m\n"));
  folder.put("more.figures", "one.twice = 4.000000 m\ntwo.twice = 1.000000 m\n");
  const Run gone = folder.run({"check", "a.sprue", "--figures", "more.figures"});
  CHECK(gone.code == 1);
  CHECK(has(gone.out, "- two.twice = 1.000000 m\n"));
}

TEST_CASE("check: an expectation that fails in a scenario asked for, in any file, in any format", "[cli][options][by_hand]") {
  const Folder folder;
  CHECK(folder.code({"check", "a.sprue"}) == 0);
  CHECK(folder.code({"check", "a.sprue", "--scenario", "long"}) == 1);
  CHECK(folder.code({"check", "a.sprue", "--scenario", "base", "--scenario", "long"}) == 1);
  CHECK(has(folder.run({"check", "a.sprue", "--scenario", "base", "--scenario", "long"}).out, "1 of 2 expectations hold"));
  folder.put("b.sprue", "expect 1 = 2 \"never\"\nexpect 1 = 1\n");
  folder.put("c.sprue", "expect 1 =\n");
  for (const std::string format : {"text", "jsonl", "sarif"}) {
    INFO(format);
    CHECK(folder.code({"check", "b.sprue", "a.sprue", "--format", format}) == 1);
    CHECK(folder.code({"check", "a.sprue", "b.sprue", "--format", format}) == 1);
    CHECK(folder.code({"check", "c.sprue", "b.sprue", "--format", format}) == 2);
    CHECK(folder.code({"check", "b.sprue", "c.sprue", "--format", format}) == 2);
  }
}

TEST_CASE("compare: --check tells by its exit code, in every format", "[cli][options][by_hand]") {
  const Folder folder;
  for (const std::string format : {"text", "json", "csv", "markdown"}) {
    INFO(format);
    CHECK(folder.code({"compare", "a.sprue", "#long", "--format", format}) == 0);
    CHECK(folder.code({"compare", "a.sprue", "#long", "--check", "--format", format}) == 1);
    CHECK(folder.code({"compare", "a.sprue", "a.sprue", "--check", "--format", format}) == 0);
    CHECK(folder.code({"compare", "a.sprue", "#long", "--check", "--format", format, "--out", "out"}) == 1);
    CHECK_FALSE(read(folder.path("out")).empty());
  }
}

TEST_CASE("format: --check changes nothing, in any of several files", "[cli][options][by_hand]") {
  const Folder folder;
  folder.put("good.sprue", "kind k { a: ratio = 1 }\n");
  folder.put("bad.sprue", "kind   k {a:ratio = 1}\n");
  CHECK(folder.code({"format", "--check", "good.sprue"}) == 0);
  CHECK(folder.code({"format", "--check", "good.sprue", "bad.sprue"}) == 1);
  CHECK(folder.code({"format", "--check", "bad.sprue", "good.sprue"}) == 1);
  CHECK(read(folder.path("bad.sprue")) == "kind   k {a:ratio = 1}\n");
  CHECK(folder.code({"format", "good.sprue", "bad.sprue"}) == 0);
  CHECK(read(folder.path("bad.sprue")) == "kind k { a: ratio = 1 }\n");
}

TEST_CASE("solve: a condition that never holds is no success, wherever the answer goes", "[cli][options][by_hand]") {
  const Folder folder;
  const std::vector<std::string> solve{"solve", "a.sprue", "--for", "one.a", "--from", "1 m", "--to", "10 m", "--until"};
  const auto code = [&](const std::string& until, std::vector<std::string> more) {
    std::vector<std::string> all = solve;
    all.push_back(until);
    all.insert(all.end(), more.begin(), more.end());
    return folder.code(all);
  };
  CHECK(code("one.twice > 8 m", {}) == 0);
  CHECK(code("one.twice > 80 m", {}) == 1);
  CHECK(code("one.twice > 80 m", {"--format", "csv", "--out", "never.csv"}) == 1);
  CHECK(code("one.twice > 1 m", {}) == 0);
}

TEST_CASE("a result never takes the place of what was read, under whatever name", "[cli][options][by_hand]") {
  const Folder folder;
  folder.put("b.sprue", "use \"a.sprue\"\n");
  std::filesystem::create_symlink(folder.path("a.sprue"), folder.path("link"));
  for (const std::string out : {"a.sprue", "./a.sprue", "link"}) {
    INFO(out);
    for (const std::string file : {"a.sprue", "b.sprue"}) CHECK(folder.code({"report", file, "--out", out}) == 2);
    CHECK(folder.code({"compare", "a.sprue", "#long", "--out", out}) == 2);
    CHECK(folder.code({"sweep", "a.sprue", "--vary", "one.a=1 m,2 m", "--out", out}) == 2);
  }
  CHECK(read(folder.path("a.sprue")) == lengths);
}

TEST_CASE("a file that is written anew keeps its permissions", "[cli][options][by_hand]") {
  const Folder folder;
  folder.put("bad.sprue", "kind   k {a:ratio = 1}\n");
  REQUIRE(::chmod(folder.path("bad.sprue").c_str(), 0640) == 0);
  CHECK(folder.code({"format", "bad.sprue"}) == 0);
  struct stat after {};
  REQUIRE(::stat(folder.path("bad.sprue").c_str(), &after) == 0);
  CHECK((after.st_mode & 0777U) == 0640);
}

TEST_CASE("values on the command line: in the unit shown, in another, in points", "[cli][options][by_hand]") {
  const Folder folder;
  folder.put("b.sprue",
             "dimension length\nunit m: length\nunit cm = 0.01 m\nunit K: temperature\nunit degC = 1 K zero 273.15 K\n"
             "show length in cm to 1 places\nkind k { a: length = 2 m, melt: point of temperature = 230 degC\n"
             "  headline twice: length = 2 * a, headline above: temperature = melt - 0 degC }\nk one\n");
  const auto sweep = [&](const std::string& vary, const std::string& figure) {
    return folder.run({"sweep", "b.sprue", "--vary", vary, "--figure", figure, "--format", "csv"}).out;
  };
  // 3 is 3 cm, since that is what lengths are shown in.
  CHECK(has(sweep("one.a=3,4", "one.twice"), "3.0 cm,6.0\r\n4.0 cm,8.0\r\n"));
  CHECK(has(sweep("one.a=3 m,4 m", "one.twice"), "300.0 cm,600.0\r\n400.0 cm,800.0\r\n"));
  CHECK(has(sweep("one.a=1 m..3 m in 3", "one.twice"), "100.0 cm,200.0\r\n200.0 cm,400.0\r\n300.0 cm,600.0\r\n"));
  const std::string points = sweep("one.melt=200 degC,250 degC", "one.above");
  INFO(points);
  CHECK(has(points, ",200.000000\r\n"));
  CHECK(has(points, ",250.000000\r\n"));
}

TEST_CASE("a withheld report has no figures in any format", "[cli][options][by_hand]") {
  const Folder folder;
  CHECK(has(folder.run({"report", "a.sprue", "--format", "json"}).out, "\"path\": \"one.twice\""));
  CHECK_FALSE(has(folder.run({"report", "a.sprue", "--format", "json", "--redact"}).out, "\"path\": \"one.twice\""));
  CHECK(folder.code({"report", "a.sprue", "--format", "lines", "--redact"}) == 2);
}

TEST_CASE("several scenarios stand side by side, the first asked for leads", "[cli][options][by_hand]") {
  const Folder folder;
  const Run two = folder.run({"report", "a.sprue", "--scenario", "long", "--scenario", "base", "--format", "csv"});
  INFO(two.out << two.err);
  CHECK(two.code == 0);
  CHECK(has(two.out, "twice,6.000000,4.000000,-2.000000,-33.33,m"));
  const Run all = folder.run({"report", "a.sprue", "--all-scenarios", "--format", "csv"});
  CHECK(has(all.out, "twice,4.000000,6.000000,2.000000,50.00,m"));
}

TEST_CASE("a project's file stays inside the project", "[cli][options][by_hand]") {
  const TemporaryFolder folder;
  folder.file("outside.sprue", "kind k { headline a: ratio = 1 }\n");
  folder.file("inside/a.sprue", "use \"../outside.sprue\"\nk one\n");
  folder.file("inside/b.sprue", "use \"c/c.sprue\"\nk one\n");
  folder.file("inside/c/c.sprue", "kind k { headline a: ratio = 1 }\n");
  CHECK(has(run_in(folder.path() / "inside", {"check", "a.sprue"}).err, "lies outside the project"));
  CHECK(run_in(folder.path() / "inside", {"check", "b.sprue"}).code == 0);
}
