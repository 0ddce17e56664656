// Applies changes; percent-encodes as RFC 3986 says.
#include "runtime/serve/documents.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>
#include <system_error>

namespace sprue::serve {
namespace {

constexpr std::string_view scheme = "file://";

std::string text_of(const Json& json) {
  return json.text() == nullptr ? std::string() : *json.text();
}

}  // namespace

std::string path_of_uri(const std::string& uri) {
  static constexpr std::string_view word = "file:";
  const bool is_file =
      uri.size() > word.size() && std::equal(word.begin(), word.end(), uri.begin(), [](char a, char b) {
        return a == (b >= 'A' && b <= 'Z' ? static_cast<char>(b - 'A' + 'a') : b);
      });
  if (!is_file) return uri;
  // RFC 8089: `file:/path`, or `file://host/path`.
  const bool has_host = uri.compare(word.size(), 2, "//") == 0;
  const std::size_t begin = uri.find('/', word.size() + (has_host ? 2 : 0));
  if (begin == std::string::npos) return uri;
  std::string path;
  for (std::size_t i = begin; i < uri.size(); ++i) {
    unsigned byte = 0;
    const char* const hex = uri.data() + i + 1;
    if (uri[i] == '%' && i + 2 < uri.size() && std::from_chars(hex, hex + 2, byte, 16).ptr == hex + 2 && byte != 0) {
      path += static_cast<char>(byte);
      i += 2;
    } else {
      path += uri[i];
    }
  }
  return path;
}

std::string canonical_path(const std::string& path) {
  if (path.empty() || path.front() != '/') return path;
  std::error_code error;
  const std::filesystem::path canonical = std::filesystem::weakly_canonical(path, error);
  return error ? path : canonical.generic_string();
}

void Documents::open(const Json& text_document) {
  Document document;
  document.uri = text_of(text_document["uri"]);
  document.path = canonical_path(path_of_uri(document.uri));
  document.text = text_of(text_document["text"]);
  document.version = text_document["version"];
  touched.insert(document.path);
  const std::string uri = document.uri;
  by_uri_.insert_or_assign(uri, std::move(document));
}

void Documents::change(const Json& text_document, const Json& changes) {
  const auto found = by_uri_.find(text_of(text_document["uri"]));
  if (found == by_uri_.end() || changes.items() == nullptr) return;
  Document& document = found->second;
  document.version = text_document["version"];
  touched.insert(document.path);
  for (const Json& change : *changes.items()) {
    const Json& range = change["range"];
    if (!range.is_object()) {
      document.text = text_of(change["text"]);
      continue;
    }
    const Lines lines(document.text, encoding);
    const std::uint32_t begin = lines.offset(position_of(range["start"]));
    const std::uint32_t end = std::max(begin, lines.offset(position_of(range["end"])));
    document.text.replace(begin, end - begin, text_of(change["text"]));
  }
}

void Documents::close(const std::string& uri) {
  const auto found = by_uri_.find(uri);
  if (found == by_uri_.end()) return;
  touched.insert(found->second.path);
  by_uri_.erase(found);
}

const Document* Documents::find(const std::string& uri) const {
  const auto found = by_uri_.find(uri);
  return found == by_uri_.end() ? nullptr : &found->second;
}

const Document* Documents::at_path(const std::string& path) const {
  for (const auto& [uri, document] : by_uri_) {
    if (document.path == path) return &document;
  }
  return nullptr;
}

std::string Documents::uri_of(const std::string& path) const {
  if (const Document* document = at_path(canonical_path(path)); document != nullptr) return document->uri;
  if (path.empty() || path.front() != '/') return path;
  std::string uri{scheme};
  for (const char c : path) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       std::string_view("/-._~").find(c) != std::string_view::npos;
    if (plain)
      uri += c;
    else
      uri += fmt::format("%{:02X}", static_cast<unsigned char>(c));
  }
  return uri;
}

}  // namespace sprue::serve
