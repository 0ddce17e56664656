// Files that cannot be read or written, and `use` that tries to leave the project: a clear error, exit code 2, and what
// was there stays as it was.
#include <sys/stat.h>
#include <unistd.h>
#include <filesystem>

#include "lang/limits/limits.hpp"
#include "runtime/cli/file.hpp"
#include "tests/catch.hpp"
#include "tests/support/repository.hpp"

using namespace sprue::testing;
namespace fs = std::filesystem;

namespace {

const std::string sound = "kind k { v: ratio = 1, headline h: ratio = 2 * v }\nk one\n";

bool has(const std::string& text, const std::string& part) {
  INFO(text);
  return text.find(part) != std::string::npos;
}

std::vector<std::string> names_in(const fs::path& folder) {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder)) names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

/// As somebody who may not do everything, where the tests run as root.
std::string unprivileged(const std::string& command) {
  return ::geteuid() == 0 ? "setpriv --reuid=65534 --regid=65534 --clear-groups " + command : command;
}

}  // namespace

TEST_CASE("what is no readable file is said to be none", "[cli][files]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", sound);
  fs::create_directory(folder.path() / "folder.sprue");
  REQUIRE(::mkfifo((folder.path() / "pipe.sprue").c_str(), 0600) == 0);
  fs::create_symlink("loop.sprue", folder.path() / "loop.sprue");
  fs::create_symlink("gone.sprue", folder.path() / "dangling.sprue");
  const auto says = [&](const std::string& file, const std::string& problem) {
    const Run run = run_in(folder.path(), {"check", file});
    CHECK(run.code == 2);
    CHECK(run.out.empty());
    CHECK(has(run.err, "error: cannot read `" + file + "`: " + problem + " [E0801]\n"));
  };
  says("nothing.sprue", "no such file");
  says("folder.sprue", "this is a folder, not a file");
  says("pipe.sprue", "this is not a regular file");
  says("/dev/zero", "this is not a regular file");
  says("loop.sprue", "Too many levels of symbolic links");
  says("dangling.sprue", "no such file");
  says("a.sprue/b", "Not a directory");
  says(std::string(5'000, 'x'), "File name too long");
}

TEST_CASE("the name of a file does not steer the terminal", "[cli][files]") {
  const TemporaryFolder folder;
  const std::string name = "red\x1b[31m.sprue";
  folder.file(name, "kind k {\n");
  for (const Run& run : {run_in(folder.path(), {"check", name}), run_in(folder.path(), {"report", "not" + name})}) {
    CHECK(run.code == 2);
    CHECK(has(run.err, "red\\u{1B}[31m.sprue"));
    CHECK_FALSE(has(run.err, "\x1b"));
  }
}

// ESC, the one-byte form of U+009B (no UTF-8), and U+009B itself: each opens a command on some terminal.
TEST_CASE("nor does it where counts, fixes, figures and dumps are told", "[cli][files]") {
  for (const std::string hostile : {"red\x1b[31m", "red\x9b[31m", "red\xc2\x9b[31m", "red\xe2\x80\xae[31m"}) {
    const TemporaryFolder folder;
    const std::string name = hostile + ".sprue";
    folder.file(name, "kind k { v: ratio = 1, headline h: ratio = 2 * v }\nk one { v: .5 }\nexpect one.h = 1\n");
    folder.file("crooked" + name, "k  one\n");
    folder.file(hostile + ".figures", "one.h = " + hostile + "\n");
    const std::vector<std::vector<std::string>> commands = {{"check", "--fix", name},
                                                            {"check", name},
                                                            {"check", name, "--figures", hostile + ".figures"},
                                                            {"explain", name, "one.h"},
                                                            {"dump", "tree", name},
                                                            {"format", "--check", "crooked" + name},
                                                            {"report", name, "--scenario", hostile}};
    for (const std::vector<std::string>& command : commands) {
      const Run run = run_in(folder.path(), command);
      const std::string told = run.out + run.err;
      INFO(told);
      CHECK_FALSE(told.empty());
      CHECK(told.find('\x1b') == std::string::npos);
      CHECK(told.find('\x9b') == std::string::npos);
      CHECK(told.find("\xe2\x80\xae") == std::string::npos);
    }
    // What is shown in its place says which character it is.
    const std::string shown = run_in(folder.path(), {"check", name}).out;
    CHECK((has(shown, "red\\u{1B}[31m") || has(shown, "red\\x{9B}[31m") || has(shown, "red\\u{9B}[31m") ||
           has(shown, "red\\u{202E}[31m")));
  }
}

TEST_CASE("a source holds no control characters", "[cli][files]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", "kind k { v: ratio = 1 }\nk one \"a \xc2\x9b[31m title\"\n");
  const Run run = run_in(folder.path(), {"check", "a.sprue"});
  CHECK(run.code == 2);
  CHECK(has(run.err, "a.sprue:2:10: error: the control character U+009B [E0102]\n"));
}

