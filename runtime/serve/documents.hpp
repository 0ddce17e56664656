// The texts that the client has open, as it last changed them, and the way between URIs and paths.
#pragma once

#include <cstdint>
#include <filesystem>
#include <map>
#include <set>
#include <string>

#include "runtime/serve/json_value.hpp"
#include "runtime/serve/position.hpp"

namespace sprue::serve {

struct Document {
  std::string uri;
  std::string path;  // canonical; of what is no file, the URI
  std::string text;
  Json version;
};

class Documents {
 public:
  PositionEncoding encoding = PositionEncoding::utf16;

  void open(const Json& text_document);
  /// One after the other: ranges that are replaced, or the whole text.
  void change(const Json& text_document, const Json& changes);
  void close(const std::string& uri);

  const Document* find(const std::string& uri) const;
  const Document* at_path(const std::string& path) const;
  const std::map<std::string, Document>& all() const { return by_uri_; }
  /// As the client calls the file.
  std::string uri_of(const std::string& path) const;

  /// Paths opened, changed or closed since this was last empty.
  std::set<std::string> touched;

 private:
  std::map<std::string, Document> by_uri_;
};

/// `file:///a%20b` to `/a b`; any other URI as it is.
std::string path_of_uri(const std::string& uri);
/// The same for the same file, whether it exists or not.
std::string canonical_path(const std::string& path);

}  // namespace sprue::serve
