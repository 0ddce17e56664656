// Matching headlines, ledgers, items and expectations between versions.
#include "runtime/view/columns.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "lang/syntax/one_line.hpp"
#include "runtime/ledger/shown.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

std::string currency_name(const Program& program, std::uint32_t currency) {
  return currency == no_currency ? "none" : std::string(program.text(program.units->currencies()[currency].name));
}

bool agree(const std::vector<std::string>& values) {
  return std::all_of(values.begin(), values.end(), [&](const std::string& value) { return value == values.front(); });
}

/// A value by name in each version, empty where it has none.
using ByName = std::map<std::string, std::vector<std::string>>;

void put(ByName& values, const std::string& name, std::size_t version, std::size_t versions, std::string value) {
  auto& row = values[name];
  row.resize(versions, "none");
  row[version] = std::move(value);
}

std::string basis_key(const Program& program, const Lowered& lowered, InstanceId id, Slot slot) {
  const Kind& kind = program.kinds[lowered.instances.all[id].kind];
  std::size_t same = 0;
  for (const Instance& instance : lowered.instances.all)
    same += instance.kind == lowered.instances.all[id].kind ? 1 : 0;
  const std::string owner = same == 1 ? std::string(program.text(kind.name)) : lowered.instances.path(program, id);
  return fmt::format("{} of {}", name_of(program, kind.fields[slot].name, kind.fields[slot].title), owner);
}

TableColumn version_column(const Version& version, std::size_t index) {
  return number_column(fmt::format("version_{}", index + 1), version.title);
}

/// What comes behind the versions' own columns: each later one less the first.
void add_differences(Table& table, std::span<const Version> versions) {
  constexpr int first = 1;  // behind the name
  for (std::size_t v = 1; v < versions.size(); ++v) {
    TableColumn column = number_column(versions.size() == 2 ? "change" : fmt::format("change_{}", v + 1),
                                       versions.size() == 2 ? "Change" : fmt::format("{}: change", versions[v].title));
    column.unit = table.columns[first].unit;
    column.places = table.columns[first].places;
    column.change = true;
    table.columns.push_back(std::move(column));
  }
}

}  // namespace

std::vector<std::string> unlike(std::span<const Version> versions) {
  ByName values;
  std::vector<std::string> currencies;
  for (std::size_t v = 0; v < versions.size(); ++v) {
    const Program& program = *versions[v].program;
    const Lowered& lowered = versions[v].evaluation->lowered;
    currencies.push_back(currency_name(program, program.report_currency));
    for (std::size_t i = 0; i < program.exchanges.size(); ++i) {
      const Exchange& exchange = program.exchanges[i];
      put(values,
          fmt::format("Rate of {} in {}", currency_name(program, exchange.currency),
                      currency_name(program, exchange.in)),
          v, versions.size(), fmt::format("{}", lowered.instances.exchange_rates[i]));
    }
    for (InstanceId id = 0; id < lowered.instances.size(); ++id) {
      const Kind& kind = program.kinds[lowered.instances.all[id].kind];
      for (Slot slot = 0; slot < kind.fields.size(); ++slot) {
        if (!kind.fields[slot].basis) continue;
        const GraphId node = lowered.node_of(id, slot);
        if (node == no_node || !is_number(kind.fields[slot].type)) continue;
        put(values, basis_key(program, lowered, id, slot), v, versions.size(),
            grouped(text_of(program, shown_type(kind.fields[slot]), versions[v].evaluation->value(node))));
      }
    }
  }
  std::vector<std::string> sentences;
  // The first version, and those that differ from it.
  const auto say = [&](const std::string& name, const std::vector<std::string>& row) {
    if (agree(row)) return;
    std::string sentence = fmt::format("Not like for like: {}: {} {}", name, versions[0].title, row[0]);
    for (std::size_t v = 1; v < row.size(); ++v) {
      if (row[v] != row[0]) sentence += fmt::format(", {} {}", versions[v].title, row[v]);
    }
    sentences.push_back(sentence + ".");
  };
  say("report currency", currencies);
  for (const auto& [name, row] : values) say(name, row);
  return sentences;
}

