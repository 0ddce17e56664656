// Diagnostics in the protocol's terms.
#include "runtime/serve/features.hpp"

namespace sprue::serve {
namespace {

/// The message, then what else is to be said, a line each.
std::string message_of(const Diagnostic& diagnostic) {
  std::string text = diagnostic.message;
  for (const std::string& note : diagnostic.notes) text += "\nnote: " + note;
  for (const std::string& help : diagnostic.help) text += "\nhelp: " + help;
  return text;
}

/// What lies in a built-in module is said where the program is concerned.
Span place_of(const Analysis& analysis, const Diagnostic& diagnostic) {
  Span at = diagnostic.span;
  for (const Label& label : diagnostic.labels) {
    if (analysis.program.from_library(at)) at = label.span;
  }
  return analysis.program.from_library(at) ? Span{0, 0, 0} : at;
}

}  // namespace

Json json_of(const Analysis& analysis, const Diagnostic& diagnostic) {
  Json json = Json::object({{"range", analysis.range(place_of(analysis, diagnostic))},
                            {"severity", info(diagnostic.code).severity == Severity::error ? 1 : 2},
                            {"code", info(diagnostic.code).number},
                            {"source", "sprue"},
                            {"message", message_of(diagnostic)}});
  Json related = Json::array();
  for (const Label& label : diagnostic.labels) {
    Json location = analysis.location(label.span);
    if (!location.is_null()) related.add(Json::object({{"location", std::move(location)}, {"message", label.text}}));
  }
  if (!related.items()->empty()) json.set("relatedInformation", std::move(related));
  return json;
}

void add_diagnostics(const Analysis& analysis, std::map<std::string, Json>& by_uri) {
  for (SourceId source = 0; source < analysis.sources.size(); ++source) {
    const std::string uri = analysis.uri(source);
    if (!uri.empty()) by_uri.emplace(uri, Json::array());
  }
  for (const Diagnostic& diagnostic : analysis.diagnostics.list()) {
    by_uri[analysis.uri(place_of(analysis, diagnostic).source)].add_new(json_of(analysis, diagnostic));
  }
}

}  // namespace sprue::serve
