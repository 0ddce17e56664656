// One open file as a program: checked with all it uses, the meaning of its names, and the base evaluated where the
// program is sound.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "lang/check/check.hpp"
#include "runtime/ledger/evaluation.hpp"
#include "runtime/serve/documents.hpp"

namespace sprue::serve {

/// The text of a file by its absolute path, where it is at hand; else null.
using TextAtHand = std::function<const std::string*(const std::string& path)>;

/// What the server asks of its surroundings.
struct Host {
  /// Follows `use` from a file; a text at hand counts over what is on disk.
  std::function<Loader(const std::string& file, TextAtHand at_hand)> loader;
  std::vector<std::string> modules;  // names that `use` takes without quotes
};

class Analysis {
 public:
  Analysis(const Host& host, const Documents& documents, const Document& main);
  Analysis(const Analysis&) = delete;

  Sources sources;
  Diagnostics diagnostics;
  Program program;
  std::optional<Evaluation> evaluation;  // of a sound program
  std::string main;                      // canonical path
  std::set<std::string> paths;           // of all files it looked for

  /// What the names mean; settled when first asked, since diagnostics need none of it.
  const Uses& uses() const;
  const Lines& lines(SourceId source) const;
  /// The source that is the file, or nothing.
  std::optional<SourceId> source_of(const std::string& path) const;
  std::string uri(SourceId source) const;
  Json range(Span span) const { return lines(span.source).range(span.begin, span.end); }
  /// Null for what no client can open: built-in modules.
  Json location(Span span) const;

  /// The value of a field of an instance as reports show it; empty where there is none.
  std::string value_of(InstanceId instance, Slot slot) const;
  /// The same of many fields, evaluated together.
  std::vector<std::string> values_of(const std::vector<PathTarget>& targets) const;
  /// The deepest instance whose statement holds the place; none where there is none.
  DraftId draft_at(SourceId source, std::uint32_t offset) const;

 private:
  const Documents& documents_;
  mutable Uses uses_;
  mutable bool settled_ = false;
  mutable std::map<SourceId, Lines> lines_;
};

/// The programs of all open files. A file that another open one uses is part of that program only.
class Programs {
 public:
  explicit Programs(Host host) : host_(std::move(host)) {}

  Documents documents;
  const Host& host() const { return host_; }

  /// Checks anew what changes touch.
  void refresh();
  /// Has every program that the open file is part of checked anew: files that are not open may have changed.
  void read_again(const std::string& uri);
  const std::vector<std::unique_ptr<Analysis>>& all() const { return all_; }

  /// An open file and the program it is part of.
  struct View {
    const Analysis& analysis;
    SourceId source = 0;
    const Lines& lines;
    std::string_view text;
  };
  std::optional<View> view(const std::string& uri) const;
  /// A file in every program that it is part of.
  std::vector<View> views(const std::string& path) const;

 private:
  Host host_;
  std::vector<std::unique_ptr<Analysis>> all_;
};

}  // namespace sprue::serve