std::vector<HeadlineRow> headline_rows(std::span<const Version> versions) {
  std::vector<std::vector<HeadlineKey>> keys;
  for (const Version& version : versions) keys.push_back(headline_keys(*version.program, version.evaluation->lowered));
  std::vector<HeadlineRow> rows;
  for (std::size_t offset = 0; offset < versions.size(); ++offset) {
    const std::size_t from = versions.size() - 1 - offset;
    const Version& version = versions[from];
    for (std::size_t h = 0; h < keys[from].size(); ++h) {
      const HeadlineKey& key = keys[from][h];
      const bool known = std::any_of(rows.begin(), rows.end(), [&](const HeadlineRow& row) {
        return row.key.path == key.path || (!key.field.empty() && row.key.field == key.field);
      });
      if (known) continue;
      const Headline& headline = version.evaluation->lowered.headlines[h];
      const Field& field = version.program->kinds[version.evaluation->lowered.instances.all[headline.instance].kind]
                               .fields[headline.slot];
      HeadlineRow row{
          key, title_of_headline(*version.program, version.evaluation->lowered, headline), shown_type(field), {}, {},
          true};
      std::vector<std::string> units;
      for (std::size_t v = 0; v < versions.size(); ++v) {
        const std::uint32_t at = find_headline(keys[v], key);
        const Headline* const found = at == none ? nullptr : &versions[v].evaluation->lowered.headlines[at];
        row.nodes.push_back(found == nullptr ? no_node : found->node);
        if (found == nullptr) {
          row.comparable = false;
          continue;
        }
        const Program& program = *versions[v].program;
        const Type& type =
            program.kinds[versions[v].evaluation->lowered.instances.all[found->instance].kind].fields[found->slot].type;
        row.comparable = row.comparable && type.tag == field.type.tag && !versions[v].evaluation->absent(found->node);
        units.push_back(type.tag == TypeTag::quantity ? shown_as(program, type.id).unit : "");
      }
      row.unit = units.front();
      row.comparable = row.comparable && agree(units);
      rows.push_back(std::move(row));
    }
  }
  return rows;
}

Table headlines_side_by_side(std::span<const Version> versions) {
  Table table{"headlines", {}, {text_column("figure", "Figure")}, {}};
  for (std::size_t v = 0; v < versions.size(); ++v) table.columns.push_back(version_column(versions[v], v));
  add_differences(table, versions);
  if (versions.size() == 2) {
    TableColumn relative = number_column("relative", "Change, %");
    relative.places = 2;
    relative.change = true;
    table.columns.push_back(std::move(relative));
  }
  table.columns.push_back(text_column("unit", "Unit"));
  for (const HeadlineRow& row : headline_rows(versions)) {
    TableRow cells{{text_cell(row.title)}, false};
    const bool number = row.type.tag == TypeTag::quantity && row.comparable;
    const bool date = row.type.tag == TypeTag::point && row.comparable;
    std::vector<double> values;
    int places = 0;
    const int percent = percent_places(row.type).value_or(-1);
    for (std::size_t v = 0; v < versions.size(); ++v) {
      const Evaluation& evaluation = *versions[v].evaluation;
      if (row.nodes[v] == no_node) {
        cells.cells.push_back(text_cell(""));
        continue;
      }
      const GraphId node = row.nodes[v];
      if (number) {
        const Shown shown = shown_as(*versions[v].program, row.type.id);
        cells.cells.push_back(node_cell(*versions[v].program, evaluation, row.type, node));
        cells.cells.back().places = places = shown.places;
        values.push_back(cells.cells.back().value);
      } else {
        cells.cells.push_back(text_cell(
            evaluation.absent(node) ? "unknown"
                                    : grouped(text_of(*versions[v].program, row.type, evaluation.value(node)))));
        values.push_back(evaluation.value(node));
      }
    }
    for (std::size_t v = 1; v < versions.size(); ++v) {
      if (number || date) {  // dates differ by whole days
        Cell change = number_cell(values[v] - values[0]);
        change.places = places;
        change.percent = percent;
        cells.cells.push_back(change);
      } else {
        cells.cells.push_back(text_cell(""));
      }
    }
    if (versions.size() == 2) {
      const bool relative = number && percent < 0 && !is_shown_as_zero(values[0], places) &&
                            std::isfinite(values[1] / values[0]) && (values[0] < 0) == (values[1] < 0);
      cells.cells.push_back(relative ? number_cell(100 * (values[1] / values[0] - 1)) : text_cell(""));
    }
    cells.cells.push_back(text_cell(date ? "day" : number ? row.unit : ""));
    if (percent >= 0) cells.cells.back().for_people = "%";
    table.rows.push_back(std::move(cells));
  }
  return table;
}

