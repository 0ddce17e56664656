// `sprue drivers`: which inputs move the figures.
#include "runtime/view/drivers.hpp"

#include "runtime/cli/output.hpp"
#include "runtime/cli/study.hpp"

namespace sprue {

int run_drivers(const DriversOptions& options, Streams streams) {
  Study study;
  open_study(study, options.study, {}, streams);
  if (!study.ready) return exit_unusable;
  const Document document = drivers_document({study.workspace.program, study.workspace.sources, study.evaluation},
                                             study.figures, options.most, options.defaults);
  return put_out(written(document, options.study.format, text_width(options.study.width, options.study.out, streams)),
                 options.study.out, streams);
}

}  // namespace sprue
