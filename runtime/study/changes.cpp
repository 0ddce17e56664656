// Matching pieces by key, and writing a program from them.
#include "runtime/study/changes.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <set>
#include <unordered_map>

namespace sprue {
namespace {

class Matcher {
 public:
  explicit Matcher(Changes& out) : out_(out) {}

  std::vector<Merged> match(const std::vector<Piece>& before, const std::vector<Piece>& after, const std::string& path,
                            Change::Where where) {
    where_ = where;
    std::unordered_map<std::string_view, const Piece*> old;
    for (const Piece& piece : before) old.emplace(piece.key, &piece);
    std::set<std::string_view> kept;
    for (const Piece& piece : after) kept.insert(piece.key);
    std::vector<Merged> merged;
    std::size_t at = 0;  // before[at …) is not yet placed
    const auto place_removed = [&](std::size_t end) {
      for (; at < end; ++at) {
        if (kept.count(before[at].key) == 0) merged.push_back(one_sided(&before[at], nullptr, path));
      }
    };
    for (const Piece& piece : after) {
      const auto found = old.find(piece.key);
      if (found == old.end()) {
        merged.push_back(one_sided(nullptr, &piece, path));
        continue;
      }
      place_removed(std::max(at, static_cast<std::size_t>(found->second - before.data())));
      merged.push_back(both(*found->second, piece, path));
    }
    place_removed(before.size());
    return merged;
  }

 private:
  std::string join(const std::string& path, const std::string& key) const {
    return path.empty() ? key : path + (where_ == Change::Where::beside ? ": " : ".") + key;
  }
  /// Inside an instance and for its fields the path says it; elsewhere the label tells more.
  std::string name_of(const Piece& piece, const std::string& path) const {
    return path.empty() ? piece.label : join(path, piece.key);
  }

  std::uint32_t note(std::string path, const Piece* before, const Piece* after, bool figures) {
    out_.list.push_back({std::move(path), before, after, where_, figures && where_ != Change::Where::beside});
    return static_cast<std::uint32_t>(out_.list.size() - 1);
  }

  Merged one_sided(const Piece* before, const Piece* after, const std::string& path) {
    return {before, after, note(name_of(before != nullptr ? *before : *after, path), before, after, true), {}};
  }

  Merged both(const Piece& before, const Piece& after, const std::string& path) {
    Merged merged{&before, &after, none, {}};
    const bool comparable = before.instance && after.instance && same_order(before, after);
    const bool figures = before.tokens != after.tokens || before.instance != after.instance ||
                         (before.instance && !comparable) || (after.unknown && before.facts != after.facts);
    if (figures || before.facts != after.facts || before.title != after.title) {
      const std::uint32_t change = note(name_of(after, path), &before, &after, figures);
      if (figures) merged.change = change;
    }
    if (before.instance && (!figures || where_ == Change::Where::beside))
      merged.inside = match(before.inside, after.inside, join(path, after.key), where_);
    return merged;
  }

  /// Whether the instances both have stand in the same order: in a list it has meaning.
  static bool same_order(const Piece& before, const Piece& after) {
    const auto common = [](const Piece& of, const Piece& with) {
      std::vector<std::string_view> keys;
      for (const Piece& piece : of.inside) {
        const bool shared = std::any_of(with.inside.begin(), with.inside.end(),
                                        [&](const Piece& other) { return other.instance && other.key == piece.key; });
        if (piece.instance && shared) keys.push_back(piece.key);
      }
      return keys;
    };
    return common(before, after) == common(after, before);
  }

  Changes& out_;
  Change::Where where_ = Change::Where::declaration;
};

class Emitter {
 public:
  explicit Emitter(const std::function<bool(std::uint32_t)>& made) : made_(made) {}

  void piece(const Merged& merged) {
    if (merged.change != none || merged.before == nullptr || merged.after == nullptr || !merged.after->instance) {
      const bool later = merged.change == none || made_(merged.change);
      const Piece* const chosen = later ? merged.after : merged.before;
      if (chosen != nullptr) out += fmt::format("{}\n", chosen->text);
      return;
    }
    // Its tokens are the head of an instance, without the title: no figure depends on that.
    out += fmt::format("{} {{\n", merged.after->tokens);
    for (const Merged& inner : merged.inside) piece(inner);
    out += "}\n";
  }

  std::string out;

 private:
  const std::function<bool(std::uint32_t)>& made_;
};

/// An expectation has no name. One that is gone and one that is new are one change where they share their text, or else
/// their condition.
void pair_expectations(std::vector<Change>& list) {
  const auto pair = [&](auto&& alike) {
    for (Change& gone : list) {
      if (!gone.expectation() || gone.after != nullptr) continue;
      const auto fresh = std::find_if(list.begin(), list.end(), [&](const Change& change) {
        return change.expectation() && change.before == nullptr && alike(*gone.before, *change.after);
      });
      if (fresh == list.end()) continue;
      fresh->before = gone.before;
      gone.before = nullptr;  // neither: taken out below
    }
    std::erase_if(list, [](const Change& change) { return change.before == nullptr && change.after == nullptr; });
  };
  pair([](const Piece& a, const Piece& b) { return !a.title.empty() && a.title == b.title; });
  pair([](const Piece& a, const Piece& b) { return a.tokens == b.tokens; });
}

/// An edit of a scenario that is compared stands among the edits and in its scenario: the first tells what it does.
void drop_repeated(std::vector<Change>& list) {
  const auto text = [](const Piece* piece) { return piece == nullptr ? nullptr : piece->text.data(); };
  std::set<std::pair<const char*, const char*>> edits;
  for (const Change& change : list) {
    if (change.where == Change::Where::edit) edits.emplace(text(change.before), text(change.after));
  }
  std::erase_if(list, [&](const Change& change) {
    return change.where == Change::Where::beside && edits.count({text(change.before), text(change.after)}) != 0;
  });
}

}  // namespace

Changes changes_between(const Pieces& before, const Pieces& after) {
  Changes changes;
  Matcher matcher(changes);
  changes.declarations = matcher.match(before.declarations, after.declarations, {}, Change::Where::declaration);
  changes.edits = matcher.match(before.edits, after.edits, {}, Change::Where::edit);
  matcher.match(before.beside, after.beside, {}, Change::Where::beside);
  pair_expectations(changes.list);
  drop_repeated(changes.list);
  std::set<std::string> modules(before.modules.begin(), before.modules.end());
  modules.insert(after.modules.begin(), after.modules.end());
  changes.modules.assign(modules.begin(), modules.end());
  return changes;
}

std::string source_between(const Changes& changes, const std::function<bool(std::uint32_t)>& made) {
  Emitter emitter(made);
  for (const std::string& module : changes.modules) emitter.out += fmt::format("use {}\n", module);
  for (const Merged& merged : changes.declarations) emitter.piece(merged);
  if (!changes.edits.empty()) {
    emitter.out += "scenario between {\n";
    for (const Merged& merged : changes.edits) emitter.piece(merged);
    emitter.out += "}\n";
  }
  return std::move(emitter.out);
}

}  // namespace sprue
