// `sprue sweep`: figures over one or two inputs.
#include "runtime/view/sweep.hpp"

#include <fmt/format.h>

#include "lang/limits/limits.hpp"
#include "runtime/cli/output.hpp"
#include "runtime/cli/study.hpp"
#include "runtime/cli/values.hpp"

namespace sprue {
int run_sweep(const SweepOptions& options, Streams streams) {
  if (options.vary.size() > 2) {
    complain(streams, "a sweep is over one or two inputs", Code::bad_command, "give --vary once or twice");
    return exit_unusable;
  }
  std::vector<std::string> also;
  for (const std::string& vary : options.vary) also.push_back(varied_path(vary));
  Study study;
  open_study(study, options.study, also, streams);
  if (!study.ready) return exit_unusable;
  std::vector<Sweep> sweeps;
  std::size_t lanes = 1;
  for (const std::string& vary : options.vary) {
    const auto varied = read_varied(study, vary, streams);
    if (!varied) return exit_unusable;
    sweeps.push_back({varied->input, varied->values});
    lanes *= varied->values.size();
  }
  if (sweeps.size() == 2 && sweeps[0].input == sweeps[1].input) {
    complain(streams, "both sweeps are over the same input", Code::bad_command);
    return exit_unusable;
  }
  if (lanes > limits::swept_evaluations) {
    complain(streams, fmt::format("{} evaluations are more than {}", lanes, limits::swept_evaluations),
             Code::bad_command, "take fewer values");
    return exit_unusable;
  }
  const Document document = sweep_document(study.workspace.program, study.evaluation, study.figures, sweeps);
  return put_out(written(document, options.study.format, text_width(options.study.width, options.study.out, streams)),
                 options.study.out, streams);
}

}  // namespace sprue
