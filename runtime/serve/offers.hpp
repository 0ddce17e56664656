// What may be offered at a place, by what it is: names, words and units as items of a completion, each once. Which of
// it fits is not its matter.
#pragma once

#include <set>
#include <span>
#include <string>

#include "runtime/serve/features.hpp"
#include "runtime/serve/scope.hpp"

namespace sprue::serve {

class Offers {
 public:
  Offers(const View& view, const Scope& scope, std::uint32_t offset);

  /// CompletionItem[], in the order in which they were added.
  Json take() { return std::move(items_); }

  // Names of the program.
  void kinds(bool concrete);
  /// Kinds of what a list or set owns.
  void owned(KindId kind);
  /// Fields as a formula names them …
  void fields(KindId kind);
  /// … and one as a block gives it.
  void given_field(KindId kind, Slot slot) { field(kind, slot, ": "); }
  /// Fields that may be shown in percent.
  void ratios(KindId kind);
  /// Fields that hold several things.
  void collections(KindId kind);
  /// Top-level instances that fit; all where the type is none.
  void instances(const Type& type);
  void children(DraftId draft);
  void choices(const Type& type);
  void scenarios(const Lexeme& but);
  void ledgers();
  /// Of one ledger; its categories alone where something is posted.
  void members(LedgerId ledger, bool categories_only);
  void locals();
  void parameters();

  // Words.
  void word(std::string_view word);
  void words(std::span<const std::string_view> words);
  /// What a flag is.
  void flags();
  void types();
  void dimensions();
  /// What may stand in any formula: functions and words …
  void functions();
  /// … and, outside of functions, ledgers.
  void expression();

  // In place of what is typed, which may hold signs: `std.un`, `cash.by_m`, `EUR/p`.
  void modules(std::span<const std::string> names);
  void views();
  void currencies();
  void units();
  void units(const Type& type);
  /// Where the unit at the place begins.
  std::uint32_t unit_begin() const;

 private:
  std::uint32_t begin_with(std::string_view signs) const;
  void kind(KindId id);
  void field(KindId kind, Slot slot, std::string_view behind);
  void item(std::string_view label, int kind, std::string detail = {}, std::string doc = {}, std::string insert = {});
  void replacing(std::string_view label, int kind, std::uint32_t begin);

  const View& view_;
  const Program& program_;
  const Scope& scope_;
  std::uint32_t offset_;
  Json items_ = Json::array();
  std::set<std::string> known_;
};

}  // namespace sprue::serve
