// Rounding rows so that they add up: the largest-remainder method.
#pragma once

#include <vector>

namespace sprue {

/// Each value in whole last places (value * 10^places, rounded), such that they sum to the rounded total. Each differs
/// from the exact value by less than one last place, unless the values themselves do not sum to the total; ties go to
/// the earlier row.
std::vector<long long> foot(const std::vector<double>& values, double total, int places);

/// `units` last places as a decimal text.
double from_last_places(long long units, int places);

}  // namespace sprue
