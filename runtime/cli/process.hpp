// Running another program without a shell. Knows processes, not what they do.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace sprue {

struct Finished {
  bool started = false;  // false: the program could not be found or run
  int code = -1;         // -1: ended by a signal
  std::string out;
  std::string err;
};

/// Runs `arguments[0]`, found on PATH, with `input` on its standard input, and waits for it. It has this program's
/// environment with `environment` on top: "NAME=VALUE" sets, "NAME" takes away.
Finished run_program(const std::vector<std::string>& arguments, std::string_view input = {},
                     const std::vector<std::string>& environment = {});

}  // namespace sprue