namespace {

struct LedgerRows {
  std::vector<std::string> names;                     // in order of first appearance
  std::map<std::string, std::vector<double>> values;  // by version
  std::map<std::string, std::string> titles;

  void put(const std::string& name, const std::string& title, std::size_t version, std::size_t versions, double value) {
    auto& row = values[name];
    if (row.empty()) names.push_back(name);
    row.resize(versions, 0);
    row[version] = value;
    titles[name] = title;
  }
};

Table side_by_side(const LedgerRows& rows, std::span<const Version> versions, std::string id, std::string title,
                   std::string first_column, DimensionId dimension, const std::vector<Cell>& totals) {
  Table table{std::move(id), std::move(title), {text_column("name", std::move(first_column))}, {}};
  for (std::size_t v = 0; v < versions.size(); ++v)
    table.columns.push_back(quantity_column(*versions[0].program, fmt::format("version_{}", v + 1), versions[v].title,
                                            quantity(dimension), true));
  add_differences(table, versions);
  std::vector<double> rest(versions.size(), 0);
  std::size_t alike = 0;
  const auto add = [&](const std::string& name, const std::vector<double>& values) {
    TableRow row{{text_cell(name)}, false};
    for (const double value : values) row.cells.push_back(number_cell(value));
    for (std::size_t v = 1; v < values.size(); ++v) row.cells.push_back(number_cell(values[v] - values[0]));
    table.rows.push_back(std::move(row));
  };
  for (const std::string& name : rows.names) {
    const std::vector<double>& values = rows.values.at(name);
    const bool same = std::all_of(values.begin(), values.end(), [&](double value) {
      return is_shown_as_zero(value - values[0], table.columns[1].places);
    });
    if (!same) {
      add(rows.titles.at(name), values);
    } else if (values[0] != 0) {
      ++alike;
      for (std::size_t v = 0; v < values.size(); ++v) rest[v] += values[v];
    }
  }
  if (table.rows.empty()) return table;
  std::stable_sort(table.rows.begin(), table.rows.end(), [&](const TableRow& a, const TableRow& b) {
    const std::size_t last = table.columns.size() - 1;
    return std::fabs(a.cells[last].value) > std::fabs(b.cells[last].value);
  });
  if (alike > 0) add(fmt::format("{} the same", alike), rest);
  TableRow total{{text_cell("Total")}, true};
  total.cells.insert(total.cells.end(), totals.begin(), totals.end());
  for (std::size_t v = 1; v < totals.size(); ++v) total.cells.push_back(number_cell(totals[v].value - totals[0].value));
  table.rows.push_back(std::move(total));
  return table;
}

}  // namespace

