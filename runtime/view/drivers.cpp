// Low and high ends of ranges against the figures.
#include "runtime/view/drivers.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "runtime/ledger/shown.hpp"
#include "runtime/study/drivers.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/study/responses.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

constexpr std::size_t drivers_shown = 10;
constexpr std::size_t work_limit = 4'000'000'000;  // operations; some seconds

class DriverView {
 public:
  DriverView(const Subject& subject, View& view)
      : subject_(subject), program_(subject.program), lowered_(subject.evaluation.lowered), view_(view) {}

  void run() {
    if (work_of_drivers(program_, lowered_) * leading_figures > work_limit) {
      view_.blocks.emplace_back(Paragraph{"Too many inputs have a range for each to be tried at both ends here."});
      return;
    }
    for (const Chosen& chosen : leading(program_, subject_.evaluation, leading_figures)) {
      if (!is_date(chosen)) swings(chosen, drivers_shown);
    }
  }

  /// What one step of each input does to the figure; `at` is its place among those that were tried.
  void responses(const Chosen& chosen, std::size_t at, const std::vector<Response>& tried, std::size_t most) {
    const double stated = subject_.evaluation.value(chosen.node);
    std::vector<const Response*> found;
    for (const Response& response : tried) {
      if (effect_of(response, at, stated) > 0) found.push_back(&response);
    }
    std::stable_sort(found.begin(), found.end(), [&](const Response* a, const Response* b) {
      const double effect_a = effect_of(*a, at, stated);
      const double effect_b = effect_of(*b, at, stated);
      if (effect_a != effect_b) return effect_a > effect_b;
      return input_path(program_, lowered_, lowered_.inputs[a->input]) <
             input_path(program_, lowered_, lowered_.inputs[b->input]);
    });
    TableColumn less = change_column(chosen, "less", "One step less");
    TableColumn more = change_column(chosen, "more", "One step more");
    less.exact = less.change = more.exact = more.change = true;
    const bool in_percent = chosen.type.tag == TypeTag::quantity && stated != 0;
    Table table{fmt::format("responses_{}", chosen.path),
                shown_of(chosen.title, most, found.size(), "inputs that move it"),
                {text_column("input", "Input"), text_column("stated", "Stated"), text_column("step", "Step"),
                 std::move(less), std::move(more)},
                {}};
    if (in_percent) {
      table.columns.push_back(percent_column("less_percent", "Less, %"));
      table.columns.push_back(percent_column("more_percent", "More, %"));
    }
    table.columns.push_back(text_column("source", "Source"));
    for (std::size_t i = 0; i < std::min(most, found.size()); ++i) {
      const Response& response = *found[i];
      const InputOrigin& origin = lowered_.inputs[response.input];
      const Facts* const facts = facts_of(program_, lowered_, origin);
      const auto change = [&](const std::optional<std::vector<double>>& side) {
        return side ? change_cell(chosen, (*side)[at] - stated) : text_cell("not possible");
      };
      const auto percentage = [&](const std::optional<std::vector<double>>& side) {
        return side ? number_cell(((*side)[at] - stated) / std::fabs(stated) * 100) : text_cell("not possible");
      };
      TableRow row{{text_cell(input_path(program_, lowered_, origin)),
                    input_cell(program_, lowered_, origin, lowered_.graph.inputs[response.input]),
                    text_cell(step_text(response)), change(response.less), change(response.more)},
                   false};
      if (in_percent) {
        row.cells.push_back(percentage(response.less));
        row.cells.push_back(percentage(response.more));
      }
      row.cells.push_back(text_cell(facts == nullptr ? "" : source_text(program_, *facts)));
      table.rows.push_back(std::move(row));
    }
    view_.blocks.emplace_back(std::move(table));
  }

  /// What its inputs' ranges do to it.
  void swings(const Chosen& chosen, std::size_t most) {
    if (chosen.type.tag != TypeTag::quantity && !is_date(chosen)) return;
    const std::vector<Driver> drivers = drivers_of(program_, subject_.evaluation, chosen.node);
    if (drivers.empty()) return;
    const Shown shown = is_date(chosen) ? Shown{"day", 1, 0} : shown_as(program_, chosen.type);
    const std::string& name = chosen.title;
    const double stated = subject_.evaluation.value(chosen.node) / shown.factor;
    Table table{
        fmt::format("drivers_{}", chosen.path.substr(chosen.path.rfind('.') + 1)),
        shown_of(name, most, drivers.size(), "inputs with a range"),
        {text_column("input", "Input"), text_column("low", "Low end"), text_column("high", "High end"),
         figure_column(program_, chosen, "at_low", "At the low end"),
         figure_column(program_, chosen, "at_high", "At the high end"), change_column(chosen, "swing", "Swing")},
        {}};
    BarChart chart;
    chart.id = table.id;
    chart.title = fmt::format("What moves it: {}", name);
    chart.axis.title = name;
    chart.axis.unit = shown.unit;
    chart.axis.places = shown.places;
    chart.axis.dates = is_date(chosen);
    chart.series = {"Low end of the range", "High end of the range"};
    for (std::size_t i = 0; i < std::min(most, drivers.size()); ++i) {
      const Driver& driver = drivers[i];
      const InputOrigin& origin = lowered_.inputs[driver.input];
      const std::string path = input_path(program_, lowered_, origin);
      const auto end = [&](double value) {
        return subject_.redacted ? withheld_cell() : input_cell(program_, lowered_, origin, value);
      };
      table.rows.push_back(
          {{text_cell(path), end(driver.low), end(driver.high), figure_cell(program_, chosen, driver.at_low),
            figure_cell(program_, chosen, driver.at_high), change_cell(chosen, driver.swing())},
           false});
      chart.bars.push_back(
          {path, {}, {{stated, driver.at_low / shown.factor, 0}, {stated, driver.at_high / shown.factor, 1}}});
    }
    const std::string value = grouped(text_of(program_, chosen.type, subject_.evaluation.value(chosen.node)));
    chart.description = fmt::format("As stated it is {}. Largest: {}.", value, chart.bars.front().label);
    if (!is_date(chosen)) view_.blocks.emplace_back(std::move(chart));
    view_.blocks.emplace_back(std::move(table));
  }

