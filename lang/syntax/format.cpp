// Tokens by line, one layout. The tree says which stretches are single tokens (numbers with their units, dimensions, texts) and
// which minus signs are prefixes; nothing but white space is changed.
#include "lang/syntax/format.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <unordered_map>
#include <unordered_set>

#include "lang/syntax/parse.hpp"

namespace sprue {
namespace {

constexpr std::size_t line_limit = 120;

struct Token {
  std::string text;
  bool comment = false;
  bool touches = false;   // nothing stood between it and the token before
  bool prefix = false;    // a minus that belongs to what follows
  std::size_t lines_before = 0;   // line ends since the token before
};

using Line = std::vector<Token>;

bool is_word(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_'; }
bool is_open(const Token& token) { return token.text == "(" || token.text == "["; }
bool is_close(const Token& token) { return token.text == ")" || token.text == "]"; }

/// Number tokens have one space before the unit.
std::string squeezed(std::string_view text) {
  std::string out;
  for (const char c : text) {
    const bool space = c == ' ' || c == '\t';
    if (!space) {
      out += c;
    } else if (!out.empty() && out.back() != ' ') {
      out += ' ';
    }
  }
  return out;
}

class Scanner {
 public:
  Scanner(std::string_view text, const Tree& tree) : text_(text), tree_(tree) {
    for (NodeId id = 0; id < tree.nodes.size(); ++id) {
      const Node& node = tree.nodes[id];
      const bool whole = node.kind == NodeKind::number || node.kind == NodeKind::dims || node.kind == NodeKind::date || node.kind == NodeKind::string || node.kind == NodeKind::use_module;
      if (whole) wholes_[node.begin] = std::max(wholes_[node.begin], node.end);
      if (node.kind == NodeKind::unary && node.op == Operator::negate) prefixes_.insert(node.begin);
    }
  }

  std::vector<Token> run() {
    std::vector<Token> tokens;
    std::size_t at = 0;
    std::size_t lines = 0;
    bool touches = false;
    auto comment = tree_.comments.begin();
    while (at < text_.size()) {
      const char c = text_[at];
      if (c == '\n' || c == ' ' || c == '\t' || c == '\r') {
        lines += c == '\n' ? 1 : 0;
        touches = false;
        ++at;
        continue;
      }
      Token token;
      token.lines_before = lines;
      token.touches = touches;
      std::size_t end = at + 1;
      while (comment != tree_.comments.end() && comment->begin < at) ++comment;
      if (comment != tree_.comments.end() && comment->begin == at) {
        end = comment->end;
        token.comment = true;
      } else if (const auto whole = wholes_.find(static_cast<std::uint32_t>(at)); whole != wholes_.end()) {
        end = whole->second;
      } else if (is_word(c)) {
        while (end < text_.size() && is_word(text_[end])) ++end;
      } else {
        const std::string_view two = text_.substr(at, 2);
        if (two == ".." || two == "+-" || two == "<=" || two == ">=" || two == "!=") ++end;
        token.prefix = prefixes_.count(static_cast<std::uint32_t>(at)) != 0 && c == '-';
      }
      const std::string_view raw = text_.substr(at, end - at);
      if (token.comment) {
        token.text = raw.substr(0, raw.find_last_not_of(" \t\r") + 1);
      } else {
        token.text = raw.front() == '"' ? std::string(raw) : squeezed(raw);
      }
      tokens.push_back(std::move(token));
      lines = 0;
      touches = true;
      at = end;
    }
    return tokens;
  }

 private:
  std::string_view text_;
  const Tree& tree_;
  std::unordered_map<std::uint32_t, std::uint32_t> wholes_;
  std::unordered_set<std::uint32_t> prefixes_;
};

bool spaced(const Token& before, const Token& after) {
  const std::string& a = before.text;
  const std::string& b = after.text;
  if (b == "," || b == ":" || is_close(after) || is_open(before) || before.prefix) return false;
  if (a == "." || b == ".") return false;
  if (a == "{" && b == "}") return false;
  if (is_open(after)) return !after.touches || a == "," || a == ":" || a == "=" || a == "{";
  return true;
}

std::string text_of(const Line& line) {
  std::string out;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (i > 0) out += line[i].comment ? "  " : spaced(line[i - 1], line[i]) ? " " : "";
    out += line[i].text;
  }
  return out;
}

/// The index of the `}` that closes the `{` at `open` in the same line, or the line's size.
std::size_t closing(const Line& line, std::size_t open) {
  int depth = 0;
  for (std::size_t i = open; i < line.size(); ++i) {
    if (line[i].text == "{") ++depth;
    if (line[i].text == "}" && --depth == 0) return i;
  }
  return line.size();
}

/// Appends the line, broken where a block in it is open at an end or too long for one line.
void push_line(std::vector<Line>& lines, Line line, std::size_t indent) {
  int depth = 0;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (line[i].comment || line[i].text != "{") {
      if (line[i].text == "}" && i > 0 && depth == 0) {  // closes a block of an earlier line
        Line rest(line.begin() + static_cast<std::ptrdiff_t>(i), line.end());
        rest.front().lines_before = 1;
        line.resize(i);
        push_line(lines, std::move(line), indent);
        push_line(lines, std::move(rest), indent);
        return;
      }
      continue;
    }
    const std::size_t close = closing(line, i);
    const bool whole = close < line.size();
    if (whole && indent + text_of(line).size() <= line_limit) {
      i = close;
      continue;
    }
    if (close == i + 1 || (!whole && (i + 1 == line.size() || line[i + 1].comment))) {
      i = whole ? close : i;
      continue;
    }
    Line head(line.begin(), line.begin() + static_cast<std::ptrdiff_t>(i) + 1);
    lines.push_back(std::move(head));
    Line entry;
    std::size_t at = i + 1;
    int inner = 0;
    for (; at < (whole ? close : line.size()); ++at) {
      if (entry.empty()) line[at].lines_before = 1;
      if (line[at].text == "{" || is_open(line[at])) ++inner;
      if (line[at].text == "}" || is_close(line[at])) --inner;
      entry.push_back(line[at]);
      if (whole && line[at].text == "," && inner == 0) {
        push_line(lines, std::move(entry), indent + 2);
        entry.clear();
      }
    }
    if (!entry.empty()) push_line(lines, std::move(entry), indent + 2);
    if (whole) {
      Line tail(line.begin() + static_cast<std::ptrdiff_t>(close), line.end());
      tail.front().lines_before = 1;
      lines.push_back(std::move(tail));
    }
    return;
  }
  lines.push_back(std::move(line));
}

bool goes_on(const Token& last) {
  static constexpr std::string_view joins[] = {"+", "-", "*", "/", "^", "<", "<=", ">", ">=", "=", "!=", ":", "and", "or", "not", "is", "otherwise", "if", "then", "else"};
  return !last.comment && std::find(std::begin(joins), std::end(joins), last.text) != std::end(joins);
}

}  // namespace

