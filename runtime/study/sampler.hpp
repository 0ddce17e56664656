// Values of the inputs that have a range, trial by trial. A value is a function of the seed, the input's path and the
// trial alone: neither threads, nor shards, nor inputs that come and go change it. Two things are no function of one
// path: Sobol's points, of which each input takes the dimension of its place by path, and inputs that are correlated.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "runtime/ledger/evaluation.hpp"
#include "runtime/study/distribution.hpp"

namespace sprue {

enum class Scheme : std::uint8_t { random, sobol, latin };

struct SampledInput {
  std::uint32_t input = 0;  // index into Lowered::inputs
  std::string path;
  Distribution distribution;
  bool whole = false;  // counts things: rounded
};

/// By path. A range without a stated shape is triangular, of an unknown value uniform.
std::vector<SampledInput> sampled_inputs(const Program& program, const Evaluation& evaluation);

enum class TieResult : std::uint8_t {
  fine,
  impossible,  // no distribution has all these correlations at once
  too_many     // more steps than limits::correlation_steps
};

/// Inputs that move together, by index into sampled inputs.
struct Tie {
  std::size_t a = 0, b = 0;
  double rank = 0;  // Spearman's
};
/// Those whose inputs are sampled; the others' paths are told as "A with B".
struct Ties {
  std::vector<Tie> ties;
  std::vector<std::string> unused;
};
Ties ties_of(const Program& program, const std::vector<SampledInput>& inputs);

class Sampler {
 public:
  /// `trials` is the whole number of them, whatever part is asked for.
  Sampler(std::vector<SampledInput> inputs, std::uint64_t seed, Scheme scheme, std::uint64_t trials);

  const std::vector<SampledInput>& inputs() const { return inputs_; }

  /// Ties inputs by a normal copula. Each keeps what it draws by itself as far as those before it, by path, leave it.
  TieResult tie(const std::vector<Tie>& ties);
  bool tied() const { return !factors_.empty(); }
  /// All ties as text, for comparing samplers.
  std::string tied_text() const;

  /// Values of an input for `count` trials from `first` on. `second` is another, independent sample.
  void row(std::size_t input, std::uint64_t first, std::size_t count, double* out, bool second = false) const;

 private:
  void shares(std::size_t input, std::uint64_t first, std::size_t count, double* out, bool second) const;
  void own_shares(std::size_t input, std::uint64_t first, std::size_t count, double* out, bool second) const;

  std::vector<SampledInput> inputs_;
  std::vector<std::uint64_t> names_;  // of the streams, by input
  std::uint64_t seed_;
  Scheme scheme_;
  std::uint64_t trials_;
  /// By tied input: what its normal score takes of whose own score (a row of the Cholesky factor).
  struct Factor {
    std::size_t input = 0;
    double weight = 0;
  };
  class Factoring;
  std::map<std::size_t, std::vector<Factor>> factors_;
};

}  // namespace sprue
