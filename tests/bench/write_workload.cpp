// Writes W(N) as Sprue source and as JSON: write_workload FOLDER N…
#include <cstdlib>
#include <fstream>

#include "tests/bench/workload.hpp"

using namespace sprue::bench;

namespace {

template <class Rows>
std::string json_rows(const Rows& rows) {
  std::string out = "[";
  for (std::size_t i = 0; i < rows.size(); ++i)
    out += fmt::format("{}[{}]", i == 0 ? "" : ",", fmt::join(rows[i], ","));
  return out + "]";
}

}  // namespace

int main(int argc, char** argv) {
  for (int i = 2; i < argc; ++i) {
    const Workload w = workload(std::atoi(argv[i]));
    const std::string name = fmt::format("{}/w{}", argv[1], argv[i]);
    std::ofstream(name + ".sprue") << workload_source(w, false);
    std::ofstream(name + ".json") << "{\"molded\":" << json_rows(w.molded) << ",\"bought\":" << json_rows(w.bought)
                                  << ",\"steps\":" << json_rows(w.steps) << "}";
  }
}
