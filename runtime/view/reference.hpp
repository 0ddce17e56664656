// Reference text of modules, kinds, functions and ledgers, from their doc comments.
#pragma once

#include <string>
#include <string_view>

#include "lang/check/model.hpp"

namespace sprue {

/// Every module with its first doc comment and what it declares.
std::string describe_index(const Program& program, const Sources& sources);

/// The whole reference in Markdown, module by module in the order of their names.
std::string describe_page(const Program& program, const Sources& sources);

/// A module ("std.units"), kind, function or ledger; empty where there is none of the name.
std::string describe_name(const Program& program, const Sources& sources, std::string_view name);

}  // namespace sprue
