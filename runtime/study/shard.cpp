// A header line, then a line a trial: 1 or 0 for sound, and the shortest decimals that stand for the values.
#include "runtime/study/shard.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>

namespace sprue {
namespace {

constexpr std::string_view format_name = "sprue-samples 1";

class Hash {
 public:
  void add(std::uint64_t value) {
    state_ = (state_ ^ value) * 0x9E3779B97F4A7C15U;
    state_ ^= state_ >> 29U;
  }
  void add(double value) { add(std::bit_cast<std::uint64_t>(value)); }
  void add(const std::string& text) {
    for (const char c : text) add(std::uint64_t{static_cast<unsigned char>(c)});
    add(std::uint64_t{text.size()});
  }
  std::uint64_t state() const { return state_; }

 private:
  std::uint64_t state_ = 0xCBF29CE484222325U;
};

/// One finite number of a line; false at its end or where it is none.
bool read_number(std::string_view& line, double& value) {
  if (!line.empty() && line.front() == ' ') line.remove_prefix(1);
  const auto read = std::from_chars(line.data(), line.data() + line.size(), value);
  if (read.ec != std::errc{} || !std::isfinite(value)) return false;
  line.remove_prefix(static_cast<std::size_t>(read.ptr - line.data()));
  return true;
}

std::string_view next_line(std::string_view& text) {
  const std::size_t end = std::min(text.find('\n'), text.size());
  const std::string_view line = text.substr(0, end);
  text.remove_prefix(std::min(end + 1, text.size()));
  return line;
}

}  // namespace

std::string simulation_identity(const Evaluation& evaluation, const Sampler& sampler,
                                const std::vector<GraphId>& outputs, std::uint64_t trials, std::uint64_t seed,
                                Scheme scheme) {
  Hash hash;
  const Graph& graph = evaluation.lowered.graph;
  for (const GraphNode& node : graph.nodes) {
    hash.add(static_cast<std::uint64_t>(node.op));
    hash.add((std::uint64_t{node.a} << 32U) | node.b);
    hash.add(std::uint64_t{node.c});
  }
  for (const double constant : graph.constants) hash.add(constant);
  for (const double input : graph.inputs) hash.add(input);
  for (const GraphId operand : graph.operands) hash.add(std::uint64_t{operand});
  for (const SampledInput& input : sampler.inputs()) {
    hash.add(input.path);
    hash.add(static_cast<std::uint64_t>(input.distribution.shape));
    hash.add(input.distribution.low);
    hash.add(input.distribution.high);
  }
  hash.add(sampler.tied_text());
  for (const GraphId output : outputs) hash.add(std::uint64_t{output});
  return fmt::format("program {:016x} trials {} seed {} scheme {} outputs {}", hash.state(), trials, seed,
                     static_cast<int>(scheme), outputs.size());
}

Stretch stretch_of(std::uint64_t trials, std::uint64_t index, std::uint64_t parts) {
  const std::uint64_t whole = trials / parts;
  const std::uint64_t more = trials % parts;  // the first parts have one more
  const std::uint64_t before = index - 1;
  return {before * whole + std::min(before, more), whole + (before < more ? 1 : 0)};
}

std::string write_part(const std::string& identity, const Samples& samples) {
  std::string out = fmt::format("{}\n{}\nfirst {} count {}\n", format_name, identity, samples.first, samples.count);
  for (std::size_t t = 0; t < samples.count; ++t) {
    out += samples.sound[t] != 0 ? '1' : '0';
    for (const auto& values : samples.values) {
      // What is not sound may be no number.
      out += fmt::format(" {}", std::isfinite(values[t]) ? values[t] : 0.0);
    }
    out += '\n';
  }
  return out;
}

Gathered gather_parts(const std::string& identity, std::uint64_t trials, std::size_t outputs,
                      const std::vector<std::string>& names, const std::vector<std::string>& texts) {
  Gathered gathered;
  Samples& samples = gathered.samples;
  samples.count = trials;
  samples.values.assign(outputs, std::vector<double>(trials));
  samples.sound.assign(trials, 0);
  std::vector<bool> have(trials, false);
  const auto refuse = [&](std::size_t part, std::string_view what) {
    gathered.problem = fmt::format("`{}` {}", names[part], what);
    return gathered;
  };
  for (std::size_t part = 0; part < texts.size(); ++part) {
    std::string_view text = texts[part];
    if (next_line(text) != format_name) return refuse(part, "is no part of a simulation");
    if (next_line(text) != identity)
      return refuse(part, "is of another program, or has other trials, seed, scheme or figures");
    std::string_view head = next_line(text);
    double first = 0;
    double count = 0;
    const auto number_after = [&](std::string_view word, double& value) {
      if (!head.starts_with(word)) return false;
      head.remove_prefix(word.size());
      return read_number(head, value) && value >= 0 && value <= static_cast<double>(trials) &&
             value == std::floor(value);
    };
    if (!number_after("first ", first) || !number_after(" count ", count) ||
        first + count > static_cast<double>(trials))
      return refuse(part, "is damaged in its third line");
    for (std::size_t i = 0; i < static_cast<std::size_t>(count); ++i) {
      const std::size_t trial = static_cast<std::size_t>(first) + i;
      std::string_view line = next_line(text);
      if (have[trial]) return refuse(part, fmt::format("has trial {}, which another part has, too", trial + 1));
      have[trial] = true;
      double sound = 0;
      bool good = read_number(line, sound) && (sound == 0 || sound == 1);
      for (std::size_t o = 0; o < outputs; ++o) good = good && read_number(line, samples.values[o][trial]);
      if (!good || !line.empty()) return refuse(part, fmt::format("is damaged in line {}", i + 4));
      samples.sound[trial] = sound != 0 ? 1 : 0;
    }
    if (!text.empty()) return refuse(part, "has more lines than it should");
  }
  const auto missing = std::find(have.begin(), have.end(), false);
  if (missing != have.end())
    gathered.problem = fmt::format("no part has trial {} of {}", missing - have.begin() + 1, trials);
  return gathered;
}

}  // namespace sprue
