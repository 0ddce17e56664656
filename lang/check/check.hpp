// Trees to a checked program.
#pragma once

#include "lang/check/load.hpp"
#include "lang/check/model.hpp"
#include "lang/check/uses.hpp"

namespace sprue {

/// Parses the main file and all it uses, then checks names, kinds, dimensions, currencies and references. Never fails:
/// what is unsound is reported; `sound` says whether the program may be lowered. `program` must be fresh. With `uses`,
/// what each name means is recorded there, to be settled before it is asked.
void check(Program& program, Sources& sources, SourceId main, const Loader& loader, Diagnostics& diagnostics,
           Uses* uses = nullptr);

}  // namespace sprue