TEST_CASE("a file that may not be read is said so", "[cli][files]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", sound);
  fs::permissions(folder.path(), fs::perms::all);
  fs::permissions(folder.path() / "a.sprue", fs::perms::none);
  const Run run = shell(folder.path(), unprivileged("sprue check a.sprue"));
  CHECK(run.code == 2);
  CHECK(has(run.err, "cannot read `a.sprue`: Permission denied [E0801]"));
}

TEST_CASE("a file beyond the limit is refused by its size", "[cli][files]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", sound);
  fs::resize_file(folder.path() / "a.sprue", sprue::limits::source_bytes + 1);
  CHECK(has(run_in(folder.path(), {"check", "a.sprue"}).err, "the file is larger than 64 MiB [E0801]"));
}

TEST_CASE("texts in other encodings are located errors", "[cli][files]") {
  const TemporaryFolder folder;
  folder.file("latin1.sprue", "k\xE9\n");
  folder.file("utf16.sprue", std::string("\xFF\xFEk\0i\0n\0d\0", 10));
  folder.file("mark.sprue", "\xEF\xBB\xBF" + sound);
  CHECK(has(run_in(folder.path(), {"check", "latin1.sprue"}).err,
            "latin1.sprue:1:2: error: the byte 0xE9 is not UTF-8 [E0102]"));
  CHECK(has(run_in(folder.path(), {"check", "utf16.sprue"}).err,
            "utf16.sprue:1:1: error: the byte 0xFF is not UTF-8 [E0102]"));
  CHECK(has(run_in(folder.path(), {"check", "mark.sprue"}).err, "mark.sprue:1:1: error: "));
}

TEST_CASE("`use` cannot leave the project", "[cli][files]") {
  const TemporaryFolder outside;
  outside.file("secret.sprue", sound);
  const TemporaryFolder folder;
  fs::create_directory(folder.path() / ".git");
  fs::create_directories(folder.path() / "inner/deep");
  fs::create_symlink(outside.path() / "secret.sprue", folder.path() / "link.sprue");
  fs::create_directory_symlink(outside.path(), folder.path() / "linked");
  fs::create_symlink("/dev/zero", folder.path() / "zero.sprue");
  REQUIRE(::mkfifo((folder.path() / "pipe.sprue").c_str(), 0600) == 0);
  folder.file("inner/shared.sprue", sound);
  const auto says = [&](const std::string& used, const std::string& problem) {
    folder.file("inner/deep/a.sprue", "use \"" + used + "\"\n");
    const Run run = run_in(folder.path(), {"check", "inner/deep/a.sprue"});
    CHECK(run.code == 2);
    INFO(used);
    CHECK(has(run.err, problem));
  };
  const std::string name = outside.path().filename().string();
  says("../../../" + name + "/secret.sprue", "lies outside the project");
  says("../../link.sprue", "lies outside the project");
  says("../../linked/secret.sprue", "lies outside the project");
  says("../../zero.sprue", "lies outside the project");
  says("/etc/passwd", "`use` takes a path relative to this file");
  says("", "`use` takes a path relative to this file");
  says("../../pipe.sprue", "this is not a regular file");
  says("../../inner", "this is a folder, not a file");
  says("nothing.sprue", "no such file");
  folder.file("inner/deep/a.sprue", std::string("use \"../shared.sprue\0x\"\n", 23));
  CHECK(run_in(folder.path(), {"check", "inner/deep/a.sprue"}).code == 2);
  folder.file("inner/deep/a.sprue", "use \"../shared.sprue\"\n");
  CHECK(run_in(folder.path(), {"check", "inner/deep/a.sprue"}).code == 0);
}

