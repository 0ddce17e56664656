// Places are given twice: as line and column for people, both from 1, columns in characters; and as byte offsets, from
// 0.
#include <fmt/format.h>

#include "runtime/write/diagnostics.hpp"
#include "runtime/write/json.hpp"

namespace sprue {
namespace {

std::string position(const Sources& sources, SourceId source, std::uint32_t offset) {
  const Position at = sources.position(source, offset);
  return fmt::format(R"({{"line": {}, "column": {}, "offset": {}}})", at.line, at.column, offset);
}

std::string place(const Sources& sources, Span span) {
  return fmt::format(R"("file": {}, "begin": {}, "end": {})", json_string(sources[span.source].name),
                     position(sources, span.source, span.begin), position(sources, span.source, span.end));
}

template <class Items, class Write>
std::string list(const Items& items, Write write) {
  std::string out;
  for (const auto& item : items) out += (out.empty() ? "" : ", ") + write(item);
  return "[" + out + "]";
}

}  // namespace

std::vector<std::string> json_records(const Diagnostics& diagnostics, const Sources& sources) {
  const auto label = [&](const Label& item) {
    return fmt::format(R"({{{}, "text": {}}})", place(sources, item.span), json_string(item.text));
  };
  const auto replacement = [&](const Replacement& item) {
    return fmt::format(R"({{{}, "text": {}}})", place(sources, item.span), json_string(item.text));
  };
  const auto fix = [&](const Fix& item) {
    return fmt::format(R"({{"title": {}, "sure": {}, "replacements": {}}})", json_string(item.title), item.sure,
                       list(item.replacements, replacement));
  };
  std::vector<std::string> records;
  for (const Diagnostic& d : diagnostics.list()) {
    const CodeInfo& code = info(d.code);
    records.push_back(fmt::format(
        R"({{"sprue_diagnostic": 1, "code": {}, "name": {}, "severity": {}, "message": {}, {}, "labels": {}, "notes": {}, "help": {}, "fixes": {}}})",
        json_string(code.number), json_string(code.name),
        code.severity == Severity::error ? "\"error\"" : "\"warning\"", json_string(d.message), place(sources, d.span),
        list(d.labels, label), list(d.notes, json_string), list(d.help, json_string), list(d.fixes, fix)));
  }
  return records;
}

}  // namespace sprue
