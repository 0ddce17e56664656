// Counting along one line; the lines are found once.
#include "runtime/serve/position.hpp"

#include <algorithm>

namespace sprue::serve {
namespace {

/// Code units of the character that begins with the byte; 0 for bytes within one.
std::uint32_t units(char byte, PositionEncoding encoding) {
  const auto c = static_cast<unsigned char>(byte);
  if (encoding == PositionEncoding::utf8) return 1;
  if ((c & 0xC0U) == 0x80U) return 0;
  return c >= 0xF0U ? 2 : 1;
}

std::uint32_t whole(const Json& json) {
  const double* const value = json.number();
  if (value == nullptr || !(*value > 0)) return 0;
  return static_cast<std::uint32_t>(std::min(*value, 4'000'000'000.0));
}

}  // namespace

Lines::Lines(std::string_view text, PositionEncoding encoding) : text_(text), encoding_(encoding), starts_{0} {
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\r' && i + 1 < text.size() && text[i + 1] == '\n') continue;
    if (text[i] == '\n' || text[i] == '\r') starts_.push_back(static_cast<std::uint32_t>(i + 1));
  }
}

Position Lines::position(std::uint32_t offset) const {
  offset = std::min(offset, static_cast<std::uint32_t>(text_.size()));
  const auto after = std::upper_bound(starts_.begin(), starts_.end(), offset);
  const auto line = static_cast<std::uint32_t>(after - starts_.begin() - 1);
  return {line, length_of(text_.substr(starts_[line], offset - starts_[line]), encoding_)};
}

std::uint32_t Lines::offset(Position position) const {
  if (position.line >= starts_.size()) return static_cast<std::uint32_t>(text_.size());
  std::uint32_t at = starts_[position.line];
  std::uint32_t end =
      position.line + 1 < starts_.size() ? starts_[position.line + 1] : static_cast<std::uint32_t>(text_.size());
  while (end > at && (text_[end - 1] == '\n' || text_[end - 1] == '\r')) --end;
  for (std::uint32_t left = position.character; at < end; ++at) {
    const std::uint32_t step = units(text_[at], encoding_);
    if (step > left) break;
    left -= step;
  }
  // Never within a character.
  while (at < end && (static_cast<unsigned char>(text_[at]) & 0xC0U) == 0x80U) ++at;
  return at;
}

Json Lines::range(std::uint32_t begin, std::uint32_t end) const {
  return Json::object({{"start", to_json(position(begin))}, {"end", to_json(position(end))}});
}

Position position_of(const Json& json) {
  return {whole(json["line"]), whole(json["character"])};
}

Json to_json(Position position) {
  return Json::object({{"line", position.line}, {"character", position.character}});
}

std::uint32_t length_of(std::string_view text, PositionEncoding encoding) {
  std::uint32_t count = 0;
  for (const char c : text) count += units(c, encoding);
  return count;
}

}  // namespace sprue::serve
