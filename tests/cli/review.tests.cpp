// The setup of docs/review.md, with a real git: textconv, the hook, the comment on a pull request.
#include "tests/catch.hpp"
#include "tests/support/repository.hpp"

using namespace sprue::testing;

namespace {

const std::string program =
    "dimension length\nunit m: length\nkind k { size: length, headline twice: length = 2 * size }\nk one { size: 3 m "
    "}\n";

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// The block of docs/review.md that follows a heading.
std::string block_after(const std::string& heading) {
  const std::string page = read(source_dir() / "docs/review.md");
  const std::size_t at = page.find("```\n", page.find(heading)) + 4;
  return page.substr(at, page.find("```", at) - at);
}

void replace(std::string& text, const std::string& from, const std::string& to) {
  text.replace(text.find(from), from.size(), to);
}

}  // namespace

TEST_CASE("git diff shows figures", "[cli][review][git]") {
  const Repository repository;
  REQUIRE(shell(repository.path(), block_after("## `git diff` that shows figures")).code == 0);
  repository.put("mill.sprue", "use \"kinds.sprue\"\nk one { size: 3 m }\n");
  repository.put("kinds.sprue",
                 "dimension length\nunit m: length\nkind k { size: length, headline twice: length = 2 * size }\n");
  repository.commit("first");
  repository.put("mill.sprue", "use \"kinds.sprue\"\nk one { size: 4 m }\n");
  const Run diff = shell(repository.path(), "git diff");
  CHECK(diff.code == 0);
  CHECK(has(diff.out, "-one.twice = 6.000000 m\n+one.twice = 8.000000 m\n"));
  repository.put("mill.sprue", "use \"kinds.sprue\"\nk one { sise: 4 m }\n");
  CHECK(has(shell(repository.path(), "git diff").out, "+k one { sise: 4 m }\n"));
}

TEST_CASE("the hook holds back a commit with other figures", "[cli][review][git]") {
  const Repository repository;
  repository.put("docs/review/pre-commit", read(source_dir() / "docs/review/pre-commit"));
  std::filesystem::permissions(repository.path() / "docs/review/pre-commit", std::filesystem::perms::owner_all);
  REQUIRE(shell(repository.path(), block_after("## A hook")).code == 0);
  repository.put("a b/mill.sprue", program);
  repository.put("a b/mill.figures", "one.twice = 6.000000 m\n");
  const std::string commit = "git -c user.name=T -c user.email=t@example.org commit -q -m step";
  CHECK(shell(repository.path(), "git add -A && " + commit).code == 0);
  std::string changed = program;
  replace(changed, "3 m", "4 m");
  repository.put("a b/mill.sprue", changed);
  const Run refused = shell(repository.path(), "git add -A && " + commit);
  CHECK(refused.code != 0);
  CHECK(has(refused.err, "+ one.twice = 8.000000 m  (+33.3333%)"));
  // What is staged counts, not what lies in the folder.
  repository.put("a b/mill.figures", "one.twice = 8.000000 m\n");
  CHECK(shell(repository.path(), commit).code != 0);
  CHECK(shell(repository.path(), "git add -A && " + commit).code == 0);
}

TEST_CASE("a pull request gets a comparison as Markdown", "[cli][review][git]") {
  const Repository repository;
  const std::string script = (source_dir() / "docs/review/compare-changed").string();
  repository.put("mill.sprue", program);
  repository.put("mill.figures", "one.twice = 6.000000 m\n");
  repository.commit("first");
  const Run same = shell(repository.path(), script + " main");
  CHECK(same.code == 0);
  CHECK(same.out.empty());
  repository.git({"checkout", "--quiet", "-b", "change"});
  std::string changed = program;
  replace(changed, "3 m", "4 m");
  repository.put("mill.sprue", changed);
  repository.put("sub/other.sprue", program);
  repository.put("sub/other.figures", "one.twice = 6.000000 m\n");
  repository.commit("second");
  const Run comment = shell(repository.path() / "sub", script + " main");
  INFO(comment.err);
  CHECK(comment.code == 0);
  CHECK(has(comment.out, "# Comparison\n\nBefore: main:mill.sprue\n"));
  CHECK(has(comment.out, "| one.size | value | 3 m | 4 m |"));
  CHECK(has(comment.out, "# A new program\n\n    sub/other.sprue\n"));
  repository.put("mill.sprue", "k one {}\n");
  const Run broken = shell(repository.path(), script + " main");
  CHECK(broken.code == 1);
  CHECK(has(broken.out, "does not check [E0805]"));
}

TEST_CASE("a base that is no revision is told, and nothing is taken for new", "[cli][review][git]") {
  const Repository repository;
  repository.put("a.sprue", program);
  repository.put("a.figures", "one.twice = 6.000000 m\n");
  repository.commit("first");
  const Run run = shell(repository.path(), "sh " + (source_dir() / "docs/review/compare-changed").string() + " nosuch");
  CHECK(run.code == 2);
  CHECK(run.out.empty());
  CHECK(run.err.find("there is no revision `nosuch` in this repository") != std::string::npos);
}

