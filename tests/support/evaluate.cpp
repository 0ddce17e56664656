// The pipeline of `sprue report`, with the figures by path.
#include "tests/support/evaluate.hpp"

#include <stdexcept>

#include "lang/diagnostics/render.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/view/figures.hpp"
#include "runtime/write/lines.hpp"
#include "tests/support/golden.hpp"

namespace sprue::testing {

Checked::Checked(const std::string& text, const std::string& scenario) {
  run("test.sprue", text, scenario);
}
Checked::Checked(const std::filesystem::path& file, const std::string& scenario) {
  run(file.string(), read(file), scenario);
}

void Checked::run(const std::string& name, std::string text, const std::string& scenario) {
  const SourceId main = sources.add(name, std::move(text));
  check(program, sources, main, project_loader(project_root(name)), diagnostics);
  if (!program.sound) return;
  std::uint32_t id = none;
  for (std::uint32_t i = 0; i < program.scenarios.size(); ++i) {
    if (program.text(program.scenarios[i].name) == scenario) id = i;
  }
  evaluation = evaluate(program, id, {}, diagnostics);
  if (!evaluation.sound) return;
  const auto figures = figures_of(program, evaluation);
  for (const Figure& figure : figures) figures_[figure.path] = figure.value;
  lines_ = write_lines(program, figures);
}

double Checked::figure(const std::string& path) const {
  const auto found = figures_.find(path);
  if (found == figures_.end()) throw std::runtime_error("no figure " + path + "\n" + messages());
  return found->second;
}

std::optional<double> Checked::find(const std::string& path) const {
  const auto found = figures_.find(path);
  return found == figures_.end() ? std::nullopt : std::optional(found->second);
}

double Checked::sum(const std::string& prefix) const {
  double total = 0;
  for (auto at = figures_.lower_bound(prefix); at != figures_.end() && at->first.rfind(prefix, 0) == 0; ++at)
    total += at->second;
  return total;
}

std::string Checked::messages() const {
  return render(diagnostics, sources);
}

}  // namespace sprue::testing
