// Runs instructions on blocks.
#include "runtime/machine/worker.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>

namespace sprue {
namespace {

constexpr std::size_t cache_line = 64 / sizeof(double);

double* align(double* place) {
  const std::size_t past = reinterpret_cast<std::uintptr_t>(place) / sizeof(double) % cache_line;
  return place + (cache_line - past) % cache_line;
}

}  // namespace

Worker::Worker(const Plan& plan, std::span<const double* const> inputs, double* results, std::size_t lanes,
               std::size_t block)
    : plan_(plan), inputs_(inputs), results_(results), lanes_(lanes) {
  const std::size_t stride = (block + cache_line - 1) / cache_line * cache_line;
  const std::size_t registers = plan.counters().registers;
  const std::size_t outside = plan.inputs().size() + plan.outputs().size();
  storage_.resize((registers + 3) * stride + cache_line);
  read_.resize(outside + registers);
  write_.resize(outside + registers);
  double* next = align(storage_.data());
  for (std::size_t row = outside; row < outside + registers; ++row, next += stride) read_[row] = write_[row] = next;
  sums_ = next;
  dated_ = next + stride;
  largest_ = next + 2 * stride;
}

void Worker::run(std::size_t first, std::size_t count) {
  const std::size_t inputs = plan_.inputs().size();
  const std::span<const Operand> outputs = plan_.outputs();
  for (std::size_t i = 0; i < inputs; ++i) read_[i] = inputs_[i] + first;
  for (std::size_t i = 0; i < outputs.size(); ++i) {
    read_[inputs + i] = write_[inputs + i] = results_ + i * lanes_ + first;
  }
  for (const Instruction& instruction : plan_.instructions()) {
    double* const out = write_[instruction.out];
    if (instruction.kernel != nullptr) {
      instruction.kernel(out, source(instruction.a, (instruction.varying & varies_a) != 0),
                         source(instruction.b, (instruction.varying & varies_b) != 0),
                         source(instruction.c, (instruction.varying & varies_c) != 0), count);
      continue;
    }
    const DatedList& list = plan_.lists()[instruction.a];
    if (list.fixed) {
      run_fixed(list, out, count);
    } else {
      run_dated(list, out, count);
    }
  }
  for (std::size_t i = 0; i < outputs.size(); ++i) {
    double* const out = write_[inputs + i];
    const double* const in = source(outputs[i].index, outputs[i].varying);
    if (!outputs[i].varying) {
      std::fill_n(out, count, *in);
    } else if (in != out) {
      std::copy_n(in, count, out);
    }
  }
}

/// The dates are the same in all lanes and in order, so all lanes walk together.
void Worker::run_fixed(const DatedList& list, double* out, std::size_t count) {
  const std::span<const Operand> operands = plan_.list_operands().subspan(list.first, 2 * std::size_t{list.steps});
  const auto date = [&](std::size_t step) { return plan_.scalars()[operands[2 * step].index]; };
  double* const sums = sums_;
  double* const dated = dated_;
  double* const largest = largest_;
  std::fill_n(sums, count, 0.0);
  std::fill_n(dated, count, 0.0);
  std::fill_n(largest, count, 0.0);
  std::fill_n(out, count, list.wants_date && list.steps > 0 ? date(0) : 0.0);
  for (std::size_t step = 0; step < list.steps; ++step) {
    const Operand& operand = operands[2 * step + 1];
    const double* const amount = source(operand.index, operand.varying);
    if (operand.varying) {
      for (std::size_t i = 0; i < count; ++i) sums[i] += amount[i];
    } else {
      const double same = *amount;
      for (std::size_t i = 0; i < count; ++i) sums[i] += same;
    }
    if (list.wants_date) {
      for (std::size_t i = 0; i < count; ++i) {
        const double size = std::fabs(sums[i]);
        largest[i] = size > largest[i] ? size : largest[i];
      }
    }
    const double today = date(step);
    if (step + 1 < list.steps && date(step + 1) == today) continue;
    if (list.wants_date) {
      for (std::size_t i = 0; i < count; ++i) {
        const bool lower = undercuts(sums[i], dated[i], largest[i]);
        out[i] = lower ? today : out[i];
        dated[i] = lower ? sums[i] : dated[i];
      }
    } else {
      for (std::size_t i = 0; i < count; ++i) out[i] = sums[i] < out[i] ? sums[i] : out[i];
    }
  }
  for (std::size_t i = 0; i < count; ++i) {
    if (std::isnan(sums[i])) out[i] = std::numeric_limits<double>::quiet_NaN();
  }
}

/// Dates differ from lane to lane; the order of one lane is the first guess for the next.
void Worker::run_dated(const DatedList& list, double* out, std::size_t count) {
  const std::span<const Operand> operands = plan_.list_operands().subspan(list.first, 2 * std::size_t{list.steps});
  const auto at = [&](std::size_t operand, std::size_t lane) {
    const double* const from = source(operands[operand].index, operands[operand].varying);
    return operands[operand].varying ? from[lane] : *from;
  };
  steps_.resize(list.steps);
  for (std::uint32_t i = 0; i < list.steps; ++i) steps_[i].rank = i;
  for (std::size_t lane = 0; lane < count; ++lane) {
    for (DatedAmount& step : steps_) {
      step.date = at(2 * std::size_t{step.rank}, lane);
      step.amount = at(2 * std::size_t{step.rank} + 1, lane);
    }
    const Lowest result = lowest(steps_);
    out[lane] = list.wants_date ? result.date : result.sum;
  }
}

}  // namespace sprue
