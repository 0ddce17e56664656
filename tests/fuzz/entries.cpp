// The ways in, each with what must hold whatever the bytes are.
#include "tests/fuzz/entries.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <optional>
#include <sstream>

#include "lang/check/check.hpp"
#include "lang/diagnostics/render.hpp"
#include "lang/graph/lowered.hpp"
#include "lang/syntax/format.hpp"
#include "lang/syntax/parse.hpp"
#include "runtime/cli/stdlib.hpp"
#include "runtime/serve/json_read.hpp"
#include "runtime/serve/message.hpp"
#include "runtime/serve/server.hpp"
#include "runtime/study/shard.hpp"
#include "runtime/view/comparison.hpp"
#include "runtime/view/report.hpp"
#include "runtime/write/json.hpp"
#include "runtime/write/lines.hpp"
#include "runtime/write/write.hpp"
#include "tests/support/readers.hpp"

namespace sprue::testing {
namespace {

Loaded standard_library(std::string_view used, bool is_module, std::string_view) {
  Loaded loaded;
  for (const StandardModule& module : standard_modules()) {
    if (is_module && module.name == used) return {std::string(module.name), std::string(module.text), {}, {}};
  }
  loaded.problem = "the standard library alone may be used here";
  return loaded;
}

/// Diagnostics lie inside their texts, say something in one line, and can be shown.
std::string problem_of(const Diagnostics& diagnostics, const Sources& sources) {
  const auto inside = [&](const Span& span) {
    return span.source < sources.size() && span.begin <= span.end && span.end <= sources[span.source].text.size();
  };
  for (const Diagnostic& diagnostic : diagnostics.list()) {
    bool good =
        inside(diagnostic.span) && !diagnostic.message.empty() && diagnostic.message.find('\n') == std::string::npos;
    for (const Label& label : diagnostic.labels) good = good && inside(label.span);
    if (!good) return fmt::format("a bad diagnostic: {}", diagnostic.message);
  }
  if (diagnostics.has_errors() && render(diagnostics, sources).empty()) return "errors that are not shown";
  return {};
}

struct Parsed {
  Sources sources;
  Symbols symbols;
  Diagnostics diagnostics;
  Tree tree;

  explicit Parsed(std::string_view text) {
    tree = parse(sources, sources.add("main.sprue", std::string(text)), symbols, diagnostics);
    diagnostics.settle();
  }
  std::string listing() const { return dump(tree, sources, symbols); }
};

struct Checked {
  Sources sources;
  Program program;
  Diagnostics diagnostics;

