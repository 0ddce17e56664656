// Low and high ends of ranges against the figures.
#include "runtime/view/drivers.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "runtime/ledger/shown.hpp"
#include "runtime/study/drivers.hpp"
#include "runtime/study/facts.hpp"
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
    for (const Chosen& chosen : leading(program_, subject_.evaluation, leading_figures)) swings(chosen, drivers_shown);
  }

  /// How the figure answers to each input.
  void responses(const Chosen& chosen, std::size_t most) {
    const std::vector<Response> found = responses_of(program_, subject_.evaluation, chosen.node);
    TableColumn elasticity = number_column("elasticity", "% for 1 %");
    elasticity.places = 4;
    Table table{fmt::format("responses_{}", chosen.path),
                shown_of(chosen.title, most, found.size(), "inputs that move it"),
                {text_column("input", "Input"), text_column("stated", "Stated"), std::move(elasticity),
                 text_column("steps", "By jumps, too"), text_column("source", "Source")},
                {}};
    for (std::size_t i = 0; i < std::min(most, found.size()); ++i) {
      const Response& response = found[i];
      const InputOrigin& origin = lowered_.inputs[response.input];
      const Facts* const facts = facts_of(program_, lowered_, origin);
      const bool known = std::isfinite(response.elasticity);
      table.rows.push_back(
          {{text_cell(input_path(program_, lowered_, origin)),
            input_cell(program_, lowered_, origin, lowered_.graph.inputs[response.input]),
            known ? number_cell(response.elasticity) : text_cell(""), text_cell(response.in_steps ? "yes" : "no"),
            text_cell(facts == nullptr ? "" : source_text(program_, *facts))},
           false});
    }
    view_.blocks.emplace_back(std::move(table));
  }

  /// What its inputs' ranges do to it.
  void swings(const Chosen& chosen, std::size_t most) {
    if (chosen.type.tag != TypeTag::quantity) return;
    const std::vector<Driver> drivers = drivers_of(program_, subject_.evaluation, chosen.node);
    if (drivers.empty()) return;
    const Shown shown = shown_as(program_, chosen.type);
    const std::string& name = chosen.title;
    const double stated = subject_.evaluation.value(chosen.node) / shown.factor;
    Table table{fmt::format("drivers_{}", chosen.path.substr(chosen.path.rfind('.') + 1)),
                shown_of(name, most, drivers.size(), "inputs with a range"),
                {text_column("input", "Input"), text_column("low", "Low end"), text_column("high", "High end"),
                 quantity_column(program_, "at_low", "At the low end", chosen.type, false),
                 quantity_column(program_, "at_high", "At the high end", chosen.type, false),
                 quantity_column(program_, "swing", "Swing", chosen.type, false)},
                {}};
    BarChart chart;
    chart.id = table.id;
    chart.title = fmt::format("What moves it: {}", name);
    chart.axis.title = name;
    chart.axis.unit = shown.unit;
    chart.axis.places = shown.places;
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
            figure_cell(program_, chosen, driver.at_high), figure_cell(program_, chosen, driver.swing())},
           false});
      chart.bars.push_back(
          {path, {}, {{stated, driver.at_low / shown.factor, 0}, {stated, driver.at_high / shown.factor, 1}}});
    }
    const std::string value = grouped(text_of(program_, chosen.type, subject_.evaluation.value(chosen.node)));
    chart.description = fmt::format("As stated it is {}. Largest: {}.", value, chart.bars.front().label);
    view_.blocks.emplace_back(std::move(chart));
    view_.blocks.emplace_back(std::move(table));
  }

 private:
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

Document drivers_document(const Subject& subject, const std::vector<Chosen>& figures, std::size_t most) {
  Document document;
  document.emplace_back(Heading{"Drivers", 1});
  View view;
  DriverView drivers(subject, view);
  view.blocks.emplace_back(Heading{"A little more of each input", 2});
  view.blocks.emplace_back(
      Paragraph{"What one per cent more of an input does to the figure, from its slope at the stated values. Rounding, "
                "conditions and tables move a figure by jumps as well, of which a slope knows nothing."});
  for (const Chosen& chosen : figures) drivers.responses(chosen, most);
  view.blocks.emplace_back(Heading{"Each input at the ends of its range", 2});
  const std::size_t before = view.blocks.size();
  for (const Chosen& chosen : figures) drivers.swings(chosen, most);
  if (view.blocks.size() == before)
    view.blocks.emplace_back(Paragraph{"No input that moves these figures has a range."});
  document.insert(document.end(), view.blocks.begin(), view.blocks.end());
  return document;
}

}  // namespace sprue
