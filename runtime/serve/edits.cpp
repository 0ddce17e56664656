// Changes of the text that the server proposes: canonical layout, and the fixes of diagnostics.
#include <algorithm>

#include "lang/syntax/format.hpp"
#include "runtime/serve/features.hpp"

namespace sprue::serve {

Json formatting(const View& view) {
  Diagnostics ignored;
  const std::optional<std::string> text = format(view.analysis.sources, view.source, ignored);
  if (!text) return {};
  if (*text == view.text) return Json::array();
  // Only what lies between the lines that stay.
  const std::string_view before = view.text;
  const std::string_view after = *text;
  std::size_t head = 0;
  while (head < before.size() && head < after.size() && before[head] == after[head]) ++head;
  while (head != 0 && before[head - 1] != '\n') --head;
  std::size_t tail = 0;
  while (tail + head < before.size() && tail + head < after.size() &&
         before[before.size() - 1 - tail] == after[after.size() - 1 - tail])
    ++tail;
  while (tail != 0 && before[before.size() - tail - 1] != '\n') --tail;
  return Json::array({Json::object(
      {{"range", view.lines.range(static_cast<std::uint32_t>(head), static_cast<std::uint32_t>(before.size() - tail))},
       {"newText", after.substr(head, after.size() - tail - head)}})});
}

Json code_actions(const View& view, std::uint32_t begin, std::uint32_t end, const Json& only) {
  const Analysis& analysis = view.analysis;
  Json actions = Json::array();
  if (only.items() != nullptr &&
      std::find(only.items()->begin(), only.items()->end(), "quickfix") == only.items()->end())
    return actions;
  for (const Diagnostic& diagnostic : analysis.diagnostics.list()) {
    const Span at = diagnostic.span;
    if (at.source != view.source || at.begin > end || at.end < begin) continue;
    for (const Fix& fix : diagnostic.fixes) {
      std::map<std::string, Json> edits;
      for (const Replacement& replacement : fix.replacements)
        edits[analysis.uri(replacement.span.source)].add(
            Json::object({{"range", analysis.range(replacement.span)}, {"newText", replacement.text}}));
      Json changes(Json::Object{});
      for (auto& [uri, list] : edits) changes.set(uri, std::move(list));
      actions.add(Json::object({{"title", fix.title},
                                {"kind", "quickfix"},
                                {"isPreferred", fix.sure},
                                {"diagnostics", Json::array({json_of(analysis, diagnostic)})},
                                {"edit", Json::object({{"changes", std::move(changes)}})}}));
    }
  }
  return actions;
}

}  // namespace sprue::serve
