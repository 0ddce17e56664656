// The inputs that move the leading headlines most, as tables and charts.
#pragma once

#include "runtime/view/chosen.hpp"
#include "runtime/view/view.hpp"

namespace sprue {

/// How many headlines lead: those declared first.
inline constexpr std::size_t leading_figures = 3;

void add_driver_view(const Subject& subject, std::vector<View>& views);

/// Responses to one step of each input, and swings over its range: the `most` largest of each. `defaults`: the
/// library's inputs as well as those that somebody stated.
Document drivers_document(const Subject& subject, const std::vector<Chosen>& figures, std::size_t most, bool defaults);

}  // namespace sprue
