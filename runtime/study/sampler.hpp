// Values of the inputs that have a range, trial by trial. A value is a function of the seed, the input's path and the
// trial alone: neither threads, nor shards, nor inputs that come and go change it (in Sobol's scheme the inputs' order
// does).
#pragma once

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

class Sampler {
 public:
  /// `trials` is the whole number of them, whatever part is asked for.
  Sampler(std::vector<SampledInput> inputs, std::uint64_t seed, Scheme scheme, std::uint64_t trials);

  const std::vector<SampledInput>& inputs() const { return inputs_; }

  /// Values of an input for `count` trials from `first` on. `second` is another, independent sample.
  void row(std::size_t input, std::uint64_t first, std::size_t count, double* out, bool second = false) const;

 private:
  void shares(std::size_t input, std::uint64_t first, std::size_t count, double* out, bool second) const;

  std::vector<SampledInput> inputs_;
  std::vector<std::uint64_t> names_;  // of the streams, by input
  std::uint64_t seed_;
  Scheme scheme_;
  std::uint64_t trials_;
};

}  // namespace sprue
