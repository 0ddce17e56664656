// `--fix`: the sure fixes of a program's own files, written in place.
#pragma once

#include <string>

#include "runtime/cli/commands.hpp"

namespace sprue {

/// Applies them until none is left, in the file and in those it uses; never in the standard library, never outside the
/// project. Says on `told` how many there were in which file. False, and reported on `streams.err`, where a file cannot
/// be written.
bool mend_files(const std::string& file, Streams streams, std::ostream& told);

}  // namespace sprue
