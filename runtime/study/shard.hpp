// Parts of a simulation as files, and parts joined. Knows what must agree between them.
#pragma once

#include <string>
#include <vector>

#include "runtime/study/simulation.hpp"

namespace sprue {

/// What all parts of a simulation share, as text: the program by a hash of its graph and ranges, trials, seed, scheme,
/// outputs.
std::string simulation_identity(const Evaluation& evaluation, const Sampler& sampler,
                                const std::vector<GraphId>& outputs, std::uint64_t trials, std::uint64_t seed,
                                Scheme scheme);

/// Trials of part `index` of `parts`, from 1 on: first and count. Together they are all of them, each once.
struct Stretch {
  std::uint64_t first = 0;
  std::uint64_t count = 0;
};
Stretch stretch_of(std::uint64_t trials, std::uint64_t index, std::uint64_t parts);

/// A part as a file: readable, exact.
std::string write_part(const std::string& identity, const Samples& samples);

struct Gathered {
  Samples samples;
  std::string problem;  // empty: fine
};
/// Joins the texts of parts, in any order, into all `trials`. `names` are for messages.
Gathered gather_parts(const std::string& identity, std::uint64_t trials, std::size_t outputs,
                      const std::vector<std::string>& names, const std::vector<std::string>& texts);

}  // namespace sprue
