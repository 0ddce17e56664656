// The tree as an indented listing: one node a line, its kind, its flags and what it holds.
#include <fmt/format.h>
#include <array>
#include <chrono>
#include <utility>

#include "lang/syntax/parse.hpp"

namespace sprue {
namespace {

constexpr std::array kind_names{
    "file",         "name",          "dims",       "number",       "date",          "string",        "use_module",
    "use_file",     "dimension",     "base_unit",  "derived_unit", "zero",          "countable",     "currency",
    "exchange",     "function",      "parameter",  "kind",         "is_clause",     "within_clause", "field_decl",
    "require",      "caution",       "post",       "on_clause",    "for_clause",    "where_clause",  "ledger",
    "category",     "listing",       "chart",      "over_clause",  "column",        "audience",      "section",
    "show",         "shown_in",      "instance",   "like_clause",  "given",         "scenario",      "remove",
    "add",          "to_clause",     "expect",     "tolerance",    "correlate",     "report",        "within",
    "plus_minus",   "source",        "on_date",    "until_date",   "type_quantity", "type_point",    "type_date",
    "type_flag",    "type_text",     "type_whole", "type_choice",  "type_series",   "type_table",    "type_curve",
    "type_one",     "type_optional", "type_many",  "type_list",    "type_set",      "unknown",       "table",
    "curve",        "row",           "the_only",   "member",       "call",          "index",         "unary",
    "binary",       "conditional",   "aggregate",  "series",       "repeated",      "comprehension", "domain_all",
    "domain_whose", "domain_range"};
static_assert(kind_names.size() == static_cast<std::size_t>(NodeKind::domain_range) + 1);

constexpr std::array operator_names{"",   "otherwise", "or",     "and", "not", "<", "<=", ">", ">=", "=",
                                    "!=", "is",        "is not", "+",   "-",   "*", "/",  "-", "^"};
static_assert(operator_names.size() == static_cast<std::size_t>(Operator::power) + 1);

std::string flags_of(const Node& node) {
  const auto flag = [&](NodeKind kind, std::uint8_t bit, const char* word) {
    return node.kind == kind && (node.flags & bit) != 0 ? word : "";
  };
  return fmt::format(
      "{}{}{}{}{}{}{}{}{}", flag(NodeKind::kind, flag_abstract, " abstract"),
      flag(NodeKind::field_decl, flag_final, " final"), flag(NodeKind::field_decl, flag_replaceable, " replaceable"),
      flag(NodeKind::field_decl, flag_headline, " headline"), flag(NodeKind::field_decl, flag_basis, " basis"),
      flag(NodeKind::column, flag_private, " private"), flag(NodeKind::ledger, flag_dated, " dated"),
      flag(NodeKind::category, flag_in, " in"), flag(NodeKind::category, flag_out, " out"));
}

std::string quoted(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '\n') {
      out += "\\n";
    } else if (c == '\t') {
      out += "\\t";
    } else {
      if (c == '"' || c == '\\') out += '\\';
      out += c;
    }
  }
  return out + '"';
}

std::string content_of(const Node& node, const Symbols& symbols) {
  switch (node.kind) {
    case NodeKind::number:
      return fmt::format(" {}{}{}", node.value(), node.data != 0 ? " " : "", symbols[node.data]);
    case NodeKind::date: {
      const std::chrono::year_month_day day{
          std::chrono::sys_days(std::chrono::days(static_cast<std::int32_t>(node.data)))};
      return fmt::format(" {:04}-{:02}-{:02}", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                         static_cast<unsigned>(day.day()));
    }
    case NodeKind::string:
      return fmt::format(" {}", quoted(symbols[node.data]));
    case NodeKind::unary:
    case NodeKind::binary:
      return fmt::format(" {}", operator_names[static_cast<std::size_t>(node.op)]);
    default:
      return node.data != 0 ? fmt::format(" {}", symbols[node.data]) : std::string();
  }
}

}  // namespace

std::string dump(const Tree& tree, const Sources& sources, const Symbols& symbols) {
  std::string out;
  std::vector<std::pair<NodeId, std::size_t>> waiting{{tree.root, 0}};
  while (!waiting.empty()) {
    const auto [id, depth] = waiting.back();
    waiting.pop_back();
    const Node& node = tree[id];
    const std::string content =
        node.kind == NodeKind::file ? " " + sources[tree.source].name : content_of(node, symbols);
    fmt::format_to(std::back_inserter(out), "{:{}}{}{}{}\n", "", 2 * depth,
                   kind_names[static_cast<std::size_t>(node.kind)], flags_of(node), content);
    const std::span<const NodeId> children = tree.children_of(id);
    for (auto child = children.rbegin(); child != children.rend(); ++child) waiting.emplace_back(*child, depth + 1);
  }
  return out;
}

}  // namespace sprue
