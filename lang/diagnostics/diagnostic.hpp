// Diagnostics as data. Knows places and words; how they are shown is the renderer's affair (render.hpp).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "lang/limits/limits.hpp"
#include "lang/source/source.hpp"

namespace sprue {

enum class Severity : std::uint8_t { error, warning };

/// One entry for each kind of complaint; see codes.def. A code is never reused.
enum class Code : std::uint16_t {
#define SPRUE_CODE(name, number, severity, summary) name,
#include "lang/diagnostics/codes.def"
#undef SPRUE_CODE
};

struct CodeInfo {
  std::string_view name;    // unknown_name
  std::string_view number;  // E0201
  Severity severity;
  std::string_view summary;
};
const CodeInfo& info(Code code);

/// Another place that matters, with a word about it.
struct Label {
  Span span;
  std::string text;
};

/// Text that takes the place of a span; an empty span is a place to insert at.
struct Replacement {
  Span span;
  std::string text;
};

/// A way to mend what was reported, all its replacements together. A sure one leaves no choice of meaning, so it may be
/// applied unasked; another is a proposal.
struct Fix {
  std::string title;  // what it does: "write `31 s`"
  std::vector<Replacement> replacements;
  bool sure = false;
};

/// One complaint: what is wrong and where, other places, remarks, and what to write instead.
struct Diagnostic {
  Code code;
  Span span;
  std::string message;                  // one line, no final period
  std::vector<Label> labels = {};       // "note" lines with a place
  std::vector<std::string> notes = {};  // "note" lines without a place; may hold several lines
  std::vector<std::string> help = {};   // "help" lines: what to write instead
  std::vector<Fix> fixes = {};          // the same for machines, where it can be said exactly
};

/// Collects diagnostics, up to a limit; never throws, never prints.
class Diagnostics {
 public:
  Diagnostic& report(Code code, Span span, std::string message) {
    add(Diagnostic{code, span, std::move(message)});
    return list_.back();
  }
  /// When it is full, the last takes the place of the one before.
  void add(Diagnostic diagnostic) {
    if (full()) list_.pop_back();
    if (info(diagnostic.code).severity == Severity::error) ++errors_;
    list_.push_back(std::move(diagnostic));
  }
  /// There are so many errors that nobody wants more: whoever looks for them may stop.
  bool full() const { return errors_ > limits::errors; }
  bool has_errors() const { return errors_ != 0; }
  std::size_t error_count() const { return errors_; }
  const std::vector<Diagnostic>& list() const { return list_; }
  /// Sorted by source, offset and code, exact repeats dropped.
  void settle();

 private:
  std::vector<Diagnostic> list_;
  std::size_t errors_ = 0;
};

/// The nearest of `candidates` to `word` (at most three edits, words of three letters or more), or empty.
std::string_view nearest(std::string_view word, const std::vector<std::string_view>& candidates);
/// Of `candidates` those that share a word of four letters or more with `word`, as `cash_needed` with `cash_wanted`; at
/// most six, and none where there are more.
std::vector<std::string_view> related(std::string_view word, const std::vector<std::string_view>& candidates);

}  // namespace sprue
