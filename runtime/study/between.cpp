// Compiling programs between two versions, and lanes over those that share a graph.
#include "runtime/study/between.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "lang/check/check.hpp"
#include "runtime/machine/parallel_for.hpp"
#include "runtime/study/lanes.hpp"

namespace sprue {

struct Between::Compiled {
  Sources sources;
  Program program;
  Diagnostics diagnostics;
  Evaluation evaluation;
  std::vector<GraphId> outputs;  // of the headlines asked for; empty where there is no graph to use
  Worth worth;
};

namespace {

constexpr std::size_t values_at_once = 1'000'000;

bool same_structure(const Graph& a, const Graph& b) {
  const auto same_node = [](const GraphNode& x, const GraphNode& y) {
    return x.op == y.op && x.a == y.a && x.b == y.b && x.c == y.c;
  };
  return a.constants == b.constants && a.operands == b.operands && a.inputs.size() == b.inputs.size() &&
         std::equal(a.nodes.begin(), a.nodes.end(), b.nodes.begin(), b.nodes.end(), same_node);
}

}  // namespace

Between::Between(const Changes& changes, std::vector<HeadlineKey> headlines, Loader library)
    : changes_(changes), headlines_(std::move(headlines)), library_(std::move(library)) {}
Between::~Between() = default;

void Between::set_groups(std::vector<std::vector<std::uint32_t>> groups) {
  groups_ = std::move(groups);
  only_values_.assign(groups_.size(), -1);
}

std::vector<bool> Between::changed(const Subset& made) const {
  std::vector<bool> changed(changes_.list.size(), false);
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    for (const std::uint32_t change : groups_[g]) changed[change] = made[g];
  }
  return changed;
}

std::unique_ptr<Between::Compiled> Between::compile(const Subset& made) {
  {
    const std::lock_guard lock(mutex_);
    ++counters_.compiled;
  }
  const std::vector<bool> changed = this->changed(made);
  auto compiled = std::make_unique<Compiled>();
  const SourceId source =
      compiled->sources.add("between", source_between(changes_, [&](std::uint32_t c) { return changed[c]; }));
  check(compiled->program, compiled->sources, source, library_, compiled->diagnostics);
  if (!compiled->program.sound) return compiled;
  LowerOptions options;
  options.listings = false;
  options.modelled = false;
  const Program& program = compiled->program;
  compiled->evaluation = evaluate(program, program.scenarios.empty() ? none : 0, options, compiled->diagnostics);
  const Evaluation& evaluation = compiled->evaluation;
  if (!evaluation.lowered.sound) return compiled;
  const std::vector<HeadlineKey> keys = headline_keys(program, evaluation.lowered);
  std::vector<GraphId> outputs;
  std::vector<double> values;
  for (const HeadlineKey& wanted : headlines_) {
    const std::uint32_t at = find_headline(keys, wanted);
    if (at == none || evaluation.absent(evaluation.lowered.headlines[at].node)) return compiled;
    outputs.push_back(evaluation.lowered.headlines[at].node);
    values.push_back(evaluation.value(outputs.back()));
  }
  compiled->outputs = std::move(outputs);
  if (evaluation.sound) compiled->worth = std::move(values);
  return compiled;
}

bool Between::only_values(std::uint32_t group) {
  if (only_values_[group] >= 0) return only_values_[group] != 0;
  Subset made(groups_.size(), false);
  if (first_ == nullptr) first_ = compile(made);
  made[group] = true;
  const auto with = compile(made);
  const bool same = !first_->outputs.empty() && !with->outputs.empty() && first_->outputs == with->outputs &&
                    same_structure(first_->evaluation.lowered.graph, with->evaluation.lowered.graph);
  only_values_[group] = same ? 1 : 0;
  return same;
}

