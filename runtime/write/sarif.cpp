// The Static Analysis Results Interchange Format, version 2.1.0, an OASIS standard: one run, its rules from codes.def.
// Columns count characters (`columnKind`); files are relative URIs, the built-in modules `sprue:NAME`.
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <filesystem>

#include "runtime/write/diagnostics.hpp"
#include "runtime/write/json.hpp"
#include "sprue/version.hpp"

namespace sprue {
namespace {

constexpr std::array codes{
#define SPRUE_CODE(name, number, severity, summary) Code::name,
#include "lang/diagnostics/codes.def"
#undef SPRUE_CODE
};

const char* level(Severity severity) {
  return severity == Severity::error ? "error" : "warning";
}

/// A file's name relative to where the command runs, percent-encoded.
std::string uri(const std::string& name) {
  namespace fs = std::filesystem;
  const bool built_in = name.starts_with("std.") && name.find('/') == std::string::npos && !name.ends_with(".sprue");
  if (built_in) return "sprue:" + name;
  std::error_code error;
  const fs::path path(name);
  const fs::path relative = path.is_absolute() ? path.lexically_relative(fs::current_path(error)) : path;
  std::string encoded;
  for (const char c : (relative.empty() ? path : relative).generic_string()) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       std::string_view("-._~/").find(c) != std::string_view::npos;
    encoded += plain ? std::string(1, c) : fmt::format("%{:02X}", static_cast<unsigned char>(c));
  }
  return encoded;
}

std::string artifact(const Sources& sources, SourceId source) {
  return fmt::format(R"({{"uri": {}}})", json_string(uri(sources[source].name)));
}

std::string region(const Sources& sources, Span span) {
  const Position begin = sources.position(span.source, span.begin);
  const Position end = sources.position(span.source, span.end);
  return fmt::format(
      R"({{"startLine": {}, "startColumn": {}, "endLine": {}, "endColumn": {}, "byteOffset": {}, "byteLength": {}}})",
      begin.line, begin.column, end.line, end.column, span.begin, span.end - span.begin);
}

std::string location(const Sources& sources, Span span) {
  return fmt::format(R"("physicalLocation": {{"artifactLocation": {}, "region": {}}})", artifact(sources, span.source),
                     region(sources, span));
}

std::string related(const Sources& sources, const std::vector<Label>& labels) {
  std::string out;
  for (const Label& label : labels)
    out += fmt::format(R"({}{{{}, "message": {{"text": {}}}}})", out.empty() ? "" : ", ", location(sources, label.span),
                       json_string(label.text));
  return out.empty() ? out : fmt::format(R"(, "relatedLocations": [{}])", out);
}

std::string changes(const Sources& sources, const Fix& fix) {
  std::string out;
  std::vector<SourceId> done;
  for (const Replacement& first : fix.replacements) {
    const SourceId source = first.span.source;
    if (std::find(done.begin(), done.end(), source) != done.end()) continue;
    done.push_back(source);
    std::string replacements;
    for (const Replacement& r : fix.replacements) {
      if (r.span.source != source) continue;
      replacements += fmt::format(R"({}{{"deletedRegion": {}, "insertedContent": {{"text": {}}}}})",
                                  replacements.empty() ? "" : ", ", region(sources, r.span), json_string(r.text));
    }
    out += fmt::format(R"({}{{"artifactLocation": {}, "replacements": [{}]}})", out.empty() ? "" : ", ",
                       artifact(sources, source), replacements);
  }
  return out;
}

std::string fixes(const Sources& sources, const std::vector<Fix>& list) {
  std::string out;
  for (const Fix& fix : list)
    out += fmt::format(R"({}{{"description": {{"text": {}}}, "artifactChanges": [{}], "properties": {{"sure": {}}}}})",
                       out.empty() ? "" : ", ", json_string(fix.title), changes(sources, fix), fix.sure);
  return out.empty() ? out : fmt::format(R"(, "fixes": [{}])", out);
}

}  // namespace

std::vector<std::string> sarif_results(const Diagnostics& diagnostics, const Sources& sources) {
  std::vector<std::string> results;
  for (const Diagnostic& d : diagnostics.list()) {
    const CodeInfo& code = info(d.code);
    std::string text = d.message;
    for (const std::string& note : d.notes) text += "\nnote: " + note;
    for (const std::string& help : d.help) text += "\nhelp: " + help;
    results.push_back(fmt::format(
        R"({{"ruleId": {}, "ruleIndex": {}, "level": "{}", "message": {{"text": {}}}, "locations": [{{{}}}]{}{}}})",
        json_string(code.number), static_cast<std::size_t>(d.code), level(code.severity), json_string(text),
        location(sources, d.span), related(sources, d.labels), fixes(sources, d.fixes)));
  }
  return results;
}

std::string sarif_log(const std::vector<std::string>& results) {
  std::string rules;
  for (const Code code : codes) {
    const CodeInfo& rule = info(code);
    rules += fmt::format(
        "{}\n            {{\"id\": {}, \"name\": {}, \"shortDescription\": {{\"text\": {}}}, "
        "\"defaultConfiguration\": {{\"level\": \"{}\"}}}}",
        rules.empty() ? "" : ",", json_string(rule.number), json_string(rule.name), json_string(rule.summary),
        level(rule.severity));
  }
  std::string list;
  for (const std::string& result : results) list += fmt::format("{}\n        {}", list.empty() ? "" : ",", result);
  return fmt::format(R"({{
  "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
  "version": "2.1.0",
  "runs": [
    {{
      "tool": {{
        "driver": {{
          "name": "sprue",
          "version": "{}",
          "rules": [{}
          ]
        }}
      }},
      "columnKind": "unicodeCodePoints",
      "results": [{}{}]
    }}
  ]
}}
)",
                     SPRUE_VERSION, rules, list, results.empty() ? "" : "\n      ");
}

}  // namespace sprue
