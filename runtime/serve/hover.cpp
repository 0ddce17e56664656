// What is shown of a name: its declaration, its value where it has one, where that comes from, its doc comment.
#include <fmt/format.h>

#include "lang/syntax/one_line.hpp"
#include "runtime/serve/features.hpp"
#include "runtime/view/parts.hpp"

namespace sprue::serve {
namespace {

/// The statement of the file that holds the place.
std::string statement_at(const Analysis& analysis, Span at) {
  for (const Tree& tree : analysis.program.trees) {
    if (tree.source != at.source) continue;
    for (const NodeId id : tree.children_of(tree.root)) {
      if (tree[id].begin <= at.begin && at.end <= tree[id].end) return one_line(analysis.sources.text(tree.span(id)));
    }
  }
  return {};
}

class Card {
 public:
  Card(const Analysis& analysis, bool markdown)
      : analysis_(analysis), program_(analysis.program), markdown_(markdown) {}

  void describe(const Use& use, DraftId around) {
    switch (use.what) {
      case Named::kind:
        kind(program_.kinds[use.id]);
        break;
      case Named::field:
        field(use, use.instance != none ? use.instance : around);
        break;
      case Named::instance:
        instance(use.id);
        break;
      case Named::function:
        head(source(program_.functions[use.id].where));
        doc(program_.functions[use.id].where);
        break;
      case Named::ledger:
        ledger(program_.ledgers[use.id]);
        break;
      case Named::category: {
        const Ledger& of = program_.ledgers[use.id];
        head(fmt::format("{}.{}: {}", program_.text(of.name), program_.text(of.categories[use.slot].name),
                         program_.dimensions.text(of.dimension)));
        line(program_.text(of.categories[use.slot].title));
        break;
      }
      case Named::choice:
      case Named::local:
        head(fmt::format("{}: {}", analysis_.sources.text(use.at), type_text(program_, use.type)));
        break;
      default:
        head(statement_at(analysis_, use.declared));
    }
  }

  std::string text() const {
    std::string shown = text_;
    if (!markdown_) std::erase(shown, '`');
    return shown;
  }

 private:
  void head(std::string_view code) {
    if (code.size() > 300) code = code.substr(0, code.find_last_of(' ', 300));
    text_ += markdown_ ? fmt::format("```sprue\n{}\n```\n", code) : fmt::format("{}\n", code);
  }
  void line(std::string_view words) {
    if (!words.empty()) text_ += fmt::format("\n{}\n", words);
  }
  std::string source(TreeRef ref) const {
    return one_line(analysis_.sources.text(program_.trees[ref.tree].span(ref.node)));
  }
  void doc(TreeRef ref) { line(doc_comment(program_.trees[ref.tree], analysis_.sources, ref.node)); }

  void kind(const Kind& kind) {
    std::string words = fmt::format("{}kind {}", kind.abstract ? "abstract " : "", program_.text(kind.name));
    if (kind.base != none) words += fmt::format(" is {}", program_.text(program_.kinds[kind.base].name));
    if (kind.within != none) words += fmt::format(" within {}", program_.text(program_.kinds[kind.within].name));
    head(words);
    doc(kind.where);
  }

  void field(const Use& use, DraftId draft) {
    const Kind& kind = program_.kinds[use.id];
    const Field& field = kind.fields[use.slot];
    head(source(field.where));
    line(fmt::format("Field of `{}`", program_.text(program_.kinds[field.declared_in].name)));
    if (draft == none || !program_.is_a(program_.drafts[draft].kind, use.id)) draft = only_instance(use.id);
    if (draft != none) value(draft, use.slot);
    line(field_doc(analysis_, use.id, use.slot));
  }

  /// A field declared in a kind of one instance has one value.
  DraftId only_instance(KindId kind) const {
    DraftId only = none;
    for (DraftId id = 0; id < program_.drafts.size(); ++id) {
      if (!program_.is_a(program_.drafts[id].kind, kind)) continue;
      if (only != none) return none;
      only = id;
    }
    return only;
  }

