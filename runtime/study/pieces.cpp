// Reading trees into pieces.
#include "runtime/study/pieces.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>
#include <map>
#include <set>

#include "lang/syntax/one_line.hpp"
#include "lang/syntax/tokens.hpp"

namespace sprue {
namespace {

/// `24_000` and `24000.0` are the same; what is no number stays as it is.
std::string plain_number(std::string_view text) {
  std::string digits(text);
  digits.erase(std::remove(digits.begin(), digits.end(), '_'), digits.end());
  double value = 0;
  const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  const std::string_view rest(read.ptr, static_cast<std::size_t>(digits.data() + digits.size() - read.ptr));
  const bool number = read.ec == std::errc{} && (rest.empty() || rest == "%");
  return number ? fmt::format("{}{}", value, rest) : std::string(text);
}

bool is_edit(NodeKind kind) {
  return kind == NodeKind::given || kind == NodeKind::remove || kind == NodeKind::add;
}

bool matters_to_figures(NodeKind kind) {
  switch (kind) {
    case NodeKind::use_module:
    case NodeKind::correlate:
    case NodeKind::chart:
    case NodeKind::audience:
    case NodeKind::expect:
    case NodeKind::scenario:
    case NodeKind::listing:
    case NodeKind::show:
      return false;
    default:
      return true;
  }
}

/// The same may stand there twice.
void number_twins(std::vector<Piece>& pieces) {
  std::map<std::string, int> seen;
  for (Piece& piece : pieces) {
    if (const int twin = ++seen[piece.key]; twin > 1) piece.key += fmt::format(" ({})", twin);
  }
}

/// The tokens of one tree, to be asked for by node.
class Reader {
 public:
  Reader(const Program& program, const Sources& sources, const Tree& tree)
      : program_(program),
        text_(sources[tree.source].text),
        tree_(tree),
        tokens_(tokens_of(tree, sources[tree.source].text)) {}

  const Node& node(NodeId id) const { return tree_[id]; }
  std::span<const NodeId> children(NodeId id) const { return tree_.children_of(id); }
  std::string_view source_text(NodeId id) const { return slice(node(id).begin, node(id).end); }
  std::string name(NodeId id) const { return std::string(program_.text(node(id).data)); }

  Piece declaration(NodeId id) const {
    switch (node(id).kind) {
      case NodeKind::instance:
        return instance(id);
      case NodeKind::exchange: {
        Piece piece = whole(id, {});
        const NodeId number = children(id)[0];
        piece.key = piece.label = fmt::format("exchange.{}", program_.text(tree_.number(number).unit));
        read_facts(id, 2, children(id)[1], piece);
        return piece;
      }
      case NodeKind::report:
        return whole(id, "report in");
      case NodeKind::dimension:
        return whole(id, "dimension " + name(children(id)[0]));
      case NodeKind::base_unit:
      case NodeKind::derived_unit:
        return whole(id, "unit " + name(children(id)[0]));
      case NodeKind::countable:
        return whole(id, "countable " + name(children(id)[0]));
      case NodeKind::currency:
        return whole(id, "currency " + name(children(id)[0]));
      case NodeKind::function:
        return whole(id, "function " + name(children(id)[0]));
      case NodeKind::kind:
        return whole(id, "kind " + name(children(id)[0]));
      case NodeKind::ledger:
        return whole(id, "ledger " + name(children(id)[0]));
      case NodeKind::use_module:
        return whole(id, "use " + name(id));
      case NodeKind::listing:
        return whole(id, "listing " + name(children(id)[0]));
      case NodeKind::chart:
        return whole(id, "chart " + name(children(id)[0]));
      case NodeKind::audience:
        return whole(id, "audience " + name(children(id)[0]));
      case NodeKind::show:
        return whole(id, fmt::format("show {}", source_text(children(id)[0])));
      case NodeKind::correlate:
        return correlation(id);
      case NodeKind::expect:
        return expectation(id);
      default:
        return scenario(id);
    }
  }

