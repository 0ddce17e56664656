// Where the time goes from text to figures, and how it grows: ratios of medians taken in one run. Not a test.
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <vector>

#include "lang/check/check.hpp"
#include "lang/syntax/parse.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/ledger/evaluation.hpp"
#include "runtime/machine/machine.hpp"
#include "runtime/view/figures.hpp"
#include "runtime/write/lines.hpp"
#include "tests/bench/generate.hpp"
#include "tests/bench/timing.hpp"

using namespace sprue;
using sprue::bench::median;
using sprue::bench::seconds;

namespace {

struct Stages {
  double parse, check, lower, evaluate, figures, all;
  std::size_t lines, nodes;
};

Stages measure(int parts, int rounds) {
  const std::string text = bench::molded_product(parts);
  std::vector<double> parse_times, check_times, lower_times, evaluate_times, figure_times, all;
  Stages stages{};
  stages.lines = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
  for (int round = 0; round < rounds; ++round) {
    {
      Sources sources;
      Symbols symbols;
      Diagnostics diagnostics;
      const SourceId id = sources.add("big.sprue", text);
      parse_times.push_back(seconds([&] { parse(sources, id, symbols, diagnostics); }));
    }
    Sources sources;
    Diagnostics diagnostics;
    Program program;
    Evaluation evaluation;
    Lowered lowered;
    std::string lines;
    const SourceId main = sources.add("big.sprue", text);
    check_times.push_back(seconds([&] { check(program, sources, main, project_loader("."), diagnostics); }));
    lower_times.push_back(seconds([&] { lowered = lower(program, none, {}, diagnostics); }));
    evaluate_times.push_back(seconds([&] { evaluate_all(lowered.graph); }));
    stages.nodes = lowered.graph.size();
    all.push_back(check_times.back() + seconds([&] { evaluation = evaluate(program, none, {}, diagnostics); }));
    figure_times.push_back(seconds([&] { lines = write_lines(program, figures_of(program, evaluation)); }));
    all.back() += figure_times.back();
    if (!evaluation.sound || lines.empty()) std::printf("the generated program is unsound\n");
  }
  stages.parse = median(parse_times);
  stages.check = median(check_times);
  stages.lower = median(lower_times);
  stages.evaluate = median(evaluate_times);
  stages.figures = median(figure_times);
  stages.all = median(all);
  return stages;
}

}  // namespace

int main(int argc, char** argv) {
  std::vector<int> sizes{300, 3000, 30000};
  if (argc > 1) sizes = {std::atoi(argv[1])};
  std::printf("%8s %9s %9s | %8s %8s %8s %8s %8s | %8s %12s %9s\n", "parts", "lines", "nodes", "parse", "check",
              "lower", "evaluate", "figures", "all", "all/parse", "ns/node");
  double per_part = 0;
  for (const int parts : sizes) {
    const Stages s = measure(parts, parts > 10000 ? 3 : 7);
    std::printf("%8d %9zu %9zu | %6.1fms %6.1fms %6.1fms %6.1fms %6.1fms | %6.1fms %12.1f %9.1f\n", parts, s.lines,
                s.nodes, 1e3 * s.parse, 1e3 * s.check, 1e3 * s.lower, 1e3 * s.evaluate, 1e3 * s.figures, 1e3 * s.all,
                s.all / s.parse, 1e9 * s.lower / static_cast<double>(s.nodes));
    if (per_part > 0)
      std::printf("%8s time a part, against a tenth of the parts: %.2f\n", "", s.all / parts / per_part);
    per_part = s.all / parts;
  }
}