TEST_CASE("a file is replaced whole, with its rights, and nothing else is left", "[cli][files]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", sound);
  folder.file("out.txt", "before");
  fs::permissions(folder.path() / "out.txt", fs::perms::owner_read | fs::perms::owner_write);
  CHECK(run_in(folder.path(), {"report", "a.sprue", "--format", "lines", "--out", "out.txt"}).code == 0);
  CHECK(has(read(folder.path() / "out.txt"), "one.h = 2.000000"));
  CHECK(fs::status(folder.path() / "out.txt").permissions() == (fs::perms::owner_read | fs::perms::owner_write));
  CHECK(names_in(folder.path()) == std::vector<std::string>{"a.sprue", "out.txt"});
}

TEST_CASE("a result never takes the place of what was read", "[cli][files]") {
  const TemporaryFolder folder;
  const std::string main = "use \"used.sprue\"\nk one { n: 1 within 0.5 .. 2 }\n";
  const std::string used = "kind k { n: ratio, headline twice: ratio = 2 * n }\n";
  folder.file("used.sprue", used);
  folder.file("main.sprue", main);
  std::filesystem::create_symlink("used.sprue", folder.path() / "link");
  std::filesystem::create_hard_link(folder.path() / "main.sprue", folder.path() / "twin");
  for (const std::string target : {"main.sprue", "used.sprue", "link", "twin", "./used.sprue"}) {
    for (const std::vector<std::string>& command : std::vector<std::vector<std::string>>{
             {"report", "main.sprue", "--out"},
             {"report", "main.sprue", "--format", "lines", "--out"},
             {"compare", "main.sprue", "main.sprue", "--out"},
             {"drivers", "main.sprue", "--out"},
             {"sweep", "main.sprue", "--vary", "one.n=1,2", "--out"},
             {"solve", "main.sprue", "--for", "one.n", "--until", "one.twice > 3", "--out"},
             {"simulate", "main.sprue", "--trials", "10", "--out"},
             {"simulate", "main.sprue", "--trials", "10", "--samples"}}) {
      std::vector<std::string> arguments = command;
      arguments.push_back(target);
      const Run run = run_in(folder.path(), arguments);
      INFO(command[0] << " " << target << run.out);
      CHECK(run.code == 2);
      CHECK(has(run.err, "`" + target + "` was read, and the result would replace it [E0802]"));
    }
  }
  CHECK(read(folder.path() / "main.sprue") == main);
  CHECK(read(folder.path() / "used.sprue") == used);
  REQUIRE(run_in(folder.path(), {"simulate", "main.sprue", "--trials", "10", "--shard", "1/1", "--out", "part"}).code ==
          0);
  const std::string part = read(folder.path() / "part");
  CHECK(run_in(folder.path(), {"simulate", "main.sprue", "--trials", "10", "--gather", "part", "--out", "part"}).code ==
        2);
  CHECK(read(folder.path() / "part") == part);
  CHECK(run_in(folder.path(), {"simulate", "main.sprue", "--trials", "10", "--samples", "x", "--out", "x"}).code == 2);
}

