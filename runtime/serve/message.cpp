// Header lines in any case and order; content in pieces, so that a length alone never asks for memory.
#include "runtime/serve/message.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>
#include <limits>

#include "lang/limits/limits.hpp"

namespace sprue::serve {
namespace {

constexpr std::size_t line_limit = 4096;

/// A line without its end; what is longer than a header may be is cut. Nothing at the end of the stream.
std::optional<std::string> read_line(std::istream& in) {
  std::string line;
  for (int c = in.get(); c != std::istream::traits_type::eof(); c = in.get()) {
    if (c == '\n') {
      if (!line.empty() && line.back() == '\r') line.pop_back();
      return line;
    }
    if (line.size() < line_limit) line += static_cast<char>(c);
  }
  return std::nullopt;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

bool is_length(std::string_view name) {
  static constexpr std::string_view wanted = "content-length";
  return name.size() == wanted.size() && std::equal(name.begin(), name.end(), wanted.begin(), [](char a, char b) {
           return (a >= 'A' && a <= 'Z' ? static_cast<char>(a - 'A' + 'a') : a) == b;
         });
}

}  // namespace

std::optional<Content> read_message(std::istream& in) {
  std::optional<std::size_t> length;
  bool any = false;
  for (;;) {
    const std::optional<std::string> line = read_line(in);
    if (!line) return std::nullopt;
    if (line->empty()) {
      if (any) break;
      continue;
    }
    any = true;
    const std::size_t colon = line->find(':');
    if (colon == std::string::npos || !is_length(trimmed(std::string_view(*line).substr(0, colon)))) continue;
    const std::string_view digits = trimmed(std::string_view(*line).substr(colon + 1));
    std::size_t value = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (error == std::errc{} && end == digits.data() + digits.size()) length = value;
  }
  if (!length) return Content{{}, "a header without a usable Content-Length"};
  if (*length > limits::message_bytes)
    return Content{{}, fmt::format("a message longer than {} MiB", limits::message_bytes >> 20U), *length};
  Content content;
  while (content.text.size() < *length) {
    const std::size_t before = content.text.size();
    const std::size_t piece = std::min<std::size_t>(*length - before, 1U << 20U);
    content.text.resize(before + piece);
    in.read(content.text.data() + before, static_cast<std::streamsize>(piece));
    if (static_cast<std::size_t>(in.gcount()) < piece) return std::nullopt;
  }
  return content;
}

void skip(std::istream& in, std::size_t bytes) {
  const auto most = static_cast<std::size_t>(std::numeric_limits<std::streamsize>::max() / 2);
  if (bytes != 0) in.ignore(static_cast<std::streamsize>(std::min(bytes, most)));
}

void write_message(std::ostream& out, std::string_view content) {
  out << "Content-Length: " << content.size() << "\r\n\r\n" << content;
  out.flush();
}

}  // namespace sprue::serve
