// Where the time goes from text to figures, and how it grows: ratios of medians taken in one run. Not a test.
#include <algorithm>
#include <cstdio>
#include <optional>
#include <vector>

#include "lang/check/check.hpp"
#include "lang/syntax/parse.hpp"
#include "runtime/cli/file.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/ledger/evaluation.hpp"
#include "runtime/machine/machine.hpp"
#include "runtime/view/figures.hpp"
#include "runtime/write/lines.hpp"
#include "tests/bench/commands.hpp"
#include "tests/bench/generate.hpp"
#include "tests/bench/timing.hpp"

namespace sprue::bench {
namespace {

struct Stages {
  double parse, check, lower, evaluate, figures, all;
  std::size_t lines, nodes;
  double headline;  // the first
};

/// Nothing, and said, where the program is refused.
std::optional<Stages> measure(const std::string& name, const std::string& text, int rounds) {
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
    if (refused(name, diagnostics, sources)) return std::nullopt;
    lower_times.push_back(seconds([&] { lowered = lower(program, none, {}, diagnostics); }));
    if (refused(name, diagnostics, sources)) return std::nullopt;
    evaluate_times.push_back(seconds([&] { evaluate_all(lowered.graph); }));
    stages.nodes = lowered.graph.size();
    all.push_back(check_times.back() + seconds([&] { evaluation = evaluate(program, none, {}, diagnostics); }));
    figure_times.push_back(seconds([&] { lines = write_lines(program, figures_of(program, evaluation)); }));
    all.back() += figure_times.back();
    if (refused(name, diagnostics, sources)) return std::nullopt;
    stages.headline = evaluation.value(evaluation.lowered.headlines.at(0).node);
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

int stages(const std::vector<std::string>& arguments) {
  std::vector<std::string> programs = arguments;
  if (programs.empty()) programs = {"300", "3000", "9000"};
  std::printf("%8s %9s %9s | %8s %8s %8s %8s %8s | %8s %12s %9s | %18s\n", "parts", "lines", "nodes", "parse", "check",
              "lower", "evaluate", "figures", "all", "all/parse", "ns/node", "first headline");
  double per_part = 0;
  int result = 0;
  for (const std::string& program : programs) {
    const int parts = size_of(program);
    const FileText file = parts > 0 ? FileText{molded_product(parts), {}} : read_file(program);
    if (!file.problem.empty()) {
      fmt::print(stderr, "`{}`: {}\n", program, file.problem);
      return 2;
    }
    const std::string name = parts > 0 ? program + " parts" : program;
    const std::optional<Stages> measured = measure(name, file.text, parts > 1000 ? 3 : 7);
    if (!measured) {
      result = 1;
      continue;
    }
    const Stages& s = *measured;
    std::printf("%8s %9zu %9zu | %6.1fms %6.1fms %6.1fms %6.1fms %6.1fms | %6.1fms %12.1f %9.1f | %18.12g\n",
                program.c_str(), s.lines, s.nodes, 1e3 * s.parse, 1e3 * s.check, 1e3 * s.lower, 1e3 * s.evaluate,
                1e3 * s.figures, 1e3 * s.all, s.all / s.parse, 1e9 * s.lower / static_cast<double>(s.nodes),
                s.headline);
    if (per_part > 0 && parts > 0)
      std::printf("%8s time a part, against the size before: %.2f\n", "", s.all / parts / per_part);
    per_part = parts > 0 ? s.all / parts : 0;
  }
  return result;
}

}  // namespace sprue::bench
