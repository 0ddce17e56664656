// The one canonical layout. Changes white space only.
#pragma once

#include <optional>
#include <string>

#include "lang/diagnostics/diagnostic.hpp"
#include "lang/source/source.hpp"

namespace sprue {

/// The source in canonical layout, or nothing where it has syntax errors (they are in `diagnostics`).
std::optional<std::string> format(const Sources& sources, SourceId source, Diagnostics& diagnostics);

}  // namespace sprue
