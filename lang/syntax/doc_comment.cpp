// Finds the `##` comments that belong to a node by where they stand: above it, behind it, or behind the `{` of its
// head.
#include <fmt/format.h>
#include <algorithm>
#include <string>

#include "lang/syntax/tree.hpp"

namespace sprue {
namespace {

class Finder {
 public:
  Finder(const Tree& tree, std::string_view text) : comments_(tree.comments), text_(text) {}

  std::string above(std::uint32_t begin) const {
    std::vector<std::string_view> lines;
    std::size_t start = line_start(begin);
    if (!blank(start, begin)) return {};
    for (std::size_t i = first_after(begin); i > 0 && start > 0; --i) {
      const Comment& comment = comments_[i - 1];
      const std::size_t previous = line_start(start - 1);
      if (!comment.doc || comment.begin < previous || !blank(previous, comment.begin)) break;
      lines.push_back(words(comment));
      start = previous;
    }
    std::reverse(lines.begin(), lines.end());
    return fmt::format("{}", fmt::join(lines, " "));
  }

  /// The comment that follows `end` on its line with nothing but `allowed` between.
  std::string behind(std::uint32_t end, std::string_view allowed) const {
    const std::size_t next = first_after(end);
    if (next == comments_.size() || !comments_[next].doc) return {};
    const std::string_view between = text_.substr(end, comments_[next].begin - end);
    return between.find_first_not_of(allowed) == std::string_view::npos ? std::string(words(comments_[next]))
                                                                        : std::string();
  }

  /// The comment behind the `{` that ends the first line.
  std::string behind_head(const Node& node) const {
    const std::size_t next = first_after(node.begin);
    if (next == comments_.size() || !comments_[next].doc || comments_[next].begin > node.end) return {};
    const std::string_view before = text_.substr(node.begin, comments_[next].begin - node.begin);
    const std::size_t last = before.find_last_not_of(" \t");
    const bool head =
        before.find('\n') == std::string_view::npos && last != std::string_view::npos && before[last] == '{';
    return head && before.find('{') == last ? std::string(words(comments_[next])) : std::string();
  }

 private:
  std::size_t line_start(std::size_t at) const { return at == 0 ? 0 : text_.rfind('\n', at - 1) + 1; }
  bool blank(std::size_t begin, std::size_t end) const {
    return text_.substr(begin, end - begin).find_first_not_of(" \t") == std::string_view::npos;
  }
  std::size_t first_after(std::uint32_t offset) const {
    const auto before = [](const Comment& comment, std::uint32_t at) { return comment.begin < at; };
    return static_cast<std::size_t>(std::lower_bound(comments_.begin(), comments_.end(), offset, before) -
                                    comments_.begin());
  }
  std::string_view words(const Comment& comment) const {
    const std::string_view inside = text_.substr(comment.begin + 2, comment.end - comment.begin - 2);
    const std::size_t first = inside.find_first_not_of(" \t");
    return first == std::string_view::npos ? std::string_view()
                                           : inside.substr(first, inside.find_last_not_of(" \t") + 1 - first);
  }

  const std::vector<Comment>& comments_;
  std::string_view text_;
};

}  // namespace

std::string doc_comment(const Tree& tree, const Sources& sources, NodeId id) {
  const Finder finder(tree, sources[tree.source].text);
  const Node& node = tree[id];
  if (std::string doc = finder.above(node.begin); !doc.empty()) return doc;
  if (std::string doc = finder.behind(node.end, " \t,"); !doc.empty()) return doc;
  return finder.behind_head(node);
}

}  // namespace sprue
