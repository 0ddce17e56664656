// Streams by path, Sobol's points shifted at random, Latin strata by a keyed permutation.
#include "runtime/study/sampler.hpp"

#include <algorithm>
#include <bit>

#include "lang/graph/arithmetic.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/study/philox.hpp"
#include "runtime/study/sobol.hpp"

namespace sprue {
namespace {

constexpr std::uint64_t second_sample = 0x5EC0D5A3F1E2D4C7U;

/// Where a number of 0 … size - 1 goes in a shuffle of them that only a key describes: a Feistel network over a square
/// of at least that size, walked until it comes back inside.
std::uint64_t shuffled(std::uint64_t place, std::uint64_t size, std::uint64_t key) {
  const auto half = static_cast<unsigned>((std::bit_width(size - 1) + 1) / 2);
  const std::uint64_t mask = (std::uint64_t{1} << half) - 1;
  if (size < 2) return 0;
  do {
    std::uint64_t left = place >> half;
    std::uint64_t right = place & mask;
    for (std::uint64_t round = 0; round < 6; ++round) {
      std::uint64_t mixed = (right + key) * 0x9E3779B97F4A7C15U + round * 0xD1342543DE82EF95U;
      mixed = (mixed ^ (mixed >> 29U)) * 0xBF58476D1CE4E5B9U;
      const std::uint64_t next = left ^ ((mixed ^ (mixed >> 32U)) & mask);
      left = right;
      right = next;
    }
    place = (left << half) | right;
  } while (place >= size);
  return place;
}

Shape shape_of(std::string_view text, bool unknown) {
  if (text == "pert") return Shape::pert;
  if (text == "uniform") return Shape::uniform;
  if (text == "normal") return Shape::normal;
  return text.empty() && unknown ? Shape::uniform : Shape::triangular;
}

}  // namespace

std::vector<SampledInput> sampled_inputs(const Program& program, const Evaluation& evaluation) {
  const Lowered& lowered = evaluation.lowered;
  std::vector<SampledInput> inputs;
  for (std::uint32_t i = 0; i < lowered.inputs.size(); ++i) {
    const InputOrigin& origin = lowered.inputs[i];
    const Facts* const facts = facts_of(program, lowered, origin);
    if (facts == nullptr || !facts->ranged) continue;
    const Given* const given =
        origin.instance == none ? nullptr : lowered.instances.given(origin.instance, origin.slot);
    const Type type = input_type(program, lowered, origin);
    inputs.push_back({i,
                      input_path(program, lowered, origin),
                      {shape_of(program.text(facts->shape), given != nullptr && given->unknown), facts->low,
                       lowered.graph.inputs[i], facts->high},
                      type.tag == TypeTag::whole || type.tag == TypeTag::point ||
                          (type.tag == TypeTag::quantity && is_count(program, type.id))});
  }
  std::sort(inputs.begin(), inputs.end(), [](const SampledInput& a, const SampledInput& b) { return a.path < b.path; });
  return inputs;
}

Sampler::Sampler(std::vector<SampledInput> inputs, std::uint64_t seed, Scheme scheme, std::uint64_t trials)
    : inputs_(std::move(inputs)), seed_(seed), scheme_(scheme), trials_(std::max<std::uint64_t>(trials, 1)) {
  for (const SampledInput& input : inputs_) names_.push_back(name_of_stream(input.path));
}

void Sampler::row(std::size_t input, std::uint64_t first, std::size_t count, double* out, bool second) const {
  shares(input, first, count, out, second);
  quantiles_of_row(inputs_[input].distribution, count, out);
  if (!inputs_[input].whole) return;
  for (std::size_t i = 0; i < count; ++i) out[i] = arithmetic::round(out[i]);
}

void Sampler::shares(std::size_t input, std::uint64_t first, std::size_t count, double* out, bool second) const {
  const Stream stream{seed_, second ? names_[input] ^ second_sample : names_[input]};
  const std::size_t dimension = input + (second ? inputs_.size() : 0);
  if (scheme_ == Scheme::sobol && dimension < sobol_dimensions()) {
    // A digital shift keeps the points' evenness and makes every seed another sample; 20 bits more fill the double.
    const auto bits = static_cast<std::uint64_t>(uniform_at(stream, 0) * 0x1p52);
    const auto shift = static_cast<std::uint32_t>(bits >> 20U);
    const double fine = (static_cast<double>(bits & 0xFFFFFU) + 0.5) * 0x1p-52;
    for (std::size_t i = 0; i < count; ++i)
      out[i] = (sobol_bits(dimension, static_cast<std::uint32_t>(first + i)) ^ shift) * 0x1p-32 + fine;
    return;
  }
  uniform_row(stream, first, count, out);
  if (scheme_ != Scheme::latin) return;
  const auto size = static_cast<double>(trials_);
  for (std::size_t i = 0; i < count; ++i)
    out[i] = (static_cast<double>(shuffled(first + i, trials_, stream.name ^ seed_)) + out[i]) / size;
}

}  // namespace sprue
