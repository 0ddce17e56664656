// Repositories as they come: hooks, linked worktrees, the index, submodules, bare ones, other people's.
#include <unistd.h>

#include "tests/catch.hpp"
#include "tests/support/repository.hpp"
#include "tests/support/skip.hpp"

using namespace sprue::testing;
namespace fs = std::filesystem;

namespace {

std::string one(int size) {
  return "dimension length\nunit m: length\nkind k { size: length, headline twice: length = 2 * size }\nk one { "
         "size: " +
         std::to_string(size) + " m }\n";
}

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

void hook(const fs::path& file, const std::string& command) {
  write(file, "#!/bin/sh\n" + command + "\n");
  fs::permissions(file, fs::perms::owner_all);
}

/// What the changes of `one.size` are, as CSV.
std::string sizes(int before, int after) {
  return "one.size,value," + std::to_string(before) + " m," + std::to_string(after) + " m,";
}

const std::string commit = "git -c user.name=T -c user.email=t@example.org commit -q -m step";

}  // namespace

TEST_CASE("a hook of a linked worktree compares the file that is named", "[cli][compare][git]") {
  const Repository repository;
  const TemporaryFolder beside;
  const fs::path linked = beside.path() / "linked";
  repository.put("m.sprue", one(100));
  repository.put("sub/m.sprue", one(3));
  repository.commit("first");
  repository.git({"worktree", "add", "--quiet", linked.string(), "-b", "side"});
  hook(repository.path() / ".git/hooks/pre-commit", "sprue compare HEAD: sub/m.sprue --format csv >&2");
  for (const fs::path& folder : {repository.path(), linked}) {
    INFO(folder);
    write(folder / "sub/m.sprue", one(4));
    const Run run = shell(folder, commit + " -a");
    INFO(run.err);
    CHECK(run.code == 0);
    CHECK(has(run.err, sizes(3, 4)));
  }
  // Called in one repository, about a file of another one.
  const Repository other;
  other.put("m.sprue", one(7));
  other.commit("first");
  other.put("m.sprue", one(8));
  hook(repository.path() / ".git/hooks/pre-commit",
       "sprue compare HEAD: " + (other.path() / "m.sprue").string() + " --format csv >&2");
  for (const fs::path& folder : {repository.path(), linked}) {
    INFO(folder);
    write(folder / "sub/m.sprue", one(5));
    CHECK(has(shell(folder, commit + " -a").err, sizes(7, 8)));
  }
}

TEST_CASE("the index is a side: what is staged, with what it uses from the index", "[cli][compare][git]") {
  const Repository repository;
  const auto compared = [&](std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), "compare");
    arguments.insert(arguments.end(), {"--format", "csv", "--check"});
    return run_in(repository.path(), arguments);
  };
  repository.put("sub/part.sprue", one(1));
  repository.put("m.sprue", "use \"sub/part.sprue\"\n");
  fs::create_symlink("m.sprue", repository.path() / "link.sprue");
  fs::create_symlink("/etc/hostname", repository.path() / "out.sprue");
  repository.commit("first");
  repository.put("sub/part.sprue", one(2));
  repository.git({"add", "--all"});
  repository.put("sub/part.sprue", one(3));
  for (const std::string file : {"m.sprue", "link.sprue"}) {
    INFO(file);
    const Run unstaged = compared({":" + file, file});
    INFO(unstaged.out << unstaged.err);
    CHECK(unstaged.code == 1);
    CHECK(has(unstaged.out, sizes(2, 3)));
    CHECK(has(compared({"HEAD:", ":" + file}).out, sizes(1, 2)));
    CHECK(has(compared({":", file}).out, sizes(2, 3)));
    CHECK(output_of(compared({":" + file, ":" + file})) == "exit 0\n");
  }
  CHECK(has(run_in(repository.path(), {"compare", ":m.sprue", "m.sprue"}).out, "Before: :m.sprue"));
  CHECK(
      has(run_in(repository.path() / "sub", {"compare", ":part.sprue", "part.sprue"}).out, "Before: :sub/part.sprue"));
  CHECK(repository.git({"status", "--porcelain"}) == "MM sub/part.sprue\n");
  CHECK(has(compared({":out.sprue", "m.sprue"}).err, "its symbolic link leads out of the repository"));
  // Renamed in the index.
  repository.git({"mv", "m.sprue", "n.sprue"});
  CHECK(has(compared({"HEAD:", ":n.sprue"}).out, sizes(1, 2)));
  repository.put("new.sprue", one(4));
  const Run fresh = compared({":new.sprue", "new.sprue"});
  CHECK(fresh.code == 2);
  CHECK(fresh.err ==
        "error: cannot compare `:new.sprue`: no such file in the index [E0801]\nhelp: `git add FILE` puts a file into "
        "the index\n");
}

