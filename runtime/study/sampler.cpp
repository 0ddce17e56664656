// Streams by path, Sobol's points shifted at random, Latin strata by a keyed permutation.
#include "runtime/study/sampler.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <bit>
#include <cmath>
#include <functional>
#include <queue>
#include <utility>

#include "lang/graph/arithmetic.hpp"
#include "lang/limits/limits.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/study/philox.hpp"
#include "runtime/study/sobol.hpp"
#include "runtime/study/special.hpp"

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

/// For arguments up to pi / 6.
double sine(double x) {
  double term = x;
  double sum = x;
  for (int i = 2; i < 24; i += 2) {
    term *= -x * x / (i * (i + 1));
    sum += term;
  }
  return sum;
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
                      is_stepped(program, type)});
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

Ties ties_of(const Program& program, const std::vector<SampledInput>& inputs) {
  const auto path_of = [&](const Correlated& end) {
    if (end.currency != no_currency) return exchange_path(program, end.currency);
    return fmt::format("{}.{}", program.path(end.draft),
                       program.text(program.kinds[program.drafts[end.draft].kind].fields[end.slot].name));
  };
  const auto find = [&](const std::string& path) {
    const auto found =
        std::lower_bound(inputs.begin(), inputs.end(), path,
                         [](const SampledInput& input, const std::string& wanted) { return input.path < wanted; });
    const bool is = found != inputs.end() && found->path == path;
    return is ? static_cast<std::size_t>(found - inputs.begin()) : inputs.size();
  };
  Ties ties;
  for (const Correlation& correlation : program.correlations) {
    const std::string a = path_of(correlation.a);
    const std::string b = path_of(correlation.b);
    const Tie tie{find(a), find(b), correlation.value};
    if (tie.a == inputs.size() || tie.b == inputs.size()) {
      ties.unused.push_back(fmt::format("{} with {}", a, b));
    } else {
      ties.ties.push_back(tie);
    }
  }
  return ties;
}

/// Rows of the Cholesky factor of a sparse matrix, one after the other: the elements are those of the dense algorithm,
/// to the last bit, and what is zero takes neither room nor time.
class Sampler::Factoring {
 public:
  explicit Factoring(std::size_t size) : columns_(size), diagonal_(size, 0), rest_(size, 0), reached_(size, false) {}

  /// Factors the row of the correlations with members before it.
  TieResult add_row(std::size_t row, const std::vector<Factor>& correlations) {
    for (const Factor& correlation : correlations) add(correlation.input, correlation.weight);
    row_.clear();
    double own = 1;
    TieResult result = TieResult::fine;
    for (; !next_.empty(); next_.pop()) {
      const std::size_t k = next_.top();
      const double sum = std::exchange(rest_[k], 0);
      reached_[k] = false;
      if (result != TieResult::fine) continue;
      if (!(diagonal_[k] > 0)) {
        if (std::fabs(sum) > 1e-6) result = TieResult::impossible;
        continue;
      }
      const double weight = sum / diagonal_[k];
      if (weight == 0) continue;
      own -= weight * weight;
      for (const Factor& below : columns_[k]) add(below.input, -below.weight * weight);
      steps_ += columns_[k].size() + 1;
      if (steps_ > limits::correlation_steps) result = TieResult::too_many;
      row_.push_back({k, weight});
    }
    if (result == TieResult::fine && own < -1e-9) result = TieResult::impossible;
    if (result != TieResult::fine) return result;
    for (const Factor& factor : row_) columns_[factor.input].push_back({row, factor.weight});
    diagonal_[row] = own > 1e-12 ? std::sqrt(own) : 0;
    if (diagonal_[row] > 0) row_.push_back({row, diagonal_[row]});
    return TieResult::fine;
  }

  /// The row added last.
  const std::vector<Factor>& row() const { return row_; }

 private:
  void add(std::size_t k, double amount) {
    rest_[k] += amount;
    if (reached_[k]) return;
    reached_[k] = true;
    next_.push(k);
  }

  std::vector<std::vector<Factor>> columns_;  // below the diagonal: row and element
  std::vector<double> diagonal_;
  std::vector<double> rest_;  // of the row at work, by column: what the columns before leave
  std::vector<bool> reached_;
  std::priority_queue<std::size_t, std::vector<std::size_t>, std::greater<>> next_;
  std::vector<Factor> row_;
  std::size_t steps_ = 0;
};

TieResult Sampler::tie(const std::vector<Tie>& ties) {
  std::map<std::size_t, std::vector<Factor>> rows;  // by input: its correlations with those before it
  // The correlation of normal scores that gives ranks the one wanted (Pearson 1907): 2 sin(pi r / 6).
  for (const Tie& tie : ties) {
    rows[std::min(tie.a, tie.b)];
    rows[std::max(tie.a, tie.b)].push_back({std::min(tie.a, tie.b), 2 * sine(0.52359877559829887308 * tie.rank)});
  }
  factors_.clear();
  std::map<std::size_t, std::vector<Factor>> factors;
  Factoring factoring(inputs_.size());
  for (const auto& [input, correlations] : rows) {
    if (const TieResult result = factoring.add_row(input, correlations); result != TieResult::fine) return result;
    factors[input] = factoring.row();
  }
  factors_ = std::move(factors);
  return TieResult::fine;
}

std::string Sampler::tied_text() const {
  std::string text;
  for (const auto& [input, factors] : factors_) {
    for (const Factor& factor : factors) text += fmt::format("{} {} {};", input, factor.input, factor.weight);
  }
  return text;
}

void Sampler::shares(std::size_t input, std::uint64_t first, std::size_t count, double* out, bool second) const {
  const auto found = factors_.find(input);
  if (found == factors_.end()) {
    own_shares(input, first, count, out, second);
    return;
  }
  std::vector<double> own(count);
  std::fill_n(out, count, 0.0);
  for (const Factor& factor : found->second) {
    own_shares(factor.input, first, count, own.data(), second);
    for (std::size_t i = 0; i < count; ++i) out[i] += factor.weight * normal_quantile(own[i]);
  }
  for (std::size_t i = 0; i < count; ++i) out[i] = std::clamp(normal_distribution(out[i]), 0x1p-53, 1 - 0x1p-53);
}

void Sampler::own_shares(std::size_t input, std::uint64_t first, std::size_t count, double* out, bool second) const {
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
