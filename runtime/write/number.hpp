// Numbers and dates as text.
#pragma once

#include <string>

namespace sprue {

/// Fixed decimals, rounded half away from zero on the shortest decimal that stands for the value; never "-0.00".
std::string decimal(double value, int places);
/// The number at the start of the text with its thousands grouped by commas: "24,000 unit".
std::string grouped(std::string text);
/// Days since 1970-01-01 as "2026-10-05"; in words where no calendar has them.
std::string iso_date(double days);

}  // namespace sprue