TEST_CASE("what a commit takes of the working tree is the index of its hook", "[cli][compare][git]") {
  const Repository repository;
  repository.put("m.sprue", one(1));
  repository.put("n.sprue", one(5));
  repository.commit("first");
  hook(repository.path() / ".git/hooks/pre-commit",
       "sprue compare HEAD: :m.sprue --format csv >&2\nsprue compare HEAD: :n.sprue --format csv >&2");
  repository.put("m.sprue", one(2));
  repository.put("n.sprue", one(6));
  const Run part = shell(repository.path(), commit + " m.sprue");
  INFO(part.err);
  CHECK(has(part.err, sizes(1, 2)));
  CHECK_FALSE(has(part.err, sizes(5, 6)));
  CHECK(has(shell(repository.path(), commit + " -a").err, sizes(5, 6)));
}

TEST_CASE("an index with conflicts is told", "[cli][compare][git]") {
  const Repository repository;
  repository.put("m.sprue", one(1));
  repository.commit("first");
  repository.git({"checkout", "--quiet", "-b", "side"});
  repository.put("m.sprue", one(2));
  repository.commit("second");
  repository.git({"checkout", "--quiet", "main"});
  repository.put("m.sprue", one(3));
  repository.commit("third");
  repository.git({"merge", "side"}, true);
  const Run run = run_in(repository.path(), {"compare", ":m.sprue", "HEAD:m.sprue"});
  CHECK(run.code == 2);
  CHECK(run.err ==
        "error: cannot compare `:m.sprue`: the index has conflicts [E0801]\nhelp: resolve them and `git add` the "
        "files\n");
}

TEST_CASE("a bare repository, the inside of .git and no repository are told apart", "[cli][compare][git]") {
  const Repository repository;
  repository.put("m.sprue", one(1));
  repository.commit("first");
  const TemporaryFolder beside;
  const fs::path bare = beside.path() / "bare";
  repository.git({"clone", "--quiet", "--bare", ".", bare.string()});
  const Run in_bare = run_in(bare, {"compare", "HEAD:m.sprue", "main:m.sprue"});
  CHECK(in_bare.code == 2);
  CHECK(has(in_bare.err,
            "the repository is bare: it has no files [E0801]\nhelp: compare in a clone of it, or in a "
            "folder made by `git worktree add FOLDER`\n"));
  CHECK(has(run_in(repository.path() / ".git", {"compare", "HEAD:m.sprue", "main:m.sprue"}).err,
            "this folder is inside the `.git` of a repository, where no sources are [E0801]\n"));
  CHECK(has(run_in(beside.path(), {"compare", "HEAD:m.sprue", "main:m.sprue"}).err,
            "this folder is in no git repository [E0801]\n"));
}

