// Small and strict: one pass each, no repair.
#include "tests/support/readers.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace sprue::testing {
namespace {

class JsonReader {
 public:
  explicit JsonReader(std::string_view text) : text_(text) {}

  std::string problem() {
    if (value(0)) {
      space();
      if (at_ == text_.size()) return {};
    }
    return "no JSON at byte " + std::to_string(at_);
  }

 private:
  bool next_is(char c) const { return at_ < text_.size() && text_[at_] == c; }
  bool take(char c) {
    if (!next_is(c)) return false;
    ++at_;
    return true;
  }
  bool take(std::string_view word) {
    if (!text_.substr(at_).starts_with(word)) return false;
    at_ += word.size();
    return true;
  }
  void space() {
    while (at_ < text_.size() && std::string_view(" \t\r\n").find(text_[at_]) != std::string_view::npos) ++at_;
  }
  bool digits() {
    const std::size_t begin = at_;
    while (at_ < text_.size() && text_[at_] >= '0' && text_[at_] <= '9') ++at_;
    return at_ > begin;
  }
  bool number() {
    take('-');
    if (!take('0') && !digits()) return false;
    if (take('.') && !digits()) return false;
    if (!take('e') && !take('E')) return true;
    if (!take('+')) take('-');
    return digits();
  }
  bool string() {
    if (!take('"')) return false;
    while (at_ < text_.size() && text_[at_] != '"') {
      if (static_cast<unsigned char>(text_[at_]) < 0x20) return false;
      if (!take('\\')) {
        ++at_;
      } else if (take('u')) {
        for (int i = 0; i < 4; ++i, ++at_) {
          if (at_ >= text_.size() || std::isxdigit(static_cast<unsigned char>(text_[at_])) == 0) return false;
        }
      } else if (at_ < text_.size() && std::string_view("\"\\/bfnrt").find(text_[at_]) != std::string_view::npos) {
        ++at_;
      } else {
        return false;
      }
    }
    return take('"');
  }
  /// What stands in brackets, after the first of them.
  template <class Item>
  bool list(char close, Item item) {
    space();
    if (take(close)) return true;
    for (;;) {
      space();
      if (!item()) return false;
      space();
      if (take(close)) return true;
      if (!take(',')) return false;
    }
  }
  bool value(int depth) {
    if (depth > 100) return false;
    space();
    if (take('[')) return list(']', [&] { return value(depth + 1); });
    if (take('{')) {
      return list('}', [&] {
        if (!string()) return false;
        space();
        return take(':') && value(depth + 1);
      });
    }
    if (next_is('"')) return string();
    return take("true") || take("false") || take("null") || number();
  }

  std::string_view text_;
  std::size_t at_ = 0;
};

bool is_word(char c) {
  return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_';
}

bool is_void(std::string_view tag) {
  static constexpr std::array<std::string_view, 6> voids{"meta", "link", "br", "hr", "img", "col"};
  return std::find(voids.begin(), voids.end(), tag) != voids.end();
}

}  // namespace

std::string json_problem(std::string_view text) {
  return JsonReader(text).problem();
}

std::vector<std::vector<std::string>> csv_rows(std::string_view text) {
  std::vector<std::vector<std::string>> rows(1, std::vector<std::string>(1));
  for (std::size_t i = 0; i < text.size();) {
    std::string& cell = rows.back().back();
    if (text[i] == '"') {
      for (++i; i < text.size() && (text[i] != '"' || text.substr(i).starts_with("\"\"")); ++i) {
        if (text[i] == '"') ++i;
        cell += text[i];
      }
      if (i++ >= text.size()) return {};
    } else {
      while (i < text.size() && std::string_view("\",\r\n").find(text[i]) == std::string_view::npos) cell += text[i++];
    }
    if (text.substr(i).starts_with(",")) {
      rows.back().emplace_back();
      ++i;
    } else if (text.substr(i).starts_with("\r\n")) {
      rows.emplace_back(1);
      i += 2;
    } else {
      return {};
    }
  }
  rows.pop_back();
  return rows;
}

std::string html_problem(std::string_view text) {
  std::vector<std::string_view> open;
  for (std::size_t at = text.find('<'); at != std::string_view::npos; at = text.find('<', at)) {
    const std::string where = " at byte " + std::to_string(at);
    if (text.substr(at).starts_with("<!")) {
      at = text.find('>', at);
      continue;
    }
    const bool closing = at + 1 < text.size() && text[at + 1] == '/';
    const std::size_t begin = at + (closing ? 2 : 1);
    std::size_t end = begin;
    while (end < text.size() && is_word(text[end])) ++end;
    const std::string_view tag = text.substr(begin, end - begin);
    if (tag.empty()) return "a bare <" + where;
    bool quoted = false;
    at = end;
    while (at < text.size() && (quoted || text[at] != '>')) {
      if (!quoted && text[at] == '<') return "a tag that does not end" + where;
      quoted ^= text[at++] == '"';
    }
    if (at == text.size()) return "a tag that does not end" + where;
    if (closing) {
      if (open.empty() || open.back() != tag) return "a stray </" + std::string(tag) + ">" + where;
      open.pop_back();
    } else if (text[at - 1] != '/' && !is_void(tag)) {
      open.push_back(tag);
      if (tag == "style") at = text.find("</style>", at);
    }
  }
  return open.empty() ? std::string() : "<" + std::string(open.back()) + "> is never closed";
}

bool has_no_number(std::string_view text) {
  for (const std::string_view word : {"nan", "inf"}) {
    for (std::size_t at = text.find(word); at != std::string_view::npos; at = text.find(word, at + 1)) {
      const bool begins = at == 0 || !is_word(text[at - 1]);
      if (begins && (at + 3 == text.size() || !is_word(text[at + 3]))) return true;
    }
  }
  return false;
}

}  // namespace sprue::testing
