// Every figure of an evaluated scenario under its path: headlines, ledgers by category, item and month, listings.
#pragma once

#include <string>
#include <vector>

#include "runtime/ledger/evaluation.hpp"

namespace sprue {

struct Figure {
  std::string path;
  Type type{};
  double value = 0;  // in base units; of texts unused
  std::string text;  // of references and texts
  bool incomplete = false;
  bool absent = false;
  bool stated = false;  // a headline whose value is given and not worked out
  Span span{};  // the formula or ledger behind it
};

/// Sorted by path.
std::vector<Figure> figures_of(const Program& program, const Evaluation& evaluation);

}  // namespace sprue
