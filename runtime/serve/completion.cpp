// What may be written at a place: by the block it is in, by what stands before it in its entry, and by the type of the
// field it is a value of.
#include <fmt/format.h>
#include <algorithm>
#include <set>

#include "lang/syntax/text.hpp"
#include "lang/syntax/words.hpp"
#include "runtime/serve/context.hpp"
#include "runtime/serve/features.hpp"
#include "runtime/serve/scope.hpp"
#include "runtime/serve/unit_names.hpp"

namespace sprue::serve {
namespace {

// CompletionItemKind.
constexpr int item_function = 3, item_field = 5, item_variable = 6, item_class = 7, item_module = 9, item_unit = 11,
              item_value = 12, item_keyword = 14, item_member = 20;

class Completer {
 public:
  Completer(const Host& host, const View& view, std::uint32_t offset)
      : host_(host),
        view_(view),
        analysis_(view.analysis),
        program_(analysis_.program),
        offset_(offset),
        context_(context_at(view.text, offset)),
        scope_(program_, context_) {}

  Json items() {
    if (!context_.in_comment && !context_.in_string) complete();
    return Json::object({{"isIncomplete", false}, {"items", std::move(items_)}});
  }

 private:
  void complete() {
    const auto& before = context_.before;
    if (!before.empty() && before.front().is("use")) {
      modules();
    } else if (number_before()) {
      units();
    } else if (before.size() > 1 && before.back().is("from")) {
      words_of(words::sources);
    } else if (before.size() > 1 && before.back().is("as")) {
      words_of(words::shapes);
    } else if (context_.ends_with(".")) {
      members();
    } else if (wants_domain()) {
      domain();
    } else if (before.size() > 1 && before.back().is("whose")) {
      if (const KindId kind = scope_.kind_called(before[before.size() - 2].text); kind != none) fields(kind);
    } else if (after_is()) {
      // Said.
    } else if (wants_kind()) {
      kinds(false);
    } else if (context_.ends_with("like") && scope_.kind_called(before.front().text) != none) {
      instances({TypeTag::reference, scope_.kind_called(before.front().text), 0});
    } else if (const KindId kind = scope_.instance_kind(); kind != none) {
      in_instance(kind);
    } else if (!context_.blocks.empty() && head().front().is("scenario")) {
      in_scenario();
    } else if (const KindId own = scope_.declared_kind(); own != none) {
      in_kind(own);
    } else if (context_.blocks.empty() && before.empty()) {
      for (const std::string_view word : text::declaration_words) item(word, item_keyword);
      kinds(true);
    } else if (context_.blocks.empty() && in_statement(before.front())) {
      // Said.
    } else {
      instances({});
      locals();
      expression();
    }
  }

  const std::vector<Lexeme>& head() const { return context_.blocks.back().head; }
  bool entry_has(std::string_view word) const {
    return std::any_of(context_.before.begin(), context_.before.end(), [&](const Lexeme& l) { return l.is(word); });
  }

  // The statement at hand, where it is in no block.

  /// False where what it goes on with is an expression.
  bool in_statement(const Lexeme& first) {
    const auto& before = context_.before;
    if (first.is("report")) {
      if (before.size() == 1) item("in", item_keyword);
      if (before.size() == 2) currencies(context_.typed_begin);
    } else if (first.is("scenario") && before.back().is("like")) {
      for (const Scenario& scenario : program_.scenarios) {
        if (!before[1].is(program_.text(scenario.name))) item(program_.text(scenario.name), item_module);
      }
    } else if (first.is("dimension")) {
      if (before.back().is("=") || joins_dimensions()) dimensions();
    } else if (first.is("show")) {
      in_show();
    } else if (first.is("correlate")) {
      if (before.size() == 1 || before.back().is("with"))
        instances({});
      else if (!entry_has("with"))
        item("with", item_keyword);
    } else if (first.is("function")) {
      in_function();
    } else {
      return false;
    }
    return true;
  }

