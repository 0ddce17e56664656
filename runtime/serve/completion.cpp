// What may be written at a place: by the block it is in, by what stands before it in its entry, and by the type of the
// field it is a value of.
#include <algorithm>

#include "lang/syntax/text.hpp"
#include "lang/syntax/words.hpp"
#include "runtime/serve/context.hpp"
#include "runtime/serve/features.hpp"
#include "runtime/serve/offers.hpp"
#include "runtime/serve/scope.hpp"

namespace sprue::serve {
namespace {

class Completer {
 public:
  Completer(const Host& host, const View& view, std::uint32_t offset)
      : host_(host),
        program_(view.analysis.program),
        text_(view.text),
        context_(context_at(view.text, offset)),
        scope_(program_, context_),
        offers_(view, scope_, offset) {}

  Json items() {
    if (!context_.in_comment && !context_.in_string) complete();
    return Json::object({{"isIncomplete", false}, {"items", offers_.take()}});
  }

 private:
  void complete() {
    const auto& before = context_.before;
    if (!before.empty() && before.front().is("use")) {
      offers_.modules(host_.modules);
    } else if (in_block_of("audience")) {
      in_audience();
    } else if (number_before()) {
      unit();
    } else if (before.size() > 1 && before.back().is("from")) {
      offers_.words(words::sources);
    } else if (before.size() > 1 && before.back().is("as")) {
      offers_.words(words::shapes);
    } else if (context_.ends_with(".")) {
      members();
    } else if (wants_domain()) {
      domain();
    } else if (before.size() > 1 && before.back().is("whose")) {
      if (const KindId kind = scope_.kind_called(before[before.size() - 2].text); kind != none) offers_.fields(kind);
    } else if (after_is()) {
      // Said.
    } else if (wants_kind()) {
      offers_.kinds(false);
    } else if (context_.ends_with("like") && scope_.kind_called(before.front().text) != none) {
      offers_.instances({TypeTag::reference, scope_.kind_called(before.front().text), 0});
    } else if (const KindId kind = scope_.instance_kind(); kind != none) {
      in_instance(kind);
    } else if (in_block_of("scenario")) {
      in_scenario();
    } else if (const KindId own = scope_.declared_kind(); own != none) {
      in_kind(own);
    } else if (context_.blocks.empty() && before.empty()) {
      offers_.words(text::declaration_words);
      offers_.kinds(true);
    } else if (context_.blocks.empty() && in_statement(before.front())) {
      // Said.
    } else {
      offers_.instances({});
      offers_.locals();
      offers_.expression();
    }
  }

  const std::vector<Lexeme>& head() const { return context_.blocks.back().head; }
  bool in_block_of(std::string_view statement) const {
    return !context_.blocks.empty() && !head().empty() && head().front().is(statement);
  }
  bool entry_has(std::string_view word) const { return position(word) != context_.before.size(); }
  std::size_t position(std::string_view word) const {
    const auto& before = context_.before;
    return static_cast<std::size_t>(
        std::find_if(before.begin(), before.end(), [&](const Lexeme& l) { return l.is(word); }) - before.begin());
  }

  // The statement at hand, where it is in no block.

  /// False where what it goes on with is an expression.
  bool in_statement(const Lexeme& first) {
    const auto& before = context_.before;
    if (first.is("report")) {
      if (before.size() == 1) offers_.word("in");
      if (before.size() == 2) offers_.currencies();
    } else if (first.is("scenario") && before.back().is("like")) {
      offers_.scenarios(before[1]);
    } else if (first.is("dimension")) {
      if (before.back().is("=") || joins_dimensions()) offers_.dimensions();
    } else if (first.is("show")) {
      in_show();
    } else if (first.is("correlate")) {
      if (before.size() == 1 || before.back().is("with"))
        offers_.instances({});
      else if (!entry_has("with"))
        offers_.word("with");
    } else if (first.is("function")) {
      in_function();
    } else {
      return false;
    }
    return true;
  }