std::vector<Table> ledgers_side_by_side(std::span<const Version> versions) {
  // By name: ledgers of different files have different numbers.
  std::vector<std::string> names;
  for (auto version = versions.rbegin(); version != versions.rend(); ++version) {
    for (LedgerId id = 0; id < version->program->ledgers.size(); ++id) {
      const std::string name{version->program->text(version->program->ledgers[id].name)};
      const bool used = version->evaluation->lowered.ledgers[id].posting_count != 0;
      if (used && std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
    }
  }
  std::vector<Table> tables;
  for (const std::string& name : names) {
    LedgerRows categories;
    LedgerRows items;
    std::vector<Cell> totals;
    std::vector<std::string> units;
    std::string title;
    DimensionId dimension = ratio;
    for (std::size_t v = 0; v < versions.size(); ++v) {
      const Program& program = *versions[v].program;
      const Evaluation& evaluation = *versions[v].evaluation;
      LedgerId id = 0;
      while (id < program.ledgers.size() && program.text(program.ledgers[id].name) != name) ++id;
      if (id == program.ledgers.size()) {
        totals.push_back(number_cell(0));
        continue;
      }
      const Ledger& ledger = program.ledgers[id];
      title = name_of(program, ledger.name, ledger.title);
      if (v == 0 || units.empty()) dimension = ledger.dimension;
      const Shown shown = shown_as(program, ledger.dimension);
      units.push_back(shown.unit);
      totals.push_back(
          node_cell(program, evaluation, quantity(ledger.dimension), evaluation.lowered.ledgers[id].total));
      totals.back().incomplete = false;
      for (std::uint32_t c = 0; c < ledger.categories.size(); ++c) {
        categories.put(
            std::string(program.text(ledger.categories[c].name)),
            name_of(program, ledger.categories[c].name, ledger.categories[c].title), v, versions.size(),
            sign_of(ledger, c) * evaluation.value(evaluation.lowered.ledgers[id].categories[c]) / shown.factor);
      }
      for (const ItemSums& item : item_sums(program, evaluation, id))
        items.put(evaluation.lowered.instances.path(program, item.item),
                  name_of_instance(program, evaluation.lowered, item.item), v, versions.size(),
                  item.total / shown.factor);
    }
    if (!agree(units)) continue;
    Table by_category = side_by_side(categories, versions, name + "_by_category", fmt::format("{}, by category", title),
                                     "Category", dimension, totals);
    if (!by_category.rows.empty()) tables.push_back(std::move(by_category));
    Table by_item =
        side_by_side(items, versions, name + "_by_item", fmt::format("{}, by item", title), "Item", dimension, totals);
    if (!by_item.rows.empty()) tables.push_back(std::move(by_item));
  }
  return tables;
}

Table expectations_side_by_side(std::span<const Version> versions, bool only_changed) {
  // By their text; where a version has two of one text, the condition tells them apart.
  std::set<std::string_view> twice;
  for (const Version& version : versions) {
    std::set<std::string_view> texts;
    for (const Expectation& expectation : version.program->expectations) {
      const std::string_view text = version.program->text(expectation.text);
      if (!texts.insert(text).second) twice.insert(text);
    }
  }
  ByName holds;
  for (std::size_t v = 0; v < versions.size(); ++v) {
    const Program& program = *versions[v].program;
    for (std::size_t i = 0; i < versions[v].evaluation->expectations_hold.size(); ++i) {
      const Expectation& expectation = program.expectations[i];
      const std::string condition = one_line(versions[v].sources->text(expectation.span));
      const std::string_view text = program.text(expectation.text);
      const std::string name = text.empty()             ? condition
                               : twice.count(text) != 0 ? fmt::format("{}: {}", text, condition)
                                                        : std::string(text);
      put(holds, name, v, versions.size(), versions[v].evaluation->expectations_hold[i] ? "yes" : "no");
    }
  }
  Table table{"expectations", {}, {text_column("expectation", "Expectation")}, {}};
  for (std::size_t v = 0; v < versions.size(); ++v)
    table.columns.push_back(text_column(fmt::format("version_{}", v + 1), versions[v].title));
  for (const auto& [name, row] : holds) {
    if (only_changed && agree(row)) continue;
    TableRow cells{{text_cell(name)}, false};
    for (const std::string& value : row) cells.cells.push_back(text_cell(value == "none" ? "not expected" : value));
    table.rows.push_back(std::move(cells));
  }
  return table;
}

}  // namespace sprue
