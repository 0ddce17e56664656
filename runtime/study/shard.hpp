// Parts of a simulation as files, and parts joined. Knows what must agree between them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "runtime/study/simulation.hpp"

namespace sprue {

/// What all parts of a simulation share.
struct SimulationIdentity {
  std::string program;   // a hash of its graph, inputs, ranges, correlations and outputs
  std::string scenario;  // "base" for the file itself
  std::uint64_t trials = 0;
  std::uint64_t seed = 0;
  Scheme scheme{};
  bool asked = false;                // the figures were asked for by path; else they are those that lead
  std::vector<std::string> figures;  // their paths
  std::size_t outputs = 0;           // values of a trial: of figures and expectations

  bool operator==(const SimulationIdentity&) const = default;
};

std::string hash_of_program(const Evaluation& evaluation, const Sampler& sampler, const std::vector<GraphId>& outputs);

/// "random", "sobol", "latin".
std::string_view word_of(Scheme scheme);
Scheme scheme_of(std::string_view word);  // of any other word: random

/// Trials of part `index` of `parts`, from 1 on: first and count. Together they are all of them, each once.
struct Stretch {
  std::uint64_t first = 0;
  std::uint64_t count = 0;
};
Stretch stretch_of(std::uint64_t trials, std::uint64_t index, std::uint64_t parts);

/// A part as a file: readable, exact.
std::string write_part(const SimulationIdentity& identity, const Samples& samples);

/// What a part says of itself, before its trials.
struct PartHead {
  SimulationIdentity identity;
  Stretch stretch;
  std::size_t lines = 0;
  std::size_t bytes = 0;
  std::string problem;  // empty: fine
};
PartHead read_head(std::string_view text);

/// "has seed 9, not 1": how a part differs from what is wanted; empty where it does not.
std::string difference(const SimulationIdentity& part, const SimulationIdentity& wanted);

/// Joins parts, in any order, into all trials.
class Gather {
 public:
  explicit Gather(const SimulationIdentity& identity);

  /// What is wrong with the part, told with its name; empty where it is fine.
  std::string add(const std::string& name, std::string_view text);
  /// What is missing; empty where nothing is.
  std::string missing() const;
  Samples& samples() { return samples_; }

 private:
  SimulationIdentity identity_;
  Samples samples_;
  std::vector<bool> have_;
};

}  // namespace sprue
