// The library's face over workspaces, evaluations and documents.
#include "runtime/library/sprue.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <filesystem>
#include <tuple>

#include "lang/diagnostics/render.hpp"
#include "lang/syntax/parse.hpp"
#include "lang/syntax/text.hpp"
#include "runtime/cli/output.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/workspace.hpp"
#include "runtime/ledger/shown.hpp"
#include "runtime/view/chosen.hpp"
#include "runtime/view/comparison.hpp"
#include "runtime/view/figures.hpp"
#include "runtime/view/report.hpp"
#include "runtime/write/json.hpp"
#include "runtime/write/lines.hpp"
#include "sprue/version.hpp"

namespace sprue::api {
namespace {

constexpr const char* inputs_source = "changed inputs";  // no path of a file

[[noreturn]] void refuse(std::string problem, std::string_view help) {
  if (!help.empty()) problem += fmt::format("; {}", help);
  throw Error(problem);
}

std::string rendered(const Workspace& workspace, const Diagnostics& more) {
  Diagnostics all = workspace.diagnostics;
  for (const Diagnostic& diagnostic : more.list()) all.add(diagnostic);
  all.settle();
  return render(all, workspace.sources);
}

std::uint32_t scenario_of(const Workspace& workspace, const std::string& name) {
  std::string help;
  const auto found = workspace.find_scenario(name, help);
  if (!found) refuse(fmt::format("no scenario is called `{}`", name), help);
  return *found;
}

const char* name_of(Format format) {
  switch (format) {
    case Format::markdown:
      return "markdown";
    case Format::csv:
      return "csv";
    case Format::json:
      return "json";
    case Format::html:
      return "html";
    case Format::text:
      break;
  }
  return "text";
}

Figure shown_figure(const sprue::Program& program, const sprue::Figure& figure) {
  Figure shown;
  shown.path = figure.path;
  shown.text = figure_text(program, figure);
  if (figure.absent) {
    shown.state = Figure::State::unknown;
    return shown;
  }
  if (figure.incomplete) shown.state = Figure::State::incomplete;
  std::string_view name;
  const Type& type = figure.type;
  const Unit* const unit = type.tag == TypeTag::point ? program.units->point_unit(type.id, name) : nullptr;
  if (type.tag == TypeTag::quantity) {
    Shown as = shown_as(program, type.id);
    shown.value = figure.value / as.factor;
    shown.unit = std::move(as.unit);
  } else if (unit != nullptr && type.id != program.dimensions.time) {
    shown.value = figure.value - unit->zero;
    shown.unit = name;
  } else if (type.tag == TypeTag::point || type.tag == TypeTag::flag || type.tag == TypeTag::whole) {
    shown.value = figure.value;
  }
  return shown;
}

/// A loader of the language over a loader of texts.
sprue::Loader loader_over(Loader texts) {
  return [texts = std::move(texts), modules = project_loader({})](std::string_view used, bool is_module,
                                                                  std::string_view from) -> Loaded {
    if (is_module) return modules(used, is_module, from);
    const std::filesystem::path beside = std::filesystem::path(std::string(from)).parent_path();
    std::string path = (beside / std::string(used)).lexically_normal().generic_string();
    std::optional<std::string> text = texts ? texts(path) : std::nullopt;
    if (text) return {std::move(path), std::move(*text), {}, {}};
    Loaded none;
    none.problem = fmt::format("cannot use `{}`: there is no `{}`", used, path);
    return none;
  };
}

/// Inputs as a scenario of the language, with the place of each.
class Changes {
 public:
  Changes(std::string_view name, std::string_view like, const std::vector<Input>& inputs)
      : source_(fmt::format("\nscenario {}{} {{\n", name, like)) {
    for (const auto& [path, value] : inputs) {
      Place place{};
      source_ += "  ";
      std::tie(place.begin, place.path_end) = add(path);
      source_ += ": ";
      std::tie(place.value, place.end) = add(value);
      source_ += "\n";
      places_.push_back(place);
    }
    source_ += "}\n";
  }

  std::string statement() const { return source_.substr(1); }

