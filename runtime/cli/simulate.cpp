// `sprue simulate`: many trials over the declared ranges.
#include <fmt/format.h>
#include <algorithm>
#include <charconv>
#include <chrono>
#include <mutex>
#include <optional>

#include "runtime/cli/output.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/study.hpp"
#include "runtime/study/shard.hpp"
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

void print_counters(const SimulationCounters& counters, Streams streams) {
  streams.err << fmt::format("nodes {}, live {}, evaluated once {}, instructions {}, registers {}, blocks {}\n",
                             counters.plan.nodes, counters.plan.live, counters.plan.hoisted, counters.plan.instructions,
                             counters.plan.registers, counters.blocks);
}

/// "2/8" is the second of eight parts.
std::optional<Stretch> read_shard(const SimulateOptions& options, Streams streams) {
  const std::string& text = options.shard;
  const char* const end = text.data() + text.size();
  std::uint64_t index = 0;
  std::uint64_t parts = 0;
  const auto first = std::from_chars(text.data(), end, index);
  const bool slash = first.ec == std::errc{} && first.ptr != end && *first.ptr == '/';
  const auto second = slash ? std::from_chars(first.ptr + 1, end, parts) : first;
  if (!slash || second.ec != std::errc{} || second.ptr != end || index < 1 || index > parts) {
    complain(streams, fmt::format("`{}` is no part", text), Code::bad_command,
             "write I/N with I from 1 to N, for example 2/8");
    return std::nullopt;
  }
  return stretch_of(options.trials, index, parts);
}

}  // namespace

int run_simulate(const SimulateOptions& options, Streams streams) {
  if (!options.shard.empty() && (!options.gather.empty() || options.indices || !options.samples.empty())) {
    complain(streams, "--shard writes a part and nothing else", Code::bad_command,
             "give --indices and --samples when the parts are gathered");
    return exit_unusable;
  }
  Study study;
  open_study(study, options.study, {}, streams);
  if (!study.ready) return exit_unusable;
  if (!may_write(options.samples, study.workspace.sources, streams) ||
      !may_write(options.samples, options.gather, streams) || !may_write(options.study.out, options.gather, streams))
    return exit_unusable;
  const Program& program = study.workspace.program;
  const Scheme scheme = options.scheme == "sobol"   ? Scheme::sobol
                        : options.scheme == "latin" ? Scheme::latin
                                                    : Scheme::random;
  Simulated simulated{options.trials, options.seed, scheme, study.figures, {}, 0, {}};
  for (const Check& check : study.evaluation.lowered.expectations) {
    const bool said = std::find(simulated.expectations.begin(), simulated.expectations.end(), check.index) !=
                      simulated.expectations.end();
    if (check.index != none && !said && !study.evaluation.absent(check.node))
      simulated.expectations.push_back(check.index);
  }
  Sampler sampler(sampled_inputs(program, study.evaluation), options.seed, scheme, options.trials);
  if (sampler.inputs().empty()) {
    complain(streams, "no input that a figure needs has a range", Code::bad_command,
             "write for example `price: 4.20 USD/kg within 3.80 .. 5.10` or `+- 5%`");
    return exit_unusable;
  }
  const Ties ties = ties_of(program, sampler.inputs());
  simulated.unused_ties = ties.unused;
  simulated.ties = ties.ties.size();
  if (!sampler.tie(ties.ties)) {
    complain(streams, "no distribution has all the correlations declared", Code::bad_command,
             "where A goes with B and B with C, A goes with C: make them agree");
    return exit_unusable;
  }
  if (options.indices && sampler.tied()) {
    complain(streams, "Sobol indices need inputs that are independent", Code::bad_command,
             "leave out --indices, or the correlations");
    return exit_unusable;
  }
  const std::vector<GraphId> outputs = outputs_of(study.evaluation, simulated);
  const std::string identity =
      simulation_identity(study.evaluation, sampler, outputs, options.trials, options.seed, scheme);
  const Simulation simulation(study.evaluation, sampler, outputs);
  if (options.stats) print_counters(simulation.counters(options.trials), streams);
  const auto simulate = [&](Stretch stretch) {
    Progress progress(streams, stretch.count);
    return simulation.run(stretch.first, stretch.count, {}, options.threads,
                          [&](std::uint64_t done) { progress(done); });
  };
  if (!options.shard.empty()) {
    const auto stretch = read_shard(options, streams);
    if (!stretch) return exit_unusable;
    return put_out(write_part(identity, simulate(*stretch)), options.study.out, streams);
  }
  Samples samples;
  if (options.gather.empty()) {
    samples = simulate({0, options.trials});
  } else {
    std::vector<std::string> texts;
    for (const std::string& file : options.gather) {
      std::optional<std::string> text = read_or_complain(file, streams);
      if (!text) return exit_unusable;
      texts.push_back(std::move(*text));
    }
    Gathered gathered = gather_parts(identity, options.trials, outputs.size(), options.gather, texts);
    if (!gathered.problem.empty()) {
      complain(streams, gathered.problem, Code::bad_command,
               "gather every part of one simulation, with the options they were made with");
      return exit_unusable;
    }
    samples = std::move(gathered.samples);
  }
  const Indices indices = options.indices
                              ? sobol_indices(simulation, sampler, samples, simulated.figures.size(), options.threads)
                              : Indices{};
  if (!options.samples.empty()) {
    const int written_samples = put_out(samples_csv(program, simulated, samples), options.samples, streams);
    if (written_samples != exit_fine || !may_write(options.study.out, {options.samples}, streams)) return exit_unusable;
  }
  const Document document =
      simulation_document(program, study.workspace.sources, study.evaluation, simulated, sampler, samples, indices);
  return put_out(written(document, options.study.format, text_width(options.study.width, options.study.out, streams)),
                 options.study.out, streams);
}

}  // namespace sprue
