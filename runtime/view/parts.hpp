// What views are made of: cells, columns, names of instances.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "runtime/ledger/evaluation.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/view/document.hpp"

namespace sprue {

Cell text_cell(std::string text);
Cell number_cell(double value, bool incomplete = false, bool absent = false);
/// The value of a node in the unit that its type is shown in.
Cell node_cell(const Program& program, const Evaluation& evaluation, const Type& type, GraphId node);
/// A text that plain numbers stand in, and as people see it.
Cell value_cell(const Program& program, const Type& type, double value);
/// What an input may be worth.
Cell input_cell(const Program& program, const Lowered& lowered, const InputOrigin& origin, double value);
Cell withheld_cell();

TableColumn text_column(std::string id, std::string title);
/// Of numbers without a unit of the column's own.
TableColumn number_column(std::string id, std::string title);
TableColumn quantity_column(const Program& program, std::string id, std::string title, const Type& type, bool summed);

Type quantity(DimensionId dimension);

/// The title where there is one, else the name.
std::string name_of(const Program& program, Symbol name, Symbol title);
/// "Housing, left (housing_left)".
std::string name_of_instance(const Program& program, const Lowered& lowered, InstanceId instance);

/// Whether a headline's value is given and not worked out by a formula.
bool is_stated(const Program& program, const Lowered& lowered, const Headline& headline);
/// The headline's title; ", stated" behind it where it is stated.
std::string title_of_headline(const Program& program, const Lowered& lowered, const Headline& headline);

/// `quote "M-88" on 2026-08-11`; empty where no source is stated.
std::string source_text(const Program& program, const Facts& facts);

/// What a category counts in the ledger's total: -1 for what goes out of a balance.
double sign_of(const Ledger& ledger, std::uint32_t category);

/// Amounts of a ledger by some key, some perhaps incomplete.
struct Sum {
  double value = 0;
  bool incomplete = false;
};
/// The outermost owner of what posts, by category.
struct ItemSums {
  InstanceId item = none;
  std::vector<Sum> categories;
  double total = 0;  // in the order of the postings
  bool incomplete = false;
};
/// In path order, signs applied.
std::vector<ItemSums> item_sums(const Program& program, const Evaluation& evaluation, LedgerId ledger);

/// Keeps the first rows of a table and its total; the rest becomes one row that keeps the sums, or withholds them.
void keep_rows(Table& table, std::uint32_t most);

}  // namespace sprue
