// Declarations are read off the program; units and dimensions, whose names mean the same everywhere, off the trees.
#include "lang/check/uses.hpp"

#include <algorithm>
#include <tuple>
#include <unordered_map>

#include "lang/syntax/text.hpp"

namespace sprue {
namespace {

/// A child of a copy is the same name as the child it copies.
DraftId first_named(const Program& program, DraftId id) {
  for (;;) {
    const Draft& draft = program.drafts[id];
    if (draft.owner == none || draft.like == none) return id;
    const Draft& like = program.drafts[draft.like];
    if (like.name != draft.name || like.owner == none || like.owner != program.drafts[draft.owner].like) return id;
    id = draft.like;
  }
}

/// The kind that declares the field first.
KindId first_kind_with(const Program& program, KindId kind, Slot slot) {
  while (program.kinds[kind].base != none && slot < program.kinds[program.kinds[kind].base].fields.size())
    kind = program.kinds[kind].base;
  return kind;
}

/// Units and dimensions in one file: the words of numbers and of dimensions.
class UnitWords {
 public:
  UnitWords(const Program& program, const Sources& sources, Uses& uses)
      : program_(program), sources_(sources), uses_(uses) {
    for (const Tree& tree : program.trees) {
      for (const NodeId id : tree.children_of(tree.root)) declaration(tree, id);
    }
  }

  void add_all() {
    for (const Tree& tree : program_.trees) {
      if (program_.from_library({0, 0, tree.source})) continue;
      for (NodeId id = 0; id < tree.nodes.size(); ++id) add(tree, id);
    }
  }

 private:
  void declaration(const Tree& tree, NodeId id) {
    const NodeKind kind = tree[id].kind;
    const bool both = kind == NodeKind::countable;
    const bool unit = kind == NodeKind::base_unit || kind == NodeKind::derived_unit || kind == NodeKind::currency;
    if (!both && !unit && kind != NodeKind::dimension) return;
    const NodeId name = tree.children_of(id)[0];
    const Span span = tree.span(name);
    if (both || unit) units_.emplace(program_.text(tree[name].data), span);
    if (!unit) dimensions_.emplace(program_.text(tree[name].data), span);
    if (!program_.from_library(span)) uses_.add({span, span, unit ? Named::unit : Named::dimension});
  }

  void add(const Tree& tree, NodeId id) {
    switch (tree[id].kind) {
      case NodeKind::dims:
        words(tree.span(id), false);
        break;
      case NodeKind::number: {
        if (tree[id].data == 0) break;
        Span span = tree.span(id);
        const std::string_view text = sources_.text(span);
        const std::size_t blank = text.find(' ');
        if (blank == std::string_view::npos) break;
        span.begin += static_cast<std::uint32_t>(blank);
        words(span, true);
        break;
      }
      case NodeKind::report:
        words(tree.span(tree.children_of(id)[0]), true);
        break;
      case NodeKind::member: {
        const auto parts = tree.children_of(id);
        if (parts.size() == 2 && sources_.text(tree.span(parts[0])) == "exchange") words(tree.span(parts[1]), true);
        break;
      }
      default:
        break;
    }
  }

  void words(Span span, bool units_first) {
    const char* const text = sources_[span.source].text.data();
    for (const char* p = text + span.begin; p < text + span.end;) {
      const char* const end = text::past_word(p);
      if (end == p) {
        ++p;
        continue;
      }
      const std::string_view word(p, static_cast<std::size_t>(end - p));
      const Span at{static_cast<std::uint32_t>(p - text), static_cast<std::uint32_t>(end - text), span.source};
      if (!find(units_first, word, at)) find(!units_first, word, at);
      p = end;
    }
  }

  bool find(bool unit, std::string_view word, Span at) {
    const auto& names = unit ? units_ : dimensions_;
    const auto found = names.find(word);
    if (found == names.end()) return false;
    uses_.add({at, found->second, unit ? Named::unit : Named::dimension});
    return true;
  }

