// A line for each thing that parts share, then a line a trial: 1 or 0 for sound, and the shortest decimals that stand
// for the values.
#include "runtime/study/shard.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>

#include "lang/limits/limits.hpp"

namespace sprue {
namespace {

constexpr std::string_view format_name = "sprue-samples 2";

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

std::string hash_of_program(const Evaluation& evaluation, const Sampler& sampler, const std::vector<GraphId>& outputs) {
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
  return fmt::format("{:016x}", hash.state());
}

std::string_view word_of(Scheme scheme) {
  return scheme == Scheme::sobol ? "sobol" : scheme == Scheme::latin ? "latin" : "random";
}

Scheme scheme_of(std::string_view word) {
  return word == "sobol" ? Scheme::sobol : word == "latin" ? Scheme::latin : Scheme::random;
}

Stretch stretch_of(std::uint64_t trials, std::uint64_t index, std::uint64_t parts) {
  const std::uint64_t whole = trials / parts;
  const std::uint64_t more = trials % parts;  // the first parts have one more
  const std::uint64_t before = index - 1;
  return {before * whole + std::min(before, more), whole + (before < more ? 1 : 0)};
}

std::string write_part(const SimulationIdentity& identity, const Samples& samples) {
  std::string out = fmt::format("{}\nprogram {}\nscenario {}\ntrials {}\nseed {}\nscheme {}\nfigures {}\n", format_name,
                                identity.program, identity.scenario, identity.trials, identity.seed,
                                word_of(identity.scheme), identity.asked ? "asked" : "leading");
  for (const std::string& figure : identity.figures) out += fmt::format("figure {}\n", figure);
  out += fmt::format("outputs {}\nfirst {}\ncount {}\n", identity.outputs, samples.first, samples.count);
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

PartHead read_head(std::string_view text) {
  PartHead head;
  const char* const begin = text.data();
  std::string_view line;
  const auto next = [&] {
    line = next_line(text);
    ++head.lines;
  };
  /// The rest of a line that begins with the word.
  const auto after = [&](std::string_view word, std::string_view& rest) {
    const bool good = line.starts_with(word) && line.size() > word.size() + 1 && line[word.size()] == ' ';
    if (good) rest = line.substr(word.size() + 1);
    return good;
  };
  const auto text_after = [&](std::string_view word, std::string& to) {
    next();
    std::string_view rest;
    const bool good = after(word, rest);
    to = rest;
    return good;
  };
  const auto number_after = [&](std::string_view word, std::uint64_t& to) {
    next();
    std::string_view rest;
    if (!after(word, rest)) return false;
    const auto read = std::from_chars(rest.data(), rest.data() + rest.size(), to);
    return read.ec == std::errc{} && read.ptr == rest.data() + rest.size();
  };
  next();
  if (line != format_name) {
    head.problem = "is no part of a simulation";
    return head;
  }
  SimulationIdentity& identity = head.identity;
  std::string scheme;
  std::string figures;
  std::uint64_t outputs = 0;
  bool good = text_after("program", identity.program) && text_after("scenario", identity.scenario) &&
              number_after("trials", identity.trials) && identity.trials > 0 && identity.trials <= limits::trials &&
              number_after("seed", identity.seed) && text_after("scheme", scheme) &&
              scheme == word_of(scheme_of(scheme)) && text_after("figures", figures) &&
              (figures == "asked" || figures == "leading");
  while (good && text.starts_with("figure ")) good = text_after("figure", identity.figures.emplace_back());
  good = good && number_after("outputs", outputs) && outputs >= identity.figures.size() &&
         outputs <= limits::simulated_values && number_after("first", head.stretch.first) &&
         head.stretch.first <= identity.trials && number_after("count", head.stretch.count) &&
         head.stretch.count <= identity.trials - head.stretch.first;
  identity.scheme = scheme_of(scheme);
  identity.asked = figures == "asked";
  identity.outputs = outputs;
  head.bytes = static_cast<std::size_t>(text.data() - begin);
  if (!good) head.problem = fmt::format("is damaged in line {}", head.lines);
  return head;
}

std::string difference(const SimulationIdentity& part, const SimulationIdentity& wanted) {
  const auto differs = [](std::string_view what, const auto& one, const auto& other) {
    return fmt::format("has {} {}, not {}", what, one, other);
  };
  if (part.trials != wanted.trials) return differs("trials", part.trials, wanted.trials);
  if (part.seed != wanted.seed) return differs("seed", part.seed, wanted.seed);
  if (part.scheme != wanted.scheme) return differs("scheme", word_of(part.scheme), word_of(wanted.scheme));
  if (part.scenario != wanted.scenario) return differs("scenario", part.scenario, wanted.scenario);
  if (part.figures != wanted.figures)
    return differs("figures", fmt::format("{}", fmt::join(part.figures, ", ")),
                   fmt::format("{}", fmt::join(wanted.figures, ", ")));
  const auto asked = [](bool is) { return is ? "that were asked for" : "that lead"; };
  if (part.asked != wanted.asked) return differs("figures", asked(part.asked), asked(wanted.asked));
  return part == wanted ? std::string() : "is of another program";
}

Gather::Gather(const SimulationIdentity& identity) : identity_(identity), have_(identity.trials, false) {
  samples_.count = identity.trials;
  samples_.values.assign(identity.outputs, std::vector<double>(identity.trials));
  samples_.sound.assign(identity.trials, 0);
}

std::string Gather::add(const std::string& name, std::string_view text) {
  const auto refuse = [&](std::string_view what) { return fmt::format("`{}` {}", name, what); };
  const PartHead head = read_head(text);
  if (!head.problem.empty()) return refuse(head.problem);
  if (const std::string differs = difference(head.identity, identity_); !differs.empty()) return refuse(differs);
  text.remove_prefix(head.bytes);
  for (std::size_t i = 0; i < head.stretch.count; ++i) {
    const std::size_t trial = head.stretch.first + i;
    std::string_view line = next_line(text);
    if (have_[trial]) return refuse(fmt::format("has trial {}, which another part has, too", trial + 1));
    have_[trial] = true;
    double sound = 0;
    bool good = read_number(line, sound) && (sound == 0 || sound == 1);
    for (auto& values : samples_.values) good = good && read_number(line, values[trial]);
    if (!good || !line.empty()) return refuse(fmt::format("is damaged in line {}", head.lines + i + 1));
    samples_.sound[trial] = sound != 0 ? 1 : 0;
  }
  return text.empty() ? std::string() : refuse("has more lines than it should");
}

std::string Gather::missing() const {
  const auto missing = std::find(have_.begin(), have_.end(), false);
  if (missing == have_.end()) return {};
  return fmt::format("no part has trial {} of {}", missing - have_.begin() + 1, have_.size());
}

}  // namespace sprue
