// Documents to bytes: one function a format.
#pragma once

#include <string>

#include "lang/source/visible.hpp"
#include "runtime/view/document.hpp"

namespace sprue {

std::string write_text(const Document& document);
std::string write_markdown(const Document& document);
/// RFC 4180, one table after another; no cell can start a formula in a spreadsheet.
std::string write_csv(const Document& document);

/// One self-contained page: no script, nothing loaded, for screens, phones and paper.
std::string write_html(const Document& document);

/// The table with every number as shown text. For people thousands are grouped and changes have their sign.
std::vector<std::vector<std::string>> shown_cells(const Table& table, bool for_people);

/// By how much rounded rows miss their rounded totals, as a sentence; empty where they do not.
std::string rounding_note(const Table& table);

}  // namespace sprue
