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
  std::string problem;  // what was wrong with the header; empty: fine
};

/// The next message; longer than limits::message_bytes is read past and not kept. Nothing at the end of the stream. A
/// header without a usable length is skipped and told as a problem.
std::optional<Content> read_message(std::istream& in);
void write_message(std::ostream& out, std::string_view content);

}  // namespace sprue::serve
