// Low and high ends of ranges against the figures.
#include "runtime/view/drivers.hpp"

#include <fmt/format.h>
#include <algorithm>

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
    for (std::size_t h = 0; h < std::min(leading_figures, lowered_.headlines.size()); ++h)
      figure(lowered_.headlines[h]);
  }

 private:
  void figure(const Headline& headline) {
    const Field& field = program_.kinds[lowered_.instances.all[headline.instance].kind].fields[headline.slot];
    if (field.type.tag != TypeTag::quantity || subject_.evaluation.absent(headline.node)) return;
    const std::vector<Driver> drivers = drivers_of(program_, subject_.evaluation, headline.node);
    if (drivers.empty()) return;
    const Shown shown = shown_as(program_, field.type.id);
    const std::string name = name_of(program_, field.name, field.title);
    const double stated = subject_.evaluation.value(headline.node) / shown.factor;
    Table table{fmt::format("drivers_{}", program_.text(field.name)),
                name,
                {text_column("input", "Input"), text_column("low", "Low end"), text_column("high", "High end"),
                 quantity_column(program_, "at_low", "At the low end", field.type.id, false),
                 quantity_column(program_, "at_high", "At the high end", field.type.id, false),
                 quantity_column(program_, "swing", "Swing", field.type.id, false)},
                {}};
    BarChart chart;
    chart.id = table.id;
    chart.title = fmt::format("What moves it: {}", name);
    chart.axis.title = name;
    chart.axis.unit = shown.unit;
    chart.axis.places = shown.places;
    chart.series = {"Low end of the range", "High end of the range"};
    for (std::size_t i = 0; i < std::min(drivers_shown, drivers.size()); ++i) {
      const Driver& driver = drivers[i];
      const InputOrigin& origin = lowered_.inputs[driver.input];
      const std::string path = input_path(program_, lowered_, origin);
      const Type type = input_type(program_, lowered_, origin);
      const auto end = [&](double value) {
        return text_cell(subject_.redacted ? "withheld" : shown_input(origin, type, value));
      };
      table.rows.push_back(
          {{text_cell(path), end(driver.low), end(driver.high), number_cell(driver.at_low / shown.factor),
            number_cell(driver.at_high / shown.factor), number_cell(driver.swing() / shown.factor)},
           false});
      chart.bars.push_back(
          {path, {}, {{stated, driver.at_low / shown.factor, 0}, {stated, driver.at_high / shown.factor, 1}}});
    }
    const std::string value = grouped(text_of(program_, field.type, subject_.evaluation.value(headline.node)));
    chart.description = fmt::format("As stated it is {}. Largest: {}.", value, chart.bars.front().label);
    if (drivers.size() > drivers_shown)
      table.title += fmt::format(" ({} largest of {} inputs with a range)", drivers_shown, drivers.size());
    view_.blocks.emplace_back(std::move(chart));
    view_.blocks.emplace_back(std::move(table));
  }

  /// Money is in the currency it was stated in, so its text is the one of the unit as written.
  std::string shown_input(const InputOrigin& origin, const Type& type, double value) const {
    if (origin.exchange != none) return decimal(value, 4);
    const Given* const given = lowered_.instances.given(origin.instance, origin.slot);
    const FormulaId formula =
        given != nullptr ? given->formula
                         : program_.kinds[lowered_.instances.all[origin.instance].kind].fields[origin.slot].formula;
    const std::uint32_t currency = program_.formulas[formula].a;
    if (currency == none || currency == program_.report_currency) return text_of(program_, type, value);
    // The same text with the other currency's name: units are shown per report currency.
    std::string text = text_of(program_, type, value);
    const std::string_view report = program_.text(program_.units->currencies()[program_.report_currency].name);
    const std::size_t at = text.find(report);
    if (at != std::string::npos)
      text.replace(at, report.size(), program_.text(program_.units->currencies()[currency].name));
    return text;
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

}  // namespace sprue