TEST_CASE("writing follows a link and leaves it a link; a device is written to, not replaced", "[cli][files]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", sound);
  folder.file("real.txt", "before");
  fs::create_symlink("real.txt", folder.path() / "link.txt");
  fs::create_symlink("fresh.txt", folder.path() / "dangling.txt");
  for (const char* const to : {"link.txt", "dangling.txt", "/dev/null"})
    CHECK(run_in(folder.path(), {"report", "a.sprue", "--format", "lines", "--out", to}).code == 0);
  CHECK(fs::is_symlink(folder.path() / "link.txt"));
  CHECK(has(read(folder.path() / "real.txt"), "one.h = 2.000000"));
  CHECK(has(read(folder.path() / "fresh.txt"), "one.h = 2.000000"));
  CHECK(fs::is_character_file("/dev/null"));
}

TEST_CASE("a target that cannot be written is an error and stays as it is", "[cli][files]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", sound);
  fs::create_directory(folder.path() / "folder");
  const auto says = [&](const std::string& target, const std::string& problem) {
    const Run run = run_in(folder.path(), {"report", "a.sprue", "--format", "lines", "--out", target});
    CHECK(run.code == 2);
    CHECK(has(run.err, "error: cannot write `" + target + "`: " + problem + " [E0802]\n"));
  };
  says("folder", "this is a folder, not a file");
  says("nowhere/out.txt", "No such file or directory");
  says("a.sprue/out.txt", "Not a directory");
  says("/dev/full", "No space left on device");
  CHECK(read(folder.path() / "a.sprue") == sound);
}

TEST_CASE("a file that may grow no further is left as it was", "[cli][files]") {
  const TemporaryFolder folder;
  std::string text;
  for (int i = 0; i < 2'000; ++i) text += "kind   k" + std::to_string(i) + " { v: ratio = 1 }\n";
  folder.file("a.sprue", text);
  const Run run = shell(folder.path(), "ulimit -f 8; sprue format a.sprue");
  CHECK(run.code == 2);
  CHECK(has(run.err, "cannot write `a.sprue`: File too large [E0802]"));
  CHECK(read(folder.path() / "a.sprue") == text);
  CHECK(names_in(folder.path()) == std::vector<std::string>{"a.sprue"});
}

TEST_CASE("a folder that may not be written to keeps what it holds", "[cli][files]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", "kind   k { v: ratio = 1 }\n");
  fs::permissions(folder.path(), fs::perms::owner_all | fs::perms::others_read | fs::perms::others_exec);
  if (::geteuid() != 0) fs::permissions(folder.path(), fs::perms::owner_read | fs::perms::owner_exec);
  const Run run = shell(folder.path(), unprivileged("sprue format a.sprue"));
  fs::permissions(folder.path(), fs::perms::owner_all);
  CHECK(run.code == 2);
  CHECK(has(run.err, "cannot write `a.sprue`: Permission denied [E0802]"));
  CHECK(read(folder.path() / "a.sprue") == "kind   k { v: ratio = 1 }\n");
}

TEST_CASE("output that nobody takes is an error of the process", "[cli][files]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", sound);
  const std::string report = "sprue report a.sprue --format lines";
  CHECK(has(shell(folder.path(), report + " >/dev/full").err,
            "cannot write the output: No space left on device [E0802]"));
  CHECK(shell(folder.path(), report + " >/dev/full").code == 2);
  CHECK(shell(folder.path(), report + " >&-").code == 2);
  // The reader is gone before anything is written.
  const Run gone = shell(folder.path(), "(sleep 0.2; " + report + "; echo \"code $?\" >&2) | :");
  CHECK(has(gone.err, "cannot write the output: Broken pipe [E0802]\ncode 2\n"));
}

TEST_CASE("a file that shrinks or grows while it is read is read as it was found", "[cli][files]") {
  // The kernel's own files say that they have no bytes.
  const sprue::FileText none = sprue::read_file("/proc/self/status");
  CHECK(none.problem.empty());
  CHECK(has(none.text, "Name:"));
}
