// Kinds, instances and ledgers looked up by the words before a place.
#include "runtime/serve/scope.hpp"

#include "lang/syntax/text.hpp"

namespace sprue::serve {
namespace {

Meaning reference(KindId kind) {
  return kind == none ? Meaning{} : Meaning{{TypeTag::reference, kind, 0}, none, none};
}

}  // namespace

KindId Scope::instance_kind() const {
  if (context_.blocks.empty() || head().empty()) return none;
  const Lexeme& first = head().front();
  if (first.is("add") && head().size() > 1) return kind_called(head()[1].text);
  return text::is_statement_word(first.text) ? none : kind_called(first.text);
}

KindId Scope::declared_kind() const {
  if (context_.blocks.empty()) return none;
  for (std::size_t i = 0; i + 1 < head().size() && i < 2; ++i) {
    if (head()[i].is("kind")) return kind_called(head()[i + 1].text);
  }
  return none;
}

std::pair<KindId, Slot> Scope::given_field() const {
  const auto& before = context_.before;
  std::size_t colon = 0;
  while (colon < before.size() && !before[colon].is(":")) ++colon;
  if (colon == 0 || colon == before.size()) return {none, none};
  if (const KindId kind = instance_kind(); kind != none)
    return {kind, slot_called(program_.kinds[kind], before[0].text)};
  if (const KindId own = declared_kind(); own != none)
    return {own, slot_called(program_.kinds[own], before[colon - 1].text)};
  if (colon < 3) return {none, none};
  const Meaning of = path_before(colon - 2);
  if (of.type.tag != TypeTag::reference) return {none, none};
  return {of.type.id, slot_called(program_.kinds[of.type.id], before[colon - 1].text)};
}

Meaning Scope::path_before(std::size_t end) const {
  const auto& before = context_.before;
  if (end == 0 || !before[end - 1].is_word()) return {};
  std::size_t begin = end - 1;
  while (begin >= 2 && before[begin - 1].is(".") && before[begin - 2].is_word()) begin -= 2;
  const bool only = begin > 0 && before[begin - 1].is("the");
  const bool whose = begin > 1 && before[begin - 1].is("whose");
  Meaning meaning = only    ? reference(kind_called(before[begin].text))
                    : whose ? member_of(reference(kind_called(before[begin - 2].text)), before[begin].text)
                            : name(before[begin].text);
  for (std::size_t i = begin + 2; i < end; i += 2) meaning = member_of(meaning, before[i].text);
  return meaning;
}

Meaning Scope::name(std::string_view word) const {
  const KindId own = declared_kind();
  const KindId kind = own != none ? own : instance_kind();
  for (const LoopName& loop : loops()) {
    if (loop.name == word) return reference(loop.kind);
  }
  if (own != none && word == "this") return reference(own);
  if (own != none && word == "owner") return reference(program_.kinds[own].within);
  if (own != none && (word == "next" || word == "previous")) return reference(own);
  if (kind != none) {
    if (const Slot slot = slot_called(program_.kinds[kind], word); slot != none)
      return {program_.kinds[kind].fields[slot].type, none, none};
  }
  for (const auto& [symbol, draft] : program_.draft_names) {
    if (program_.text(symbol) == word) return {{TypeTag::reference, program_.drafts[draft].kind, 0}, draft, none};
  }
  for (LedgerId ledger = 0; ledger < program_.ledgers.size(); ++ledger) {
    if (program_.text(program_.ledgers[ledger].name) == word) return {{}, none, ledger};
  }
  return {};
}

Meaning Scope::member_of(const Meaning& of, std::string_view word) const {
  if (of.draft != none) {
    for (const DraftId child : program_.drafts[of.draft].children) {
      if (program_.text(program_.drafts[child].name) == word)
        return {{TypeTag::reference, program_.drafts[child].kind, 0}, child, none};
    }
  }
  if (of.type.tag != TypeTag::reference && of.type.tag != TypeTag::optional) return {};
  const Kind& kind = program_.kinds[of.type.id];
  if (word == "owner") return reference(kind.within);
  const Slot slot = slot_called(kind, word);
  return slot == none ? Meaning{} : Meaning{kind.fields[slot].type, none, none};
}

std::optional<DimensionId> Scope::dimension(std::string_view text, std::size_t begin, std::size_t end) const {
  if (begin >= end) return std::nullopt;
  const std::uint32_t from = context_.before[begin].begin;
  Units::Problem unsaid;
  return program_.units->dimension(text.substr(from, context_.before[end - 1].end() - from), unsaid);
}

std::vector<LoopName> Scope::loops() const {
  std::vector<LoopName> found;
  for (const Block& block : context_.blocks) add_loops(block.head, found);
  std::vector<Lexeme> entry = context_.before;
  entry.insert(entry.end(), context_.after.begin(), context_.after.end());
  add_loops(entry, found);
  return found;
}

void Scope::add_loops(const std::vector<Lexeme>& words, std::vector<LoopName>& found) const {
  for (std::size_t i = 0; i + 2 < words.size(); ++i) {
    if (!words[i].is_word() || !words[i + 1].is("in")) continue;
    const bool all = words[i + 2].is("all") && i + 3 < words.size();
    LoopName loop{words[i].text, kind_called(words[all ? i + 3 : i + 2].text)};
    if (loop.kind == none && declared_kind() != none) {
      const Kind& kind = program_.kinds[declared_kind()];
      const Slot slot = slot_called(kind, words[i + 2].text);
      const TypeTag tag = slot == none ? TypeTag::error : kind.fields[slot].type.tag;
      if (tag == TypeTag::list || tag == TypeTag::set || tag == TypeTag::many) loop.kind = kind.fields[slot].type.id;
    }
    found.push_back(loop);
  }
}

std::vector<std::string_view> Scope::parameters() const {
  const auto& before = context_.before;
  std::vector<std::string_view> names;
  for (std::size_t i = 0; i + 1 < before.size(); ++i) {
    if (before[i].is_word() && before[i + 1].is(":")) names.push_back(before[i].text);
  }
  return names;
}

KindId Scope::kind_called(std::string_view word) const {
  for (const auto& [name, id] : program_.kind_names) {
    if (program_.text(name) == word) return id;
  }
  return none;
}

Slot Scope::slot_called(const Kind& kind, std::string_view word) const {
  for (Slot slot = 0; slot < kind.fields.size(); ++slot) {
    if (program_.text(kind.fields[slot].name) == word) return slot;
  }
  return none;
}

}  // namespace sprue::serve