TEST_CASE("a pull request shows programs of any name, and nothing that lies outside", "[cli][review][git]") {
  const Repository repository;
  const std::string script = (source_dir() / "docs/review/compare-changed").string();
  const TemporaryFolder outside;
  outside.file("secret.sprue", "hidden words\n");
  std::string changed = program;
  replace(changed, "3 m", "4 m");
  const std::vector<std::string> names = {"m\xC3\xBChle", "plain", "a b", "q\"uote", "-dash", "colon:x"};
  for (const std::string& name : names) {
    repository.put(name + ".sprue", program);
    repository.put(name + ".figures", "one.twice = 6.000000 m\n");
  }
  repository.commit("first");
  for (const std::string& name : names) repository.put(name + ".sprue", changed);
  const Run all = shell(repository.path(), script + " main");
  INFO(all.out << all.err);
  CHECK(all.code == 0);
  for (const std::string& name : names) CHECK(has(all.out, "\nAfter: " + name + ".sprue\n"));
  // Renamed, and of a name that git would quote.
  repository.git({"mv", "--", "m\xC3\xBChle.sprue", "m\xC3\xB6hle.sprue"});
  repository.git({"mv", "--", "m\xC3\xBChle.figures", "m\xC3\xB6hle.figures"});
  CHECK(has(shell(repository.path(), script + " main").out, "Before: main:m\xC3\xBChle.sprue\n"));
  std::filesystem::remove(repository.path() / "plain.sprue");
  std::filesystem::create_symlink(outside.path() / "secret.sprue", repository.path() / "plain.sprue");
  const Run linked = shell(repository.path(), script + " main");
  CHECK(linked.code == 1);
  CHECK(has(linked.out, "# Not compared\n\n    plain.sprue\n    error: cannot read"));
  CHECK(has(linked.out, "a symbolic link leads out of the repository"));
  CHECK_FALSE(has(linked.out + linked.err, "hidden"));
  // No line of a source ends the block that errors stand in.
  std::filesystem::remove(repository.path() / "plain.sprue");
  repository.put("plain.sprue", "```\n# A heading\n");
  const Run fence = shell(repository.path(), script + " main");
  CHECK(fence.code == 1);
  CHECK_FALSE(has(fence.out, "\n```"));
  CHECK(has(fence.out, "| ```\n"));
}

TEST_CASE("the hook checks programs without a figures file, and what is used with its user", "[cli][review][git]") {
  const Repository repository;
  repository.put("docs/review/pre-commit", read(source_dir() / "docs/review/pre-commit"));
  std::filesystem::permissions(repository.path() / "docs/review/pre-commit", std::filesystem::perms::owner_all);
  REQUIRE(shell(repository.path(), block_after("## A hook")).code == 0);
  const std::string commit = "git add -A && git -c user.name=T -c user.email=t@example.org commit -q -m step";
  const auto committed = [&] {
    const Run run = shell(repository.path(), commit);
    UNSCOPED_INFO(run.err);
    return run.code == 0;
  };
  const std::string kinds = "dimension length\nunit m: length\nkind k { size: length }\n";
  // Used files that do not check alone: `one` is in another.
  repository.put("m\xC3\xBChle/main.sprue", "use \"../shared/kinds.sprue\"\nuse \"part.sprue\"\nk one { size: 3 m }\n");
  repository.put("m\xC3\xBChle/part.sprue", "k two like one {}\n");
  repository.put("shared/kinds.sprue", kinds);
  CHECK(committed());
  repository.put("shared/kinds.sprue", "dimension length\nunit m: length\nkind k { length: length }\n");
  CHECK_FALSE(committed());
  repository.put("shared/kinds.sprue", kinds);
  repository.put("alone.sprue", kinds + "k one { sise: 3 m }\n");
  CHECK_FALSE(committed());
  repository.put("alone.sprue", kinds + "k one { size: 3 m }\nexpect one.size < 2 m\n");
  CHECK_FALSE(committed());
  repository.put("alone.sprue", kinds + "k one { size: 3 m }\n");
  CHECK(committed());
  // Another file of a used one's name, a file that uses itself, two that use each other.
  for (const std::string file : {"part.sprue", "self.sprue", "ring_a.sprue"}) {
    const std::string uses = file == "self.sprue"     ? "use \"self.sprue\"\n"
                             : file == "ring_a.sprue" ? "use \"ring_b.sprue\"\n"
                                                      : "";
    if (file == "ring_a.sprue") repository.put("ring_b.sprue", "use \"ring_a.sprue\"\n");
    repository.put(file, uses + kinds + "k one { size: 3 m }\nexpect one.size < 2 m\n");
    INFO(file);
    CHECK_FALSE(committed());
    repository.put(file, uses + kinds + "k one { size: 3 m }\n");
    CHECK(committed());
  }
}
