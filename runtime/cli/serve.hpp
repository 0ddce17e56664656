// What the language server asks of the file system and the built-in modules.
#pragma once

#include "runtime/serve/analysis.hpp"

namespace sprue {

serve::Host serve_host();

}  // namespace sprue
