// Line index and position arithmetic over source texts.
#include "lang/source/source.hpp"

#include <algorithm>
#include <utility>

namespace sprue {

SourceId Sources::add(std::string name, std::string text) {
  sources_.push_back({std::move(name), std::move(text)});
  line_starts_.emplace_back();
  return static_cast<SourceId>(sources_.size() - 1);
}

const std::vector<std::uint32_t>& Sources::line_starts(SourceId id) const {
  std::vector<std::uint32_t>& starts = line_starts_[id];
  if (!starts.empty()) return starts;
  starts.push_back(0);
  const std::string& all = sources_[id].text;
  for (std::size_t at = all.find('\n'); at != std::string::npos; at = all.find('\n', at + 1))
    starts.push_back(static_cast<std::uint32_t>(at + 1));
  return starts;
}

std::string_view Sources::text(Span span) const {
  const std::string_view all = sources_[span.source].text;
  if (span.begin >= all.size()) return {};
  return all.substr(span.begin, span.end - span.begin);
}

Position Sources::position(SourceId id, std::uint32_t offset) const {
  const Source& source = sources_[id];
  const std::vector<std::uint32_t>& starts = line_starts(id);
  const auto next = std::upper_bound(starts.begin(), starts.end(), offset);
  const auto line = static_cast<std::uint32_t>(next - starts.begin());
  Position position{line, 1};
  for (std::uint32_t at = starts[line - 1]; at < offset && at < source.text.size(); ++at) {
    const auto byte = static_cast<unsigned char>(source.text[at]);
    if ((byte & 0xC0U) != 0x80U) ++position.column;
  }
  return position;
}

std::string_view Sources::line(SourceId id, std::uint32_t line) const {
  const std::string_view all = sources_[id].text;
  const std::uint32_t begin = line_starts(id)[line - 1];
  const std::size_t end = std::min(all.find('\n', begin), all.size());
  std::string_view text = all.substr(begin, end - begin);
  if (!text.empty() && text.back() == '\r') text.remove_suffix(1);
  return text;
}

}  // namespace sprue