  Piece edit(NodeId id) const {
    switch (node(id).kind) {
      case NodeKind::remove:
        return whole(id, fmt::format("remove {}", source_text(children(id)[0])));
      case NodeKind::add: {
        Piece piece = whole(id, {});
        const Piece added = instance(children(id)[0]);
        piece.key = fmt::format("add {}", added.key);
        piece.label = added.label;
        if (children(id).size() > 1) {
          const std::string_view owner = source_text(children(children(id)[1])[0]);
          piece.key = fmt::format("add {}.{}", owner, added.key);
          piece.label += fmt::format(" to {}", owner);
        }
        return piece;
      }
      default:
        return given(id);
    }
  }

 private:
  std::string_view slice(std::uint32_t begin, std::uint32_t end) const { return text_.substr(begin, end - begin); }

  template <class Visit>
  void each_token(std::uint32_t begin, std::uint32_t end, Visit&& visit) const {
    const char* const from = text_.data() + begin;
    auto at = std::partition_point(tokens_.begin(), tokens_.end(),
                                   [&](const Token& token) { return token.text.data() < from; });
    for (; at != tokens_.end() && at->text.data() < text_.data() + end; ++at) {
      if (at->kind != Token::Kind::comment) visit(*at);
    }
  }
  std::string tokens(std::uint32_t begin, std::uint32_t end) const {
    std::string out;
    each_token(begin, end, [&](const Token& token) {
      if (!out.empty()) out += ' ';
      out += token.kind == Token::Kind::literal ? plain_number(token.text) : std::string(token.text);
      if (!token.unit.empty()) out += fmt::format(" {}", token.unit);
    });
    return out;
  }
  void mention(std::uint32_t begin, std::uint32_t end, std::vector<std::string>& out) const {
    each_token(begin, end, [&](const Token& token) {
      if (token.kind == Token::Kind::name) out.emplace_back(token.text);
    });
  }
  static void settle(std::vector<std::string>& names) {
    std::sort(names.begin(), names.end());
    names.erase(std::unique(names.begin(), names.end()), names.end());
  }

  Piece whole(NodeId id, std::string key) const {
    Piece piece;
    piece.label = key;
    piece.key = std::move(key);
    piece.text = source_text(id);
    piece.tokens = tokens(node(id).begin, node(id).end);
    mention(node(id).begin, node(id).end, piece.mentions);
    settle(piece.mentions);
    piece.span = tree_.span(id);
    return piece;
  }

  /// The children of `id` from index `first` on are facts about `value`.
  void read_facts(NodeId id, std::size_t first, NodeId value, Piece& piece) const {
    piece.value = source_text(value);
    piece.tokens = tokens(node(id).begin, node(value).end);
    piece.mentions.clear();
    mention(node(value).begin, node(value).end, piece.mentions);
    settle(piece.mentions);
    const auto parts = children(id);
    for (std::size_t i = first; i < parts.size(); ++i) {
      if (!piece.facts.empty()) piece.facts += ' ';
      piece.facts += tokens(node(parts[i]).begin, node(parts[i]).end);
    }
  }

  Piece given(NodeId id) const {
    const auto parts = children(id);
    Piece piece = whole(id, std::string(source_text(parts[0])));
    piece.unknown = node(parts[1]).kind == NodeKind::unknown;
    read_facts(id, 2, parts[1], piece);
    return piece;
  }

  /// Called by its text, or else by its condition.
  Piece expectation(NodeId id) const {
    Piece piece = whole(id, {});
    piece.expectation = true;
    std::uint32_t end = node(id).begin;
    for (const NodeId part : children(id)) {
      if (node(part).kind == NodeKind::string) {
        piece.title = source_text(part);
      } else {
        end = node(part).end;
      }
    }
    const std::uint32_t begin = node(children(id)[0]).begin;
    piece.value = slice(begin, end);
    piece.tokens = tokens(begin, end);
    piece.label = fmt::format("expect {}", piece.title.empty() ? one_line(piece.value) : std::string(piece.title));
    piece.key = fmt::format("expect {}: {}", piece.title, piece.tokens);
    return piece;
  }

  /// Of two in either order.
  Piece correlation(NodeId id) const {
    Piece piece = whole(id, {});
    const auto parts = children(id);
    std::string_view a = source_text(parts[0]);
    std::string_view b = source_text(parts[1]);
    if (b < a) std::swap(a, b);
    piece.key = piece.label = fmt::format("correlate {} with {}", a, b);
    piece.value = slice(node(parts[2]).begin, node(parts[2]).end);
    piece.tokens = tokens(node(parts[2]).begin, node(parts[2]).end);
    return piece;
  }

