// What the studies have in common on the command line: a file, a scenario, the figures asked for.
#pragma once

#include "runtime/cli/workspace.hpp"
#include "runtime/view/chosen.hpp"

namespace sprue {

/// A scenario lowered with all that a study needs, and its figures. `ready` is false where something was wrong, and
/// said.
struct Study {
  Workspace workspace;
  std::uint32_t scenario = none;
  Evaluation evaluation;
  std::vector<Chosen> figures;
  bool ready = false;
};

/// `also` are fields needed besides the figures; `statement` is one more statement of the program, from the command
/// line.
void open_study(Study& study, const StudyOptions& options, const std::vector<std::string>& also, Streams streams,
                const std::string& statement = {});

/// The input that a path names; none, and said, where it is no plain fact that a figure depends on.
std::uint32_t find_input(const Study& study, const std::string& path, Streams streams);

}  // namespace sprue
