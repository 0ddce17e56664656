// The instances of one scenario, frozen in path order: base drafts with the scenario's changes applied.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "lang/check/model.hpp"

namespace sprue {

using InstanceId = std::uint32_t;  // also the rank in path order; what an instance owns follows it directly

struct Instance {
  DraftId draft = none;
  KindId kind = none;
  InstanceId owner = none;
  std::uint32_t first_slot = 0;  // of its fields, in Instances::slot_count
  InstanceId after = 0;          // first id past what it owns
  std::uint32_t position = 0;    // among the owner's children, as written
};

struct Instances {
  static constexpr std::uint32_t changed = 0x80000000U;
  std::vector<Instance> all;
  std::vector<InstanceId> of_draft;  // by DraftId; none where the scenario lacks it
  std::vector<std::uint32_t>
      given_at;  // by slot: index into the draft's givens; from `changed` on, into changes; or none
  std::vector<const Given*> changes;           // by the scenario
  const std::vector<Draft>* drafts = nullptr;  // of the program
  std::vector<double> exchange_rates;          // by index into Program::exchanges, after the scenario's changes
  std::vector<Span> removed_at;                // by DraftId: the `remove` that took it, where there is one
  std::uint32_t slot_count = 0;

  std::size_t size() const { return all.size(); }
  const Given* given(InstanceId id, Slot slot) const {
    const std::uint32_t at = given_at[all[id].first_slot + slot];
    if (at == none) return nullptr;
    return at >= changed ? changes[at - changed] : &(*drafts)[all[id].draft].givens[at];
  }
  std::string path(const Program& program, InstanceId id) const { return program.path(all[id].draft); }
  /// The instance at the head of the path: itself, or the outermost owner.
  InstanceId root(InstanceId id) const {
    while (all[id].owner != none) id = all[id].owner;
    return id;
  }
};

/// `scenario` is an index into Program::scenarios, or none for the base.
Instances freeze(const Program& program, std::uint32_t scenario);

/// Field and instance a dotted path names ("lens.step.time"); slot is none where it names an instance.
struct PathTarget {
  InstanceId instance = none;
  Slot slot = none;
};
PathTarget find_target(const Program& program, const Instances& instances, std::string_view path);

}  // namespace sprue
