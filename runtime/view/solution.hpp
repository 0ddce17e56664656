// The values of an input at which a condition turns, told.
#pragma once

#include "runtime/study/crossings.hpp"
#include "runtime/view/chosen.hpp"
#include "runtime/view/document.hpp"

namespace sprue {

struct Asked {
  std::uint32_t input = none;
  std::string condition;  // as written
  Type sides{};           // of a comparison
  SearchRange range;
};

/// Every turn, with the figures on its true side; or that it never turns, and how near it comes.
Document solution_document(const Program& program, const Evaluation& evaluation, const std::vector<Chosen>& figures,
                           const Asked& asked, const Crossings& crossings);

}  // namespace sprue