TEST_CASE("submodules: their own revisions, their lost repository, their files seen from outside",
          "[cli][compare][git]") {
  const Repository inner;
  inner.put("m.sprue", one(1));
  inner.commit("first");
  const Repository outer;
  outer.put("main.sprue", "use \"sub/m.sprue\"\n");
  outer.git({"-c", "protocol.file.allow=always", "submodule", "--quiet", "add", inner.path().string(), "sub"});
  outer.commit("first");
  outer.git({"branch", "of_outer"});
  outer.put("sub/m.sprue", one(2));
  CHECK(has(run_in(outer.path(), {"compare", "HEAD:sub/m.sprue", "sub/m.sprue", "--format", "csv"}).out, sizes(1, 2)));
  const Run unknown = run_in(outer.path(), {"compare", "of_outer:", "sub/m.sprue"});
  CHECK(unknown.code == 2);
  CHECK(
      has(unknown.err, "the submodule `sub` has no such revision [E0801]\nhelp: a submodule has revisions of its own"));
  const Run used = run_in(outer.path(), {"compare", "HEAD:", "main.sprue"});
  CHECK(used.code == 2);
  CHECK(has(used.err,
            "cannot use `sub/m.sprue`: it lies in the submodule `sub`, whose files are in a repository of its "
            "own"));
  const TemporaryFolder beside;
  fs::copy(outer.path() / "sub", beside.path() / "alone", fs::copy_options::recursive);
  const Run lost = run_in(beside.path() / "alone", {"compare", "HEAD:", "m.sprue"});
  CHECK(lost.code == 2);
  CHECK(has(lost.err,
            ".git/modules/sub`, where no repository is [E0801]\nhelp: a submodule needs the repository it "
            "belongs to"));
}

TEST_CASE("a repository of another owner is told, with what makes git read it", "[cli][compare][git]") {
  if (geteuid() != 0) {
    skip("only root can give a repository away");
    return;
  }
  const Repository repository;
  repository.put("m.sprue", one(1));
  repository.commit("first");
  REQUIRE(::chown(repository.path().c_str(), 65534, 65534) == 0);
  REQUIRE(::chown((repository.path() / ".git").c_str(), 65534, 65534) == 0);
  const Run run = shell(repository.path(), "unset SUDO_UID; HOME=/nonexistent sprue compare HEAD: m.sprue");
  CHECK(run.code == 2);
  CHECK(run.err ==
        "error: cannot compare `HEAD:m.sprue`: the repository belongs to another user, and git does not read "
        "it for that reason [E0801]\nhelp: if you trust it: `git config --global --add safe.directory " +
            fs::canonical(repository.path()).string() + "`\n");
}

TEST_CASE("a program that is a link out of its repository is not read", "[cli][compare][git]") {
  const TemporaryFolder outside;
  outside.file("secret.sprue", "hidden words\n");
  const Repository repository;
  repository.put("inner.sprue", one(1));
  repository.put("link.sprue", one(1));
  repository.commit("first");
  fs::remove(repository.path() / "link.sprue");
  fs::create_symlink(outside.path() / "secret.sprue", repository.path() / "link.sprue");
  fs::create_symlink(outside.path(), repository.path() / "folder");
  fs::create_symlink("inner.sprue", repository.path() / "within.sprue");
  for (const std::string file : {"link.sprue", "folder/secret.sprue", "./link.sprue"}) {
    for (const std::vector<std::string>& arguments : {std::vector<std::string>{"check", file},
                                                      {"report", file},
                                                      {"compare", "inner.sprue", file},
                                                      {"compare", "HEAD:link.sprue", file},
                                                      {"check", "inner.sprue", "--figures", file}}) {
      const Run run = run_in(repository.path(), arguments);
      INFO(arguments[0] << " " << file << "\n" << run.out << run.err);
      CHECK(run.code == 2);
      CHECK(has(run.err, "a symbolic link leads out of the repository [E0801]\n"));
      CHECK_FALSE(has(run.out + run.err, "hidden"));
    }
  }
  CHECK(run_in(repository.path(), {"check", "within.sprue"}).code == 0);
  // Outside of any repository a link is the user's own.
  fs::create_symlink(repository.path() / "inner.sprue", outside.path() / "own.sprue");
  CHECK(run_in(outside.path(), {"check", "own.sprue"}).code == 0);
}
