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

/// Takes from a part what it knows of its simulation. False, and said, where the command line says otherwise.
bool take_from_part(const std::string& file, const SimulationIdentity& part, SimulateOptions& options,
                    Streams streams) {
  const auto agrees = [&](std::string_view option, bool given, const std::string& said, const std::string& has) {
    if (!given || said == has) return true;
    complain(streams, fmt::format("`{}` has --{} {}, and the command line says {}", file, option, has, said),
             Code::bad_command, fmt::format("leave out --{}: the parts say it", option));
    return false;
  };
  const std::string scenario = options.study.scenario.empty() ? "base" : options.study.scenario;
  if (!agrees("trials", options.given.trials, std::to_string(options.trials), std::to_string(part.trials)) ||
      !agrees("seed", options.given.seed, std::to_string(options.seed), std::to_string(part.seed)) ||
      !agrees("scheme", options.given.scheme, options.scheme, std::string(word_of(part.scheme))) ||
      !agrees("scenario", !options.study.scenario.empty(), scenario, part.scenario) ||
      !agrees("figure", !options.study.figures.empty(), fmt::format("{}", fmt::join(options.study.figures, ", ")),
              fmt::format("{}", fmt::join(part.figures, ", "))))
    return false;
  options.trials = part.trials;
  options.seed = part.seed;
  options.scheme = word_of(part.scheme);
  options.study.scenario = part.scenario;
  options.study.figures = part.asked ? part.figures : std::vector<std::string>{};
  return true;
}

/// The samples in all parts; nothing, and said, where they do not make up the simulation. `first` is the text of the
/// first, read before.
std::optional<Samples> gather(const SimulationIdentity& identity, const std::vector<std::string>& files,
                              std::string first, Streams streams) {
  Gather parts(identity);
  std::string problem;
  for (const std::string& file : files) {
    std::optional<std::string> text = &file == &files.front() ? std::move(first) : read_or_complain(file, streams);
    if (!text) return std::nullopt;
    problem = parts.add(file, *text);
    if (!problem.empty()) break;
  }
  if (problem.empty()) problem = parts.missing();
  if (problem.empty()) return std::move(parts.samples());
  complain(streams, problem, Code::bad_command, "gather every part of one simulation of this file as it stands");
  return std::nullopt;
}

/// Values that are held at a time: of all outputs and trials, as numbers and, where they are written, as text.
bool fits(const SimulateOptions& options, std::size_t outputs, std::uint64_t trials, Streams streams) {
  const std::size_t as_text = options.shard.empty() && options.samples.empty() ? 0 : 2 * outputs;
  const std::size_t more_samples = options.indices ? 2 * outputs : 0;
  const std::size_t each = outputs + as_text + more_samples;
  if (each * trials <= limits::simulated_values) return true;
  complain(streams,
           fmt::format("{} trials of {} figures and expectations are {} values to hold, more than {}", trials, outputs,
                       each * trials, limits::simulated_values),
           Code::bad_command,
           fmt::format("at most {} trials of so many; take fewer, or name fewer figures{}{}{}",
                       limits::simulated_values / each, more_samples > 0 ? ", or leave out --indices" : "",
                       options.samples.empty() ? "" : ", or leave out --samples",
                       options.shard.empty() ? "" : ", or make more parts"));
  return false;
}

}  // namespace

