// Listings as tables; charts of figures over an input.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "lang/graph/arithmetic.hpp"
#include "runtime/ledger/shown.hpp"
#include "runtime/study/lanes.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/view/view.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

/// What a chart takes of the stated value, for its table; between them it has more points.
constexpr double table_shares[] = {0.25, 0.5, 0.75, 1, 1.5, 2, 3, 4};
constexpr int chart_steps = 24;  // from a quarter to four times, in equal ratios

double three_digits(double value) {
  const double step = arithmetic::power(10, std::floor(arithmetic::logarithm10(value)) - 2);
  return arithmetic::round(value / step) * step;
}

class ListingViews {
 public:
  ListingViews(const Subject& subject, std::vector<View>& views)
      : subject_(subject),
        program_(subject.program),
        evaluation_(subject.evaluation),
        lowered_(evaluation_.lowered),
        views_(views) {}

  void run() {
    for (const ListingTable& table : lowered_.listings) {
      if (program_.listings[table.listing].over == none) {
        listing(table);
      } else {
        for (std::size_t row = 0; row < table.rows.size(); ++row) chart(table, row);
      }
    }
  }

 private:
  void listing(const ListingTable& from) {
    if (from.rows.empty()) return;
    const Listing& listing = program_.listings[from.listing];
    Table table{std::string(program_.text(listing.name)), {}, {text_column("item", "Item")}, {}};
    for (const Column& column : listing.columns) {
      const Type type = shown_type(program_, column.formula);
      const std::string id{program_.text(column.name)};
      if (type.tag == TypeTag::quantity || type.tag == TypeTag::whole) {
        table.columns.push_back(quantity_column(program_, id, name_of(program_, column.name, column.title),
                                                type.tag == TypeTag::whole ? quantity(ratio) : type, false));
        if (type.tag == TypeTag::whole) table.columns.back().places = 0;
      } else {
        table.columns.push_back(text_column(id, name_of(program_, column.name, column.title)));
      }
    }
    const std::size_t width = listing.columns.size();
    for (std::size_t r = 0; r < from.rows.size(); ++r) {
      TableRow row{{text_cell(name_of_instance(program_, lowered_, from.rows[r]))}, false};
      for (std::size_t c = 0; c < width; ++c) {
        const bool withheld = subject_.redacted && listing.columns[c].is_private;
        row.cells.push_back(withheld ? withheld_cell() : listing_cell(from.cells[r * width + c]));
      }
      table.rows.push_back(std::move(row));
    }
    views_.push_back({table.id, name_of(program_, listing.name, listing.title), {}, {std::move(table)}});
  }

  Cell listing_cell(const ListingCell& cell) const {
    if (cell.value == no_node) return text_cell("");
    if (cell.type.tag == TypeTag::reference || cell.type.tag == TypeTag::optional)
      return text_cell(lowered_.instances.path(program_, cell.value));
    if (!is_number(cell.type)) return text_cell(std::string(program_.text(cell.value)));
    const bool absent = evaluation_.absent(cell.value);
    if (cell.type.tag == TypeTag::quantity || cell.type.tag == TypeTag::whole) {
      const double factor = cell.type.tag == TypeTag::whole ? 1 : shown_as(program_, cell.type.id).factor;
      return number_cell(evaluation_.value(cell.value) / factor, evaluation_.incomplete(cell.value), absent);
    }
    return text_cell(absent ? "unknown" : text_of(program_, cell.type, evaluation_.value(cell.value)));
  }

