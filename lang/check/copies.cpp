// What `like` copies: instances first, their values once all are checked.
#include <fmt/format.h>
#include <algorithm>
#include <unordered_map>

#include "lang/check/checker.hpp"
#include "lang/limits/limits.hpp"

namespace sprue {

/// Sources of copies first. State 1 means "under way": meeting it again is a cycle; from 2 on it is done, and so many
/// instances stand behind it as the state is above 2.
void Checker::resolve_like(DraftId id, std::vector<int>& state, std::size_t depth) {
  if (id >= state.size() || state[id] >= 2) return;
  state[id] = 1;
  int done = 2;
  const TreeRef where = program_.drafts[id].where;
  for (std::uint32_t i = 1; i < node(where).count; ++i) {
    const TreeRef part = child(where, i);
    if (kind_of(part) == NodeKind::given || kind_of(part) == NodeKind::instance) break;
    if (kind_of(part) != NodeKind::like_clause) continue;
    const DraftId from = find_path(child(part, 0), true);
    program_.drafts[id].misplaced = true;  // until it is known what it copies
    if (from == none) break;
    if (from < state.size() && state[from] == 1) {
      report(Code::like_cycle, span(part), fmt::format("`{}` is made like itself", program_.path(id)))
          .help.push_back("one of the two must be written out in full");
      break;
    }
    if (depth <= limits::like_chain) resolve_like(from, state, depth + 1);
    const int behind = from < state.size() ? std::max(state[from] - 2, 0) : 0;
    if (depth + static_cast<std::size_t>(behind) >= limits::like_chain) {
      report(Code::too_many, span(part), fmt::format("more than {} instances made like each other", limits::like_chain))
          .help.push_back("make more of them like the same one");
      break;
    }
    done = behind + 3;
    if (program_.drafts[from].kind != program_.drafts[id].kind) {
      report(Code::wrong_type, span(part),
             fmt::format("`{}` is a {}, and this is a {}", program_.path(from),
                         text(program_.kinds[program_.drafts[from].kind].name),
                         text(program_.kinds[program_.drafts[id].kind].name)))
          .help.push_back("`like` copies an instance of the same kind");
      break;
    }
    copy_from(id, from);
    program_.drafts[id].like = from;
    program_.drafts[id].misplaced = false;
  }
  const std::vector<DraftId> children_now = program_.drafts[id].children;
  for (const DraftId inner : children_now) resolve_like(inner, state, depth);
  state[id] = done;
}

void Checker::copy_from(DraftId to, DraftId from) {
  // Values are copied when all are checked; how many they will be is known now.
  value_counts_.resize(program_.drafts.size(), 0);
  const auto values_of = [&](DraftId id) {
    return std::max<std::size_t>(value_counts_[id], program_.drafts[id].givens.size());
  };
  value_counts_[to] = static_cast<std::uint32_t>(
      std::min(values_of(to) + values_of(from), program_.kinds[program_.drafts[to].kind].fields.size()));
  copied_values_ += values_of(from);
  if (program_.drafts.size() > limits::declarations || copied_values_ > limits::copied_values) {
    if (!too_many_copies_) {
      report(Code::graph_too_large, program_.drafts[to].span,
             fmt::format("copies of copies make more than {} instances or {} values", limits::declarations,
                         limits::copied_values))
          .help.push_back("write fewer `like` inside what is itself copied");
    }
    too_many_copies_ = true;
    return;
  }
  copies_.push_back({to, from});
  if (program_.drafts[to].title == 0) program_.drafts[to].title = program_.drafts[from].title;
  std::vector<DraftId> ordered;
  std::vector<DraftId> own = program_.drafts[to].children;
  std::unordered_map<Symbol, DraftId> own_names;
  for (const DraftId child : own) own_names.emplace(program_.drafts[child].name, child);
  const std::vector<DraftId> source_children = program_.drafts[from].children;
  for (const DraftId source : source_children) {
    if (const auto found = own_names.find(program_.drafts[source].name); found != own_names.end()) {
      const DraftId match = found->second;
      own_names.erase(found);
      ordered.push_back(match);
      if (program_.drafts[match].kind != program_.drafts[source].kind) continue;  // replaced by another kind
      copy_from(match, source);
      program_.drafts[match].like = source;
      continue;
    }
    Draft copy;
    copy.name = program_.drafts[source].name;
    copy.kind = program_.drafts[source].kind;
    copy.slot = program_.drafts[source].slot;
    copy.owner = to;
    copy.like = source;
    copy.span = program_.drafts[source].span;
    copy.where = program_.drafts[source].where;
    const auto id = static_cast<DraftId>(program_.drafts.size());
    program_.drafts.push_back(std::move(copy));
    copy_from(id, source);
    ordered.push_back(id);
  }
  std::copy_if(own.begin(), own.end(), std::back_inserter(ordered),
               [&](DraftId child) { return own_names.count(program_.drafts[child].name) != 0; });
  program_.drafts[to].children = std::move(ordered);
}

/// What the copies do not say themselves.
void Checker::copy_values() {
  for (const Copy& copy : copies_) {
    auto& own = program_.drafts[copy.to].givens;
    for (const Given& given : program_.drafts[copy.from].givens) {
      if (std::none_of(own.begin(), own.end(), [&](const Given& other) { return other.slot == given.slot; }))
        own.push_back(given);
    }
  }
  copies_.clear();
}

}  // namespace sprue
