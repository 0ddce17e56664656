// Finding a side's text, in the working tree or at a revision.
#include "runtime/cli/side.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cctype>
#include <filesystem>

#include "runtime/cli/git.hpp"
#include "runtime/cli/project.hpp"

namespace sprue {
namespace fs = std::filesystem;

namespace {

bool complain_of_side(const SideName& name, std::string_view problem, std::string_view help, Streams streams) {
  complain(streams,
           fmt::format("cannot compare `{}{}{}`: {}", name.revision.value_or(""), name.revision ? ":" : "", name.file,
                       problem),
           Code::cannot_read, help);
  return false;
}

/// The paths from the top under which the file may stand at a revision: as seen from here, then as git counts.
std::vector<std::string> candidates(const fs::path& top, const std::string& file) {
  std::error_code error;
  std::vector<std::string> paths;
  // The last part is left alone: a link is a file of its own to git.
  const fs::path here = fs::absolute(file, error);
  const fs::path folder = fs::weakly_canonical(here.parent_path(), error);
  const std::string seen =
      (folder / here.filename()).lexically_relative(fs::weakly_canonical(top, error)).generic_string();
  if (!seen.empty() && !seen.starts_with("..")) paths.push_back(seen);
  const std::string from_top = fs::path(file).lexically_normal().generic_string();
  if (fs::path(file).is_relative() && !from_top.starts_with("..") && (paths.empty() || paths[0] != from_top))
    paths.push_back(from_top);
  return paths;
}

bool open_revision(const SideName& name, Side& side, Streams streams) {
  std::error_code error;
  fs::path folder = fs::absolute(name.file, error).parent_path();
  while (!folder.empty() && !fs::is_directory(folder, error) && folder != folder.root_path())
    folder = folder.parent_path();
  const FoundRevision found = find_revision(*name.revision, folder);
  if (!found.problem.empty()) return complain_of_side(name, found.problem, found.help, streams);
  const Revision& revision = found.revision;
  const std::vector<std::string> paths = candidates(revision.repository.top, name.file);
  std::string problem = "it lies outside the repository";
  for (std::size_t i = 0; i < 2 * paths.size(); ++i) {
    std::string path = paths[i % paths.size()];
    if (i >= paths.size()) {
      const std::optional<std::string> earlier = revision.renamed_from(path);
      if (!earlier) continue;
      path = *earlier;
    }
    FileText file = revision.read(path);
    if (file.problem.empty()) {
      side.workspace.open_text(fmt::format("{}:{}", *name.revision, path), std::move(file.text), revision.loader());
      return true;
    }
    if (i == 0) problem = file.problem;
  }
  return complain_of_side(name, problem, revision.is_index() ? "`git add FILE` puts a file into the index" : "",
                          streams);
}

}  // namespace

SideName read_side(const std::string& text) {
  SideName name;
  std::string rest = text;
  std::error_code error;
  if (!fs::exists(rest, error)) {
    const std::size_t at = rest.rfind('#');
    // A scenario is a name; anything else behind a `#` belongs to the file.
    const auto in_name = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; };
    if (at != std::string::npos &&
        std::all_of(rest.begin() + static_cast<std::ptrdiff_t>(at) + 1, rest.end(), in_name)) {
      name.scenario = rest.substr(at + 1);
      rest.resize(at);
    }
  }
  if (!fs::exists(rest, error) || rest.empty()) {
    if (const std::size_t at = rest.find(':'); at != std::string::npos) {
      name.revision = rest.substr(0, at);
      rest.erase(0, at + 1);
    }
  }
  name.file = std::move(rest);
  return name;
}

std::unique_ptr<Side> open_side(const SideName& name, Streams streams) {
  auto side = std::make_unique<Side>();
  Workspace& workspace = side->workspace;
  if (name.revision) {
    if (!open_revision(name, *side, streams)) return nullptr;
  } else {
    workspace.open(name.file, streams);
    if (!workspace.readable) return nullptr;
  }
  side->label = workspace.sources[0].name;
  if (!name.scenario.empty()) side->label += fmt::format(", scenario {}", name.scenario);
  const auto unusable = [&](std::string_view what) {
    workspace.print_diagnostics(streams);
    complain(streams, fmt::format("`{}` {}", side->label, what), Code::side_unusable,
             "a comparison needs two versions that check and evaluate");
    return nullptr;
  };
  if (!workspace.program.sound) return unusable("does not check");
  const auto scenario = workspace.scenario(name.scenario, streams);
  if (!scenario) return nullptr;
  side->scenario = *scenario;
  Diagnostics diagnostics;
  side->evaluation = evaluate(workspace.program, *scenario, {}, diagnostics);
  if (!side->evaluation.sound) {
    for (const Diagnostic& diagnostic : diagnostics.list()) workspace.diagnostics.add(diagnostic);
    return unusable("does not evaluate");
  }
  return side;
}

}  // namespace sprue
