// What may be written at a place: by the block it is in, by what stands before it in its entry, and by the type of the
// field it is a value of.
#include <fmt/format.h>
#include <algorithm>
#include <set>

#include "lang/syntax/text.hpp"
#include "lang/syntax/words.hpp"
#include "runtime/serve/context.hpp"
#include "runtime/serve/features.hpp"
#include "runtime/serve/unit_names.hpp"

namespace sprue::serve {
namespace {

// CompletionItemKind.
constexpr int item_function = 3, item_field = 5, item_variable = 6, item_class = 7, item_module = 9, item_unit = 11,
              item_value = 12, item_keyword = 14, item_member = 20;

/// What a path leads to.
struct Meaning {
  Type type{};
  DraftId draft = none;
  LedgerId ledger = none;
};

class Completer {
 public:
  Completer(const Host& host, const View& view, std::uint32_t offset)
      : host_(host),
        view_(view),
        analysis_(view.analysis),
        program_(analysis_.program),
        offset_(offset),
        context_(context_at(view.text, offset)) {}

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
    } else if (context_.ends_with(".")) {
      members();
    } else if (wants_kind()) {
      kinds(false);
    } else if (context_.ends_with("like") && kind_called(before.front().text) != none) {
      instances({TypeTag::reference, kind_called(before.front().text), 0});
    } else if (const KindId kind = instance_kind(); kind != none) {
      in_instance(kind);
    } else if (!context_.blocks.empty() && head().front().is("scenario")) {
      in_scenario();
    } else if (const KindId own = declared_kind(); own != none) {
      in_kind(own);
    } else if (context_.blocks.empty() && before.empty()) {
      for (const std::string_view word : text::declaration_words) item(word, item_keyword);
      kinds(true);
    } else if (context_.blocks.empty() && before.size() == 1 && before.front().is("report")) {
      item("in", item_keyword);
    } else if (context_.blocks.empty() && before.size() == 2 && before.front().is("report")) {
      for (const Currency& currency : program_.units->currencies()) item(program_.text(currency.name), item_unit);
    } else {
      instances({});
      locals();
      expression();
    }
  }

  const std::vector<Lexeme>& head() const { return context_.blocks.back().head; }

  // The block at hand.

  /// The kind of the instance whose block this is.
  KindId instance_kind() const {
    if (context_.blocks.empty() || head().empty()) return none;
    const Lexeme& first = head().front();
    if (first.is("add") && head().size() > 1) return kind_called(head()[1].text);
    return text::is_statement_word(first.text) ? none : kind_called(first.text);
  }
  /// The kind whose declaration this is.
  KindId declared_kind() const {
    if (context_.blocks.empty()) return none;
    for (std::size_t i = 0; i + 1 < head().size() && i < 2; ++i) {
      if (head()[i].is("kind")) return kind_called(head()[i + 1].text);
    }
    return none;
  }

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
    if (before.size() >= 2 && before[1].is(":")) value(id, slot_called(kind, before[0].text), before.size() == 2);
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
      if (const auto [kind, slot] = given_field(); slot != none) value(kind, slot, colon + 1 == before.end());
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
    const bool type = before.back().is(":") || before.back().is("/") || before.back().is("*");
    const bool value = std::any_of(before.begin(), before.end(), [](const Lexeme& l) { return l.is("="); });
    const std::string_view first = before.front().text;
    if (type && !value && first != "require" && first != "caution" && first != "post") {
      for (const std::string_view word : {"one", "optional", "many", "list of", "set of", "date", "flag", "text",
                                          "whole", "choice of", "series of", "table of", "curve of", "point of"})
        item(word, item_keyword);
      for (const std::string_view name : program_.units->dimension_names()) item(name, item_unit);
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
        for (const Symbol name : program_.choices[type.id]) item(program_.text(name), item_member);
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
    for (const auto& loop : loops()) item(loop.name, item_variable);
  }

  void expression() {
    for (const Function& function : program_.functions) {
      std::string detail;
      for (std::size_t i = 0; i < function.parameters.size(); ++i)
        detail += fmt::format("{}{}: {}", i == 0 ? "" : ", ", program_.text(function.parameters[i]),
                              type_text(program_, function.types[i]));
      item(program_.text(function.name), item_function,
           fmt::format("({}): {}", detail, type_text(program_, function.result)));
    }
    for (const Ledger& ledger : program_.ledgers) item(program_.text(ledger.name), item_module);
    for (const std::string_view word : words::functions) item(word, item_function);
    for (const std::string_view word : words::aggregates) item(word, item_function);
    for (const std::string_view word : {"if", "then", "else", "and", "or", "not", "otherwise"})
      item(word, item_keyword);
  }

  // After a dot.