Worth Between::one(const Subset& made) {
  const std::vector<bool> key = changed(made);
  {
    const std::lock_guard lock(mutex_);
    if (const auto found = known_.find(key); found != known_.end()) return found->second;
  }
  Worth worth = compile(made)->worth;
  const std::lock_guard lock(mutex_);
  return known_.emplace(key, std::move(worth)).first->second;
}

std::vector<Worth> Between::all(const std::vector<Subset>& subsets) {
  std::map<Subset, std::vector<std::size_t>> by_structure;
  for (std::size_t i = 0; i < subsets.size(); ++i) {
    Subset structure = subsets[i];
    for (std::uint32_t g = 0; g < groups_.size(); ++g) {
      if (structure[g] && only_values(g)) structure[g] = false;
    }
    by_structure[structure].push_back(i);
  }
  std::vector<Worth> worths(subsets.size());
  std::vector<const decltype(by_structure)::value_type*> work;
  for (const auto& entry : by_structure) work.push_back(&entry);
  // Structures have nothing to do with each other, so who compiles which makes no difference.
  parallel_for(work.size(), 0, [&](std::size_t at) {
    const auto& [structure, members] = *work[at];
    std::vector<Subset> wanted;
    for (const std::size_t i : members) wanted.push_back(subsets[i]);
    std::vector<Worth> found = share_graph(structure, wanted);
    for (std::size_t k = 0; k < members.size(); ++k) worths[members[k]] = std::move(found[k]);
  });
  return worths;
}

/// All subsets differ from `structure` by groups of values alone.
std::vector<Worth> Between::share_graph(const Subset& structure, const std::vector<Subset>& subsets) {
  std::vector<Worth> worths;
  std::vector<std::uint32_t> groups;
  for (std::uint32_t g = 0; g < groups_.size(); ++g) {
    const bool used = std::any_of(subsets.begin(), subsets.end(), [&](const Subset& s) { return s[g]; });
    if (used && !structure[g]) groups.push_back(g);
  }
  const auto one_by_one = [&] {
    for (const Subset& subset : subsets) worths.push_back(one(subset));
    return worths;
  };
  if (subsets.size() <= groups.size() + 1) return one_by_one();
  const auto base = compile(structure);
  const Graph& graph = base->evaluation.lowered.graph;
  // What each group does to the inputs, here: a value may reach copies that other structures lack.
  std::map<std::uint32_t, Lane> sets;
  std::set<std::uint32_t> inputs;
  for (const std::uint32_t g : groups) {
    Subset with = structure;
    with[g] = true;
    const auto compiled = compile(with);
    if (base->outputs.empty() || compiled->outputs != base->outputs ||
        !same_structure(graph, compiled->evaluation.lowered.graph))
      return one_by_one();
    for (std::uint32_t i = 0; i < graph.inputs.size(); ++i) {
      const double value = compiled->evaluation.lowered.graph.inputs[i];
      if (value == graph.inputs[i]) continue;
      sets[g].emplace_back(i, value);
      // Two groups that set the same input are no lanes: who is later would decide.
      if (!inputs.insert(i).second) return one_by_one();
    }
  }
  {
    const std::lock_guard lock(mutex_);
    counters_.lanes += subsets.size();
  }
  // A few at a time: a lane has every value that differs in it.
  std::vector<Lane> lanes;
  std::size_t values = 0;
  for (const Subset& subset : subsets) {
    lanes.emplace_back();
    for (const auto& [group, set] : sets) {
      if (subset[group]) lanes.back().insert(lanes.back().end(), set.begin(), set.end());
    }
    values += lanes.back().size();
    if (values < values_at_once && &subset != &subsets.back()) continue;
    for (Worth& worth : evaluate_lanes(base->evaluation, base->outputs, lanes)) worths.push_back(std::move(worth));
    lanes.clear();
    values = 0;
  }
  // What a table nobody asks says is not known to the lanes; the compiler knows.
  for (std::size_t i = 0; i < worths.size(); ++i) {
    if (!worths[i]) worths[i] = one(subsets[i]);
  }
  return worths;
}

}  // namespace sprue
