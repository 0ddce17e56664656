// What to say where a name is none, or stands in the wrong place: the instances, kinds and fields that may be meant.
// Adds help to what is reported elsewhere; reports nothing.
#include <fmt/format.h>
#include <algorithm>

#include "lang/check/checker.hpp"
#include "lang/diagnostics/fixes.hpp"

namespace sprue {
namespace {

/// "name one of: …", or how to have one.
std::string named(const std::vector<std::string_view>& names) {
  constexpr std::size_t most = 8;
  if (names.empty()) return "declare an instance first, and name it here";
  const std::vector<std::string_view> shown(names.begin(), names.begin() + std::min(names.size(), most));
  return fmt::format("name {}: {}{}", names.size() == 1 ? "its instance" : "one of its instances",
                     fmt::join(shown, ", "), names.size() > most ? ", …" : "");
}

}  // namespace

std::vector<std::string_view> Checker::instances_of(KindId kind) const {
  std::vector<std::string_view> names;
  if (!suggests()) return names;
  for (const auto& [name, id] : program_.draft_names) {
    if (kind == none || program_.is_a(program_.drafts[id].kind, kind)) names.push_back(text(name));
  }
  std::sort(names.begin(), names.end());
  return names;
}

std::string Checker::advise_instance(KindId kind) const {
  return named(instances_of(kind));
}

/// "part, subassembly or product": what an instance is declared with, where the kind itself is abstract.
std::string Checker::kinds_to_write(KindId kind) const {
  constexpr std::size_t most = 4;
  if (!program_.kinds[kind].abstract) return std::string(text(program_.kinds[kind].name));
  std::vector<std::string_view> names;
  for (KindId id = 0; id < program_.kinds.size(); ++id) {
    if (!program_.kinds[id].abstract && program_.is_a(id, kind)) names.push_back(text(program_.kinds[id].name));
  }
  if (names.empty()) return std::string(text(program_.kinds[kind].name));
  const bool more = names.size() > most;
  if (more) names.resize(most);
  const std::string_view last = more ? "another such kind" : names.back();
  if (!more) names.pop_back();
  return names.empty() ? std::string(last) : fmt::format("{} or {}", fmt::join(names, ", "), last);
}

/// Which other kinds have the field: first those that stand inside this one.
void Checker::tell_where(Diagnostic& diagnostic, const Kind& kind, Symbol field) {
  std::vector<std::string_view> others;
  for (KindId id = 0; id < program_.kinds.size(); ++id) {
    const Kind& other = program_.kinds[id];
    if (other.slots.count(field) == 0) continue;
    for (const Field& holds : kind.fields) {
      const bool inside = holds.type.tag == TypeTag::list || holds.type.tag == TypeTag::set;
      if (!inside || !program_.is_a(id, holds.type.id) || other.abstract) continue;
      diagnostic.help.push_back(fmt::format("`{0}` is a field of {1}, which stands inside: write `{1} {{ {0}: … }}`",
                                            text(field), text(other.name)));
      return;
    }
    if (!other.abstract) others.push_back(text(other.name));
  }
  if (!others.empty() && others.size() <= 6)
    diagnostic.help.push_back(fmt::format("`{}` is a field of {}", text(field), fmt::join(others, ", ")));
}

/// How a formula goes through what stands inside `kind` and has the field.
void Checker::tell_within(Diagnostic& diagnostic, const Kind& kind, Symbol field) const {
  if (!suggests()) return;
  for (const Field& holds : kind.fields) {
    if (holds.type.tag != TypeTag::list && holds.type.tag != TypeTag::set) continue;
    for (KindId id = 0; id < program_.kinds.size(); ++id) {
      const Kind& other = program_.kinds[id];
      if (other.abstract || other.slots.count(field) == 0 || !program_.is_a(id, holds.type.id)) continue;
      const std::string narrow = id == holds.type.id ? std::string() : fmt::format(" where s is {}", text(other.name));
      diagnostic.help.push_back(
          fmt::format("`{0}` is a field of {1}, which stands inside: `sum(s.{0} for s in x.{2}{3})`", text(field),
                      text(other.name), text(holds.name), narrow));
      return;
    }
  }
}

/// Where the name is that of an instance: the block of `kind` that refers to one.
void Checker::tell_block(Diagnostic& diagnostic, const Kind& kind, Symbol name) const {
  const auto draft = program_.draft_names.find(name);
  if (draft == program_.draft_names.end() || !suggests()) return;
  for (const Field& blocks : kind.fields) {
    if (blocks.type.tag != TypeTag::list && blocks.type.tag != TypeTag::set) continue;
    const Kind& block = program_.kinds[blocks.type.id];
    for (const Field& field : block.fields) {
      const bool refers = field.type.tag == TypeTag::reference && field.formula == none;
      if (block.abstract || !refers || !program_.is_a(program_.drafts[draft->second].kind, field.type.id)) continue;
      diagnostic.help.push_back(
          fmt::format("write `{} {{ {}: {}, … }}`", text(block.name), text(field.name), text(name)));
      return;
    }
  }
}

/// Whose field the lone name in a change is, where that is clear.
void Checker::tell_whose(Diagnostic& diagnostic, TreeRef name) {
  std::vector<DraftId> owners;
  if (!suggests()) return;
  for (const auto& [known, id] : program_.draft_names) {
    if (program_.kinds[program_.drafts[id].kind].slots.count(data(name)) != 0) owners.push_back(id);
  }
  if (program_.units->currency(data(name)) != no_currency) {
    diagnostic.help.push_back(fmt::format("write `exchange.{}: …`", text(data(name))));
  } else if (owners.size() == 1) {
    const std::string path = fmt::format("{}.{}", program_.path(owners[0]), text(data(name)));
    diagnostic.help.push_back(fmt::format("did you mean `{}`?", path));
    propose(diagnostic, diagnostic.span, path);
  } else {
    diagnostic.help.push_back(fmt::format("write `NAME.{}: VALUE`", text(data(name))));
  }
}

void Checker::tell_related(Diagnostic& diagnostic, std::string_view word,
                           const std::vector<std::string_view>& candidates) const {
  if (!suggests()) return;
  const std::vector<std::string_view> near = related(word, candidates);
  if (!near.empty()) diagnostic.help.push_back(fmt::format("it may be one of: {}", fmt::join(near, ", ")));
}

}  // namespace sprue
