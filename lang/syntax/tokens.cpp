// The tree tells which stretches are one token, which words are names, which minus signs are prefixes and where entries
// begin.
#include "lang/syntax/tokens.hpp"

#include <algorithm>

#include "lang/syntax/text.hpp"

namespace sprue {
namespace {

bool is_entry(NodeKind kind) {
  switch (kind) {
    case NodeKind::dimension:
    case NodeKind::base_unit:
    case NodeKind::derived_unit:
    case NodeKind::countable:
    case NodeKind::currency:
    case NodeKind::exchange:
    case NodeKind::function:
    case NodeKind::kind:
    case NodeKind::field_decl:
    case NodeKind::require:
    case NodeKind::caution:
    case NodeKind::post:
    case NodeKind::ledger:
    case NodeKind::category:
    case NodeKind::listing:
    case NodeKind::chart:
    case NodeKind::column:
    case NodeKind::audience:
    case NodeKind::section:
    case NodeKind::show:
    case NodeKind::instance:
    case NodeKind::given:
    case NodeKind::scenario:
    case NodeKind::remove:
    case NodeKind::add:
    case NodeKind::expect:
    case NodeKind::correlate:
    case NodeKind::report:
      return true;
    default:
      return false;
  }
}

/// What the tree says about offsets, read in rising order.
class Places {
 public:
  explicit Places(const Tree& tree) {
    for (const Node& node : tree.nodes) {
      switch (node.kind) {
        case NodeKind::name:
          leaves_.push_back({node.begin, node.end, Token::Kind::name});
          break;
        case NodeKind::dims:
        case NodeKind::number:
        case NodeKind::date:
        case NodeKind::string:
          leaves_.push_back({node.begin, node.end, Token::Kind::literal});
          break;
        default:
          if (node.op == Operator::negate) minuses_.push_back(node.begin);
          if (is_entry(node.kind)) entries_.push_back(node.begin);
      }
    }
    std::sort(leaves_.begin(), leaves_.end(), [](const Leaf& a, const Leaf& b) { return a.begin < b.begin; });
    std::sort(minuses_.begin(), minuses_.end());
    std::sort(entries_.begin(), entries_.end());
  }

  struct Leaf {
    std::uint32_t begin, end;
    Token::Kind kind;
  };
  const Leaf* leaf_at(std::uint32_t offset) {
    while (leaf_ < leaves_.size() && leaves_[leaf_].begin < offset) ++leaf_;
    return leaf_ < leaves_.size() && leaves_[leaf_].begin == offset ? &leaves_[leaf_] : nullptr;
  }
  bool entry_at(std::uint32_t offset) const { return std::binary_search(entries_.begin(), entries_.end(), offset); }
  bool minus_at(std::uint32_t offset) const { return std::binary_search(minuses_.begin(), minuses_.end(), offset); }

 private:
  std::vector<Leaf> leaves_;
  std::vector<std::uint32_t> minuses_;
  std::vector<std::uint32_t> entries_;
  std::size_t leaf_ = 0;
};

std::string_view view(const char* begin, const char* end) {
  return {begin, static_cast<std::size_t>(end - begin)};
}

/// Reads one token that begins at `p`; returns where it ends.
const char* read(Token& token, const char* p, const char* end, std::uint32_t offset, Places& places) {
  const char* stop = p + 1;
  if (*p == '#') {
    token.kind = Token::Kind::comment;
    stop = text::line_end(p, end);
    const char* last = stop;
    while (text::is_space(last[-1])) --last;
    token.text = view(p, last);
    return stop;
  }
  if (const Places::Leaf* const leaf = places.leaf_at(offset); leaf != nullptr) {
    token.kind = leaf->kind;
    stop = p + (leaf->end - leaf->begin);
    token.text = view(p, stop);
    if (text::is_digit(*p)) {  // a number; blanks may stand before its unit
      const std::size_t blank = token.text.find_first_of(" \t");
      token.text = token.text.substr(0, blank);
      if (blank != std::string_view::npos) token.unit = view(text::past_blanks(p + blank), stop);
    }
    return stop;
  }
  if (text::is_letter(*p)) {
    token.kind = Token::Kind::word;
    stop = text::past_word(p);
  } else {
    for (const std::string_view sign : {"..", "+-", "<=", ">=", "!="}) {
      if (view(p, p + 2) == sign) stop = p + 2;
    }
    if (*p == '-' && places.minus_at(offset)) token.kind = Token::Kind::minus_prefix;
  }
  token.text = view(p, stop);
  return stop;
}

}  // namespace

std::vector<Token> tokens_of(const Tree& tree, std::string_view text) {
  Places places(tree);
  std::vector<Token> tokens;
  tokens.reserve(tree.nodes.size() * 2);
  std::vector<std::size_t> open;
  const char* const end = text.data() + text.size();
  const char* before = text.data();
  for (const char* p = before; p != end;) {
    if (text::is_space(*p)) {
      ++p;
      continue;
    }
    Token token;
    const auto offset = static_cast<std::uint32_t>(p - text.data());
    token.lines = static_cast<std::uint32_t>(std::count(before, p, '\n'));
    token.touches = p == before;
    token.starts_entry = places.entry_at(offset);
    p = read(token, p, end, offset, places);
    if (token.kind == Token::Kind::word && token.text == "use") token.starts_entry = true;
    before = p;
    if (token.is("{")) open.push_back(tokens.size());
    if (token.is("}")) {
      token.partner = open.back();
      tokens[open.back()].partner = tokens.size();
      open.pop_back();
    }
    tokens.push_back(token);
  }
  return tokens;
}

}  // namespace sprue
