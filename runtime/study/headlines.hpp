// Headlines matched between programs: by path, or, where a program calls its instance otherwise, by kind and field.
#pragma once

#include <string>
#include <vector>

#include "runtime/ledger/evaluation.hpp"

namespace sprue {

struct HeadlineKey {
  std::string path;   // "spring_plan.cost"
  std::string field;  // "plan.cost"; empty where several instances have it
};

/// One for each of Lowered::headlines.
std::vector<HeadlineKey> headline_keys(const Program& program, const Lowered& lowered);

/// Index into `keys`, or none.
std::uint32_t find_headline(const std::vector<HeadlineKey>& keys, const HeadlineKey& wanted);

}  // namespace sprue