  /// One instance's figures over one of its inputs, everything else as stated.
  void chart(const ListingTable& from, std::size_t row) {
    const Listing& listing = program_.listings[from.listing];
    const InstanceId instance = from.rows[row];
    const std::uint32_t input = input_of(lowered_, instance, listing.over);
    if (input == none) return;
    const double stated = lowered_.graph.inputs[input];
    if (!(stated > 0)) return;
    std::vector<GraphId> outputs;
    for (std::size_t c = 0; c < listing.columns.size(); ++c) {
      const ListingCell& cell = from.cells[row * listing.columns.size() + c];
      if (cell.value == no_node || evaluation_.absent(cell.value)) return;
      outputs.push_back(cell.value);
    }
    std::vector<double> values;
    for (const double share : table_shares) values.push_back(share * stated);
    for (int i = 0; i <= chart_steps; ++i)
      values.push_back(three_digits(stated * arithmetic::power(4, 2.0 * i / chart_steps - 1)));
    std::sort(values.begin(), values.end());
    values.erase(std::unique(values.begin(), values.end()), values.end());
    std::vector<Lane> lanes;
    for (const double value : values) lanes.push_back({{input, value}});
    const auto results = evaluate_lanes(evaluation_, outputs, lanes);

    const Field& over = program_.kinds[lowered_.instances.all[instance].kind].fields[listing.over];
    const std::string over_name = name_of(program_, over.name, over.title);
    const Shown x = shown_as(program_, shown_type(over));
    const Type type = shown_type(program_, listing.columns[0].formula);
    const Shown y = shown_as(program_, type);
    const double plain_x = shown_as(program_, over.type.id).factor;
    const double plain_y = shown_as(program_, type.id).factor;
    const std::string path = lowered_.instances.path(program_, instance);
    const std::string title = name_of(program_, listing.name, listing.title);
    LineChart chart{std::string(program_.text(listing.name)),
                    from.rows.size() > 1 ? fmt::format("{}: {}", title, path) : title,
                    {},
                    {over_name, x.unit, x.places, false},
                    {"", y.unit, y.places, false},
                    {},
                    {}};
    Table table{chart.id,
                {},
                {quantity_column(program_, std::string(program_.text(over.name)), over_name, shown_type(over), false)},
                {}};
    for (const Column& column : listing.columns) {
      const std::string name = name_of(program_, column.name, column.title);
      chart.lines.push_back({name, {}, false});
      table.columns.push_back(quantity_column(program_, std::string(program_.text(column.name)), name, type, false));
    }
    for (std::size_t i = 0; i < values.size(); ++i) {
      const bool in_table = std::any_of(std::begin(table_shares), std::end(table_shares),
                                        [&](double share) { return values[i] == share * stated; });
      TableRow cells{{number_cell(values[i] / plain_x)}, false};
      for (std::size_t c = 0; c < outputs.size(); ++c) {
        cells.cells.push_back(results[i] ? number_cell((*results[i])[c] / plain_y) : text_cell("not possible"));
        if (results[i]) chart.lines[c].points.push_back({values[i] / x.factor, (*results[i])[c] / y.factor});
      }
      if (in_table) table.rows.push_back(std::move(cells));
    }
    const std::string stated_text = grouped(text_of(program_, shown_type(over), stated));
    chart.marks.push_back(
        {{stated / x.factor, evaluation_.value(outputs[0]) / y.factor}, fmt::format("As stated: {}", stated_text)});
    chart.description = fmt::format("{} from a quarter to four times {}.", over_name, stated_text);
    for (const LineChart::Line& line : chart.lines) {
      if (line.points.empty()) continue;
      const auto end = [&](double value) { return grouped(decimal(value, y.places)); };
      chart.description += fmt::format(" {} goes from {} to {} {}.", line.title, end(line.points.front().y),
                                       end(line.points.back().y), y.unit);
    }
    views_.push_back({chart.id, title, {}, {}});
    views_.back().blocks.emplace_back(std::move(chart));
    views_.back().blocks.emplace_back(std::move(table));
  }

  const Subject& subject_;
  const Program& program_;
  const Evaluation& evaluation_;
  const Lowered& lowered_;
  std::vector<View>& views_;
};

}  // namespace

void add_listing_views(const Subject& subject, std::vector<View>& views) {
  ListingViews(subject, views).run();
}

}  // namespace sprue
