// Words that people write by habit where the language has another, or none. Knows words; knows no program.
#pragma once

#include <string_view>

#include "lang/diagnostics/diagnostic.hpp"

namespace sprue {

/// Adds what to write instead of a name that is a habit from a spreadsheet or another language; false where it is none.
bool advise_on_habit(Diagnostic& diagnostic, std::string_view word);

/// What a type of another language (`bool`), or a unit written out (`gram`), is called here; empty where that is open.
std::string_view type_for(std::string_view word);
std::string_view unit_for(std::string_view word);

}  // namespace sprue
