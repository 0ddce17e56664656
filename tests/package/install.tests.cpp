// What the build installs and packs: where things are, that the package runs in a root of its own, that a program built
// against the installed library says what docs/library.md shows.
#include <fmt/format.h>
#include <unistd.h>
#include <regex>

#include "tests/catch.hpp"
#include "tests/support/repository.hpp"
#include "tests/support/skip.hpp"

using namespace sprue::testing;

namespace {

std::filesystem::path build_dir() {
  return std::filesystem::path(SPRUE_BINARY).parent_path();
}

/// A command that must succeed; its standard output.
std::string done(const std::filesystem::path& folder, const std::string& command) {
  const Run run = shell(folder, command);
  INFO(command << "\n" << run.out << run.err);
  REQUIRE(run.code == 0);
  return run.out;
}

const std::string check_first = "/usr/share/doc/sprue/examples/first/first.sprue";

}  // namespace

TEST_CASE("installing puts everything in its place", "[package][install]") {
  const TemporaryFolder folder;
  done(folder.path(), fmt::format("cmake --install '{}' --prefix \"$PWD/root\"", build_dir().string()));
  const auto root = folder.path() / "root";
  for (const char* const file :
       {"bin/sprue", "share/man/man1/sprue.1.gz", "share/man/man1/sprue-check.1.gz",
        "share/bash-completion/completions/sprue", "share/zsh/site-functions/_sprue",
        "share/fish/vendor_completions.d/sprue.fish", "share/doc/sprue/README.md", "share/doc/sprue/language.md",
        "share/doc/sprue/library.md", "share/doc/sprue/examples/herb_mill/parts.sprue",
        "share/sprue/stdlib/units.sprue", "include/sprue/sprue.hpp", "include/sprue/version.hpp"}) {
    INFO(file);
    CHECK(std::filesystem::is_regular_file(root / file));
  }
  CHECK(done(root, "bin/sprue check share/doc/sprue/examples/first/first.sprue").find("expectations hold") !=
        std::string::npos);
  // Nothing of the sources but what is promised.
  CHECK(done(root, "ls include/sprue") == "sprue.hpp\nversion.hpp\n");
  CHECK(done(root, "grep -l '#include \"' -r include || true").empty());
}

TEST_CASE("a program is built against the installed library", "[package][library]") {
  const TemporaryFolder folder;
  done(folder.path(), fmt::format("cmake --install '{}' --prefix \"$PWD/root\"", build_dir().string()));
  const std::string tests = (source_dir() / "tests/package").string();
  done(folder.path(),
       fmt::format("cmake -S '{}/example' -B build -DCMAKE_PREFIX_PATH=\"$PWD/root\" && cmake --build build", tests));
  const std::string out = done(tests, fmt::format("'{}/build/example' trip.sprue", folder.path().string()));
  CHECK(out == golden(source_dir() / "tests/package/example.expected", out));
}

TEST_CASE("the page on the library shows the example and what it prints", "[package][library][docs]") {
  const std::string page = read(source_dir() / "docs/library.md");
  const std::string example = read(source_dir() / "tests/package/example/example.cpp");
  CHECK(page.find(example.substr(example.find("#include"))) != std::string::npos);
  const std::string build = read(source_dir() / "tests/package/example/CMakeLists.txt");
  CHECK(page.find(build.substr(build.find("cmake_minimum"))) != std::string::npos);
  const std::string out = read(source_dir() / "tests/package/example.expected");
  CHECK(page.find(out.substr(0, out.find("Comparison\n"))) != std::string::npos);
  CHECK(page.find(out.substr(out.find("changed inputs:"))) != std::string::npos);
}

TEST_CASE("the package installs and runs where there is nothing but what it depends on", "[package][deb]") {
  const TemporaryFolder folder;
  done(folder.path(), fmt::format("cpack --config '{}/CPackConfig.cmake' -B .", build_dir().string()));
  const auto field = [&](const std::string& package, const std::string& name) {
    std::string text = done(folder.path(), fmt::format("dpkg-deb --field {}_*.deb {}", package, name));
    if (!text.empty()) text.pop_back();
    return text;
  };
  for (const std::string package : {"sprue", "libsprue-dev"}) {
    INFO(package);
    CHECK(field(package, "Package") == package);
    CHECK(field(package, "Version") == done(folder.path(), "sprue --version | tr -d '\\n'"));
    CHECK(field(package, "Maintainer") == "The sprue project <sprue@example.invalid>");
    CHECK(field(package, "Section") == (package == "sprue" ? "devel" : "libdevel"));
    CHECK(std::regex_search(field(package, "Description"), std::regex("^[a-z].*\n [^]*\\.$")));
  }
  CHECK(done(folder.path(), "dpkg-deb -c libsprue-dev_*.deb").find("./usr/include/sprue/sprue.hpp") !=
        std::string::npos);

  // A sanitizer's run time needs more of a root than this one has.
  const bool sanitized = std::regex_search(field("sprue", "Depends"), std::regex("lib[a-z]+san"));
  if (geteuid() == 0 && !sanitized) {
    done(folder.path(), fmt::format("'{}/tests/package/clean_root' \"$PWD/root\" sprue_*.deb", source_dir().string()));
    CHECK(done(folder.path(), "dpkg-query --admindir=root/var/lib/dpkg -W -f '${Status}' sprue") ==
          "install ok installed");
    CHECK(done(folder.path(), "chroot root /usr/bin/sprue check " + check_first) ==
          check_first + ": 1 of 1 expectations hold\n");
  } else {
    skip("not root, or under a sanitizer: the package is only unpacked and run, not installed into a root of its own");
    done(folder.path(), "dpkg-deb -x sprue_*.deb root");
    CHECK(done(folder.path(), "root/usr/bin/sprue check root" + check_first) ==
          "root" + check_first + ": 1 of 1 expectations hold\n");
  }
}

TEST_CASE("no file of the build says where it was built", "[package][reproducible]") {
  std::size_t bytes = 0;
  for (const char* const name : {"sprue", "libsprue_lang.a", "libsprue_runtime.a"}) {
    const std::string text = read(build_dir() / name);
    bytes += text.size();
    INFO(name);
    CHECK(text.find(source_dir().string()) == std::string::npos);
    CHECK(text.find(build_dir().string()) == std::string::npos);
  }
  CHECK(bytes > 1'000'000);
}
