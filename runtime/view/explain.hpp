// How a figure comes about: its formula, the values it used, their sources and places, as a tree of text.
#pragma once

#include <string>

#include "lang/check/model.hpp"
#include "lang/source/source.hpp"
#include "runtime/ledger/evaluation.hpp"

namespace sprue {

/// `target` must be a field, lowered with LowerOptions::dependencies. `depth` levels below it are opened.
std::string explain(const Program& program, const Sources& sources, const Evaluation& evaluation, PathTarget target,
                    int depth);

/// A ledger or one of its categories (`category` none: the whole) by what posts to it.
std::string explain_ledger(const Program& program, const Sources& sources, const Evaluation& evaluation,
                           LedgerId ledger, std::uint32_t category, int depth);

}  // namespace sprue
