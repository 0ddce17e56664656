// What changed between two programs, piece by piece, and the text of any program between them. Knows keys and text; the
// compiler finds out what a change is worth.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "runtime/study/pieces.hpp"

namespace sprue {

struct Change {
  /// In the declarations, among the edits of the scenarios compared, or in what no figure depends on.
  enum class Where : std::uint8_t { declaration, edit, beside };

  std::string path;               // "lid.body.weight", "part lid", "exchange.USD", "scenario small: lid.price"
  const Piece* before = nullptr;  // nothing: added
  const Piece* after = nullptr;   // nothing: removed
  Where where = Where::declaration;
  bool figures = true;  // false: only a title, a range or a source differs, or what is beside

  bool expectation() const {
    return (before != nullptr && before->expectation) || (after != nullptr && after->expectation);
  }
  /// Of the value, or of all that stands there but title, range and source.
  bool differs() const { return before == nullptr || after == nullptr || before->tokens != after->tokens; }
};

/// Both versions of a piece laid over each other.
struct Merged {
  const Piece* before = nullptr;
  const Piece* after = nullptr;
  std::uint32_t change = none;  // that decides between the two; none: the same in both, or decided inside
  std::vector<Merged> inside;
};

struct Changes {
  std::vector<Change> list;  // in the order of the later version, what it lacks at its old place
  std::vector<Merged> declarations;
  std::vector<Merged> edits;
  std::vector<std::string> modules;  // of both
};

/// Both must outlive the result.
Changes changes_between(const Pieces& before, const Pieces& after);

/// The program in which the changes are made for which `made` says so: none gives the first version, all give the
/// second. Where there are edits, they are in its only scenario.
std::string source_between(const Changes& changes, const std::function<bool(std::uint32_t)>& made);

}  // namespace sprue
