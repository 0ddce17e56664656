// A real editor as the client: Neovim without a screen.
#include <fmt/format.h>

#include "tests/catch.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/repository.hpp"

using namespace sprue::testing;

TEST_CASE("Neovim opens a file and is served", "[serve][neovim]") {
  const TemporaryFolder folder;
  const auto file = folder.file("box.sprue",
                                "kind box { size: ratio, double: ratio = 2 * size }\n"
                                "box a { size: 1 + 1 }\n"
                                "box b { size: 3 }\n"
                                "expect a.double = 5 \"twice\"\n");
  const auto out = folder.path() / "out";
  const Run run =
      shell(folder.path(), fmt::format("SPRUE='{}' SPRUE_FILE='{}' SPRUE_OUT='{}' XDG_STATE_HOME='{}' timeout 120 nvim "
                                       "--clean -n --headless -c 'luafile {}' 2>&1",
                                       SPRUE_BINARY, file.string(), out.string(), folder.path().string(),
                                       (source_dir() / "tests/serve/neovim.lua").string()));
  INFO(run.out);
  REQUIRE(std::filesystem::exists(out));
  CHECK(read(out) ==
        "started: true\n"
        "diagnostic: expectation does not hold: twice\n"
        "code: E0701\n"
        "hover: a.size = 2.000000\n"
        "definition: 0\n"
        "completion: double\n"
        "actions: 0\n"
        "mended: true\n"
        "hints: = 2.000000\n"
        "renamed: expect chest.double = 4 \"twice\"\n"
        "formatted: box b { size: 3 }\n"
        "stopped: true\n");
}