  void in_show() {
    const auto& before = context_.before;
    const bool shown_in = entry_has("in");
    if (shown_in && (before.back().is("in") || joins_dimensions())) {
      for (const std::string_view name : program_.units->unit_names()) replacing(name, item_unit, unit_begin());
    } else if (before.size() == 1 || joins_dimensions()) {
      dimensions();
    } else if (!entry_has("to")) {
      if (!shown_in) item("in", item_keyword);
      item("to", item_keyword);
    }
  }

  /// A function's body sees its parameters and other functions.
  void in_function() {
    if (entry_has("=")) {
      for (const std::string_view name : scope_.parameters()) item(name, item_variable);
      functions();
    } else if (context_.ends_with(":") || joins_dimensions()) {
      types();
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
        const bool owned = field.type.tag == TypeTag::list || field.type.tag == TypeTag::set;
        if (owned) {
          for (KindId inner = 0; inner < program_.kinds.size(); ++inner) {
            if (program_.is_a(inner, field.type.id) && !program_.kinds[inner].abstract) kind_item(inner);
          }
        } else if (!field.is_final && std::find(given.begin(), given.end(), program_.text(field.name)) == given.end()) {
          field_item(id, slot, ": ");
        }
      }
      return;
    }
    if (before.size() >= 2 && before[1].is(":"))
      value(id, scope_.slot_called(kind, before[0].text), before.size() == 2);
  }

  void in_scenario() {
    const auto& before = context_.before;
    if (before.empty()) {
      item("remove", item_keyword);
      item("add", item_keyword);
      instances({});
    } else if (before.size() == 1 && before.front().is("add")) {
      kinds(true);
    } else if (const auto colon = std::find_if(before.begin(), before.end(), [](const Lexeme& l) { return l.is(":"); });
               colon != before.end()) {
      if (const auto [kind, slot] = scope_.given_field(); slot != none) value(kind, slot, colon + 1 == before.end());
    } else {
      instances({});
    }
  }

  void in_kind(KindId id) {
    const auto& before = context_.before;
    if (before.empty()) {
      for (const std::string_view word : {"require", "caution", "post", "final", "headline", "basis"})
        item(word, item_keyword);
      const KindId base = program_.kinds[id].base;
      for (Slot slot = 0; base != none && slot < program_.kinds[base].fields.size(); ++slot)
        field_item(base, slot, ": ");
      return;
    }
    const bool type = before.back().is(":") || joins_dimensions();
    const bool value = entry_has("=");
    const std::string_view first = before.front().text;
    if (type && !value && first != "require" && first != "caution" && first != "post") {
      types();
    } else if (first == "post" && before.size() == 1) {
      for (const Ledger& ledger : program_.ledgers) item(program_.text(ledger.name), item_module);
    } else {
      fields(id);
      for (const std::string_view word : {"this", "owner", "next", "previous"}) item(word, item_keyword);
      locals();
      expression();
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
        instances(type);
        return;
      case TypeTag::choice:
        choices(type);
        return;
      case TypeTag::flag:
        item("yes", item_value);
        item("no", item_value);
        break;
      case TypeTag::table:
        item("table", item_keyword);
        break;
      case TypeTag::curve:
        item("curve", item_keyword);
        break;
      default:
        if (first) item("unknown", item_keyword);
    }
    fields(id);
    instances({});
    expression();
  }

  // Names.

  void modules() {
    std::uint32_t begin = context_.typed_begin;
    while (begin > 0 && (text::is_word(view_.text[begin - 1]) || view_.text[begin - 1] == '.')) --begin;
    for (const std::string& name : host_.modules) replacing(name, item_module, begin);
  }

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
  void kinds(bool concrete) {
    for (KindId id = 0; id < program_.kinds.size(); ++id) {
      const Kind& kind = program_.kinds[id];
      if (!concrete || (!kind.abstract && kind.within == none)) kind_item(id);
    }
  }

  void choices(const Type& type) {
    for (const Symbol name : program_.choices[type.id]) item(program_.text(name), item_member);
  }

