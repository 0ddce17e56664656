// One side of a comparison: a file, a file at a revision, one scenario of either, evaluated. Knows how they are
// written: [REVISION:]FILE[#SCENARIO], and :FILE for the index.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "runtime/cli/workspace.hpp"

namespace sprue {

struct SideName {
  std::optional<std::string> revision;  // nothing: the working tree; empty: the index
  std::string file;
  std::string scenario;  // empty: the base
};

/// A file of exactly this name is that file. A side that leaves out its file takes the other side's.
SideName read_side(const std::string& text);

struct Side {
  std::string label;  // "main:herb_mill.sprue, scenario half_volume"
  Workspace workspace;
  std::uint32_t scenario = none;
  Evaluation evaluation;
};

/// Opens and evaluates; what is wrong is said on `streams.err`, and which side it is. Nothing where there are no
/// figures. A file that has another name at its revision is found under that name.
std::unique_ptr<Side> open_side(const SideName& name, Streams streams);

}  // namespace sprue
