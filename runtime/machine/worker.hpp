// One thread's working set: the registers of a plan for one block of lanes, and the walk through its instructions.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "runtime/machine/lowest.hpp"
#include "runtime/machine/plan.hpp"

namespace sprue {

class Worker {
 public:
  /// `inputs` has the lanes of each of the plan's inputs; `results` takes `lanes` values for each output.
  Worker(const Plan& plan, std::span<const double* const> inputs, double* results, std::size_t lanes,
         std::size_t block);

  /// Computes lanes `first` up to `first + count`, at most a block.
  void run(std::size_t first, std::size_t count);

 private:
  const double* source(std::uint32_t index, bool varying) const {
    return varying ? read_[index] : plan_.scalars().data() + index;
  }
  void run_fixed(const DatedList& list, double* out, std::size_t count);
  void run_dated(const DatedList& list, double* out, std::size_t count);

  const Plan& plan_;
  const std::span<const double* const> inputs_;
  double* const results_;
  const std::size_t lanes_;
  std::vector<double> storage_;
  std::vector<const double*> read_;  // by row, for the current block
  std::vector<double*> write_;       // the same; none for inputs
  double* sums_ = nullptr;           // scratch rows for lists
  double* dated_ = nullptr;
  double* largest_ = nullptr;
  std::vector<DatedAmount> steps_;
};

}  // namespace sprue