int run_simulate(const SimulateOptions& asked, Streams streams) {
  SimulateOptions options = asked;
  if (!options.shard.empty() && (!options.gather.empty() || options.indices || !options.samples.empty())) {
    complain(streams, "--shard writes a part and nothing else", Code::bad_command,
             "give --indices and --samples when the parts are gathered");
    return exit_unusable;
  }
  std::optional<std::string> first_part;
  if (!options.gather.empty()) {
    first_part = read_or_complain(options.gather.front(), streams);
    if (!first_part) return exit_unusable;
    const PartHead head = read_head(*first_part);
    if (!head.problem.empty()) {
      complain(streams, fmt::format("`{}` {}", options.gather.front(), head.problem), Code::bad_command,
               "gather files that --shard wrote");
      return exit_unusable;
    }
    if (!take_from_part(options.gather.front(), head.identity, options, streams)) return exit_unusable;
  }
  Study study;
  open_study(study, options.study, {}, streams);
  if (!study.ready) return exit_unusable;
  if (!may_write(options.samples, study.workspace.sources, streams) ||
      !may_write(options.samples, options.gather, streams) || !may_write(options.study.out, options.gather, streams))
    return exit_unusable;
  const Program& program = study.workspace.program;
  const Scheme scheme = scheme_of(options.scheme);
  Simulated simulated{options.trials, options.seed, scheme, study.figures, {}, 0, {}};
  std::vector<bool> said(program.expectations.size(), false);
  for (const Check& check : study.evaluation.lowered.expectations) {
    if (check.index == none || said[check.index] || study.evaluation.absent(check.node)) continue;
    said[check.index] = true;
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
  const TieResult tied = sampler.tie(ties.ties);
  if (tied == TieResult::impossible) {
    complain(streams, "no distribution has all the correlations declared", Code::bad_command,
             "where A goes with B and B with C, A goes with C: make them agree");
    return exit_unusable;
  }
  if (tied == TieResult::too_many) {
    complain(streams, fmt::format("the correlations take more than {} steps to work out", limits::correlation_steps),
             Code::bad_command, "correlate fewer inputs with each other, in groups that do not meet");
    return exit_unusable;
  }
  if (options.indices && sampler.tied()) {
    complain(streams, "Sobol indices need inputs that are independent", Code::bad_command,
             "leave out --indices, or the correlations");
    return exit_unusable;
  }
  Stretch stretch{0, options.trials};
  if (!options.shard.empty()) {
    const auto part = read_shard(options, streams);
    if (!part) return exit_unusable;
    stretch = *part;
  }
  const std::vector<GraphId> outputs = outputs_of(study.evaluation, simulated);
  if (!fits(options, outputs.size(), stretch.count, streams)) return exit_unusable;
  SimulationIdentity identity{
      hash_of_program(study.evaluation, sampler, outputs),
      study.scenario == none ? "base" : std::string(program.text(program.scenarios[study.scenario].name)),
      options.trials,
      options.seed,
      scheme,
      !options.study.figures.empty(),
      {},
      outputs.size()};
  for (const Chosen& figure : simulated.figures) identity.figures.push_back(figure.path);
  const Simulation simulation(study.evaluation, sampler, outputs);
  if (options.stats) print_counters(simulation.counters(options.trials), streams);
  const auto simulate = [&] {
    Progress progress(streams, stretch.count);
    return simulation.run(stretch.first, stretch.count, {}, options.threads,
                          [&](std::uint64_t done) { progress(done); });
  };
  if (!options.shard.empty()) return put_out(write_part(identity, simulate()), options.study.out, streams);
  std::optional<Samples> samples;
  if (first_part) {
    samples = gather(identity, options.gather, std::move(*first_part), streams);
    if (!samples) return exit_unusable;
  } else {
    samples = simulate();
  }
  const Indices indices = options.indices
                              ? sobol_indices(simulation, sampler, *samples, simulated.figures.size(), options.threads)
                              : Indices{};
  if (!options.samples.empty()) {
    const int written_samples = put_out(samples_csv(program, simulated, *samples), options.samples, streams);
    if (written_samples != exit_fine || !may_write(options.study.out, {options.samples}, streams)) return exit_unusable;
  }
  const Document document = simulation_document(program, study.workspace.sources, study.evaluation, simulated, sampler,
                                                std::move(*samples), indices);
  return put_out(written(document, options.study.format, text_width(options.study.width, options.study.out, streams)),
                 options.study.out, streams);
}

}  // namespace sprue