  void in_show() {
    const auto& before = context_.before;
    const std::size_t in = position("in");
    const bool of_field = before.size() > 2 && before[2].is(".");
    if (of_field && in + 1 == before.size()) {
      offers_.word("percent");
    } else if (in != before.size() && (in + 1 == before.size() || joins_dimensions())) {
      if (const auto shown = scope_.dimension(text_, 1, in)) offers_.units({TypeTag::quantity, *shown, 0});
    } else if (before.size() == 1 || joins_dimensions()) {
      offers_.dimensions();
      if (before.size() == 1) offers_.kinds(false);
    } else if (!entry_has("to")) {
      if (in == before.size()) offers_.word("in");
      if (!of_field || before.back().is("percent")) offers_.word("to");
    }
  }

  /// A function's body sees its parameters and other functions.
  void in_function() {
    if (entry_has("=")) {
      offers_.parameters();
      offers_.functions();
    } else if (context_.ends_with(":") || joins_dimensions()) {
      offers_.types();
    }
  }

  bool joins_dimensions() const { return context_.ends_with("/") || context_.ends_with("*"); }

  // The block at hand.

  void in_instance(KindId id) {
    const Kind& kind = program_.kinds[id];
    const auto& before = context_.before;
    if (before.empty()) {
      const auto& given = context_.blocks.back().given;
      for (Slot slot = 0; slot < kind.fields.size(); ++slot) {
        const Field& field = kind.fields[slot];
        if (field.type.tag == TypeTag::list || field.type.tag == TypeTag::set) {
          offers_.owned(field.type.id);
        } else if (!field.is_final && std::find(given.begin(), given.end(), program_.text(field.name)) == given.end()) {
          offers_.given_field(id, slot);
        }
      }
      return;
    }
    if (before.size() >= 2 && before[1].is(":"))
      value(id, scope_.slot_called(kind, before[0].text), before.size() == 2);
  }

  void in_scenario() {
    const auto& before = context_.before;
    const std::size_t colon = position(":");
    if (before.empty()) {
      offers_.word("remove");
      offers_.word("add");
      offers_.instances({});
    } else if (before.size() == 1 && before.front().is("add")) {
      offers_.kinds(true);
    } else if (colon != before.size()) {
      if (const auto [kind, slot] = scope_.given_field(); slot != none) value(kind, slot, colon + 1 == before.size());
    } else {
      offers_.instances({});
    }
  }

  void in_audience() {
    const auto& before = context_.before;
    if (before.empty() || before.back().is("."))
      offers_.views();
    else if (before.back().kind == Lexeme::Kind::number)
      offers_.word("rows");
    else if (!entry_has("to"))
      offers_.word("to");
  }

  void in_kind(KindId id) {
    const auto& before = context_.before;
    if (before.empty()) {
      for (const std::string_view word : {"require", "caution", "post", "final", "replaceable", "headline", "basis"})
        offers_.word(word);
      const KindId base = program_.kinds[id].base;
      for (Slot slot = 0; base != none && slot < program_.kinds[base].fields.size(); ++slot)
        offers_.given_field(base, slot);
      return;
    }
    const bool type = before.back().is(":") || joins_dimensions();
    const std::string_view first = before.front().text;
    if (type && !entry_has("=") && first != "require" && first != "caution" && first != "post") {
      offers_.types();
    } else if (first == "post" && before.size() == 1) {
      offers_.ledgers();
    } else {
      offers_.fields(id);
      for (const std::string_view word : {"this", "owner", "next", "previous"}) offers_.word(word);
      offers_.locals();
      offers_.expression();
    }
  }

  /// A value of the field, `first` where nothing of it is written.
  void value(KindId id, Slot slot, bool first) {
    if (slot == none) return;
    const Type& type = program_.kinds[id].fields[slot].type;
    switch (type.tag) {
      case TypeTag::reference:
      case TypeTag::optional:
      case TypeTag::many:
        offers_.instances(type);
        return;
      case TypeTag::choice:
        offers_.choices(type);
        return;
      case TypeTag::flag:
        offers_.flags();
        break;
      case TypeTag::table:
        offers_.word("table");
        break;
      case TypeTag::curve:
        offers_.word("curve");
        break;
      default:
        if (first) offers_.word("unknown");
    }
    offers_.fields(id);
    offers_.instances({});
    offers_.expression();
  }

