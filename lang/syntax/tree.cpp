// The tree as a listing, and the comments that document a node.
#include "lang/syntax/tree.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

#include "lang/graph/arithmetic.hpp"
#include "lang/syntax/parse.hpp"

namespace sprue {
namespace {

constexpr std::array kind_names{
    "file", "name", "dims", "number", "date", "string", "use_module", "use_file", "dimension", "base_unit", "derived_unit", "zero", "countable", "currency",
    "exchange", "function", "parameter", "kind", "is_clause", "within_clause", "field_decl", "require", "post", "on_clause", "for_clause", "where_clause", "ledger",
    "category", "listing", "column", "show", "shown_in", "instance", "like_clause", "given", "scenario", "remove", "add", "to_clause", "expect", "tolerance",
    "report", "within", "plus_minus", "source", "on_date", "until_date", "type_quantity", "type_point", "type_date", "type_flag", "type_text", "type_whole",
    "type_choice", "type_series", "type_table", "type_curve", "type_one", "type_optional", "type_many", "type_list", "type_set", "unknown", "table", "curve",
    "row", "the_only", "member", "call", "index", "unary", "binary", "conditional", "aggregate", "series", "repeated", "comprehension", "domain_all",
    "domain_whose", "domain_range"};
static_assert(kind_names.size() == static_cast<std::size_t>(NodeKind::domain_range) + 1);

constexpr std::array operator_names{"", "otherwise", "or", "and", "not", "<", "<=", ">", ">=", "=", "!=", "is", "is not", "+", "-", "*", "/", "-", "^"};
static_assert(operator_names.size() == static_cast<std::size_t>(Operator::power) + 1);

std::string leaf_text(const Tree& tree, const Node& node, const Symbols& symbols) {
  switch (node.kind) {
    case NodeKind::number: {
      const Number& number = tree.numbers[node.data];
      return fmt::format(" {}{}{}", number.value, number.unit != 0 ? " " : "", symbols[number.unit]);
    }
    case NodeKind::date: {
      const arithmetic::Civil day = arithmetic::civil_from_days(static_cast<std::int32_t>(node.data));
      return fmt::format(" {:04}-{:02}-{:02}", day.year, day.month, day.day);
    }
    case NodeKind::string: return fmt::format(" \"{}\"", symbols[node.data]);
    case NodeKind::unary:
    case NodeKind::binary: return fmt::format(" {}", operator_names[static_cast<std::size_t>(node.op)]);
    default: return node.data != 0 ? fmt::format(" {}", symbols[node.data]) : std::string();
  }
}

std::string flag_text(const Node& node) {
  std::string text;
  if (node.kind == NodeKind::kind && (node.flags & flag_abstract) != 0) text += " abstract";
  if (node.kind == NodeKind::field_decl && (node.flags & flag_final) != 0) text += " final";
  if (node.kind == NodeKind::field_decl && (node.flags & flag_headline) != 0) text += " headline";
  if (node.kind == NodeKind::ledger && (node.flags & flag_dated) != 0) text += " dated";
  if (node.kind == NodeKind::category && (node.flags & flag_in) != 0) text += " in";
  if (node.kind == NodeKind::category && (node.flags & flag_out) != 0) text += " out";
  return text;
}

}  // namespace

std::string dump(const Tree& tree, const Sources&, const Symbols& symbols) {
  std::string out;
  std::vector<std::pair<NodeId, std::size_t>> stack{{tree.root, 0}};
  while (!stack.empty()) {
    const auto [id, level] = stack.back();
    stack.pop_back();
    const Node& node = tree[id];
    out += fmt::format("{:{}}{}{}{}\n", "", 2 * level, kind_names[static_cast<std::size_t>(node.kind)], flag_text(node), leaf_text(tree, node, symbols));
    const auto children = tree.children_of(id);
    for (auto child = children.rbegin(); child != children.rend(); ++child) stack.emplace_back(*child, level + 1);
  }
  return out;
}

std::string doc_comment(const Tree& tree, const Sources& sources, NodeId id) {
  const std::string_view text = sources[tree.source].text;
  const Node& node = tree[id];
  const auto words = [&](const Comment& comment) {
    std::string_view body = text.substr(comment.begin + 2, comment.end - comment.begin - 2);
    while (!body.empty() && body.front() == ' ') body.remove_prefix(1);
    while (!body.empty() && body.back() == ' ') body.remove_suffix(1);
    return body;
  };
  const auto line_of = [&](std::uint32_t offset) { return sources.position(tree.source, offset).line; };
  const auto alone = [&](const Comment& comment) {
    const std::size_t start = text.rfind('\n', comment.begin) + 1;
    return text.substr(start, comment.begin - start).find_first_not_of(" \t") == std::string_view::npos;
  };
  auto at = std::lower_bound(tree.comments.begin(), tree.comments.end(), node.begin, [](const Comment& c, std::uint32_t offset) { return c.begin < offset; });
  std::uint32_t line = line_of(node.begin);
  std::vector<std::string_view> lines;
  for (auto back = at; back != tree.comments.begin();) {
    --back;
    if (!back->doc || !alone(*back) || line_of(back->begin) != line - 1) break;
    lines.insert(lines.begin(), words(*back));
    --line;
  }
  if (lines.empty()) {
    const std::uint32_t last = line_of(node.end == 0 ? 0 : node.end - 1);
    for (; at != tree.comments.end() && line_of(at->begin) <= last; ++at) {
      if (at->doc && at->begin >= node.end && line_of(at->begin) == last) lines.push_back(words(*at));
    }
  }
  return fmt::format("{}", fmt::join(lines, " "));
}

}  // namespace sprue
