// Source texts and places in them. Knows bytes, lines and columns; knows nothing of the language.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace sprue {

using SourceId = std::uint32_t;

/// A half-open range of bytes in one source. Lines and columns are computed only when shown.
struct Span {
  std::uint32_t begin = 0;
  std::uint32_t end = 0;
  SourceId source = 0;

  bool operator==(const Span&) const = default;
  Span to(Span last) const { return {begin, last.end, source}; }
};

/// A place for people: both numbers start at 1; the column counts characters (UTF-8 code points), not bytes.
struct Position {
  std::uint32_t line = 1;
  std::uint32_t column = 1;
};

/// One text with its name as diagnostics print it.
struct Source {
  std::string name;
  std::string text;
};

/// All texts of one run. Ids are indices, in the order added.
class Sources {
 public:
  SourceId add(std::string name, std::string text);
  const Source& operator[](SourceId id) const { return sources_[id]; }
  std::size_t size() const { return sources_.size(); }

  std::string_view text(Span span) const;
  Position position(SourceId id, std::uint32_t offset) const;
  /// Byte offset of each line's first byte; never empty. Found when first asked for, from one thread at a time.
  const std::vector<std::uint32_t>& line_starts(SourceId id) const;
  /// The text of a line without its line end; `line` starts at 1.
  std::string_view line(SourceId id, std::uint32_t line) const;

 private:
  std::vector<Source> sources_;
  mutable std::vector<std::vector<std::uint32_t>> line_starts_;  // by SourceId; empty: not asked for
};

}  // namespace sprue
