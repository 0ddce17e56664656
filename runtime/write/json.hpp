// Figures and tables as JSON, in full precision.
#pragma once

#include <string>
#include <string_view>

#include "runtime/view/comparison.hpp"
#include "runtime/view/document.hpp"
#include "runtime/view/figures.hpp"

namespace sprue {

/// A quoted and escaped JSON string.
std::string json_string(std::string_view text);
/// The shortest decimal that stands for the number; null where it is not finite.
std::string json_number(double value);

/// {"sprue_report": 1, "scenario": …, "figures": [...], "tables": [...]}; described in docs/report.schema.json.
std::string write_json(const Program& program, const Sources& sources, const std::vector<Figure>& figures,
                       const Document& document, std::string_view scenario);

/// The notes and tables of a study: {"sprue_study": 1, …}; described in docs/study.schema.json.
std::string write_json(const Document& study);

/// {"sprue_comparison": 1, …}; described in docs/comparison.schema.json.
std::string write_json(const Comparison& comparison, const Document& document);

}  // namespace sprue
