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
  CHECK(has(comment.out, "# sub/other.sprue\n\nA new program.\n"));
  repository.put("mill.sprue", "k one {}\n");
  const Run broken = shell(repository.path(), script + " main");
  CHECK(broken.code == 1);
  CHECK(has(broken.out, "does not check [E0805]"));
}
