// Line index and position arithmetic over source texts.
#include "lang/source/source.hpp"

#include <algorithm>
#include <utility>

namespace sprue {

SourceId Sources::add(std::string name, std::string text) {
  Source source{std::move(name), std::move(text), {0}};
  for (std::size_t at = source.text.find('\n'); at != std::string::npos; at = source.text.find('\n', at + 1)) {
    source.line_starts.push_back(static_cast<std::uint32_t>(at + 1));
  }
  sources_.push_back(std::move(source));
  return static_cast<SourceId>(sources_.size() - 1);
}

std::string_view Sources::text(Span span) const {
  const std::string_view all = sources_[span.source].text;
  if (span.begin >= all.size()) return {};
  return all.substr(span.begin, span.end - span.begin);
}

Position Sources::position(SourceId id, std::uint32_t offset) const {
  const Source& source = sources_[id];
  const auto next = std::upper_bound(source.line_starts.begin(), source.line_starts.end(), offset);
  const auto line = static_cast<std::uint32_t>(next - source.line_starts.begin());
  Position position{line, 1};
  for (std::uint32_t at = source.line_starts[line - 1]; at < offset && at < source.text.size(); ++at) {
    const auto byte = static_cast<unsigned char>(source.text[at]);
    if ((byte & 0xC0U) != 0x80U) ++position.column;
  }
  return position;
}

std::string_view Sources::line(SourceId id, std::uint32_t line) const {
  const Source& source = sources_[id];
  const std::string_view all = source.text;
  const std::uint32_t begin = source.line_starts[line - 1];
  const std::size_t end = std::min(all.find('\n', begin), all.size());
  std::string_view text = all.substr(begin, end - begin);
  if (!text.empty() && text.back() == '\r') text.remove_suffix(1);
  return text;
}

}  // namespace sprue
