// Cells, columns and sums that several views need.
#include "runtime/view/parts.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <map>

#include "runtime/ledger/shown.hpp"
#include "runtime/write/number.hpp"

namespace sprue {

Cell text_cell(std::string text) {
  Cell cell;
  cell.text = std::move(text);
  return cell;
}

Cell number_cell(double value, bool incomplete, bool absent) {
  Cell cell;
  cell.value = value;
  cell.number = true;
  cell.incomplete = incomplete;
  cell.absent = absent;
  return cell;
}

Cell node_cell(const Program& program, const Evaluation& evaluation, const Type& type, GraphId node) {
  Cell cell = number_cell(evaluation.value(node) / shown_as(program, type.id).factor, evaluation.incomplete(node),
                          evaluation.absent(node));
  cell.percent = percent_places(type).value_or(-1);
  return cell;
}

Cell value_cell(const Program& program, const Type& type, double value) {
  Cell cell = text_cell(text_of(program, {type.tag, type.id, 0}, value));
  if (percent_places(type)) cell.for_people = text_of(program, type, value);
  return cell;
}

Cell input_cell(const Program& program, const Lowered& lowered, const InputOrigin& origin, double value) {
  Cell cell = text_cell(input_text(program, lowered, origin, value));
  const Type type = input_type(program, lowered, origin);
  if (!percent_places(type)) return cell;
  cell.for_people = std::move(cell.text);
  cell.text = text_of(program, quantity(type.id), value);
  return cell;
}

Cell withheld_cell() {
  Cell cell = text_cell("withheld");
  cell.withheld = true;
  return cell;
}

TableColumn text_column(std::string id, std::string title) {
  TableColumn column;
  column.id = std::move(id);
  column.title = std::move(title);
  return column;
}

TableColumn number_column(std::string id, std::string title) {
  TableColumn column = text_column(std::move(id), std::move(title));
  column.number = true;
  return column;
}

TableColumn quantity_column(const Program& program, std::string id, std::string title, const Type& type, bool summed) {
  const Shown shown = shown_as(program, type.id);
  TableColumn column = number_column(std::move(id), std::move(title));
  column.unit = shown.unit;
  column.places = shown.places;
  column.percent = percent_places(type).value_or(-1);
  column.summed = summed;
  return column;
}

Type quantity(DimensionId dimension) {
  return {TypeTag::quantity, dimension, 0};
}

std::string name_of(const Program& program, Symbol name, Symbol title) {
  return std::string(program.text(title != 0 ? title : name));
}

bool is_stated(const Program& program, const Lowered& lowered, const Headline& headline) {
  const Field& field = program.kinds[lowered.instances.all[headline.instance].kind].fields[headline.slot];
  return field.formula == none || field.literal || lowered.instances.given(headline.instance, headline.slot) != nullptr;
}

std::string title_of_headline(const Program& program, const Lowered& lowered, const Headline& headline) {
  const Field& field = program.kinds[lowered.instances.all[headline.instance].kind].fields[headline.slot];
  return name_of(program, field.name, field.title) + (is_stated(program, lowered, headline) ? ", stated" : "");
}

std::string name_of_instance(const Program& program, const Lowered& lowered, InstanceId instance) {
  const Draft& draft = program.drafts[lowered.instances.all[instance].draft];
  std::string path = lowered.instances.path(program, instance);
  return draft.title != 0 ? fmt::format("{} ({})", program.text(draft.title), path) : path;
}

std::string source_text(const Program& program, const Facts& facts) {
  if (facts.source == 0) return {};
  std::string text = fmt::format("{} \"{}\"", program.text(facts.source), program.text(facts.source_text));
  if (facts.on) text += fmt::format(" on {}", iso_date(*facts.on));
  if (facts.until) text += fmt::format(" until {}", iso_date(*facts.until));
  return text;
}

double sign_of(const Ledger& ledger, std::uint32_t category) {
  return ledger.categories[category].direction == Direction::out ? -1 : 1;
}

std::vector<ItemSums> item_sums(const Program& program, const Evaluation& evaluation, LedgerId ledger) {
  const Lowered& lowered = evaluation.lowered;
  const LedgerTotals& totals = lowered.ledgers[ledger];
  std::map<InstanceId, ItemSums> items;
  for (std::uint32_t i = 0; i < totals.posting_count; ++i) {
    const Posting& posting = lowered.postings[totals.first_posting + i];
    const InstanceId root = lowered.instances.root(posting.instance);
    ItemSums& sums = items[root];
    sums.item = root;
    sums.categories.resize(program.ledgers[ledger].categories.size());
    Sum& sum = sums.categories[posting.category];
    const bool left_out =
        evaluation.absent(posting.amount) || (posting.date != no_node && evaluation.absent(posting.date));
    sum.incomplete = sum.incomplete || left_out || evaluation.incomplete(posting.amount);
    sums.incomplete = sums.incomplete || sum.incomplete;
    if (left_out) continue;
    const double amount = sign_of(program.ledgers[ledger], posting.category) * evaluation.value(posting.amount);
    sum.value += amount;
    sums.total += amount;
  }
  std::vector<ItemSums> out;
  for (auto& [root, sums] : items) out.push_back(std::move(sums));
  return out;
}

void keep_rows(Table& table, std::uint32_t most) {
  const auto is_total = [](const TableRow& row) { return row.total; };
  const auto shown =
      static_cast<std::size_t>(std::find_if(table.rows.begin(), table.rows.end(), is_total) - table.rows.begin());
  if (shown <= most) return;
  TableRow rest;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    rest.cells.push_back(c == 0 ? text_cell(fmt::format("{} more", shown - most)) : text_cell(""));
    if (!table.columns[c].summed) continue;
    rest.cells[c] = number_cell(0);
    for (std::size_t r = most; r < shown; ++r) {
      const Cell& cell = table.rows[r].cells[c];
      if (cell.withheld) {
        rest.cells[c] = withheld_cell();
        break;
      }
      rest.cells[c].value += cell.value;
      rest.cells[c].incomplete = rest.cells[c].incomplete || cell.incomplete;
    }
  }
  const auto first = table.rows.begin() + most;
  table.rows.erase(first, table.rows.begin() + static_cast<std::ptrdiff_t>(shown));
  table.rows.insert(table.rows.begin() + most, std::move(rest));
}

}  // namespace sprue
