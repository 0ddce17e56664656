// Writes W(N) as Sprue source and as JSON: FOLDER N…
#include <fstream>

#include "tests/bench/commands.hpp"
#include "tests/bench/workload.hpp"

namespace sprue::bench {
namespace {

template <class Rows>
std::string json_rows(const Rows& rows) {
  std::string out = "[";
  for (std::size_t i = 0; i < rows.size(); ++i)
    out += fmt::format("{}[{}]", i == 0 ? "" : ",", fmt::join(rows[i], ","));
  return out + "]";
}

}  // namespace

int write(const std::vector<std::string>& arguments) {
  for (std::size_t i = 1; i < arguments.size(); ++i) {
    const Workload w = workload(size_of(arguments[i]));
    const std::string name = fmt::format("{}/w{}", arguments[0], arguments[i]);
    std::ofstream(name + ".sprue") << workload_source(w, false);
    std::ofstream(name + ".json") << "{\"molded\":" << json_rows(w.molded) << ",\"bought\":" << json_rows(w.bought)
                                  << ",\"steps\":" << json_rows(w.steps) << "}";
  }
  return arguments.size() > 1 ? 0 : 2;
}

}  // namespace sprue::bench
