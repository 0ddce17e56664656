// Numbers and dates as text.
#pragma once

#include <string>

namespace sprue {

/// Fixed decimals: the shortest decimal that stands for the value, rounded to 12 significant digits (more where more are
/// shown), which takes away the noise of floating point, then half away from zero; never "-0.00".
std::string decimal(double value, int places);
/// Whether nothing but zeros would be shown.
bool is_shown_as_zero(double value, int places);
/// The number at the start of the text with its thousands grouped by commas: "24,000 unit".
std::string grouped(std::string text);
/// Days since 1970-01-01 as "2026-10-05"; in words where no calendar has them.
std::string iso_date(double days);

}  // namespace sprue