  /// What is not among the responses, in one sentence; empty where nothing is.
  static std::string held_still(const HeldStill& held) {
    std::vector<std::string> parts;
    const auto add = [&](std::size_t count, std::string_view one, std::string_view many) {
      if (count > 0) parts.push_back(fmt::format("{} {}", grouped(std::to_string(count)), count == 1 ? one : many));
    };
    add(held.tables, "table", "tables");
    add(held.series, "series", "series");
    add(held.choices, "choice or flag", "choices or flags");
    add(held.wholes, "whole number that decides how much is evaluated",
        "whole numbers that decide how much is evaluated");
    add(held.zeros, "input that is stated as 0", "inputs that are stated as 0");
    add(held.defaults, "default of the library (shown with --defaults)",
        "defaults of the library (shown with --defaults)");
    add(held.untried, "input with a gentler slope (too many to try each)",
        "inputs with gentler slopes (too many to try each)");
    return parts.empty() ? std::string() : fmt::format("Held still: {}.", fmt::join(parts, ", "));
  }

 private:
  bool is_date(const Chosen& chosen) const {
    return chosen.type.tag == TypeTag::point && chosen.type.id == program_.dimensions.time;
  }
  /// A difference of the figure; of percentages in points.
  Cell change_cell(const Chosen& chosen, double difference) const {
    if (chosen.type.tag == TypeTag::quantity) return figure_cell(program_, chosen, difference);
    return number_cell(difference);
  }

  /// Of differences of the figure: days for a date.
  TableColumn change_column(const Chosen& chosen, std::string id, std::string title) const {
    TableColumn column = chosen.type.tag == TypeTag::quantity
                             ? quantity_column(program_, std::move(id), std::move(title), chosen.type, false)
                             : number_column(std::move(id), std::move(title));
    if (is_date(chosen)) column.unit = "day";
    if (is_date(chosen)) column.places = 1;
    return column;
  }
  static TableColumn percent_column(std::string id, std::string title) {
    TableColumn column = number_column(std::move(id), std::move(title));
    column.places = 4;
    column.exact = column.change = true;
    return column;
  }

  /// "1%", "240 unit", "1 day".
  std::string step_text(const Response& response) const {
    if (response.relative) return "1%";
    const InputOrigin& origin = lowered_.inputs[response.input];
    const Type type = input_type(program_, lowered_, origin);
    if (type.tag != TypeTag::point) return grouped(input_text(program_, lowered_, origin, response.step));
    return type.id == program_.dimensions.time ? "1 day"
                                               : fmt::format("1 {}", input_shown(program_, lowered_, origin).unit);
  }

  static std::string shown_of(const std::string& title, std::size_t most, std::size_t all, std::string_view what) {
    return all > most ? fmt::format("{} ({} largest of {} {})", title, most, all, what) : title;
  }

  const Subject& subject_;
  const Program& program_;
  const Lowered& lowered_;
  View& view_;
};

}  // namespace

void add_driver_view(const Subject& subject, std::vector<View>& views) {
  View view{
      "drivers", "Drivers", "Each input that has a range at its low and at its high end, all else as stated.", {}};
  DriverView(subject, view).run();
  if (!view.blocks.empty()) views.push_back(std::move(view));
}

Document drivers_document(const Subject& subject, const std::vector<Chosen>& figures, std::size_t most, bool defaults) {
  Document document;
  document.emplace_back(Heading{"Drivers", 1});
  View view;
  DriverView drivers(subject, view);
  std::vector<GraphId> nodes;
  for (const Chosen& chosen : figures) nodes.push_back(chosen.node);
  const Responses responses = responses_of(subject.program, subject.evaluation, nodes, defaults);
  view.blocks.emplace_back(Heading{"One step less and one step more of each input", 2});
  view.blocks.emplace_back(Paragraph{
      "How the figure changes when one input alone changes by one per cent. What is counted changes by whole "
      "things, a date by a day. Each step is evaluated; a step that gives no sound program is not possible."});
  if (const std::string held = DriverView::held_still(responses.held); !held.empty())
    view.blocks.emplace_back(Paragraph{held});
  for (std::size_t f = 0; f < figures.size(); ++f) drivers.responses(figures[f], f, responses.tried, most);
  view.blocks.emplace_back(Heading{"Each input at the ends of its range", 2});
  const std::size_t before = view.blocks.size();
  for (const Chosen& chosen : figures) drivers.swings(chosen, most);
  if (view.blocks.size() == before)
    view.blocks.emplace_back(Paragraph{"No input that moves these figures has a range."});
  document.insert(document.end(), view.blocks.begin(), view.blocks.end());
  return document;
}

}  // namespace sprue
