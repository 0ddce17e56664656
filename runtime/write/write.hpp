// Documents to bytes: one function a format. Tables for people foot: what is shown adds up to the total that is shown.
#pragma once

#include <string>

#include "runtime/view/document.hpp"

namespace sprue {

std::string write_text(const Document& document);
std::string write_markdown(const Document& document);
/// RFC 4180, one table after another; no cell can start a formula in a spreadsheet.
std::string write_csv(const Document& document);

/// One self-contained page: no script, nothing loaded, for screens, phones and paper.
std::string write_html(const Document& document);

/// The table with every number as shown text; rows of columns that foot add up to the total row. `separator` groups
/// thousands.
std::vector<std::vector<std::string>> shown_cells(const Table& table, bool foot, bool group);

/// Control characters and characters that turn the reading direction, made visible.
std::string visible(std::string_view text);

inline constexpr std::string_view footing_note = "Rows are rounded so that they add up to the total.";

}  // namespace sprue