  void members() {
    const Meaning meaning = path_before(context_.before.size() - 1);
    if (meaning.ledger != none) {
      const Ledger& ledger = program_.ledgers[meaning.ledger];
      for (const Category& category : ledger.categories)
        item(program_.text(category.name), item_member, std::string(program_.text(category.title)));
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

  /// What the path before the entry's lexeme `end` (a dot, or what follows the path) means.
  Meaning path_before(std::size_t end) const {
    const auto& before = context_.before;
    if (end == 0 || !before[end - 1].is_word()) return {};
    std::size_t begin = end - 1;
    while (begin >= 2 && before[begin - 1].is(".") && before[begin - 2].is_word()) begin -= 2;
    const bool only = begin > 0 && before[begin - 1].is("the");
    Meaning meaning = only ? reference(kind_called(before[begin].text)) : name(before[begin].text);
    for (std::size_t i = begin + 2; i < end; i += 2) meaning = member_of(meaning, before[i].text);
    return meaning;
  }

  Meaning name(std::string_view word) const {
    const KindId own = declared_kind();
    const KindId kind = own != none ? own : instance_kind();
    for (const LoopName& loop : loops()) {
      if (loop.name == word) return reference(loop.kind);
    }
    if (own != none && word == "this") return reference(own);
    if (own != none && word == "owner") return reference(program_.kinds[own].within);
    if (own != none && (word == "next" || word == "previous")) return reference(own);
    if (kind != none) {
      if (const Slot slot = slot_called(program_.kinds[kind], word); slot != none)
        return {program_.kinds[kind].fields[slot].type, none, none};
    }
    for (const auto& [symbol, draft] : program_.draft_names) {
      if (program_.text(symbol) == word) return {{TypeTag::reference, program_.drafts[draft].kind, 0}, draft, none};
    }
    for (LedgerId ledger = 0; ledger < program_.ledgers.size(); ++ledger) {
      if (program_.text(program_.ledgers[ledger].name) == word) return {{}, none, ledger};
    }
    return {};
  }

  Meaning member_of(const Meaning& of, std::string_view word) const {
    if (of.draft != none) {
      for (const DraftId child : program_.drafts[of.draft].children) {
        if (program_.text(program_.drafts[child].name) == word)
          return {{TypeTag::reference, program_.drafts[child].kind, 0}, child, none};
      }
    }
    if (of.type.tag != TypeTag::reference && of.type.tag != TypeTag::optional) return {};
    const Kind& kind = program_.kinds[of.type.id];
    if (word == "owner") return reference(kind.within);
    const Slot slot = slot_called(kind, word);
    return slot == none ? Meaning{} : Meaning{kind.fields[slot].type, none, none};
  }

  static Meaning reference(KindId kind) {
    return kind == none ? Meaning{} : Meaning{{TypeTag::reference, kind, 0}, none, none};
  }

  /// Names of loops around the place, as far as their words tell: `for x in all KIND`, `for x in KIND whose …`,
  /// `for x in FIELD`.
  struct LoopName {
    std::string_view name;
    KindId kind = none;
  };
  std::vector<LoopName> loops() const {
    std::vector<LoopName> found;
    for (const Block& block : context_.blocks) add_loops(block.head, found);
    std::vector<Lexeme> entry = context_.before;
    entry.insert(entry.end(), context_.after.begin(), context_.after.end());
    add_loops(entry, found);
    return found;
  }
  void add_loops(const std::vector<Lexeme>& words, std::vector<LoopName>& found) const {
    for (std::size_t i = 0; i + 2 < words.size(); ++i) {
      if (!words[i].is_word() || !words[i + 1].is("in")) continue;
      const bool all = words[i + 2].is("all") && i + 3 < words.size();
      LoopName loop{words[i].text, kind_called(words[all ? i + 3 : i + 2].text)};
      if (loop.kind == none && declared_kind() != none) {
        const Kind& kind = program_.kinds[declared_kind()];
        const Slot slot = slot_called(kind, words[i + 2].text);
        const TypeTag tag = slot == none ? TypeTag::error : kind.fields[slot].type.tag;
        if (tag == TypeTag::list || tag == TypeTag::set || tag == TypeTag::many) loop.kind = kind.fields[slot].type.id;
      }
      found.push_back(loop);
    }
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

  /// The field that the entry gives.
  std::pair<KindId, Slot> given_field() const {
    const auto& before = context_.before;
    std::size_t colon = 0;
    while (colon < before.size() && !before[colon].is(":")) ++colon;
    if (colon == 0 || colon == before.size()) return {none, none};
    if (const KindId kind = instance_kind(); kind != none)
      return {kind, slot_called(program_.kinds[kind], before[0].text)};
    if (const KindId own = declared_kind(); own != none)
      return {own, slot_called(program_.kinds[own], before[colon - 1].text)};
    if (colon < 3) return {none, none};
    const Meaning of = path_before(colon - 2);
    if (of.type.tag != TypeTag::reference) return {none, none};
    return {of.type.id, slot_called(program_.kinds[of.type.id], before[colon - 1].text)};
  }

  void units() {
    const auto [kind, slot] = given_field();
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

  KindId kind_called(std::string_view word) const {
    for (const auto& [name, id] : program_.kind_names) {
      if (program_.text(name) == word) return id;
    }
    return none;
  }
  Slot slot_called(const Kind& kind, std::string_view word) const {
    for (Slot slot = 0; slot < kind.fields.size(); ++slot) {
      if (program_.text(kind.fields[slot].name) == word) return slot;
    }
    return none;
  }

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
  Json items_ = Json::array();
  std::set<std::string> known_;
};

}  // namespace

Json completion(const Host& host, const View& view, std::uint32_t offset) {
  return Completer(host, view, offset).items();
}

}  // namespace sprue::serve
