// Rounding rows so that they add up: the largest-remainder method.
#pragma once

#include <string>
#include <vector>

namespace sprue {

/// Each value in whole last places (value * 10^places, rounded), such that they sum to the rounded total. Each differs
/// from the exact value by less than one last place, unless the values themselves do not sum to the total; ties go to
/// the earlier row.
std::vector<long long> foot(const std::vector<double>& values, double total, int places);

/// The value in last places as it is shown.
long long last_places(double value, int places);
/// The same of a shown decimal: "12.50" is 1250.
long long last_places_of(std::string digits);

/// `units` last places as a decimal text.
double from_last_places(long long units, int places);

}  // namespace sprue