  /// Whether each input is read as one path and one value, so that none says more. If not, the workspace says why.
  bool one_value_each(Workspace& workspace) const {
    // The line before the statement is where the changed program uses the file.
    const SourceId source = workspace.sources.add(inputs_source, source_);
    Symbols symbols;
    const Tree tree = parse(workspace.sources, source, symbols, workspace.diagnostics);
    if (workspace.diagnostics.has_errors()) return false;
    std::size_t read = 0;
    for (const NodeId id : tree.children_of(tree.children_of(tree.root).front())) {
      const Node& node = tree[id];
      if (node.kind == NodeKind::name || node.kind == NodeKind::like_clause) continue;
      const Place& place = places_[read];
      if (node.kind != NodeKind::given || node.begin != place.begin || node.end != place.end ||
          tree[tree.children_of(id).front()].end != place.path_end)
        break;
      if (++read == places_.size()) return true;
    }
    workspace.diagnostics
        .report(Code::syntax, {places_[read].value, places_[read].end, source}, "an input is one path and one value")
        .help.push_back("write each path and its value as an input of its own, without comments");
    return false;
  }

 private:
  struct Place {
    std::uint32_t begin, path_end, value, end;
  };

  /// Adds it without the spaces around it, and says from where to where it stands.
  std::pair<std::uint32_t, std::uint32_t> add(std::string_view words) {
    while (!words.empty() && text::is_space(words.front())) words.remove_prefix(1);
    while (!words.empty() && text::is_space(words.back())) words.remove_suffix(1);
    const auto begin = static_cast<std::uint32_t>(source_.size());
    source_ += words;
    return {begin, static_cast<std::uint32_t>(source_.size())};
  }

  std::string source_;
  std::vector<Place> places_;
};

/// A source and where what it uses comes from.
struct TextOrigin {
  std::string name, text;
  sprue::Loader loader;
};

}  // namespace

struct Program::State {
  TextOrigin origin;
  Workspace workspace;
  std::string diagnostics;

  static std::shared_ptr<const State> make(TextOrigin origin) {
    auto state = std::make_shared<State>();
    state->workspace.open_text(origin.name, origin.text, origin.loader);
    state->diagnostics = rendered(state->workspace, {});
    state->origin = std::move(origin);
    return state;
  }
};

struct Evaluation::State {
  std::shared_ptr<const Workspace> workspace;
  std::uint32_t scenario = none;
  std::string label;  // "trip.sprue, scenario slower"
  sprue::Evaluation evaluation;
  std::vector<sprue::Figure> figures;
  std::string diagnostics;
  bool holds = false;