  void types() {
    for (const std::string_view word : {"one", "optional", "many", "list of", "set of", "date", "flag", "text", "whole",
                                        "choice of", "series of", "table of", "curve of", "point of"})
      item(word, item_keyword);
    dimensions();
  }
  void dimensions() {
    for (const std::string_view name : program_.units->dimension_names()) item(name, item_unit);
  }
  void currencies(std::uint32_t begin) {
    for (const Currency& currency : program_.units->currencies())
      replacing(program_.text(currency.name), item_unit, begin);
  }
  void words_of(std::span<const std::string_view> words) {
    for (const std::string_view word : words) item(word, item_keyword);
  }

  /// `for x in`; of `for i, x in` a block's entry holds only what follows the comma.
  bool wants_domain() const {
    const auto& before = context_.before;
    return before.size() > 1 && before.back().is("in") && before[before.size() - 2].is_word() &&
           !before.front().is("report") && !before.front().is("show");
  }
  void domain() {
    item("all", item_keyword);
    const KindId own = scope_.declared_kind();
    const KindId around = own != none ? own : scope_.instance_kind();
    for (Slot slot = 0; around != none && slot < program_.kinds[around].fields.size(); ++slot) {
      const TypeTag tag = program_.kinds[around].fields[slot].type.tag;
      if (tag == TypeTag::list || tag == TypeTag::set || tag == TypeTag::many || tag == TypeTag::series)
        field_item(around, slot, "");
    }
    kinds(false);
    if (own == none) instances({});
    locals();
  }

  /// Behind `is` of a choice, or of what `whose` looks at. False at any other place: there a kind follows.
  bool after_is() {
    const auto& before = context_.before;
    const std::size_t end = before.size() - (context_.ends_with("not") ? 1 : 0);
    if (end < 2 || !before[end - 1].is("is")) return false;
    const Type type = scope_.path_before(end - 1).type;
    const bool whose = end > 3 && before[end - 3].is("whose");
    if (type.tag == TypeTag::choice) {
      choices(type);
    } else if (whose && (type.tag == TypeTag::reference || type.tag == TypeTag::optional)) {
      for (const std::string_view word : {"this", "owner"}) item(word, item_keyword);
      locals();
      instances(type);
    } else if (end != before.size()) {
      kinds(false);
    } else {
      return false;
    }
    return true;
  }

  /// Top-level instances that fit; all where the type is none.
  void instances(const Type& type) {
    std::set<std::string_view> names;
    for (const auto& [name, id] : program_.draft_names) {
      if (type.tag == TypeTag::error || program_.is_a(program_.drafts[id].kind, type.id))
        names.insert(program_.text(name));
    }
    for (const std::string_view name : names) item(name, item_variable);
  }

  void fields(KindId id) {
    for (Slot slot = 0; slot < program_.kinds[id].fields.size(); ++slot) field_item(id, slot, "");
  }

  void locals() {
    for (const auto& loop : scope_.loops()) item(loop.name, item_variable);
  }

  void expression() {
    functions();
    for (const Ledger& ledger : program_.ledgers) item(program_.text(ledger.name), item_module);
  }

  /// What may stand in any formula.
  void functions() {
    for (const Function& function : program_.functions) {
      std::string detail;
      for (std::size_t i = 0; i < function.parameters.size(); ++i)
        detail += fmt::format("{}{}: {}", i == 0 ? "" : ", ", program_.text(function.parameters[i]),
                              type_text(program_, function.types[i]));
      item(program_.text(function.name), item_function,
           fmt::format("({}): {}", detail, type_text(program_, function.result)));
    }
    for (const std::string_view word : words::functions) item(word, item_function);
    for (const std::string_view word : words::aggregates) item(word, item_function);
    for (const std::string_view word : {"if", "then", "else", "and", "or", "not", "otherwise"})
      item(word, item_keyword);
  }

  // After a dot.

