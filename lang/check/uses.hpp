// What each name in the texts refers to, for tools that find, show and rename. Recorded by the checker where it is
// asked for; an ordinary check keeps none. Names of built-in modules are referred to, but what stands in those is left
// out.
#pragma once

#include <vector>

#include "lang/check/model.hpp"

namespace sprue {

enum class Named : std::uint8_t {
  kind,
  field,
  instance,
  scenario,
  function,
  local,   // of a loop, or a parameter
  choice,  // one of those a field may have; declared nowhere by itself
  ledger,
  category,
  listing,  // or chart
  audience,
  unit,
  dimension,
};

/// A name as written, and what it means there.
struct Use {
  Span at{};
  Span declared{};  // the name where it is declared first, equal for all that mean the same; `at` itself is one of them
  Named what{};
  std::uint32_t id = none;    // KindId (of a field: the kind it is seen in), DraftId, LedgerId, function, scenario
  std::uint32_t slot = none;  // of a field or a category
  DraftId instance = none;    // of a field: whose it is, where that is known
  Type type{};                // of a local or a choice

  bool is_declaration() const { return at == declared; }
};

class Uses {
 public:
  void add(const Use& use) { list_.push_back(use); }
  /// Once, after the check: adds declarations, units and dimensions, finds what is declared where, and sorts by place.
  void settle(const Program& program, const Sources& sources);

  const std::vector<Use>& list() const { return list_; }
  /// The name at a place or straight before it; nullptr where there is none.
  const Use* at(SourceId source, std::uint32_t offset) const;

 private:
  std::vector<Use> list_;
};

}  // namespace sprue