  // By the word before.

  /// A kind follows `one`, `all` and their like; `list of` and `set of`; `within` where a kind is declared.
  bool wants_kind() const {
    const auto& before = context_.before;
    if (before.empty() || !before.back().is_word()) return false;
    if (before.back().is("of")) {
      const Lexeme* const what = before.size() > 1 ? &before[before.size() - 2] : nullptr;
      return what != nullptr && (what->is("list") || what->is("set"));
    }
    if (before.back().is("within")) return before.front().is("kind") || before.front().is("abstract");
    for (const std::string_view word : {"one", "optional", "many", "all", "the", "is"}) {
      if (before.back().is(word)) return true;
    }
    return false;
  }

  /// `for x in`; of `for i, x in` a block's entry holds only what follows the comma.
  bool wants_domain() const {
    const auto& before = context_.before;
    return before.size() > 1 && before.back().is("in") && before[before.size() - 2].is_word() &&
           !before.front().is("report") && !before.front().is("show");
  }
  void domain() {
    offers_.word("all");
    const KindId own = scope_.declared_kind();
    const KindId around = own != none ? own : scope_.instance_kind();
    if (around != none) offers_.collections(around);
    offers_.kinds(false);
    if (own == none) offers_.instances({});
    offers_.locals();
  }

  /// Behind `is` of a choice, or of what `whose` looks at. False at any other place: there a kind follows.
  bool after_is() {
    const auto& before = context_.before;
    const std::size_t end = before.size() - (context_.ends_with("not") ? 1 : 0);
    if (end < 2 || !before[end - 1].is("is")) return false;
    const Type type = scope_.path_before(end - 1).type;
    const bool whose = end > 3 && before[end - 3].is("whose");
    if (type.tag == TypeTag::choice) {
      offers_.choices(type);
    } else if (whose && (type.tag == TypeTag::reference || type.tag == TypeTag::optional)) {
      for (const std::string_view word : {"this", "owner"}) offers_.word(word);
      offers_.locals();
      offers_.instances(type);
    } else if (end != before.size()) {
      offers_.kinds(false);
    } else {
      return false;
    }
    return true;
  }

  /// After a dot.
  void members() {
    if (context_.before.front().is("show")) {
      if (const KindId kind = scope_.kind_called(context_.before[1].text); kind != none) offers_.ratios(kind);
      return;
    }
    const Meaning meaning = scope_.path_before(context_.before.size() - 1);
    if (meaning.ledger != none)
      return offers_.members(meaning.ledger, context_.before.front().is("post") && context_.before.size() == 3);
    if (meaning.draft != none) offers_.children(meaning.draft);
    if (meaning.type.tag == TypeTag::reference || meaning.type.tag == TypeTag::optional)
      offers_.fields(meaning.type.id);
  }

  /// A unit stands one blank behind a number.
  bool number_before() const {
    const std::uint32_t begin = offers_.unit_begin();
    const auto number = std::find_if(context_.before.rbegin(), context_.before.rend(), [&](const Lexeme& lexeme) {
      return lexeme.kind == Lexeme::Kind::number && lexeme.end() + 1 == begin;
    });
    return number != context_.before.rend() && number->text.back() != '%' && text_[begin - 1] == ' ';
  }
  void unit() {
    if (context_.before.front().is("exchange")) return offers_.currencies();
    const auto [kind, slot] = scope_.given_field();
    if (slot == none)
      offers_.units();
    else
      offers_.units(program_.kinds[kind].fields[slot].type);
  }

  const Host& host_;
  const Program& program_;
  std::string_view text_;
  Context context_;
  Scope scope_;
  Offers offers_;
};

}  // namespace

Json completion(const Host& host, const View& view, std::uint32_t offset) {
  return Completer(host, view, offset).items();
}

}  // namespace sprue::serve
