// Items of a completion for each sort of thing a program or the language has.
#include "runtime/serve/offers.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "lang/syntax/text.hpp"
#include "lang/syntax/words.hpp"
#include "runtime/serve/unit_names.hpp"

namespace sprue::serve {
namespace {

// CompletionItemKind.
constexpr int item_function = 3, item_field = 5, item_variable = 6, item_class = 7, item_module = 9, item_unit = 11,
              item_value = 12, item_keyword = 14, item_member = 20;

}  // namespace

Offers::Offers(const View& view, const Scope& scope, std::uint32_t offset)
    : view_(view), program_(view.analysis.program), scope_(scope), offset_(offset) {}

// Names of the program.

void Offers::kinds(bool concrete) {
  for (KindId id = 0; id < program_.kinds.size(); ++id) {
    if (!concrete || (!program_.kinds[id].abstract && program_.kinds[id].within == none)) kind(id);
  }
}

void Offers::owned(KindId base) {
  for (KindId id = 0; id < program_.kinds.size(); ++id) {
    if (program_.is_a(id, base) && !program_.kinds[id].abstract) kind(id);
  }
}

void Offers::fields(KindId kind) {
  for (Slot slot = 0; slot < program_.kinds[kind].fields.size(); ++slot) field(kind, slot, "");
}

void Offers::ratios(KindId kind) {
  for (Slot slot = 0; slot < program_.kinds[kind].fields.size(); ++slot) {
    const Type& type = program_.kinds[kind].fields[slot].type;
    if (type.tag == TypeTag::quantity && type.id == ratio) field(kind, slot, "");
  }
}

void Offers::collections(KindId kind) {
  for (Slot slot = 0; slot < program_.kinds[kind].fields.size(); ++slot) {
    const TypeTag tag = program_.kinds[kind].fields[slot].type.tag;
    if (tag == TypeTag::list || tag == TypeTag::set || tag == TypeTag::many || tag == TypeTag::series)
      field(kind, slot, "");
  }
}

void Offers::instances(const Type& type) {
  std::set<std::string_view> names;
  for (const auto& [name, id] : program_.draft_names) {
    if (type.tag == TypeTag::error || program_.is_a(program_.drafts[id].kind, type.id))
      names.insert(program_.text(name));
  }
  for (const std::string_view name : names) item(name, item_variable);
}

void Offers::children(DraftId draft) {
  for (const DraftId child : program_.drafts[draft].children)
    item(program_.text(program_.drafts[child].name), item_variable);
}

void Offers::choices(const Type& type) {
  for (const Symbol name : program_.choices[type.id]) item(program_.text(name), item_member);
}

void Offers::scenarios(const Lexeme& but) {
  for (const Scenario& scenario : program_.scenarios) {
    if (!but.is(program_.text(scenario.name))) item(program_.text(scenario.name), item_module);
  }
}

void Offers::ledgers() {
  for (const Ledger& ledger : program_.ledgers) item(program_.text(ledger.name), item_module);
}

void Offers::members(LedgerId id, bool categories_only) {
  const Ledger& ledger = program_.ledgers[id];
  for (const Category& category : ledger.categories)
    item(program_.text(category.name), item_member, std::string(program_.text(category.title)));
  if (categories_only) return;
  item("total", item_member);
  item("of", item_function);
  if (!ledger.dated) return;
  for (const std::string_view name : {"before", "through", "out_before", "out_through", "in_before", "in_through",
                                      "lowest", "lowest_through", "lowest_date"})
    item(name, item_member);
}

void Offers::locals() {
  for (const LoopName& loop : scope_.loops()) item(loop.name, item_variable);
}

void Offers::parameters() {
  for (const std::string_view name : scope_.parameters()) item(name, item_variable);
}

// Words.

void Offers::word(std::string_view word) {
  item(word, item_keyword);
}

void Offers::words(std::span<const std::string_view> words) {
  for (const std::string_view each : words) word(each);
}

void Offers::flags() {
  item("yes", item_value);
  item("no", item_value);
}

void Offers::types() {
  for (const std::string_view each : {"one", "optional", "many", "list of", "set of", "date", "flag", "text", "whole",
                                      "choice of", "series of", "table of", "curve of", "point of"})
    word(each);
  dimensions();
}

void Offers::dimensions() {
  for (const std::string_view name : program_.units->dimension_names()) item(name, item_unit);
}

void Offers::functions() {
  for (const Function& function : program_.functions) {
    std::string detail;
    for (std::size_t i = 0; i < function.parameters.size(); ++i)
      detail += fmt::format("{}{}: {}", i == 0 ? "" : ", ", program_.text(function.parameters[i]),
                            type_text(program_, function.types[i]));
    item(program_.text(function.name), item_function,
         fmt::format("({}): {}", detail, type_text(program_, function.result)));
  }
  for (const std::string_view name : words::functions) item(name, item_function);
  for (const std::string_view name : words::aggregates) item(name, item_function);
  for (const std::string_view each : {"if", "then", "else", "and", "or", "not", "otherwise"}) word(each);
}

void Offers::expression() {
  functions();
  ledgers();
}

// In place of what is typed.

/// Where what is typed begins, if it is of words and these signs.
std::uint32_t Offers::begin_with(std::string_view signs) const {
  std::uint32_t begin = offset_;
  while (begin > 0 && (text::is_word(view_.text[begin - 1]) || signs.find(view_.text[begin - 1]) != signs.npos))
    --begin;
  return begin;
}

void Offers::modules(std::span<const std::string> names) {
  for (const std::string& name : names) replacing(name, item_module, begin_with("."));
}

void Offers::views() {
  for (const std::string& name : view_names(program_)) replacing(name, item_member, begin_with("."));
}

void Offers::currencies() {
  for (const Currency& currency : program_.units->currencies())
    replacing(program_.text(currency.name), item_unit, unit_begin());
}

std::uint32_t Offers::unit_begin() const {
  return begin_with("/*^");
}

void Offers::units() {
  for (const std::string_view name : program_.units->unit_names()) replacing(name, item_unit, unit_begin());
}

void Offers::units(const Type& type) {
  if (type.tag != TypeTag::quantity && type.tag != TypeTag::point && type.tag != TypeTag::series) return;
  for (const std::string& name : units_for(program_, type)) replacing(name, item_unit, unit_begin());
}

// Items.

void Offers::kind(KindId id) {
  const Kind& kind = program_.kinds[id];
  item(program_.text(kind.name), item_class, {},
       doc_comment(program_.trees[kind.where.tree], view_.analysis.sources, kind.where.node));
}

void Offers::field(KindId kind, Slot slot, std::string_view behind) {
  const Field& field = program_.kinds[kind].fields[slot];
  const std::string_view name = program_.text(field.name);
  item(name, item_field, type_text(program_, field.type) + (field.required ? ", must be given" : ""),
       field_doc(view_.analysis, kind, slot), std::string(name) + std::string(behind));
}

void Offers::item(std::string_view label, int kind, std::string detail, std::string doc, std::string insert) {
  if (!known_.insert(std::string(label)).second) return;
  Json json = Json::object({{"label", label}, {"kind", kind}});
  if (!detail.empty()) json.set("detail", std::move(detail));
  if (!doc.empty()) json.set("documentation", std::move(doc));
  if (!insert.empty() && insert != label) json.set("insertText", std::move(insert));
  items_.add(std::move(json));
}

void Offers::replacing(std::string_view label, int kind, std::uint32_t begin) {
  items_.add(
      Json::object({{"label", label},
                    {"kind", kind},
                    {"filterText", label},
                    {"textEdit", Json::object({{"range", view_.lines.range(begin, offset_)}, {"newText", label}})}}));
}

}  // namespace sprue::serve
