// The standard library read from the folder that SPRUE_LIBRARY names, in place of the one compiled in: for
// tests/mutation/library, which tries thousands of libraries and would rebuild for each. No product is built of it.
#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <list>
#include <string>

#include "runtime/cli/stdlib.hpp"

namespace sprue {
namespace {

struct Module {
  std::string name, text;
};

std::list<Module> read_folder() {
  std::list<Module> modules;
  const char* const folder = std::getenv("SPRUE_LIBRARY");
  if (folder == nullptr) std::abort();
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() != ".sprue") continue;
    std::ifstream in(entry.path(), std::ios::binary);
    modules.push_back({"std." + entry.path().stem().string(), {std::istreambuf_iterator<char>(in), {}}});
  }
  modules.sort([](const Module& a, const Module& b) { return a.name < b.name; });
  return modules;
}

}  // namespace

std::vector<StandardModule> standard_modules() {
  static const std::list<Module> modules = read_folder();
  std::vector<StandardModule> found;
  for (const Module& module : modules) found.push_back({module.name, module.text});
  return found;
}

}  // namespace sprue
