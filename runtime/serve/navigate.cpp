// Where a name is declared, where it stands, and giving it another.
#include <fmt/format.h>
#include <algorithm>

#include "lang/syntax/text.hpp"
#include "runtime/serve/features.hpp"

namespace sprue::serve {
namespace {

/// Every place of the name, in the files of the program that can be changed.
std::vector<Span> places_of(const Analysis& analysis, const Use& name) {
  std::vector<Span> places;
  for (const Use& use : analysis.uses().list()) {
    if (use.declared == name.declared) places.push_back(use.at);
  }
  return places;
}

/// The name in every open program that its declaration is part of.
std::vector<std::pair<const Analysis*, const Use*>> everywhere(const Programs& programs, const Analysis& analysis,
                                                               const Use& name) {
  std::vector<std::pair<const Analysis*, const Use*>> found{{&analysis, &name}};
  if (analysis.program.from_library(name.declared)) return found;
  for (const View& other : programs.views(canonical_path(analysis.sources[name.declared.source].name))) {
    const Use* const there = other.analysis.uses().at(other.source, name.declared.begin);
    if (&other.analysis != &analysis && there != nullptr && there->is_declaration())
      found.emplace_back(&other.analysis, there);
  }
  return found;
}

/// Why the name cannot be changed; empty where it can.
std::string fixed(const Analysis& analysis, const Use* use) {
  if (use == nullptr) return "there is no name here that can be changed";
  const Program& program = analysis.program;
  const std::string_view name = analysis.sources.text(use->at);
  if (use->what == Named::choice) return fmt::format("`{}` is one of the choices of a field", name);
  if (use->declared.end == 0) return fmt::format("`{}` is part of the language", name);
  if (program.from_library(use->declared)) return fmt::format("`{}` belongs to the standard library", name);
  if (use->what == Named::instance) {
    const Use* const declared = analysis.uses().at(use->declared.source, use->declared.begin);
    if (declared != nullptr && declared->what == Named::kind)
      return fmt::format("`{0}` is called after its kind; write `{0} NAME` where it is declared", name);
  }
  return {};
}

std::string no_name(std::string_view name) {
  const bool word = !name.empty() && name.size() <= 200 && text::is_letter(name.front()) &&
                    std::all_of(name.begin(), name.end(), [](char c) { return text::is_word(c); });
  if (!word) return fmt::format("`{}` is no name; write a letter, then letters, digits and `_`", name);
  static constexpr std::string_view own[] = {"this", "owner", "next", "previous", "yes", "no", "the", "all", "unknown"};
  if (text::is_no_unit_word(name) || text::is_statement_word(name) || text::is_aggregate_word(name) ||
      std::find(std::begin(own), std::end(own), name) != std::end(own))
    return fmt::format("`{}` is a word of the language; choose another name", name);
  return {};
}

}  // namespace

Json definition(const View& view, std::uint32_t offset) {
  const Analysis& analysis = view.analysis;
  const Use* const use = analysis.uses().at(view.source, offset);
  if (use == nullptr) return {};
  // Of a field, the declaration that holds for the kind at hand.
  const bool field = use->what == Named::field && !use->is_declaration();
  return analysis.location(field ? analysis.program.kinds[use->id].fields[use->slot].span : use->declared);
}

Json references(const Programs& programs, const View& view, std::uint32_t offset, bool with_declaration) {
  const Use* const use = view.analysis.uses().at(view.source, offset);
  if (use == nullptr || use->declared.end == 0) return {};
  Json found = Json::array();
  for (const auto& [analysis, name] : everywhere(programs, view.analysis, *use)) {
    for (const Span place : places_of(*analysis, *name)) {
      if (!with_declaration && place == name->declared) continue;
      found.add_new(analysis->location(place));
    }
  }
  return found;
}

Answer prepare_rename(const View& view, std::uint32_t offset) {
  const Use* const use = view.analysis.uses().at(view.source, offset);
  const std::string refused = fixed(view.analysis, use);
  if (!refused.empty()) return {{}, refused};
  return {Json::object({{"range", view.lines.range(use->at.begin, use->at.end)},
                        {"placeholder", view.analysis.sources.text(use->at)}}),
          {}};
}

namespace {

/// Edits by URI in one program. The texts as they would be are checked: the same names must mean the same.
Answer renamed(const Programs& programs, const Analysis& analysis, const Use* use, const std::string& name) {
  const std::vector<Span> places = places_of(analysis, *use);
  std::map<SourceId, std::string> texts;
  for (auto place = places.rbegin(); place != places.rend(); ++place) {
    const auto [text, fresh] = texts.try_emplace(place->source, analysis.sources[place->source].text);
    text->second.replace(place->begin, place->end - place->begin, name);
  }
  Documents changed;
  for (const auto& [source, text] : texts) changed.open(Json::object({{"uri", analysis.uri(source)}, {"text", text}}));
  for (const auto& [uri, document] : programs.documents.all()) {
    if (changed.find(uri) == nullptr) changed.open(Json::object({{"uri", uri}, {"text", document.text}}));
  }
  const Analysis after(programs.host(), changed, *changed.at_path(analysis.main));
  if (after.diagnostics.error_count() > analysis.diagnostics.error_count()) {
    for (const Diagnostic& diagnostic : after.diagnostics.list()) {
      if (info(diagnostic.code).severity == Severity::error)
        return {{}, fmt::format("`{}` cannot be the name: {}", name, diagnostic.message)};
    }
  }
  const auto shifted = [&](Span place) {
    const auto before = std::count_if(places.begin(), places.end(), [&](Span other) {
      return other.source == place.source && other.begin < place.begin;
    });
    const auto longer = static_cast<std::int64_t>(name.size()) - (place.end - place.begin);
    return static_cast<std::uint32_t>(place.begin + before * longer);
  };
  const Use* const first = after.uses().at(use->at.source, shifted(use->at));
  if (first == nullptr || places_of(after, *first).size() != places.size() ||
      after.uses().list().size() != analysis.uses().list().size())
    return {{}, fmt::format("`{}` has another meaning where the name would stand", name)};
  Json changes(Json::Object{});
  for (const auto& [source, text] : texts) {
    Json edits = Json::array();
    for (const Span place : places) {
      if (place.source == source) edits.add(Json::object({{"range", analysis.range(place)}, {"newText", name}}));
    }
    changes.set(analysis.uri(source), std::move(edits));
  }
  return {std::move(changes), {}};
}

}  // namespace

Answer rename(const Programs& programs, const View& view, std::uint32_t offset, const std::string& name) {
  const Analysis& analysis = view.analysis;
  const Use* const use = analysis.uses().at(view.source, offset);
  for (const std::string& refused : {fixed(analysis, use), no_name(name)}) {
    if (!refused.empty()) return {{}, refused};
  }
  if (analysis.sources.text(use->at) == name) return {Json(Json::Object{}), {}};
  std::map<std::string, Json> edits;
  for (const auto& [other, meant] : everywhere(programs, analysis, *use)) {
    const Answer answer = renamed(programs, *other, meant, name);
    if (!answer.refused.empty()) return answer;
    for (const auto& [uri, list] : *answer.result.members()) {
      for (const Json& edit : *list.items()) edits[uri].add_new(edit);
    }
  }
  Json changes(Json::Object{});
  for (auto& [uri, list] : edits) changes.set(uri, std::move(list));
  return {Json::object({{"changes", std::move(changes)}}), {}};
}

}  // namespace sprue::serve
