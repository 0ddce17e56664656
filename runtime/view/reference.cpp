// Doc comments and heads, as written.
#include "runtime/view/reference.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "lang/syntax/one_line.hpp"

namespace sprue {
namespace {

class Describer {
 public:
  Describer(const Program& program, const Sources& sources) : program_(program), sources_(sources) {}

  std::string index() {
    for (std::uint32_t t = 0; t < program_.trees.size(); ++t) {
      if (module_name(t).rfind("std.", 0) == 0) module(t);
    }
    return std::move(out_);
  }

  std::string name(std::string_view wanted) {
    for (std::uint32_t t = 0; t < program_.trees.size(); ++t) {
      if (module_name(t) == wanted) module(t);
    }
    for (const Kind& kind : program_.kinds) {
      if (program_.text(kind.name) == wanted) this->kind(kind);
    }
    for (const Function& function : program_.functions) {
      if (program_.text(function.name) == wanted) this->function(function);
    }
    for (const Ledger& ledger : program_.ledgers) {
      if (program_.text(ledger.name) == wanted) this->ledger(ledger);
    }
    return std::move(out_);
  }

  /// Every module as Markdown: what each declares itself, not what it inherits.
  std::string page() {
    line("# The standard library\n");
    line(
        "Written by `sprue describe --format markdown` from the doc comments; a test keeps it current. Fields without "
        "a "
        "default must be given. Where a formula stands behind the `=`, an instance may give its own value instead, and "
        "the report shows both.\n");
    for (const std::uint32_t t : modules()) line(fmt::format("- [{0}](#{1})", module_name(t), anchor(t)));
    for (const std::uint32_t t : modules()) module_page(t);
    return std::move(out_);
  }

 private:
  std::vector<std::uint32_t> modules() const {
    std::vector<std::uint32_t> found;
    for (std::uint32_t t = 0; t < program_.trees.size(); ++t) {
      if (module_name(t).rfind("std.", 0) == 0) found.push_back(t);
    }
    std::sort(found.begin(), found.end(), [&](auto a, auto b) { return module_name(a) < module_name(b); });
    return found;
  }
  /// As Markdown renderers make it from a heading: without its dot.
  std::string anchor(std::uint32_t t) const {
    std::string out{module_name(t)};
    std::erase(out, '.');
    return out;
  }

  void module_page(std::uint32_t t) {
    line(fmt::format("\n## {}\n", module_name(t)));
    line(module_doc(t));
    for (const Kind& kind : program_.kinds) {
      if (kind.where.tree == t) kind_page(kind);
    }
    bool first = true;
    for (const Function& function : program_.functions) {
      if (function.where.tree != t) continue;
      line(first ? "\n### Functions of this module\n" : "");
      first = false;
      line(fmt::format("- `{}`\\\n  {}",
                       one_line(sources_.text(program_.trees[function.where.tree].span(function.where.node))),
                       doc(function.where)));
    }
    for (const Ledger& ledger : program_.ledgers) {
      if (ledger.where.tree == t) ledger_page(ledger);
    }
  }

  void kind_page(const Kind& kind) {
    line(fmt::format("\n### {}\n", head_of(kind)));
    line(doc(kind.where) + "\n");
    for (const Field& field : kind.fields) {
      if (&program_.kinds[field.declared_in] != &kind) continue;
      line(fmt::format("- `{}`\\\n  {}",
                       one_line(sources_.text(program_.trees[field.where.tree].span(field.where.node))),
                       about_field(kind, field)));
    }
    const Kind* base = kind.base == none ? nullptr : &program_.kinds[kind.base];
    for (std::size_t i = base == nullptr ? 0 : base->requirements.size(); i < kind.requirements.size(); ++i)
      line(fmt::format("- requires: {}", program_.text(kind.requirements[i].text)));
    for (std::size_t i = base == nullptr ? 0 : base->cautions.size(); i < kind.cautions.size(); ++i)
      line(fmt::format("- caution: {}", program_.text(kind.cautions[i].text)));
    for (std::size_t i = base == nullptr ? 0 : base->posts.size(); i < kind.posts.size(); ++i) {
      const PostTemplate& post = kind.posts[i];
      line(fmt::format("- posts to `{}.{}`: `{}`", program_.text(program_.ledgers[post.ledger].name),
                       program_.text(program_.ledgers[post.ledger].categories[post.category].name),
                       one_line(sources_.text(program_.formulas[post.amount].span))));
    }
  }

  void ledger_page(const Ledger& ledger) {
    line(fmt::format("\n### ledger {}: {}{}\n", program_.text(ledger.name), program_.text(ledger.title),
                     ledger.dated ? ", dated" : ""));
    line(doc(ledger.where) + "\n");
    for (const Category& category : ledger.categories) {
      line(fmt::format("- `{}{}`: {}", direction_of(category), program_.text(category.name),
                       program_.text(category.title)));
    }
  }

