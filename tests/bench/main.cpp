// `sprue_bench COMMAND …`: measures. The clock decides nothing here; tests run the smallest size of each command for
// its figures.
#include <fmt/format.h>
#include <charconv>
#include <cstdio>

#include "lang/diagnostics/render.hpp"
#include "tests/bench/commands.hpp"

namespace sprue::bench {
namespace {

struct Command {
  const char* name;
  const char* usage;
  int (*run)(const std::vector<std::string>&);
};

constexpr Command commands[] = {
    {"stages", "stages [PARTS|FILE]…  from text to figures, stage by stage (without a command: this)", stages},
    {"studies", "studies [PARTS TRIALS]…  simulations and sweeps against a program written by hand", studies},
    {"serve", "serve FILE            a file in the language server, changed again and again", serve},
    {"load", "load FILE             the workload from JSON, evaluated once by hand", load},
    {"write", "write FOLDER PARTS…   the workload as source and as JSON", write}};

}  // namespace

bool refused(std::string_view what, const Diagnostics& diagnostics, const Sources& sources) {
  if (!diagnostics.has_errors()) return false;
  fmt::print(stderr, "{}: refused\n{}", what, render(diagnostics, sources));
  return true;
}

int size_of(const std::string& text) {
  int size = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), size);
  return read.ec == std::errc{} && read.ptr == text.data() + text.size() && size > 0 ? size : 0;
}

}  // namespace sprue::bench

int main(int argc, char** argv) {
  std::vector<std::string> arguments(argv + 1, argv + argc);
  const std::string name = arguments.empty() ? "stages" : arguments.front();
  if (!arguments.empty()) arguments.erase(arguments.begin());
  for (const auto& command : sprue::bench::commands) {
    if (name == command.name) return command.run(arguments);
  }
  for (const auto& command : sprue::bench::commands) fmt::print(stderr, "sprue_bench {}\n", command.usage);
  return 2;
}