  void value(DraftId draft, Slot slot) {
    if (!analysis_.evaluation) return;
    const Instances& instances = analysis_.evaluation->lowered.instances;
    if (draft >= instances.of_draft.size() || instances.of_draft[draft] == none) return;
    const InstanceId id = instances.of_draft[draft];
    const Field& field = program_.kinds[instances.all[id].kind].fields[slot];
    const std::string shown = analysis_.value_of(id, slot);
    if (!shown.empty()) line(fmt::format("`{}.{} = {}`", program_.path(draft), program_.text(field.name), shown));
    const Given* const given = instances.given(id, slot);
    const std::uint32_t facts = given != nullptr ? given->facts : field.facts;
    const bool plain = given != nullptr ? given->literal || given->unknown : field.literal;
    if (!plain && (given != nullptr || field.formula != none)) {
      const Span span = given != nullptr ? given->value_span() : program_.formulas[field.formula].span;
      line(fmt::format("Formula: `{}`", one_line(analysis_.sources.text(span))));
    }
    if (facts != none) {
      const std::string from = source_text(program_, program_.facts[facts]);
      if (!from.empty()) line("Source: " + from);
    }
  }

  void instance(DraftId id) {
    const Draft& draft = program_.drafts[id];
    std::string words = fmt::format("{} {}", program_.text(program_.kinds[draft.kind].name), program_.path(id));
    if (draft.title != 0) words += fmt::format(" \"{}\"", program_.text(draft.title));
    head(words);
    doc(draft.where);
    doc(program_.kinds[draft.kind].where);
  }

  void ledger(const Ledger& ledger) {
    head(fmt::format("ledger {} \"{}\": {}{}", program_.text(ledger.name), program_.text(ledger.title),
                     program_.dimensions.text(ledger.dimension), ledger.dated ? " dated" : ""));
    doc(ledger.where);
  }

  const Analysis& analysis_;
  const Program& program_;
  bool markdown_;
  std::string text_;
};

}  // namespace

std::string field_doc(const Analysis& analysis, KindId kind, Slot slot) {
  const Program& program = analysis.program;
  std::string doc;
  for (; doc.empty() && kind != none && slot < program.kinds[kind].fields.size(); kind = program.kinds[kind].base) {
    const TreeRef where = program.kinds[kind].fields[slot].where;
    doc = doc_comment(program.trees[where.tree], analysis.sources, where.node);
  }
  return doc;
}

std::string type_text(const Program& program, const Type& type) {
  const auto kind = [&] { return program.text(program.kinds[type.id].name); };
  const auto dimension = [&] { return program.dimensions.text(type.id); };
  switch (type.tag) {
    case TypeTag::quantity:
      return dimension();
    case TypeTag::point:
      return type.id == program.dimensions.time ? "date" : "point of " + dimension();
    case TypeTag::flag:
      return "flag";
    case TypeTag::text:
      return "text";
    case TypeTag::whole:
      return "whole";
    case TypeTag::choice: {
      std::string names;
      for (const Symbol name : program.choices[type.id])
        names += fmt::format("{}{}", names.empty() ? "" : ", ", program.text(name));
      return "choice of " + names;
    }
    case TypeTag::series:
      return "series of " + dimension();
    case TypeTag::table:
    case TypeTag::curve:
      return fmt::format("{} of {} to {}", type.tag == TypeTag::table ? "table" : "curve",
                         program.dimensions.text(type.key), dimension());
    case TypeTag::reference:
      return fmt::format("one {}", kind());
    case TypeTag::optional:
      return fmt::format("optional {}", kind());
    case TypeTag::many:
      return fmt::format("many {}", kind());
    case TypeTag::list:
      return fmt::format("list of {}", kind());
    case TypeTag::set:
      return fmt::format("set of {}", kind());
    case TypeTag::error:
      break;
  }
  return "?";
}

Json hover(const View& view, std::uint32_t offset, bool markdown) {
  const Use* const use = view.analysis.uses().at(view.source, offset);
  if (use == nullptr) return {};
  Card card(view.analysis, markdown);
  card.describe(*use, view.analysis.draft_at(view.source, offset));
  return Json::object(
      {{"contents", Json::object({{"kind", markdown ? "markdown" : "plaintext"}, {"value", card.text()}})},
       {"range", view.lines.range(use->at.begin, use->at.end)}});
}

}  // namespace sprue::serve