  const sprue::Program& program() const { return workspace->program; }
  Version version() const {
    return {scenario == none ? "base" : std::string(program().text(program().scenarios[scenario].name)), &program(),
            &workspace->sources, &evaluation};
  }
  /// Takes the scenario of the program with other inputs in place of itself: they are a scenario like any other, under
  /// a name that is free.
  void change(const TextOrigin& origin, const std::vector<Input>& inputs) {
    std::string name = "changed_inputs";
    for (std::string help; workspace->find_scenario(name, help);) name += "_";
    const std::string like = scenario == none ? std::string() : " like " + version().title;
    const Changes changes(name, like, inputs);
    for (const auto& [path, value] : inputs) label += fmt::format(", {}: {}", path, value);
    auto changed = std::make_shared<Workspace>();
    if (changes.one_value_each(*changed)) {
      changed = std::make_shared<Workspace>();
      changed->open_text(origin.name, origin.text, origin.loader, changes.statement(), inputs_source);
    }
    workspace = std::move(changed);
    if (program().sound) scenario = scenario_of(*workspace, name);
  }
  void need_figures() const {
    if (!evaluation.sound) refuse(fmt::format("`{}` has no figures", label), "diagnostics() says why");
  }
};

std::string version() {
  return SPRUE_VERSION;
}

Program Program::from_file(const std::string& path) {
  FileText file = read_named_file(path);
  if (!file.problem.empty()) refuse(fmt::format("cannot read `{}`: {}", path, file.problem), {});
  return Program(State::make({std::filesystem::path(path).lexically_normal().generic_string(), std::move(file.text),
                              project_loader(project_root(path))}));
}

Program Program::from_text(std::string name, std::string text, Loader loader) {
  return Program(State::make({std::move(name), std::move(text), loader_over(std::move(loader))}));
}

bool Program::sound() const {
  return state_->workspace.program.sound;
}

std::string Program::diagnostics() const {
  return state_->diagnostics;
}

std::vector<std::string> Program::scenarios() const {
  const sprue::Program& program = state_->workspace.program;
  std::vector<std::string> names;
  for (const Scenario& scenario : program.scenarios) names.emplace_back(program.text(scenario.name));
  return names;
}

Evaluation Program::evaluate(const std::string& scenario, const std::vector<Input>& inputs) const {
  auto made = std::make_shared<Evaluation::State>();
  made->label = state_->origin.name;
  made->workspace = std::shared_ptr<const Workspace>(state_, &state_->workspace);
  Diagnostics diagnostics;
  if (sound()) {
    made->scenario = scenario_of(state_->workspace, scenario);
    if (made->scenario != none) made->label += fmt::format(", scenario {}", scenario);
    if (!inputs.empty()) made->change(state_->origin, inputs);
  }
  if (made->program().sound) {
    made->evaluation = sprue::evaluate(made->program(), made->scenario, {}, diagnostics);
    if (made->evaluation.sound) made->figures = figures_of(made->program(), made->evaluation);
    const std::vector<bool>& held = made->evaluation.expectations_hold;
    made->holds = made->evaluation.sound && std::find(held.begin(), held.end(), false) == held.end();
  }
  made->diagnostics = rendered(*made->workspace, diagnostics);
  return Evaluation(std::move(made));
}

bool Evaluation::sound() const {
  return state_->evaluation.sound;
}

bool Evaluation::holds() const {
  return state_->holds;
}

std::string Evaluation::diagnostics() const {
  return state_->diagnostics;
}

std::vector<Figure> Evaluation::figures() const {
  state_->need_figures();
  std::vector<Figure> out;
  for (const sprue::Figure& figure : state_->figures) out.push_back(shown_figure(state_->program(), figure));
  return out;
}

Figure Evaluation::figure(const std::string& path) const {
  state_->need_figures();
  const sprue::Program& program = state_->program();
  const auto by_path = [](const sprue::Figure& figure, const std::string& wanted) { return figure.path < wanted; };
  const auto at = std::lower_bound(state_->figures.begin(), state_->figures.end(), path, by_path);
  if (at != state_->figures.end() && at->path == path) return shown_figure(program, *at);

  const Instances& instances = state_->evaluation.lowered.instances;
  const FigurePath found = find_figure(program, instances, path);
  if (!found.found()) refuse(fmt::format("nothing has the path `{}`", path), figure_help(program, instances, path));
  LowerOptions options;
  if (found.field.slot != none) {
    options.also.push_back(found.field);
    const Kind& kind = program.kinds[instances.all[found.field.instance].kind];
    if (!is_number(kind.fields[found.field.slot].type))
      refuse(fmt::format("`{}` is no number", path), "name a quantity, a date, a flag or a choice");
  }
  Diagnostics diagnostics;
  const sprue::Evaluation evaluation = sprue::evaluate(program, state_->scenario, options, diagnostics);
  if (!evaluation.sound)
    refuse(fmt::format("`{}` has no value:\n{}", path, rendered(*state_->workspace, diagnostics)), {});
  const std::optional<Chosen> chosen = choose(program, evaluation, found);
  sprue::Figure figure;
  figure.path = path;
  figure.absent = !chosen;
  if (chosen) {
    figure.type = chosen->type;
    figure.value = evaluation.value(chosen->node);
    figure.incomplete = evaluation.incomplete(chosen->node);
  }
  return shown_figure(program, figure);
}

std::string Evaluation::report(Format format) const {
  state_->need_figures();
  const sprue::Program& program = state_->program();
  const Version version = state_->version();
  const Document document =
      report_document({program, *version.sources, state_->evaluation}, {state_->scenario, {&version, 1}, {}, {}});
  if (format == Format::json) return write_json(program, *version.sources, state_->figures, document, version.title);
  return written(document, name_of(format));
}

std::string compare(const Evaluation& before, const Evaluation& after, Format format) {
  const Evaluation::State* const sides[] = {before.state_.get(), after.state_.get()};
  std::vector<Version> versions;
  std::vector<Pieces> pieces;
  for (const Evaluation::State* const side : sides) {
    side->need_figures();
    versions.push_back(side->version());
    versions.back().title.clear();
    pieces.push_back(pieces_of(side->program(), side->workspace->sources, side->scenario));
  }
  const Comparison comparison = sprue::compare({sides[0]->label, versions[0], pieces[0]},
                                               {sides[1]->label, versions[1], pieces[1]}, project_loader({}));
  const Document document = comparison_document(comparison);
  return format == Format::json ? write_json(comparison, document) : written(document, name_of(format));
}

}  // namespace sprue::api
