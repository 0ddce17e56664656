// Where statements and blocks end when they do not end as they should.
#include "lang/syntax/recovery.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "lang/diagnostics/fixes.hpp"
#include "lang/syntax/explain.hpp"
#include "lang/syntax/slips.hpp"
#include "lang/syntax/text.hpp"

namespace sprue {
namespace {

bool is_first_in_line(const TreeBuilder& b, const char* p) {
  while (p != b.text.data() && text::is_blank(p[-1])) --p;
  return p == b.text.data() || p[-1] == '\n';
}

/// Whether the `}` of the block under way must be missing: in a file with more `{` than `}`, a line that is not
/// indented deeper than the line of the `{`.
bool is_left_open(TreeBuilder& b, std::uint32_t at) {
  if (b.scan.unclosed == 0 || !b.in_block() || b.openers().back().bracket != '{') return false;
  const char* const p = b.at(at);
  if (p == b.end() || !is_first_in_line(b, p)) return false;
  const std::uint32_t depth = b.openers().back().indentation;
  return *p == '}' ? b.indentation(at) < depth : b.indentation(at) <= depth;
}

/// Whether an entry may begin behind the comma before `p`.
bool may_begin_entry(const char* p, Want entry) {
  p = text::past_blanks(p);
  if (entry == Want::category || text::is(*p, text::line_break) || *p == '#') return true;
  const char* const word_end = text::past_word(p);
  if (word_end == p) return false;
  const char* const next = text::past_blanks(word_end);
  return *next == ':' || *next == '=' || *next == '{' || *next == '"' || *next == '.' ||
         (next != word_end && text::is_letter(*next));
}

/// Whether a line that begins so can only belong to the one above.
bool goes_on(const char* p) {
  const std::string_view word(p, static_cast<std::size_t>(text::past_word(p) - p));
  return word == "then" || word == "else" || (word.empty() && (*p == '+' || *p == '*' || *p == '/' || *p == '^'));
}

/// Where the statement that failed at `at` ends: at the end of a line with all its brackets closed, at a comma before
/// another entry, or before the `}` of the block around it.
const char* statement_end(TreeBuilder& b, const char* begin, const char* at, Want entry) {
  const std::uint32_t depth = b.indentation(b.offset(begin));
  std::size_t brackets = 0;
  std::size_t braces = 0;
  const char* p = begin;
  while (p != b.end()) {
    switch (*p) {
      case '"': {
        const char* const past = text::past_string(p, b.end());
        p = past == nullptr ? p + 1 : past;
        continue;
      }
      case '#':
        p = text::line_end(p, b.end());
        continue;
      case '(':
      case '[':
        ++brackets;
        break;
      case ')':
      case ']':
        brackets -= brackets != 0 ? 1 : 0;
        break;
      case '{':
        ++braces;
        break;
      case '}':
        if (braces == 0 && b.in_block()) return p;
        if (braces == 0 && b.scan.unopened != 0) --b.scan.unopened;
        braces -= braces != 0 ? 1 : 0;
        break;
      case ',':
        if (p >= at && braces == 0 && brackets == 0 && b.in_block() && may_begin_entry(p + 1, entry)) return p;
        break;
      case '\n': {
        const char* const next = text::past_space(p, b.end());
        if (braces == 0 && brackets == 0 && p >= at && !goes_on(next)) return p;
        const bool closes = *next == ')' || *next == ']' || *next == '}';
        const bool open_for_good = braces == 0 ? brackets != 0 : b.scan.unclosed != 0;
        if (open_for_good && !closes && b.indentation(b.offset(next)) <= depth) {
          if (braces != 0) b.scan.unclosed -= std::min(b.scan.unclosed, braces);
          return p;
        }
        break;
      }
      default:
        break;
    }
    ++p;
  }
  return p;
}

/// Of the two sides only the first is read.
const char* conflict_end(const TreeBuilder& b, const char* begin) {
  const std::size_t close = *begin == '=' || *begin == '|' ? b.text.find("\n>>>>>>>", b.offset(begin)) : b.text.npos;
  return text::line_end(close == b.text.npos ? begin : b.text.data() + close + 1, b.end());
}

}  // namespace

bool is_conflict(const TreeBuilder& b, const char* p) {
  if (p != b.text.data() && p[-1] != '\n') return false;
  const std::string_view mark = b.text.substr(b.offset(p), 7);
  return mark == "<<<<<<<" || mark == "|||||||" || mark == "=======" || mark == ">>>>>>>";
}

bool is_later_in_conflict(const TreeBuilder& b, std::uint32_t begin) {
  const std::size_t open = b.text.substr(0, begin).rfind("<<<<<<<");
  return b.text[begin] != '<' && b.reported && open != b.text.npos &&
         is_conflict(b, b.at(static_cast<std::uint32_t>(open)));
}

std::uint32_t end_statement(TreeBuilder& b, std::uint32_t at) {
  const char* const p = text::past_blanks(b.at(at));
  const bool ends = p == b.end() || *p == '\n' || *p == '#' || *p == '}' || (*p == '\r' && p[1] == '\n') ||
                    (*p == ',' && b.in_block()) || slips::is_foreign_end(p);
  if (!ends && b.left_open_at != b.offset(p)) b.fail(at, Want::line_end);
  return b.offset(p);
}

std::uint32_t recover(TreeBuilder& b, const TreeBuilder::State& state, std::uint32_t begin, const SyntaxError& error,
                      Want entry) {
  const std::uint32_t at = std::max(begin, error.at);
  const auto [first, last] = std::minmax(b.reported_at, at);
  const bool same_line = b.reported && b.reported_at >= begin && text::line_end(b.at(first), b.at(last)) == b.at(last);
  const std::string_view first_word = b.slice(begin, b.offset(text::past_word(b.at(begin))));
  const bool refused = std::find(b.refused_kinds.begin(), b.refused_kinds.end(), first_word) != b.refused_kinds.end();
  const bool told = same_line && error.reason == SyntaxError::Reason::missing;
  if (!told && !refused) explain(b, begin, error, entry);
  b.restore(state);
  const char* const stop =
      is_conflict(b, b.at(begin)) ? conflict_end(b, b.at(begin)) : statement_end(b, b.at(begin), b.at(at), entry);
  const std::uint32_t end = std::max(b.offset(stop), begin + 1);
  note_damage(b, begin, end);
  return end;
}

void note_damage(TreeBuilder& b, std::uint32_t begin, std::uint32_t end) {
  const char* const stop = b.at(end);
  for (const char* p = b.at(begin); p < stop;) {
    if (*p == '"') {
      const char* const past = text::past_string(p, stop);
      p = past == nullptr ? p + 1 : past;
    } else if (*p == '#') {
      p = text::line_end(p, stop);
    } else if (text::is_letter(*p)) {
      const char* const past = text::past_word(p);
      b.tree.damaged.push_back(b.symbols.intern({p, static_cast<std::size_t>(past - p)}));
      p = past;
    } else {
      ++p;
    }
  }
}

bool block_ends(TreeBuilder& b, std::uint32_t at) {
  const char* const p = b.at(at);
  return p == b.end() || (b.in_block() && (*p == '}' || is_left_open(b, at)));
}

std::uint32_t end_block(TreeBuilder& b, std::uint32_t at) {
  const std::uint32_t opener = b.openers().back().at;
  const bool missing = *b.at(at) != '}' || is_left_open(b, at);
  b.pop_opener();
  if (!missing) {
    if (!b.in_block()) b.last_block_end = at;
    return at + 1;
  }
  const bool only = b.scan.unclosed == 1;
  if (b.scan.unclosed != 0) --b.scan.unclosed;
  b.left_open_at = at;
  if (!b.gave_up) {
    Diagnostic& diagnostic = b.report(Code::syntax, opener, opener + 1, "this block has no `}`");
    if (b.at(at) != b.end())
      diagnostic.labels.push_back(
          {b.span(at, b.offset(text::past_word(b.at(at)))), "it seems to end before this line"});
    diagnostic.help.push_back("close it with a `}` on a line of its own");
    // The only one that is missing, and nothing follows that could belong elsewhere.
    if (b.at(at) == b.end() && only && !b.in_block()) {
      const std::string_view line_end = b.text.ends_with('\n') ? "" : "\n";
      mend(diagnostic, b.span(at, at), fmt::format("{}}}\n", line_end));
      diagnostic.fixes.back().title = "close it at the end of the file";
    }
  }
  return at;
}

bool is_stray_brace(TreeBuilder& b, std::uint32_t at) {
  const char* const p = b.at(at);
  if (p == b.end() || *p != '}') return false;
  if (b.in_block()) {
    if (b.scan.unopened == 0 || b.openers().back().bracket != '{' || !is_first_in_line(b, p)) return false;
    if (b.indentation(at) <= b.openers().back().indentation) return false;
  }
  if (b.scan.unopened != 0) --b.scan.unopened;
  if (b.outside) {
    b.outside = false;
    return true;
  }
  Diagnostic& diagnostic = b.report(Code::syntax, at, at + 1, "this `}` closes no block");
  if (!b.in_block() && b.last_block_end != 0)
    diagnostic.labels.push_back({b.span(b.last_block_end, b.last_block_end + 1), "the block before it ends here"});
  diagnostic.help.push_back("leave it out, or add the `{` that is missing");
  return true;
}

void report_bad_bytes(TreeBuilder& b) {
  for (const BadByte& bad : b.scan.bad) explain_bad_bytes(b, bad.begin, bad.end);
}

}  // namespace sprue