  void members() {
    const Meaning meaning = scope_.path_before(context_.before.size() - 1);
    if (meaning.ledger != none) {
      const Ledger& ledger = program_.ledgers[meaning.ledger];
      for (const Category& category : ledger.categories)
        item(program_.text(category.name), item_member, std::string(program_.text(category.title)));
      if (context_.before.front().is("post") && context_.before.size() == 3) return;
      item("total", item_member);
      item("of", item_function);
      if (!ledger.dated) return;
      for (const std::string_view word : {"before", "through", "out_before", "out_through", "in_before", "in_through",
                                          "lowest", "lowest_through", "lowest_date"})
        item(word, item_member);
      return;
    }
    if (meaning.draft != none) {
      for (const DraftId child : program_.drafts[meaning.draft].children)
        item(program_.text(program_.drafts[child].name), item_variable);
    }
    if (meaning.type.tag == TypeTag::reference || meaning.type.tag == TypeTag::optional) fields(meaning.type.id);
  }

  // After a number.

  /// Where the unit begins: one blank behind a number.
  std::uint32_t unit_begin() const {
    std::uint32_t begin = context_.typed_begin;
    const auto part = [](char c) { return text::is_word(c) || c == '/' || c == '*' || c == '^'; };
    while (begin > 0 && part(view_.text[begin - 1])) --begin;
    return begin;
  }
  bool number_before() const {
    const std::uint32_t begin = unit_begin();
    const auto number = std::find_if(context_.before.rbegin(), context_.before.rend(), [&](const Lexeme& lexeme) {
      return lexeme.kind == Lexeme::Kind::number && lexeme.end() + 1 == begin;
    });
    return number != context_.before.rend() && number->text.back() != '%' && view_.text[begin - 1] == ' ';
  }

  void units() {
    if (context_.before.front().is("exchange")) return currencies(unit_begin());
    const auto [kind, slot] = scope_.given_field();
    const std::uint32_t begin = unit_begin();
    if (slot == none) {
      for (const std::string_view name : program_.units->unit_names()) replacing(name, item_unit, begin);
      return;
    }
    const Type& type = program_.kinds[kind].fields[slot].type;
    if (type.tag != TypeTag::quantity && type.tag != TypeTag::point && type.tag != TypeTag::series) return;
    for (const std::string& name : units_for(program_, type)) replacing(name, item_unit, begin);
  }

  // Items.

  void kind_item(KindId id) {
    const Kind& kind = program_.kinds[id];
    item(program_.text(kind.name), item_class, {},
         doc_comment(program_.trees[kind.where.tree], analysis_.sources, kind.where.node));
  }
  void field_item(KindId id, Slot slot, std::string_view behind) {
    const Field& field = program_.kinds[id].fields[slot];
    const std::string_view name = program_.text(field.name);
    item(name, item_field, type_text(program_, field.type) + (field.required ? ", must be given" : ""),
         field_doc(analysis_, id, slot), std::string(name) + std::string(behind));
  }
  void item(std::string_view label, int kind, std::string detail = {}, std::string doc = {}, std::string insert = {}) {
    if (!known_.insert(std::string(label)).second) return;
    Json json = Json::object({{"label", label}, {"kind", kind}});
    if (!detail.empty()) json.set("detail", std::move(detail));
    if (!doc.empty()) json.set("documentation", std::move(doc));
    if (!insert.empty() && insert != label) json.set("insertText", std::move(insert));
    items_.add(std::move(json));
  }
  void replacing(std::string_view label, int kind, std::uint32_t begin) {
    items_.add(
        Json::object({{"label", label},
                      {"kind", kind},
                      {"filterText", label},
                      {"textEdit", Json::object({{"range", view_.lines.range(begin, offset_)}, {"newText", label}})}}));
  }

  const Host& host_;
  const View& view_;
  const Analysis& analysis_;
  const Program& program_;
  std::uint32_t offset_;
  Context context_;
  Scope scope_;
  Json items_ = Json::array();
  std::set<std::string> known_;
};

}  // namespace

Json completion(const Host& host, const View& view, std::uint32_t offset) {
  return Completer(host, view, offset).items();
}

}  // namespace sprue::serve
