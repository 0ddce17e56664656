// Checking and evaluating what is open; which file belongs to which program.
#include "runtime/serve/analysis.hpp"

#include <algorithm>
#include <cmath>

#include "runtime/ledger/shown.hpp"

namespace sprue::serve {

Analysis::Analysis(const Host& host, const Documents& documents, const Document& document)
    : main(document.path), documents_(documents) {
  paths.insert(main);
  const TextAtHand at_hand = [&](const std::string& path) -> const std::string* {
    paths.insert(path);
    const Document* const open = documents.at_path(path);
    return open == nullptr ? nullptr : &open->text;
  };
  const SourceId source = sources.add(main, document.text);
  check(program, sources, source, host.loader(main, at_hand), diagnostics, &uses_);
  if (program.sound) evaluation = evaluate(program, none, {}, diagnostics);
  diagnostics.settle();
}

const Uses& Analysis::uses() const {
  if (!settled_) uses_.settle(program, sources);
  settled_ = true;
  return uses_;
}

const Lines& Analysis::lines(SourceId source) const {
  const auto found = lines_.find(source);
  if (found != lines_.end()) return found->second;
  return lines_.emplace(source, Lines(sources[source].text, documents_.encoding)).first->second;
}

std::optional<SourceId> Analysis::source_of(const std::string& path) const {
  for (SourceId id = 0; id < sources.size(); ++id) {
    if (!program.from_library({0, 0, id}) && (sources[id].name == path || canonical_path(sources[id].name) == path))
      return id;
  }
  return std::nullopt;
}

std::string Analysis::uri(SourceId source) const {
  return program.from_library({0, 0, source}) ? std::string() : documents_.uri_of(sources[source].name);
}

Json Analysis::location(Span span) const {
  if (span.end == 0 || program.from_library(span)) return {};
  return Json::object({{"uri", uri(span.source)}, {"range", range(span)}});
}

std::string Analysis::value_of(InstanceId instance, Slot slot) const {
  return values_of({{instance, slot}}).front();
}

std::vector<std::string> Analysis::values_of(const std::vector<PathTarget>& targets) const {
  std::vector<std::string> values(targets.size());
  if (!evaluation || !evaluation->sound) return values;
  const auto show = [&](const Evaluation& from, const PathTarget& target) {
    const GraphId node = from.lowered.node_of(target.instance, target.slot);
    if (node == no_node || from.absent(node) || !std::isfinite(from.value(node))) return std::string();
    const Kind& kind = program.kinds[from.lowered.instances.all[target.instance].kind];
    return text_of(program, shown_type(kind.fields[target.slot]), from.value(node)) +
           (from.incomplete(node) ? " (incomplete)" : "");
  };
  LowerOptions more;
  more.listings = false;
  for (std::size_t i = 0; i < targets.size(); ++i) {
    values[i] = show(*evaluation, targets[i]);
    if (values[i].empty()) more.also.push_back(targets[i]);
  }
  if (more.also.empty()) return values;
  // What no figure needed.
  Diagnostics ignored;
  const Evaluation wider = evaluate(program, none, more, ignored);
  if (!wider.sound) return values;
  for (std::size_t i = 0; i < targets.size(); ++i) {
    if (values[i].empty()) values[i] = show(wider, targets[i]);
  }
  return values;
}

DraftId Analysis::draft_at(SourceId source, std::uint32_t offset) const {
  DraftId found = none;
  for (DraftId id = 0; id < program.drafts.size(); ++id) {
    const TreeRef where = program.drafts[id].where;
    const Span span = program.trees[where.tree].span(where.node);
    if (span.source != source || offset < span.begin || offset > span.end) continue;
    // Children and copies of the statement come later; of copies the original is meant.
    const bool same = found != none && program.drafts[found].where.node == where.node;
    if (!same) found = id;
  }
  return found;
}

void Programs::read_again(const std::string& uri) {
  const Document* const document = documents.find(uri);
  if (document == nullptr) return;
  for (const auto& analysis : all_) {
    if (analysis->paths.count(document->path) != 0) documents.touched.insert(analysis->main);
  }
}

void Programs::refresh() {
  if (documents.touched.empty()) return;
  const std::set<std::string> touched = std::move(documents.touched);
  documents.touched.clear();
  std::erase_if(all_, [&](const std::unique_ptr<Analysis>& analysis) {
    return std::any_of(touched.begin(), touched.end(),
                       [&](const std::string& path) { return analysis->paths.count(path) != 0; });
  });
  const auto covers = [&](const std::string& path) {
    return std::any_of(all_.begin(), all_.end(), [&](const auto& a) { return a->paths.count(path) != 0; });
  };
  for (const auto& [uri, document] : documents.all()) {
    if (covers(document.path)) continue;
    all_.push_back(std::make_unique<Analysis>(host_, documents, document));
    // What was a program of its own until now may be part of this one.
    const Analysis& fresh = *all_.back();
    std::erase_if(all_, [&](const auto& a) { return a.get() != &fresh && fresh.paths.count(a->main) != 0; });
  }
}

std::optional<Programs::View> Programs::view(const std::string& uri) const {
  const Document* const document = documents.find(uri);
  if (document == nullptr) return std::nullopt;
  const std::vector<View> found = views(document->path);
  return found.empty() ? std::nullopt : std::optional(found.front());
}

std::vector<Programs::View> Programs::views(const std::string& path) const {
  std::vector<View> found;
  for (const auto& analysis : all_) {
    if (const auto source = analysis->source_of(path))
      found.push_back({*analysis, *source, analysis->lines(*source), analysis->sources[*source].text});
  }
  return found;
}

}  // namespace sprue::serve
