// Checking and evaluating a text or file in one step, for tests that ask for figures.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>

#include "lang/check/check.hpp"
#include "runtime/ledger/evaluation.hpp"

namespace sprue::testing {

class Checked {
 public:
  explicit Checked(const std::string& text, const std::string& scenario = {});
  explicit Checked(const std::filesystem::path& file, const std::string& scenario = {});

  /// In base units; throws where there is no such figure.
  double figure(const std::string& path) const;
  std::optional<double> find(const std::string& path) const;
  /// Of all figures whose path begins so.
  double sum(const std::string& prefix) const;
  /// The canonical lines.
  const std::string& lines() const { return lines_; }
  /// Rendered diagnostics, empty if there are none.
  std::string messages() const;

  Sources sources;
  Diagnostics diagnostics;
  Program program;
  Evaluation evaluation;

 private:
  void run(const std::string& name, std::string text, const std::string& scenario);
  std::map<std::string, double> figures_;
  std::string lines_;
};

}  // namespace sprue::testing