  explicit Checked(std::string_view text) {
    check(program, sources, sources.add("main.sprue", std::string(text)), standard_library, diagnostics);
  }
  /// The base and the first scenarios.
  std::vector<std::uint32_t> scenarios() const {
    std::vector<std::uint32_t> list{none};
    for (std::uint32_t i = 0; i < program.scenarios.size() && i < 3; ++i) list.push_back(i);
    return list;
  }
  Version version(const Evaluation& evaluation) const { return {"version", &program, &sources, &evaluation}; }
};

std::string problem_of_parse(std::string_view text) {
  const Parsed parsed(text);
  if (!parsed.listing().starts_with("file")) return "the tree is no file";
  for (const Node& node : parsed.tree.nodes) {
    if (node.begin > node.end || node.end > text.size()) return "a node lies outside the text";
  }
  return problem_of(parsed.diagnostics, parsed.sources);
}

std::string problem_of_format(std::string_view text) {
  const Parsed parsed(text);
  Diagnostics diagnostics;
  const std::optional<std::string> once = format(parsed.sources, 0, diagnostics);
  if (once.has_value() == parsed.diagnostics.has_errors()) return "laid out and with errors, or neither";
  if (!once) return {};
  const Parsed again(*once);
  if (again.listing() != parsed.listing()) return "the layout changes the meaning:\n" + *once;
  const std::optional<std::string> twice = format(again.sources, 0, diagnostics);
  return twice == once ? std::string() : "the layout of the layout is another:\n" + *once;
}

std::string problem_of_check(std::string_view text) {
  const Checked checked(text);
  if (checked.program.sound == checked.diagnostics.has_errors()) return "sound with errors, or unsound without";
  if (checked.program.sound) {
    for (const std::uint32_t scenario : checked.scenarios()) {
      Diagnostics diagnostics;
      lower(checked.program, scenario, {.dependencies = true, .origins = true}, diagnostics);
      if (const std::string problem = problem_of(diagnostics, checked.sources); !problem.empty()) return problem;
    }
  }
  return problem_of(checked.diagnostics, checked.sources);
}

/// What every format must be like. `given`: the words of the input, which may say anything.
std::string problem_of_document(const Document& document, std::string_view given) {
  const std::string page = write_html(document);
  if (const std::string problem = html_problem(page); !problem.empty()) return "HTML: " + problem;
  if (const std::string csv = write_csv(document); !csv.empty() && csv_rows(csv).empty()) return "no CSV:\n" + csv;
  if (has_no_number(given)) return {};
  for (const std::string& shown : {page, write_text(document), write_markdown(document)}) {
    if (has_no_number(shown)) return "a number that is none is shown:\n" + shown;
  }
  return {};
}

std::string problem_of_report(const Checked& checked, std::uint32_t scenario, const Evaluation& evaluation,
                              std::string_view text) {
  const std::vector<Figure> figures = figures_of(checked.program, evaluation);
  for (const Figure& figure : figures) {
    if (!figure.absent && !std::isfinite(figure.value)) return "no finite number: " + figure.path;
  }
  write_lines(checked.program, figures);
  const Version versions[] = {checked.version(evaluation)};
  const Document document =
      report_document({checked.program, checked.sources, evaluation}, {scenario, versions, {}, {}});
  const std::string json = write_json(checked.program, checked.sources, figures, document, "base");
  if (const std::string problem = json_problem(json); !problem.empty()) return problem;
  return problem_of_document(document, text);
}

std::string problem_of_evaluate(std::string_view text) {
  const Checked checked(text);
  if (!checked.program.sound) return {};
  for (const std::uint32_t scenario : checked.scenarios()) {
    Diagnostics diagnostics;
    const Evaluation evaluation = evaluate(checked.program, scenario, {}, diagnostics);
    if (const std::string problem = problem_of(diagnostics, checked.sources); !problem.empty()) return problem;
    if (!evaluation.sound) {
      if (!diagnostics.has_errors()) return "no figures, and no error that says why";
      continue;
    }
    if (const std::string problem = problem_of_report(checked, scenario, evaluation, text); !problem.empty())
      return problem;
  }
  return {};
}

std::string problem_of_compare(std::string_view text) {
  const std::size_t cut = std::min(text.find(fuzz_cut), text.size());
  const Checked before(text.substr(0, cut));
  if (!before.program.sound) return {};
  const Checked after(text.substr(std::min(cut + fuzz_cut.size(), text.size())));
  if (!after.program.sound) return {};
  Diagnostics diagnostics;
  const Evaluation first = evaluate(before.program, none, {}, diagnostics);
  const Evaluation second = evaluate(after.program, none, {}, diagnostics);
  if (!first.sound || !second.sound) return {};
  const Version versions[] = {before.version(first), after.version(second)};
  const Pieces pieces[] = {pieces_of(before.program, before.sources, none),
                           pieces_of(after.program, after.sources, none)};
  const Comparison comparison =
      compare({"before", versions[0], pieces[0]}, {"after", versions[1], pieces[1]}, standard_library);
  const Document document = comparison_document(comparison);
  if (const std::string problem = json_problem(write_json(comparison, document)); !problem.empty()) return problem;
  const Comparison with_itself =
      compare({"before", versions[0], pieces[0]}, {"after", versions[0], pieces[0]}, standard_library);
  if (!with_itself.same) return "a version differs from itself";
  return problem_of_document(document, text);
}

SimulationIdentity gathered_identity() {
  return {"0", "base", 4, 1, Scheme::random, false, {"a.b"}, 2};
}

std::string problem_of_gather(std::string_view text) {
  std::vector<std::string> parts;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t cut = std::min(text.find(fuzz_cut, at), text.size());
    // The line end before a cut belongs to the part.
    parts.emplace_back(text.substr(at, std::min(cut + 1, text.size()) - at));
    at = cut + fuzz_cut.size();
  }
  const auto gather = [](Gather& into, const std::vector<std::string>& texts) {
    for (const std::string& part : texts) {
      if (const std::string problem = into.add("part", part); !problem.empty()) return problem;
    }
    return into.missing();
  };
  Gather gathered(gathered_identity());
  if (!gather(gathered, parts).empty()) return {};
  for (const auto& values : gathered.samples().values) {
    if (!std::all_of(values.begin(), values.end(), [](double value) { return std::isfinite(value); }))
      return "a value that is no finite number";
  }
  Gather again(gathered_identity());
  const std::string problem = gather(again, {write_part(gathered_identity(), gathered.samples())});
  const bool same = problem.empty() && again.samples().values == gathered.samples().values &&
                    again.samples().sound == gathered.samples().sound;
  return same ? std::string() : "what was gathered is written otherwise: " + problem;
}

/// Each line is the content of a message to the language server.
std::string problem_of_serve(std::string_view text) {
  std::stringstream in;
  while (!text.empty()) {
    const std::string_view line = text.substr(0, text.find('\n'));
    text.remove_prefix(std::min(line.size() + 1, text.size()));
    serve::write_message(in, line);
    const std::optional<serve::Json> message = serve::read_json(line);
    if (message && serve::read_json(serve::write(*message)) != message) return "JSON that is written otherwise";
  }
  serve::Host host;
  host.loader = [](const std::string&, serve::TextAtHand) { return standard_library; };
  std::stringstream out;
  serve::Server(std::move(host), in, out).run();
  while (const std::optional<serve::Content> answer = serve::read_message(out)) {
    if (!answer->problem.empty() || !serve::read_json(answer->text)) return "an answer that is no message";
  }
  return {};
}

}  // namespace

const std::vector<FuzzEntry>& fuzz_entries() {
  static const std::vector<FuzzEntry> entries{{"parse", problem_of_parse},     {"format", problem_of_format},
                                              {"check", problem_of_check},     {"evaluate", problem_of_evaluate},
                                              {"compare", problem_of_compare}, {"gather", problem_of_gather},
                                              {"serve", problem_of_serve}};
  return entries;
}

}  // namespace sprue::testing
