// Loads a source, reads figures, changes an input, compares, and shows what a mistake looks like.
#include <sprue/sprue.hpp>
#include <sprue/version.hpp>

#include <iostream>

using namespace sprue::api;

int main(int argc, char** argv) {
  if (version() != SPRUE_VERSION || argc != 2) return 2;
  try {
    const Program program = Program::from_file(argv[1]);
    if (!program.sound()) {
      std::cerr << program.diagnostics();
      return 2;
    }
    const Evaluation base = program.evaluate();
    const Figure duration = base.figure("outing.duration");
    std::cout << duration.path << " is " << duration.text << ", or " << duration.value << " in " << duration.unit
              << "\n";

    for (const std::string speed : {"40 km/h", "120 km/h"}) {
      const Evaluation other = program.evaluate("", {{"outing.speed", speed}});
      std::cout << "at " << speed << ": " << other.figure("outing.duration").text
                << (other.holds() ? "\n" : ", not as expected\n");
    }
    for (const std::string& name : program.scenarios())
      std::cout << compare(base, program.evaluate(name), Format::text);

    std::cout << program.evaluate("", {{"outing.speed", "40 km"}}).diagnostics();
    base.figure("outing.durations");
  } catch (const Error& error) {
    std::cout << error.what() << "\n";
  }
}