  std::string head_of(const Kind& kind) const {
    std::string head = fmt::format("{}kind {}", kind.abstract ? "abstract " : "", program_.text(kind.name));
    if (kind.base != none) head += fmt::format(" is {}", program_.text(program_.kinds[kind.base].name));
    if (kind.within != none) head += fmt::format(" within {}", program_.text(program_.kinds[kind.within].name));
    return head;
  }
  static std::string_view direction_of(const Category& category) {
    return category.direction == Direction::in ? "in " : category.direction == Direction::out ? "out " : "";
  }
  std::string_view module_name(std::uint32_t tree) const { return sources_[program_.trees[tree].source].name; }
  std::string doc(TreeRef ref) const { return doc_comment(program_.trees[ref.tree], sources_, ref.node); }

  /// The `##` lines a file begins with.
  std::string module_doc(std::uint32_t t) const {
    const Tree& tree = program_.trees[t];
    const std::string_view text = sources_[tree.source].text;
    std::string out;
    std::uint32_t end = 0;
    for (const Comment& comment : tree.comments) {
      if (!comment.doc || comment.begin > end + 1) break;
      out += (out.empty() ? "" : " ") + std::string(text.substr(comment.begin + 3, comment.end - comment.begin - 3));
      end = comment.end;
    }
    return out;
  }

  void module(std::uint32_t t) {
    line(fmt::format("{}: {}", module_name(t), module_doc(t)));
    for (const Kind& kind : program_.kinds) {
      if (kind.where.tree == t)
        line(fmt::format("  {}kind {}  {}", kind.abstract ? "abstract " : "", program_.text(kind.name),
                         doc(kind.where)));
    }
    for (const Function& function : program_.functions) {
      if (function.where.tree == t)
        line(fmt::format("  function {}  {}", program_.text(function.name), doc(function.where)));
    }
    for (const Ledger& ledger : program_.ledgers) {
      if (ledger.where.tree == t) line(fmt::format("  ledger {}  {}", program_.text(ledger.name), doc(ledger.where)));
    }
    line("");
  }

  void kind(const Kind& kind) {
    line(fmt::format("{}  ({})", head_of(kind), place(kind.span)));
    line(doc(kind.where));
    line("");
    KindId from = none;
    for (const Field& field : kind.fields) {
      if (field.declared_in != from) {
        from = field.declared_in;
        line(fmt::format("fields of {}:", program_.text(program_.kinds[from].name)));
      }
      const std::string about = about_field(kind, field);
      std::string declared = one_line(sources_.text(program_.trees[field.where.tree].span(field.where.node)));
      line(fmt::format("  {}{}", declared, field.required ? "  (must be given)" : ""));
      if (!about.empty()) line(fmt::format("      {}", about));
    }
    for (const Requirement& requirement : kind.requirements)
      line(fmt::format("  requires: {}", program_.text(requirement.text)));
    for (const Caution& caution : kind.cautions)
      line(fmt::format("  caution: {}{}", program_.text(caution.text),
                       caution.condition == none
                           ? ""
                           : " (when " + one_line(sources_.text(program_.formulas[caution.condition].span)) + ")"));
    for (const PostTemplate& post : kind.posts) {
      const Ledger& ledger = program_.ledgers[post.ledger];
      line(fmt::format("  posts to {}.{}: {}", program_.text(ledger.name),
                       program_.text(ledger.categories[post.category].name),
                       one_line(sources_.text(program_.formulas[post.amount].span))));
    }
    line("");
  }

  /// Its own doc comment, or that of the field it gives a new default to.
  std::string about_field(const Kind& kind, const Field& field) const {
    std::string about = doc(field.where);
    for (KindId base = kind.base; about.empty() && base != none; base = program_.kinds[base].base) {
      const auto slot = program_.kinds[base].slots.find(field.name);
      if (slot != program_.kinds[base].slots.end()) about = doc(program_.kinds[base].fields[slot->second].where);
    }
    return about;
  }

  void function(const Function& function) {
    line(fmt::format("{}  ({})", one_line(sources_.text(program_.trees[function.where.tree].span(function.where.node))),
                     place(function.span)));
    line(doc(function.where));
    line("");
  }

  void ledger(const Ledger& ledger) {
    line(fmt::format("ledger {} \"{}\"{}  ({})", program_.text(ledger.name), program_.text(ledger.title),
                     ledger.dated ? ", dated" : "", place(ledger.span)));
    line(doc(ledger.where));
    for (const Category& category : ledger.categories) {
      line(fmt::format("  {}{}  {}", direction_of(category), program_.text(category.name),
                       program_.text(category.title)));
    }
    line("");
  }

  std::string place(Span span) const {
    return fmt::format("{}:{}", sources_[span.source].name, sources_.position(span.source, span.begin).line);
  }

  void line(const std::string& text) { out_ += text + "\n"; }

  const Program& program_;
  const Sources& sources_;
  std::string out_;
};

}  // namespace

std::string describe_index(const Program& program, const Sources& sources) {
  return Describer(program, sources).index();
}
std::string describe_page(const Program& program, const Sources& sources) {
  return Describer(program, sources).page();
}
std::string describe_name(const Program& program, const Sources& sources, std::string_view name) {
  return Describer(program, sources).name(name);
}

}  // namespace sprue
