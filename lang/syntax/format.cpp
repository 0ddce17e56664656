// Lays tokens out: first where lines break, then how far each is indented, then what stands between two tokens.
#include "lang/syntax/format.hpp"

#include <string_view>
#include <vector>

#include "lang/syntax/parse.hpp"
#include "lang/syntax/text.hpp"
#include "lang/syntax/tokens.hpp"

namespace sprue {
namespace {

constexpr std::size_t line_limit = 120;
constexpr std::size_t block_step = 2;
constexpr std::size_t continuation_step = 4;

bool is_comment(const Token& token) {
  return token.kind == Token::Kind::comment;
}

/// The spaces between two tokens of one line.
std::size_t space_between(const Token& a, const Token& b) {
  if (is_comment(b)) return 2;
  if (a.opens() || a.is(".") || a.kind == Token::Kind::minus_prefix) return 0;
  if (b.closes() || b.is(",") || b.is(":") || b.is(".")) return 0;
  if (a.is("{") && b.is("}")) return 0;
  if (b.opens()) {
    const bool takes_arguments =
        a.kind == Token::Kind::name || a.closes() || (a.kind == Token::Kind::word && text::is_aggregate_word(a.text));
    return takes_arguments ? 0 : 1;
  }
  return 1;
}

std::size_t characters(std::string_view text) {
  std::size_t count = 0;
  for (const char c : text) count += (static_cast<unsigned char>(c) & 0xC0U) != 0x80U ? 1 : 0;
  return count;
}

std::size_t width_of(const Token& token) {
  return characters(token.text) + (token.unit.empty() ? 0 : 1 + characters(token.unit));
}

class Layout {
 public:
  explicit Layout(std::vector<Token> tokens) : tokens_(std::move(tokens)), breaks_(tokens_.size(), 0) {}

  std::string run() {
    break_as_written();
    for (std::size_t begin = 0; begin < tokens_.size();) {
      const std::size_t indentation = indentation_of(begin);
      const std::size_t end = line_end(begin);
      if (const std::size_t block = too_long_block(begin, end, indentation); block != end) {
        break_up(block);
        continue;
      }
      write_line(begin, end, indentation);
      begin = end;
    }
    return std::move(out_);
  }

 private:
  /// Line ends stay where they were; a block with a line end anywhere in it has its braces on lines of their own.
  void break_as_written() {
    for (std::size_t i = 1; i < tokens_.size(); ++i) {
      if (tokens_[i].lines != 0) breaks_[i] = tokens_[i].lines > 1 ? 2 : 1;
    }
    std::vector<std::size_t> open;  // blocks without a line end so far
    for (std::size_t i = 0; i < tokens_.size(); ++i) {
      if (breaks_[i] != 0) {
        for (const std::size_t block : open) break_braces(block);
        open.clear();
      }
      if (tokens_[i].is("{")) open.push_back(i);
      if (tokens_[i].is("}") && !open.empty() && open.back() == tokens_[i].partner) open.pop_back();
    }
    for (std::size_t i = 1; i < tokens_.size(); ++i) {  // no empty line at a block's ends
      const bool at_begin = tokens_[i - 1].is("{") || tokens_[i - 1].opens() ||
                            (i > 1 && is_comment(tokens_[i - 1]) && breaks_[i - 1] == 0 && tokens_[i - 2].is("{"));
      const bool at_end = tokens_[i].is("}") || tokens_[i].closes();
      if (breaks_[i] > 1 && (at_begin || at_end)) breaks_[i] = 1;
    }
  }

  void break_before(std::size_t i) {
    if (breaks_[i] == 0) breaks_[i] = 1;
  }

  void break_braces(std::size_t block) {
    if (!is_comment(tokens_[block + 1])) break_before(block + 1);
    break_before(tokens_[block].partner);
  }

  /// One entry a line.
  void break_up(std::size_t block) {
    break_braces(block);
    const std::size_t close = tokens_[block].partner;
    std::size_t brackets = 0;
    for (std::size_t i = block + 1; i < close; ++i) {
      if (tokens_[i].is("{")) i = tokens_[i].partner;
      if (tokens_[i].opens()) ++brackets;
      if (tokens_[i].closes()) --brackets;
      if (brackets == 0 && tokens_[i].starts_entry) break_before(i);
    }
  }

  std::size_t line_end(std::size_t begin) const {
    std::size_t end = begin + 1;
    while (end < tokens_.size() && breaks_[end] == 0) ++end;
    return end;
  }

  /// The first one-line block of the line that reaches beyond the limit, or `end`. A comment at the end does not count.
  std::size_t too_long_block(std::size_t begin, std::size_t end, std::size_t column) const {
    std::size_t outermost = end;
    for (std::size_t i = begin; i < end && !is_comment(tokens_[i]); ++i) {
      if (i != begin) column += space_between(tokens_[i - 1], tokens_[i]);
      column += width_of(tokens_[i]);
      if (tokens_[i].is("{") && outermost == end && tokens_[i].partner < end && tokens_[i].partner != i + 1)
        outermost = i;
      if (outermost != end && i == tokens_[outermost].partner) {
        if (column > line_limit) return outermost;
        outermost = end;
      }
    }
    return end;
  }

  std::size_t indentation_of(std::size_t begin) const {
    const Token& first = tokens_[begin];
    if (brackets_ != 0)
      return first.closes() && brackets_ == 1 ? bracket_indentation_ : bracket_indentation_ + continuation_step;
    if (first.is("}")) return block_step * (blocks_ - 1);
    std::size_t next = begin;
    while (next < tokens_.size() && is_comment(tokens_[next])) ++next;
    const bool new_entry =
        next == tokens_.size() || tokens_[next].starts_entry || tokens_[next].is("}") || tokens_[next].is(",");
    return block_step * blocks_ + (new_entry ? 0 : continuation_step);
  }

  void write_line(std::size_t begin, std::size_t end, std::size_t indentation) {
    if (begin != 0) out_.append(breaks_[begin], '\n');
    out_.append(indentation, ' ');
    for (std::size_t i = begin; i < end; ++i) {
      const Token& token = tokens_[i];
      if (i != begin) out_.append(space_between(tokens_[i - 1], token), ' ');
      out_ += token.text;
      if (!token.unit.empty()) (out_ += ' ') += token.unit;
      if (token.is("{")) ++blocks_;
      if (token.is("}")) --blocks_;
      if (token.opens() && brackets_++ == 0) bracket_indentation_ = indentation;
      if (token.closes()) --brackets_;
    }
    if (end == tokens_.size()) out_ += '\n';
  }

  std::vector<Token> tokens_;
  std::vector<std::uint8_t> breaks_;  // line ends before each token: none, one, or two with an empty line
  std::size_t blocks_ = 0;
  std::size_t brackets_ = 0;
  std::size_t bracket_indentation_ = 0;
  std::string out_;
};

}  // namespace

std::optional<std::string> format(const Sources& sources, SourceId source, Diagnostics& diagnostics) {
  Symbols symbols;
  const std::size_t errors = diagnostics.error_count();
  const Tree tree = parse(sources, source, symbols, diagnostics);
  if (diagnostics.error_count() != errors) return std::nullopt;
  return Layout(tokens_of(tree, sources[source].text)).run();
}

}  // namespace sprue
