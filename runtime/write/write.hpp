// Documents to bytes: one function a format.
#pragma once

#include <string>

#include "lang/source/visible.hpp"
#include "runtime/view/document.hpp"

namespace sprue {

inline constexpr std::size_t default_width = 80;  // characters

/// No line is wider than `width`, but for a word or number that is.
std::string write_text(const Document& document, std::size_t width = default_width);
/// Tables whose columns would not stand side by side in so many characters become several.
std::string write_markdown(const Document& document, std::size_t width = default_width);
/// RFC 4180, one table after another; no cell can start a formula in a spreadsheet.
std::string write_csv(const Document& document);

/// One self-contained page: no script, nothing loaded, for screens, phones and paper.
std::string write_html(const Document& document);

/// The table with every number as shown text. For people thousands are grouped and changes have their sign.
std::vector<std::vector<std::string>> shown_cells(const Table& table, bool people);

/// The unit in a column's header.
std::string unit_for_people(const TableColumn& column);

/// By how much rounded rows miss their rounded totals, as a sentence; empty where they do not.
std::string rounding_note(const Table& table);

}  // namespace sprue
