// One pass over the text; what is open at the place is kept, and closed blocks are forgotten.
#include "runtime/serve/context.hpp"

#include <algorithm>

#include "lang/syntax/text.hpp"

namespace sprue::serve {
namespace {

/// A statement goes on in the next line after these.
bool goes_on(const Lexeme& last) {
  if (last.kind == Lexeme::Kind::sign) return std::string_view("+-*/^=<>:,").find(last.text) != std::string_view::npos;
  return last.is("then") || last.is("else") || last.is("otherwise") || last.is("and") || last.is("or");
}

class Reader {
 public:
  Reader(std::string_view text, std::uint32_t offset) : text_(text), offset_(offset) {}

  Context read() {
    const char* const first = text_.data();
    const char* const end = first + text_.size();
    for (const char* p = first; p != end && !done_;) {
      const char* const begin = p;
      if (text::is_blank(*p)) {
        ++p;
        continue;
      }
      if (*p == '#') {
        p = text::line_end(p, end);
        context_.in_comment = context_.in_comment || (at(begin) < offset_ && offset_ <= at(p));
        place(begin, p, false);
        continue;
      }
      if (text::is_space(*p)) {
        place(begin, begin, false);
        if (depth_ == 0 && (entry_.empty() || !goes_on(entry_.back()))) end_entry();
        ++p;
        continue;
      }
      if (*p == '"') {
        const char* const past = text::past_string(p, end);
        p = past == nullptr ? text::line_end(p, end) : past;
        if (!found_ && at(begin) < offset_ && (offset_ < at(p) || (past == nullptr && offset_ == at(p))))
          context_.in_string = true;
        place(begin, p, false);
        push(Lexeme::Kind::string, begin, p);
        continue;
      }
      const char* const past = text::past_word(p);
      if (past != p) {
        p = past;
        place(begin, p, true);
        push(Lexeme::Kind::word, begin, p);
        continue;
      }
      if (text::is_digit(*p)) {
        p = past_number(p);
        place(begin, p, true);
        push(Lexeme::Kind::number, begin, p);
        continue;
      }
      place(begin, begin, false);
      sign(*p, begin);
      ++p;
    }
    place(end, end, false);
    if (!done_) finish();
    return std::move(context_);
  }

 private:
  std::uint32_t at(const char* p) const { return static_cast<std::uint32_t>(p - text_.data()); }

  /// The place is reached: at the word that ends at or after it, or at what stands behind it.
  void place(const char* begin, const char* end, bool word) {
    if (found_ || at(end) < offset_) return;
    found_ = true;
    context_.before = entry_;
    context_.typed_begin = offset_;
    if (word && at(begin) < offset_) {
      context_.typed_begin = at(begin);
      context_.typed = text_.substr(at(begin), offset_ - at(begin));
    }
    entry_.clear();
    level_ = blocks_.size();
    context_.blocks = blocks_;
  }

  void push(Lexeme::Kind kind, const char* begin, const char* end) {
    const auto size = static_cast<std::size_t>(end - begin);
    const Lexeme lexeme{kind, text_.substr(at(begin), size), at(begin)};
    if (found_ && at(end) <= offset_) return;  // the word at the place
    if (!found_ || at(begin) >= offset_) entry_.push_back(lexeme);
  }

  void sign(char c, const char* begin) {
    if (c == '{') {
      blocks_.push_back({entry_, {}});
      entry_.clear();
      depth_ = 0;
      after_done_ = after_done_ || found_;
    } else if (c == '}') {
      end_entry();
      if (found_ && blocks_.size() == level_) {
        finish();
        return;
      }
      if (!blocks_.empty()) blocks_.pop_back();
      depth_ = 0;
    } else {
      if (c == ':' && depth_ == 0 && !blocks_.empty() && !entry_.empty() && entry_.back().is_word())
        blocks_.back().given.push_back(entry_.back().text);
      if (c == '(' || c == '[') ++depth_;
      if ((c == ')' || c == ']') && depth_ > 0) --depth_;
      if (c == ',' && depth_ == 0 && !blocks_.empty()) {
        end_entry();
      } else {
        push(Lexeme::Kind::sign, begin, begin + 1);
      }
    }
  }

  void end_entry() {
    if (found_ && !after_done_) {
      context_.after = entry_;
      after_done_ = true;
    }
    if (found_ && blocks_.empty()) finish();
    entry_.clear();
  }

  /// All that is said in the block is known.
  void finish() {
    done_ = true;
    if (!after_done_) context_.after = entry_;
    for (std::size_t i = 0; i < context_.blocks.size() && i < blocks_.size(); ++i)
      context_.blocks[i].given = blocks_[i].given;
  }

  std::string_view text_;
  std::uint32_t offset_;
  Context context_;
  std::vector<Block> blocks_;
  std::vector<Lexeme> entry_;
  std::size_t level_ = 0;
  int depth_ = 0;
  bool found_ = false;
  bool after_done_ = false;
  bool done_ = false;
};

}  // namespace

const char* past_number(const char* p) {
  const auto digits = [&] {
    while (text::is_digit(*p) || *p == '_') ++p;
  };
  digits();
  if (*p == '.' && text::is_digit(p[1])) {
    ++p;
    digits();
  }
  const bool power = (*p == 'e' || *p == 'E') && (p[1] == '+' || p[1] == '-') && text::is_digit(p[2]);
  if (power) p += 2;
  while (text::is_word(*p) || *p == '%' || (*p == '.' && text::is_digit(p[1]))) ++p;
  return p;
}

Context context_at(std::string_view text, std::uint32_t offset) {
  return Reader(text, std::min(offset, static_cast<std::uint32_t>(text.size()))).read();
}

}  // namespace sprue::serve
