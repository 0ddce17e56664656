// `sprue simulate`: many trials over the declared ranges.
#include <fmt/format.h>
#include <chrono>
#include <mutex>

#include "runtime/cli/output.hpp"
#include "runtime/cli/study.hpp"
#include "runtime/view/simulation.hpp"

namespace sprue {
namespace {

/// "simulated 12,000 of 100,000" on a terminal, a few times a second.
class Progress {
 public:
  Progress(Streams streams, std::uint64_t all) : streams_(streams), all_(all) {}
  ~Progress() {
    if (shown_) streams_.err << "\r\x1B[K" << std::flush;
  }
  void operator()(std::uint64_t done) {
    if (!streams_.progress) return;
    const std::lock_guard lock(mutex_);
    const auto now = std::chrono::steady_clock::now();
    if (now - last_ < std::chrono::milliseconds(250)) return;
    last_ = now;
    shown_ = true;
    streams_.err << fmt::format("\rsimulated {} of {}", done, all_) << std::flush;
  }

 private:
  Streams streams_;
  std::uint64_t all_;
  std::mutex mutex_;
  std::chrono::steady_clock::time_point last_ = std::chrono::steady_clock::now();
  bool shown_ = false;
};

Indices sobol_indices(const Simulation& simulation, const Sampler& sampler, const Samples& first, std::size_t figures,
                      unsigned threads) {
  const Samples second = simulation.run(0, first.count, {true}, threads);
  Indices indices(figures);
  for (std::size_t i = 0; i < sampler.inputs().size(); ++i) {
    const Samples mixed = simulation.run(0, first.count, {false, i}, threads);
    for (std::size_t f = 0; f < figures; ++f) {
      // Trials that are sound in all three.
      std::vector<double> a;
      std::vector<double> b;
      std::vector<double> ab;
      for (std::size_t t = 0; t < first.count; ++t) {
        if (first.sound[t] == 0 || second.sound[t] == 0 || mixed.sound[t] == 0) continue;
        a.push_back(first.values[f][t]);
        b.push_back(second.values[f][t]);
        ab.push_back(mixed.values[f][t]);
      }
      indices[f].push_back(sobol_index(a, b, ab));
    }
  }
  return indices;
}

}  // namespace

int run_simulate(const SimulateOptions& options, Streams streams) {
  Study study;
  open_study(study, options.study, {}, streams);
  if (!study.ready) return exit_unusable;
  const Program& program = study.workspace.program;
  const Scheme scheme = options.scheme == "sobol"   ? Scheme::sobol
                        : options.scheme == "latin" ? Scheme::latin
                                                    : Scheme::random;
  Simulated simulated{options.trials, options.seed, scheme, study.figures, {}};
  for (const Check& check : study.evaluation.lowered.expectations) {
    const bool said = std::find(simulated.expectations.begin(), simulated.expectations.end(), check.index) !=
                      simulated.expectations.end();
    if (check.index != none && !said && !study.evaluation.absent(check.node))
      simulated.expectations.push_back(check.index);
  }
  const Sampler sampler(sampled_inputs(program, study.evaluation), options.seed, scheme, options.trials);
  if (sampler.inputs().empty()) {
    complain(streams, "no input that a figure needs has a range", Code::bad_command,
             "write for example `price: 4.20 USD/kg within 3.80 .. 5.10` or `+- 5%`");
    return exit_unusable;
  }
  const Simulation simulation(study.evaluation, sampler, outputs_of(study.evaluation, simulated));
  const Samples samples = [&] {
    Progress progress(streams, options.trials);
    return simulation.run(0, options.trials, {}, options.threads, [&](std::uint64_t done) { progress(done); });
  }();
  const Indices indices = options.indices
                              ? sobol_indices(simulation, sampler, samples, simulated.figures.size(), options.threads)
                              : Indices{};
  if (!options.samples.empty()) {
    const int written_samples = put_out(samples_csv(program, simulated, samples), options.samples, streams);
    if (written_samples != exit_fine) return written_samples;
  }
  const Document document =
      simulation_document(program, study.workspace.sources, study.evaluation, simulated, sampler, samples, indices);
  return put_out(written(document, options.study.format), options.study.out, streams);
}

}  // namespace sprue
