// Amounts that a redacted report withholds, so that no figure tells one of them by being the same.
#pragma once

#include <set>
#include <string>

#include "runtime/view/view.hpp"

namespace sprue {

class Withheld {
 public:
  /// Of a report that is not redacted: nothing.
  explicit Withheld(const Subject& subject);
  /// Whether the value would be shown like one that is withheld.
  bool tells(DimensionId dimension, double value) const;

 private:
  void add(DimensionId dimension, double value);
  std::string text(DimensionId dimension, double value) const;

  const Program* program_;
  std::set<std::string> texts_;
};

}  // namespace sprue
