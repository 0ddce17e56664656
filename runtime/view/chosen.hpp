// Figures and inputs that a study was asked for by path.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "runtime/ledger/evaluation.hpp"
#include "runtime/view/document.hpp"

namespace sprue {

/// What a path names, before lowering: a field, or a ledger and perhaps one of its categories.
struct FigurePath {
  std::string path;
  PathTarget field;
  LedgerId ledger = none;
  std::uint32_t category = none;

  bool found() const { return ledger != none || field.slot != none; }
};
FigurePath find_figure(const Program& program, const Instances& instances, const std::string& path);
/// What to write instead of a path that names no figure.
std::string figure_help(const Program& program, const Instances& instances, const std::string& path);

/// A figure in an evaluated scenario.
struct Chosen {
  std::string path;
  std::string title;
  Type type{};
  GraphId node = no_node;
};
/// Nothing where the figure has no number.
std::optional<Chosen> choose(const Program& program, const Evaluation& evaluation, const FigurePath& path);
/// The figure with another value, as a table shows it.
Cell figure_cell(const Program& program, const Chosen& figure, double value);
TableColumn figure_column(const Program& program, const Chosen& figure, std::string id, std::string title);

/// An input with another value, as a table shows it: a number, for machines with every digit, or a text where it is no
/// quantity.
Cell exact_input_cell(const Program& program, const Lowered& lowered, std::uint32_t input, double value);
TableColumn exact_input_column(const Program& program, const Lowered& lowered, std::uint32_t input, std::string id,
                         std::string title);

/// The first headlines that are known quantities or dates.
std::vector<Chosen> leading(const Program& program, const Evaluation& evaluation, std::size_t most);

}  // namespace sprue
