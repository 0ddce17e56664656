// Diagnostics as text: headline, marked source line, notes and help. Widths count display cells, so that carets stand
// under what they mark whatever the script.
#include "lang/diagnostics/render.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "lang/source/visible.hpp"

namespace sprue {
namespace {

class Renderer {
 public:
  Renderer(const Sources& sources, const RenderOptions& options) : sources_(sources), options_(options) {}

  void diagnostic(const Diagnostic& written) {
    Diagnostic d = written;
    d.message = visible(d.message);
    for (Label& label : d.labels) label.text = visible(label.text);
    for (std::string& note : d.notes) note = visible(note, true);
    for (std::string& help : d.help) help = visible(help, true);
    const CodeInfo& code = info(d.code);
    const bool error = code.severity == Severity::error;
    out += fmt::format("{}: {}: {} [{}]\n", paint(place(d.span), "1"),
                       paint(error ? "error" : "warning", error ? "1;31" : "1;33"), paint(d.message, "1"), code.number);
    excerpt(d.span);
    for (const Label& label : d.labels) {
      out += fmt::format("{}: {}: {}\n", place(label.span), paint("note", "1;36"), label.text);
      excerpt(label.span);
    }
    for (const std::string& note : d.notes) block("note", "1;36", note);
    for (const std::string& help : d.help) block("help", "1;32", help);
  }

  std::string out;

 private:
  std::string paint(std::string_view text, std::string_view color) const {
    return options_.color ? fmt::format("\x1b[{}m{}\x1b[0m", color, text) : std::string(text);
  }

  std::string place(Span span) const {
    const Position position = sources_.position(span.source, span.begin);
    return fmt::format("{}:{}:{}", visible(sources_[span.source].name), position.line, position.column);
  }

  void block(std::string_view word, std::string_view color, std::string_view text) {
    bool first = true;
    while (true) {
      const std::size_t end = text.find('\n');
      out += fmt::format("{} {}\n", first ? paint(fmt::format("{}:", word), color) : std::string(word.size() + 1, ' '),
                         text.substr(0, end));
      if (end == std::string_view::npos) return;
      text.remove_prefix(end + 1);
      first = false;
    }
  }

  /// The line with carets under the span; tabs become one space, so both lines stay in step.
  void excerpt(Span span) {
    const Position begin = sources_.position(span.source, span.begin);
    const std::string_view written = sources_.line(span.source, begin.line);
    const std::uint32_t start = sources_.line_starts(span.source)[begin.line - 1];
    const std::size_t mark = std::min<std::size_t>(span.begin - start, written.size());
    const std::size_t mark_end = std::min<std::size_t>(std::max(span.end, span.begin + 1) - start, written.size());
    std::string line = visible(written.substr(0, mark));
    const std::size_t from = line.size();
    line += visible(written.substr(mark, mark_end - mark));
    const std::size_t to = line.size();
    line += visible(written.substr(mark_end));
    const std::size_t lead = width(std::string_view(line).substr(0, from));
    const std::size_t marked = std::max<std::size_t>(width(std::string_view(line).substr(from, to - from)), 1);
    // Very long lines are shown around the mark only.
    constexpr std::size_t most = 160;
    std::string_view shown = line;
    std::size_t indent = lead;
    if (line.size() > most) {
      std::size_t cut = from > most / 2 ? from - most / 2 : 0;
      while (cut > 0 && (static_cast<unsigned char>(line[cut]) & 0xC0U) == 0x80U) --cut;
      indent = lead - width(std::string_view(line).substr(0, cut));
      shown = std::string_view(line).substr(cut, most);
      while (!shown.empty() && (static_cast<unsigned char>(shown.back()) & 0x80U) != 0) shown.remove_suffix(1);
    }
    const std::string number = fmt::format("{}", begin.line);
    out += fmt::format(" {} | {}\n", number, shown);
    out += fmt::format(" {:{}} | {:{}}{}\n", "", number.size(), "", indent,
                       paint(std::string(std::min(marked, most), '^'), "1;31"));
  }

  /// Cells on a terminal: what padding to a width leaves over.
  static std::size_t width(std::string_view text) {
    const std::size_t room = text.size() + 1;
    return room - (fmt::formatted_size("{:<{}}", text, room) - text.size());
  }

  const Sources& sources_;
  const RenderOptions& options_;
};

}  // namespace

std::string render(const Diagnostics& diagnostics, const Sources& sources, const RenderOptions& options) {
  if (diagnostics.list().empty()) return {};
  Renderer renderer(sources, options);
  std::size_t errors = 0;
  std::size_t warnings = 0;
  std::size_t shown = 0;
  for (const Diagnostic& diagnostic : diagnostics.list()) {
    (info(diagnostic.code).severity == Severity::error ? errors : warnings) += 1;
    if (shown >= options.limit) continue;
    ++shown;
    renderer.diagnostic(diagnostic);
  }
  if (shown < errors + warnings) renderer.out += fmt::format("{} more not shown\n", errors + warnings - shown);
  renderer.out +=
      fmt::format("{} error{}, {} warning{}\n", errors, errors == 1 ? "" : "s", warnings, warnings == 1 ? "" : "s");
  if (diagnostics.full()) renderer.out += "so many that the rest was not looked for\n";
  return std::move(renderer.out);
}

}  // namespace sprue
