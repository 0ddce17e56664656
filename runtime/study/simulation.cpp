// Blocks of trials: sampled, evaluated, copied out. Blocks know nothing of each other.
#include "runtime/study/simulation.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>

#include "runtime/machine/parallel_for.hpp"
#include "runtime/machine/worker.hpp"
#include "runtime/study/lanes.hpp"

namespace sprue {
namespace {

/// Trials at a time: the rows of a block should stay in the cache, and there is a row for each sampled input.
std::size_t block_for(std::size_t rows) {
  constexpr std::size_t cache = std::size_t{1} << 21U;
  std::size_t block = 512;
  while (block > 64 && rows * block * sizeof(double) > cache) block /= 2;
  return block;
}

std::vector<std::uint32_t> varying(const Sampler& sampler) {
  std::vector<std::uint32_t> inputs;
  for (const SampledInput& input : sampler.inputs()) inputs.push_back(input.input);
  return inputs;
}

}  // namespace

Simulation::Simulation(const Evaluation& evaluation, const Sampler& sampler, std::vector<GraphId> outputs)
    : sampler_(sampler),
      outputs_(with_requirements(evaluation, outputs)),
      figures_(outputs.size()),
      plan_(evaluation.lowered.graph, outputs_, varying(sampler)) {
  std::vector<std::size_t> places(evaluation.lowered.inputs.size(), 0);
  for (std::size_t i = 0; i < sampler.inputs().size(); ++i) places[sampler.inputs()[i].input] = i;
  for (const std::uint32_t input : plan_.inputs()) rows_.push_back(places[input]);
}

Samples Simulation::run(std::uint64_t first, std::uint64_t count, const Draw& draw, unsigned threads,
                        const std::function<void(std::uint64_t)>& done) const {
  Samples samples;
  samples.first = first;
  samples.count = count;
  samples.values.assign(figures_, std::vector<double>(count));
  samples.sound.assign(count, 1);
  const std::size_t block_size = block_for(rows_.size());
  const std::size_t blocks = (count + block_size - 1) / block_size;
  std::atomic<std::uint64_t> over = 0;
  // A working set for each stretch of blocks.
  parallel_for_stretches(blocks, threads, [&](std::size_t first_block, std::size_t after) {
    std::vector<double> rows(rows_.size() * block_size);
    std::vector<const double*> inputs;
    for (std::size_t i = 0; i < rows_.size(); ++i) inputs.push_back(rows.data() + i * block_size);
    std::vector<double> results(outputs_.size() * block_size);
    Worker worker(plan_, inputs, results.data(), block_size, block_size);
    for (std::size_t block = first_block; block < after; ++block) {
      const std::uint64_t from = block * block_size;
      const std::size_t trials = std::min<std::uint64_t>(block_size, count - from);
      for (std::size_t i = 0; i < rows_.size(); ++i)
        sampler_.row(rows_[i], first + from, trials, rows.data() + i * block_size,
                     draw.second || draw.mixed == rows_[i]);
      worker.run(0, trials);
      for (std::size_t f = 0; f < figures_; ++f)
        std::copy_n(results.data() + f * block_size, trials, samples.values[f].data() + from);
      for (std::size_t t = 0; t < trials; ++t) {
        bool sound = true;
        for (std::size_t f = 0; f < figures_; ++f) sound = sound && std::isfinite(results[f * block_size + t]);
        for (std::size_t o = figures_; o < outputs_.size(); ++o) sound = sound && results[o * block_size + t] != 0;
        samples.sound[from + t] = sound ? 1 : 0;
      }
      const std::uint64_t now = over += trials;
      if (done) done(now);
    }
  });
  return samples;
}

SimulationCounters Simulation::counters(std::uint64_t trials) const {
  const std::size_t block_size = block_for(rows_.size());
  return {plan_.counters(), (trials + block_size - 1) / block_size};
}

}  // namespace sprue
