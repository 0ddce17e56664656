// Studies against the program written by hand: paired in one run, ratios of medians. Not a test.
#include <algorithm>
#include <cstdio>

#include "lang/check/check.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/machine/machine.hpp"
#include "runtime/machine/worker.hpp"
#include "runtime/study/philox.hpp"
#include "runtime/study/simulation.hpp"
#include "runtime/study/statistics.hpp"
#include "tests/bench/commands.hpp"
#include "tests/bench/reference.hpp"
#include "tests/bench/timing.hpp"

namespace sprue::bench {
namespace {

/// Alternately, so that the machine's moods fall on both.
template <class Ours, class Theirs>
void pair(const char* what, int rounds, Ours&& ours, Theirs&& theirs) {
  std::vector<double> a;
  std::vector<double> b;
  for (int i = 0; i < rounds; ++i) {
    a.push_back(seconds(ours));
    b.push_back(seconds(theirs));
  }
  std::printf("  %-34s %9.2f ms  by hand %9.2f ms  ratio %.2f\n", what, 1e3 * median(a), 1e3 * median(b),
              median(a) / median(b));
}

struct Model {
  Sources sources;
  Program program;
  Diagnostics diagnostics;
  Evaluation evaluation;
  explicit Model(const std::string& text) {
    check(program, sources, sources.add("w.sprue", text), project_loader("."), diagnostics);
    evaluation = evaluate(program, none, {}, diagnostics);
  }
  std::vector<GraphId> outputs() const {
    std::vector<GraphId> out;
    for (const Headline& headline : evaluation.lowered.headlines) out.push_back(headline.node);
    return out;
  }
};

double spread(std::vector<double> values) {
  const Moments moments = moments_of(values);
  double sum = moments.mean;
  for (const double p : {0.05, 0.25, 0.5, 0.75, 0.95}) {
    const auto at = values.begin() + static_cast<std::ptrdiff_t>(p * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), at, values.end());
    sum += *at;
  }
  return sum;
}

/// False, and said, where the program is refused.
bool measure(int parts, std::uint64_t trials, int rounds) {
  const Workload w = workload(parts);
  Model model(workload_source(w, true));
  if (refused(fmt::format("{} parts", parts), model.diagnostics, model.sources)) return false;
  const Figures hand = evaluate_by_hand(w);
  const auto outputs = model.outputs();
  const auto value = [&](std::size_t i) { return model.evaluation.value(outputs[i]); };
  std::printf("%d parts: landed %.14g, margin %.14g, tooling %.14g; landed by hand %.14g (%.1e)\n", parts, value(0),
              value(1), value(2), hand.landed, std::abs(value(0) / hand.landed - 1));
  const Sampler sampler(sampled_inputs(model.program, model.evaluation), 1, Scheme::random, trials);
  // By hand: the rows in the order of the workload, from the same streams.
  std::vector<std::size_t> order;
  const auto find = [&](const std::string& path) {
    for (std::size_t i = 0; i < sampler.inputs().size(); ++i) {
      if (sampler.inputs()[i].path == path) order.push_back(i);
    }
  };
  for (int i = 0; i < parts; ++i) {
    for (const bench::Column& column : part_columns) {
      if (column.range.low > 0) find(fmt::format("m{}.{}", i, column.name));
    }
  }
  for (const Fixed& fixed : product_columns) {
    if (fixed.range.low > 0) find(fmt::format("g.{}", fixed.name));
  }
  constexpr std::size_t block = 512;
  std::vector<double> storage(order.size() * block);
  std::vector<const double*> rows;
  for (std::size_t i = 0; i < order.size(); ++i) rows.push_back(storage.data() + i * block);
  std::vector<double> results[3];
  for (auto& row : results) row.resize(std::max<std::size_t>(trials, block));  // blocks come whole
  const auto by_hand = [&](bool sample) {
    for (std::uint64_t from = 0; from < trials; from += block) {
      const std::size_t count = std::min<std::uint64_t>(block, trials - from);
      for (std::size_t i = 0; sample && i < order.size(); ++i)
        sampler.row(order[i], from, count, storage.data() + i * block);
      evaluate_block_by_hand(w, rows, count, results[0].data() + from, results[1].data() + from,
                             results[2].data() + from);
    }
  };
  const Simulation simulation(model.evaluation, sampler, outputs);
  Samples samples;
  volatile double sink = 0;
  pair(
      "simulate, one thread", rounds,
      [&] {
        samples = simulation.run(0, trials, {}, 1);
        for (const auto& values : samples.values) sink = sink + spread(values);
      },
      [&] {
        by_hand(true);
        for (const auto& values : results) sink = sink + spread(values);
      });
  double worst = 0;
  for (std::size_t t = 0; t < trials; ++t) worst = std::max(worst, std::abs(samples.values[0][t] / results[0][t] - 1));
  std::printf("  largest relative difference of a trial %.1e\n", worst);
  std::vector<std::uint32_t> varying;
  for (const SampledInput& input : sampler.inputs()) varying.push_back(input.input);
  const Plan plan(model.evaluation.lowered.graph, outputs, varying);
  std::vector<double> given(plan.inputs().size() * block);
  std::vector<const double*> inputs;
  for (std::size_t i = 0; i < plan.inputs().size(); ++i) {
    for (std::size_t k = 0; k < varying.size(); ++k) {
      if (varying[k] == plan.inputs()[i]) sampler.row(k, 0, block, given.data() + i * block);
    }
    inputs.push_back(given.data() + i * block);
  }
  std::vector<double> out(outputs.size() * block);
  Worker worker(plan, inputs, out.data(), block, block);
  pair(
      "evaluate alone", rounds,
      [&] {
        for (std::uint64_t from = 0; from < trials; from += block) worker.run(0, block);
      },
      [&] {
        for (std::uint64_t from = 0; from < trials; from += block)
          evaluate_block_by_hand(w, rows, block, results[0].data(), results[1].data(), results[2].data());
      });
  const double one =
      median({seconds([&] { simulation.run(0, trials, {}, 1); }), seconds([&] { simulation.run(0, trials, {}, 1); }),
              seconds([&] { simulation.run(0, trials, {}, 1); })});
  const double two =
      median({seconds([&] { simulation.run(0, trials, {}, 2); }), seconds([&] { simulation.run(0, trials, {}, 2); }),
              seconds([&] { simulation.run(0, trials, {}, 2); })});
  std::printf("  two threads %.2f times one\n", one / two);
  std::uint32_t volume = 0;
  for (std::uint32_t i = 0; i < model.evaluation.lowered.inputs.size(); ++i) {
    if (model.evaluation.lowered.graph.inputs[i] == 20000) volume = i;
  }
  std::vector<double> volumes;
  for (std::uint64_t i = 0; i < trials; ++i) volumes.push_back(5000 + static_cast<double>(i % 50000));
  const std::vector<GraphId> landed{outputs[0]};
  const std::vector<std::uint32_t> over{volume};
  const Plan ladder(model.evaluation.lowered.graph, landed, over);
  Lanes lanes;
  lanes.count = trials;
  lanes.varying.push_back({volume, volumes});
  Results swept;
  pair(
      "sweep over volume", rounds, [&] { swept = evaluate(ladder, lanes); },
      [&] { sweep_by_hand(w, volumes, results[0].data()); });
  double gap = 0;
  for (std::size_t t = 0; t < trials; ++t) gap = std::max(gap, std::abs(swept[0][t] / results[0][t] - 1));
  std::printf("  largest relative difference of a rung %.1e; %zu instructions, %zu registers\n", gap,
              plan.counters().instructions, plan.counters().registers);
  return true;
}

}  // namespace

int studies(const std::vector<std::string>& arguments) {
  struct Size {
    int parts;
    int trials;
    int rounds;
  };
  std::vector<Size> sizes{{30, 100000, 7}, {300, 10000, 7}, {3000, 1000, 5}};
  if (!arguments.empty()) sizes.clear();
  for (std::size_t i = 0; i < arguments.size(); i += 2) {
    const int trials = i + 1 < arguments.size() ? size_of(arguments[i + 1]) : 0;
    sizes.push_back({size_of(arguments[i]), trials, 1});
    if (sizes.back().parts == 0 || trials == 0) return 2;
  }
  bool fine = true;
  for (const Size& size : sizes)
    fine = measure(size.parts, static_cast<std::uint64_t>(size.trials), size.rounds) && fine;
  return fine ? 0 : 1;
}

}  // namespace sprue::bench
