// The words of a file with what they are, for coloring: names by their meaning, the rest by its look.
#include "lang/syntax/text.hpp"
#include "lang/syntax/words.hpp"
#include "runtime/serve/context.hpp"
#include "runtime/serve/features.hpp"

namespace sprue::serve {
namespace {

constexpr std::array<std::string_view, 12> types{"comment",   "string",     "number",    "keyword",
                                                 "class",     "property",   "variable",  "function",
                                                 "parameter", "enumMember", "namespace", "type"};

constexpr std::size_t type_index(std::string_view name) {
  return static_cast<std::size_t>(std::find(types.begin(), types.end(), name) - types.begin());
}

std::size_t type_of(Named what) {
  switch (what) {
    case Named::kind:
      return type_index("class");
    case Named::field:
      return type_index("property");
    case Named::instance:
      return type_index("variable");
    case Named::function:
      return type_index("function");
    case Named::local:
      return type_index("parameter");
    case Named::choice:
    case Named::category:
      return type_index("enumMember");
    case Named::unit:
    case Named::dimension:
      return type_index("type");
    case Named::scenario:
    case Named::ledger:
    case Named::listing:
    case Named::audience:
      break;
  }
  return type_index("namespace");
}

}  // namespace

Json semantic_token_types() {
  Json legend = Json::array();
  for (const std::string_view type : types) legend.add(type);
  return legend;
}

Json semantic_tokens(const View& view, PositionEncoding encoding) {
  Json data = Json::array();
  Position last;
  const auto add = [&](const char* begin, const char* end, std::size_t type) {
    const std::string_view text(begin, static_cast<std::size_t>(end - begin));
    const Position at = view.lines.position(static_cast<std::uint32_t>(begin - view.text.data()));
    data.add(at.line - last.line);
    data.add(at.line == last.line ? at.character - last.character : at.character);
    data.add(length_of(text, encoding));
    data.add(type);
    data.add(0);
    last = at;
  };
  const auto without_return = [](const char* line_end) { return line_end[-1] == '\r' ? line_end - 1 : line_end; };
  const char* const first = view.text.data();
  const char* const end = first + view.text.size();
  for (const char* p = first; p != end;) {
    const char* const begin = p;
    if (*p == '#') {
      p = text::line_end(p, end);
      add(begin, without_return(p), type_index("comment"));
    } else if (*p == '"') {
      const char* const past = text::past_string(p, end);
      p = past == nullptr ? text::line_end(p, end) : past;
      add(begin, past == nullptr ? without_return(p) : p, type_index("string"));
    } else if (text::is_digit(*p)) {
      p = past_number(p);
      add(begin, p, type_index("number"));
    } else if (const char* const past = text::past_word(p); past != p) {
      p = past;
      const auto offset = static_cast<std::uint32_t>(begin - first);
      const Use* const use = view.analysis.uses().at(view.source, offset);
      if (use != nullptr && use->at.begin == offset)
        add(begin, p, type_of(use->what));
      else if (words::is_word_of_the_language({begin, static_cast<std::size_t>(p - begin)}))
        add(begin, p, type_index("keyword"));
    } else {
      ++p;
    }
  }
  Json tokens;
  tokens.set("data", std::move(data));
  return tokens;
}

}  // namespace sprue::serve