std::optional<std::string> format(const Sources& sources, SourceId source, Diagnostics& diagnostics) {
  Symbols symbols;
  const std::size_t errors = diagnostics.error_count();
  const Tree tree = parse(sources, source, symbols, diagnostics);
  if (diagnostics.error_count() != errors) return std::nullopt;
  std::vector<Line> lines;
  Line line;
  std::size_t blocks = 0;
  for (Token& token : Scanner(sources[source].text, tree).run()) {
    if (token.lines_before > 0 && !line.empty()) {
      push_line(lines, std::move(line), 2 * blocks);
      line.clear();
    }
    line.push_back(std::move(token));
  }
  if (!line.empty()) push_line(lines, std::move(line), 0);

  std::string out;
  std::size_t brackets = 0;
  blocks = 0;
  const Token* last = nullptr;
  for (const Line& current : lines) {
    const bool closes = current.front().text == "}";
    const bool closes_bracket = is_close(current.front());
    const bool after_open = last != nullptr && last->text == "{";
    if (current.front().lines_before > 1 && !out.empty() && !closes && !after_open) out += '\n';
    std::size_t indent = 2 * (closes && blocks > 0 ? blocks - 1 : blocks);
    if ((brackets > 0 && !closes_bracket) || (last != nullptr && goes_on(*last))) indent += 4;
    out += std::string(indent, ' ') + text_of(current) + '\n';
    for (const Token& token : current) {
      if (token.comment) continue;
      if (token.text == "{") ++blocks;
      if (token.text == "}" && blocks > 0) --blocks;
      if (is_open(token)) ++brackets;
      if (is_close(token) && brackets > 0) --brackets;
      last = &token;
    }
  }
  return out;
}

}  // namespace sprue