  Piece scenario(NodeId id) const {
    Piece piece;
    piece.instance = true;
    piece.text = source_text(id);
    piece.span = tree_.span(id);
    piece.key = piece.label = piece.tokens = fmt::format("scenario {}", name(children(id)[0]));
    for (const NodeId part : children(id)) {
      if (node(part).kind == NodeKind::string) piece.title = source_text(part);
      if (node(part).kind == NodeKind::like_clause) piece.tokens += " " + tokens(node(part).begin, node(part).end);
      if (is_edit(node(part).kind)) piece.inside.push_back(edit(part));
    }
    return piece;
  }

  Piece instance(NodeId id) const {
    Piece piece;
    piece.instance = true;
    piece.text = source_text(id);
    piece.span = tree_.span(id);
    const auto parts = children(id);
    const std::string kind = name(parts[0]);
    piece.key = kind;
    piece.tokens = kind;
    for (std::size_t i = 1; i < parts.size(); ++i) {
      const Node& part = node(parts[i]);
      if (part.kind == NodeKind::name) {
        piece.key = name(parts[i]);
        piece.tokens += " " + piece.key;
      } else if (part.kind == NodeKind::string) {
        piece.title = source_text(parts[i]);
      } else if (part.kind == NodeKind::like_clause) {
        piece.tokens += " " + tokens(part.begin, part.end);
        mention(part.begin, part.end, piece.mentions);
      } else if (part.kind == NodeKind::given) {
        piece.inside.push_back(given(parts[i]));
      } else if (part.kind == NodeKind::instance) {
        piece.inside.push_back(instance(parts[i]));
      }
    }
    piece.label = piece.key == kind ? kind : fmt::format("{} {}", kind, piece.key);
    piece.mentions.push_back(kind);
    for (const Piece& inner : piece.inside)
      piece.mentions.insert(piece.mentions.end(), inner.mentions.begin(), inner.mentions.end());
    settle(piece.mentions);
    return piece;
  }

  const Program& program_;
  std::string_view text_;
  const Tree& tree_;
  std::vector<Token> tokens_;
};

}  // namespace

Pieces pieces_of(const Program& program, const Sources& sources, std::uint32_t scenario) {
  Pieces pieces;
  std::vector<std::uint32_t> chain;
  for (std::uint32_t at = scenario; at != none; at = program.scenarios[at].like) chain.insert(chain.begin(), at);
  std::set<std::string> modules;
  std::map<std::string, Piece> edits;
  std::vector<std::map<std::string, Piece>> by_scenario(chain.size());
  for (std::uint32_t t = 0; t < program.trees.size(); ++t) {
    const Tree& tree = program.trees[t];
    if (tree.source < program.library_sources.size() && program.library_sources[tree.source]) continue;
    const Reader reader(program, sources, tree);
    for (const NodeId id : tree.children_of(tree.root)) {
      const NodeKind kind = tree[id].kind;
      const bool again = kind == NodeKind::use_module && !modules.emplace(program.text(tree[id].data)).second;
      // Which file holds a declaration makes no difference.
      if (kind != NodeKind::use_file && !again)
        (matters_to_figures(kind) ? pieces.declarations : pieces.beside).push_back(reader.declaration(id));
      for (std::size_t c = 0; c < chain.size(); ++c) {
        const TreeRef where = program.scenarios[chain[c]].where;
        if (where.tree != t || where.node != id) continue;
        for (const NodeId part : tree.children_of(id)) {
          if (!is_edit(tree[part].kind)) continue;
          Piece piece = reader.edit(part);
          std::string key = piece.key;
          by_scenario[c].insert_or_assign(std::move(key), std::move(piece));
        }
      }
    }
  }
  for (auto& own : by_scenario) {
    for (auto& [key, piece] : own) edits.insert_or_assign(key, std::move(piece));
  }
  pieces.modules.assign(modules.begin(), modules.end());
  for (auto& [key, piece] : edits) pieces.edits.push_back(std::move(piece));
  number_twins(pieces.beside);
  return pieces;
}

}  // namespace sprue
