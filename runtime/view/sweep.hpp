// Figures over one or two inputs, as tables and charts.
#pragma once

#include "runtime/view/chosen.hpp"
#include "runtime/view/document.hpp"

namespace sprue {

/// An input and the values it takes, in its base units and currency.
struct Sweep {
  std::uint32_t input = none;
  std::vector<double> values;
};

/// One or two sweeps. Where no sound program comes out the table says so. Lines are drawn from many more values than
/// the table has, so that what jumps is seen to jump where it does.
Document sweep_document(const Program& program, const Evaluation& evaluation, const std::vector<Chosen>& figures,
                        const std::vector<Sweep>& sweeps);

}  // namespace sprue
