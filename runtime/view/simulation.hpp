// A simulation, told: quantiles with their sampling error, odds of expectations, what drives the spread.
#pragma once

#include "runtime/study/simulation.hpp"
#include "runtime/study/statistics.hpp"
#include "runtime/view/chosen.hpp"
#include "runtime/view/document.hpp"

namespace sprue {

/// What a simulation was asked for.
struct Simulated {
  std::uint64_t trials = 0;
  std::uint64_t seed = 0;
  Scheme scheme{};
  std::vector<Chosen> figures;
  std::vector<std::uint32_t>
      expectations;                      // indices into Program::expectations; their flags follow the figures' values
  std::size_t ties = 0;                  // correlations that are used
  std::vector<std::string> unused_ties;  // those of inputs that are not sampled
};

/// Sobol indices by figure, by sampled input; empty where not asked for.
using Indices = std::vector<std::vector<SobolIndex>>;

/// The nodes to simulate: figures, then conditions of expectations.
std::vector<GraphId> outputs_of(const Evaluation& evaluation, const Simulated& simulated);

Document simulation_document(const Program& program, const Sources& sources, const Evaluation& evaluation,
                             const Simulated& simulated, const Sampler& sampler, Samples samples,
                             const Indices& indices);

/// One line a trial: figures in the units they are shown in, full precision; expectations as 1 or 0; nothing where no
/// sound program comes out.
std::string samples_csv(const Program& program, const Simulated& simulated, const Samples& samples);

std::string_view name_of_scheme(Scheme scheme);

}  // namespace sprue
