// Escaping for HTML and XML alike.
#include "runtime/write/markup.hpp"

#include "runtime/write/write.hpp"

namespace sprue {

std::string escaped_markup(std::string_view text) {
  std::string out;
  for (const char c : visible(text)) {
    switch (c) {
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '&':
        out += "&amp;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

std::string markup_id(std::string_view text) {
  std::string out;
  for (const char c : text) {
    const bool plain =
        (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
    out += plain ? c : '_';
  }
  return out;
}

}  // namespace sprue
