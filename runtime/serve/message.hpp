// Messages as they travel: a header that tells the length, then the content. Knows streams; knows no request.
#pragma once

#include <istream>
#include <optional>
#include <ostream>
#include <string>
#include <string_view>

namespace sprue::serve {

struct Content {
  std::string text;
  std::string problem;   // what was wrong with the header; empty: fine
  std::size_t rest = 0;  // bytes of a message that is not kept, still to be skipped
};

/// The next message; one longer than limits::message_bytes is a problem, and so is a header without a usable length.
/// Nothing at the end of the stream.
std::optional<Content> read_message(std::istream& in);
void skip(std::istream& in, std::size_t bytes);
void write_message(std::ostream& out, std::string_view content);

}  // namespace sprue::serve