  const Program& program_;
  const Sources& sources_;
  Uses& uses_;
  std::unordered_map<std::string_view, Span> units_;
  std::unordered_map<std::string_view, Span> dimensions_;
};

void add_declarations(const Program& program, Uses& uses) {
  const auto declare = [&](Span at, Named what, std::uint32_t id, std::uint32_t slot = none) {
    if (!program.from_library(at)) uses.add({at, at, what, id, slot});
  };
  for (KindId id = 0; id < program.kinds.size(); ++id) {
    const Kind& kind = program.kinds[id];
    declare(kind.span, Named::kind, id);
    for (Slot slot = 0; slot < kind.fields.size(); ++slot) {
      if (kind.fields[slot].declared_in == id) declare(kind.fields[slot].span, Named::field, id, slot);
    }
  }
  for (std::uint32_t id = 0; id < program.functions.size(); ++id)
    declare(program.functions[id].span, Named::function, id);
  for (LedgerId id = 0; id < program.ledgers.size(); ++id) {
    declare(program.ledgers[id].span, Named::ledger, id);
    for (std::uint32_t i = 0; i < program.ledgers[id].categories.size(); ++i)
      declare(program.ledgers[id].categories[i].span, Named::category, id, i);
  }
  for (std::uint32_t id = 0; id < program.scenarios.size(); ++id)
    declare(program.scenarios[id].span, Named::scenario, id);
  for (std::uint32_t id = 0; id < program.listings.size(); ++id) declare(program.listings[id].span, Named::listing, id);
  for (std::uint32_t id = 0; id < program.audiences.size(); ++id)
    declare(program.audiences[id].span, Named::audience, id);
  for (DraftId id = 0; id < program.drafts.size(); ++id) {
    const Draft& draft = program.drafts[id];
    const Tree& tree = program.trees[draft.where.tree];
    const bool named = tree.span(tree.children_of(draft.where.node)[0]) != draft.span;
    if (named) declare(draft.span, Named::instance, id);
  }
}

}  // namespace

void Uses::settle(const Program& program, const Sources& sources) {
  add_declarations(program, *this);
  UnitWords(program, sources, *this).add_all();
  for (Use& use : list_) {
    switch (use.what) {
      case Named::kind:
        use.declared = program.kinds[use.id].span;
        break;
      case Named::field: {
        const KindId first = first_kind_with(program, use.id, use.slot);
        use.declared = program.kinds[first].fields[use.slot].span;
        break;
      }
      case Named::instance:
        use.declared = program.drafts[first_named(program, use.id)].span;
        break;
      case Named::scenario:
        use.declared = program.scenarios[use.id].span;
        break;
      case Named::function:
        use.declared = program.functions[use.id].span;
        break;
      case Named::ledger:
        use.declared = program.ledgers[use.id].span;
        break;
      case Named::category:
        use.declared = program.ledgers[use.id].categories[use.slot].span;
        break;
      case Named::listing:
        use.declared = program.listings[use.id].span;
        break;
      default:
        break;
    }
  }
  const auto key = [](const Use& use) { return std::tuple(use.at.source, use.at.begin, use.at.end, use.what); };
  std::stable_sort(list_.begin(), list_.end(), [&](const Use& a, const Use& b) { return key(a) < key(b); });
  const auto same = [](const Use& a, const Use& b) { return a.at == b.at; };
  list_.erase(std::unique(list_.begin(), list_.end(), same), list_.end());
}

const Use* Uses::at(SourceId source, std::uint32_t offset) const {
  const auto after = std::partition_point(list_.begin(), list_.end(), [&](const Use& use) {
    return std::tuple(use.at.source, use.at.begin) <= std::tuple(source, offset);
  });
  if (after == list_.begin()) return nullptr;
  const Use& use = *std::prev(after);
  return use.at.source == source && offset <= use.at.end ? &use : nullptr;
}

}  // namespace sprue
