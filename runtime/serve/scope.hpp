// What the words around a place mean: the kind whose block it is in, names, paths, loops and parameters, as far as
// their words tell.
#pragma once

#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "lang/check/model.hpp"
#include "runtime/serve/context.hpp"

namespace sprue::serve {

/// What a path leads to.
struct Meaning {
  Type type{};
  DraftId draft = none;
  LedgerId ledger = none;
};

struct LoopName {
  std::string_view name;
  KindId kind = none;
};

class Scope {
 public:
  Scope(const Program& program, const Context& context) : program_(program), context_(context) {}

  /// The kind of the instance whose block this is.
  KindId instance_kind() const;
  /// The kind whose declaration this is.
  KindId declared_kind() const;
  /// The field that the entry gives.
  std::pair<KindId, Slot> given_field() const;
  /// What the path before the entry's lexeme `end` (a dot, or what follows the path) means.
  Meaning path_before(std::size_t end) const;
  /// The dimension that the entry's lexemes from `begin` to `end` write, "money/pc"; empty where they write none.
  std::optional<DimensionId> dimension(std::string_view text, std::size_t begin, std::size_t end) const;
  /// Names of loops around the place: `for x in all KIND`, `for x in KIND whose …`, `for x in FIELD`.
  std::vector<LoopName> loops() const;
  /// Those of the function that the entry declares.
  std::vector<std::string_view> parameters() const;

  KindId kind_called(std::string_view word) const;
  Slot slot_called(const Kind& kind, std::string_view word) const;

 private:
  const std::vector<Lexeme>& head() const { return context_.blocks.back().head; }
  Meaning name(std::string_view word) const;
  Meaning member_of(const Meaning& of, std::string_view word) const;
  void add_loops(const std::vector<Lexeme>& words, std::vector<LoopName>& found) const;

  const Program& program_;
  const Context& context_;
};

}  // namespace sprue::serve
