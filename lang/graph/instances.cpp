// Applying a scenario and laying the instances out in path order.
#include "lang/graph/instances.hpp"

#include <algorithm>
#include <unordered_map>

namespace sprue {
namespace {

class Freezer {
 public:
  Freezer(const Program& program, std::uint32_t scenario) : program_(program) {
    for (std::uint32_t at = scenario; at != none; at = program.scenarios[at].like) chain_.insert(chain_.begin(), at);
  }

  Instances run() {
    out_.drafts = &program_.drafts;
    out_.of_draft.assign(program_.drafts.size(), none);
    std::size_t slots = 0;
    for (const Draft& draft : program_.drafts) slots += program_.kinds[draft.kind].fields.size();
    out_.given_at.reserve(slots);
    out_.all.reserve(program_.drafts.size());
    out_.removed_at.assign(program_.drafts.size(), Span{});
    for (const Exchange& exchange : program_.exchanges) out_.exchange_rates.push_back(exchange.rate);
    std::vector<DraftId> roots;
    for (const auto& [name, draft] : program_.draft_names) roots.push_back(draft);
    removed_.assign(program_.drafts.size(), false);
    for (const std::uint32_t id : chain_) apply(program_.scenarios[id], roots);
    emit_sorted(roots, none);
    return std::move(out_);
  }

 private:
  void apply(const Scenario& scenario, std::vector<DraftId>& roots) {
    for (const DraftId added : scenario.added) {
      const DraftId owner = program_.drafts[added].owner;
      if (owner == none) {
        roots.push_back(added);
      } else {
        added_[owner].push_back(added);
      }
    }
    for (const Edit& edit : scenario.edits) {
      if (edit.what == Edit::What::remove) {
        removed_[edit.target] = true;
        out_.removed_at[edit.target] = edit.span;
      } else if (edit.what == Edit::What::give) {
        given_[edit.target][edit.given.slot] = &edit.given;
      } else {
        for (std::size_t i = 0; i < program_.exchanges.size(); ++i) {
          if (program_.exchanges[i].currency == edit.currency) out_.exchange_rates[i] = edit.rate;
        }
      }
    }
  }

  void emit_sorted(std::vector<DraftId> drafts, InstanceId owner) {
    std::vector<std::uint32_t> order;
    drafts.erase(std::remove_if(drafts.begin(), drafts.end(), [&](DraftId d) { return removed_[d]; }), drafts.end());
    for (std::uint32_t i = 0; i < drafts.size(); ++i) order.push_back(i);
    std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
      return program_.text(program_.drafts[drafts[a]].name) < program_.text(program_.drafts[drafts[b]].name);
    });
    for (const std::uint32_t i : order) emit(drafts[i], owner, i);
  }

  void emit(DraftId id, InstanceId owner, std::uint32_t position) {
    const Draft& draft = program_.drafts[id];
    const auto instance = static_cast<InstanceId>(out_.all.size());
    out_.of_draft[id] = instance;
    out_.all.push_back({id, draft.kind, owner, out_.slot_count, 0, position});
    const auto fields = static_cast<std::uint32_t>(program_.kinds[draft.kind].fields.size());
    out_.given_at.resize(out_.slot_count + fields, none);
    for (std::uint32_t i = 0; i < draft.givens.size(); ++i) out_.given_at[out_.slot_count + draft.givens[i].slot] = i;
    if (const auto changes = given_.find(id); changes != given_.end()) {
      for (const auto& [slot, given] : changes->second) {
        out_.given_at[out_.slot_count + slot] = Instances::changed + static_cast<std::uint32_t>(out_.changes.size());
        out_.changes.push_back(given);
      }
    }
    out_.slot_count += fields;
    std::vector<DraftId> children = draft.children;
    if (const auto added = added_.find(id); added != added_.end())
      children.insert(children.end(), added->second.begin(), added->second.end());
    if (!children.empty()) emit_sorted(std::move(children), instance);
    out_.all[instance].after = static_cast<InstanceId>(out_.all.size());
  }

  const Program& program_;
  Instances out_;
  std::vector<std::uint32_t> chain_;
  std::vector<bool> removed_;
  std::unordered_map<DraftId, std::vector<DraftId>> added_;
  std::unordered_map<DraftId, std::unordered_map<Slot, const Given*>> given_;
};

}  // namespace

Instances freeze(const Program& program, std::uint32_t scenario) {
  return Freezer(program, scenario).run();
}

PathTarget find_target(const Program& program, const Instances& instances, std::string_view path) {
  InstanceId at = none;
  while (!path.empty()) {
    const std::size_t dot = std::min(path.find('.'), path.size());
    const std::string_view name = path.substr(0, dot);
    path.remove_prefix(std::min(dot + 1, path.size()));
    const InstanceId begin = at == none ? 0 : at + 1;
    const InstanceId end = at == none ? static_cast<InstanceId>(instances.size()) : instances.all[at].after;
    InstanceId next = none;
    for (InstanceId id = begin; id < end; id = instances.all[id].after) {
      if (program.text(program.drafts[instances.all[id].draft].name) == name) next = id;
    }
    if (next != none) {
      at = next;
      continue;
    }
    if (at == none || !path.empty()) return {};
    for (const auto& [field, slot] : program.kinds[instances.all[at].kind].slots) {
      if (program.text(field) == name) return {at, slot};
    }
    return {};
  }
  return {at, none};
}

}  // namespace sprue
