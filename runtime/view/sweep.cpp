// Lanes over values, and over a finer grid between them.
#include "runtime/view/sweep.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "lang/graph/arithmetic.hpp"
#include "runtime/ledger/shown.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/study/lanes.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

constexpr int drawn_points = 400;

class Sweeper {
 public:
  Sweeper(const Program& program, const Evaluation& evaluation, const std::vector<Chosen>& figures,
          const std::vector<Sweep>& sweeps)
      : program_(program), evaluation_(evaluation), lowered_(evaluation.lowered), figures_(figures), sweeps_(sweeps) {
    for (const Chosen& figure : figures) outputs_.push_back(figure.node);
  }

  Document run() {
    document_.emplace_back(Heading{"Sweep", 1});
    for (const Sweep& sweep : sweeps_)
      document_.emplace_back(
          Paragraph{fmt::format("Over {}, stated as {}; everything else as stated.", path(sweep),
                                input_text(program_, lowered_, origin(sweep), lowered_.graph.inputs[sweep.input]))});
    if (sweeps_.size() == 1) {
      ladder();
    } else {
      grid();
    }
    return std::move(document_);
  }

 private:
  const InputOrigin& origin(const Sweep& sweep) const { return lowered_.inputs[sweep.input]; }
  std::string path(const Sweep& sweep) const { return input_path(program_, lowered_, origin(sweep)); }
  Type type(const Sweep& sweep) const { return input_type(program_, lowered_, origin(sweep)); }
  std::string text(const Sweep& sweep, double value) const {
    return grouped(input_text(program_, lowered_, origin(sweep), value));
  }

  Cell cell(const Sweep& sweep, double value) const {
    Cell cell = input_cell(program_, lowered_, origin(sweep), value);
    cell.text = grouped(cell.text);
    if (!cell.for_people.empty()) cell.for_people = grouped(cell.for_people);
    return cell;
  }

  /// One input: a column a figure, and a chart for figures of the same unit.
  void ladder() {
    const Sweep& sweep = sweeps_[0];
    std::vector<Lane> lanes;
    for (const double value : sweep.values) lanes.push_back({{sweep.input, value}});
    const auto results = evaluate_lanes(evaluation_, outputs_, lanes);
    Table table{"sweep", {}, {number_column(path(sweep), path(sweep))}, {}};
    for (const Chosen& figure : figures_)
      table.columns.push_back(figure_column(program_, figure, figure.path, figure.title));
    for (std::size_t i = 0; i < sweep.values.size(); ++i) {
      TableRow row{{cell(sweep, sweep.values[i])}, false};
      for (std::size_t f = 0; f < figures_.size(); ++f)
        row.cells.push_back(results[i] ? figure_cell(program_, figures_[f], (*results[i])[f])
                                       : text_cell("not possible"));
      table.rows.push_back(std::move(row));
    }
    for (const auto& [unit, figures] : by_unit()) {
      std::vector<LineChart::Line> lines;
      for (const std::size_t f : figures) lines.push_back(line(figures_[f], figures_[f].title, {}));
      chart(fmt::format("sweep_{}", figures_[figures[0]].path),
            figures.size() == 1 ? figures_[figures[0]].title
                                : fmt::format("Figures in {}", unit.empty() ? "plain numbers" : unit),
            figures_[figures[0]], std::move(lines));
    }
    document_.emplace_back(std::move(table));
  }

  /// Two inputs: a table a figure, the second input across; a line for each of its values.
  void grid() {
    const Sweep& down = sweeps_[0];
    const Sweep& across = sweeps_[1];
    std::vector<Lane> lanes;
    for (const double value : down.values) {
      for (const double other : across.values) lanes.push_back({{down.input, value}, {across.input, other}});
    }
    const auto results = evaluate_lanes(evaluation_, outputs_, lanes);
    for (std::size_t f = 0; f < figures_.size(); ++f) {
      Table table{fmt::format("sweep_{}", figures_[f].path),
                  fmt::format("{}, by {} (down) and {} (across)", figures_[f].title, path(down), path(across)),
                  {number_column(path(down), path(down))},
                  {}};
      for (std::size_t c = 0; c < across.values.size(); ++c)
        table.columns.push_back(figure_column(program_, figures_[f],
                                              fmt::format("{}={}", path(across), text(across, across.values[c])),
                                              text(across, across.values[c])));
      for (std::size_t r = 0; r < down.values.size(); ++r) {
        TableRow row{{cell(down, down.values[r])}, false};
        for (std::size_t c = 0; c < across.values.size(); ++c) {
          const auto& result = results[r * across.values.size() + c];
          row.cells.push_back(result ? figure_cell(program_, figures_[f], (*result)[f]) : text_cell("not possible"));
        }
        table.rows.push_back(std::move(row));
      }
      if (figures_[f].type.tag == TypeTag::quantity && across.values.size() <= 6) {
        std::vector<LineChart::Line> lines;
        for (const double other : across.values)
          lines.push_back(
              line(figures_[f], fmt::format("{} {}", path(across), text(across, other)), {{across.input, other}}));
        chart(table.id, figures_[f].title, figures_[f], std::move(lines));
      }
      document_.emplace_back(std::move(table));
    }
  }

  /// Figures that are quantities, by the unit they are shown in.
  std::vector<std::pair<std::string, std::vector<std::size_t>>> by_unit() const {
    std::vector<std::pair<std::string, std::vector<std::size_t>>> groups;
    for (std::size_t f = 0; f < figures_.size(); ++f) {
      if (figures_[f].type.tag != TypeTag::quantity) continue;
      const std::string unit = shown_as(program_, figures_[f].type).unit;
      const auto found =
          std::find_if(groups.begin(), groups.end(), [&](const auto& group) { return group.first == unit; });
      if (found == groups.end()) {
        groups.push_back({unit, {f}});
      } else {
        found->second.push_back(f);
      }
    }
    return groups;
  }

  LineChart::Line line(const Chosen& figure, std::string title, const Lane& fixed) const {
    const Sweep& sweep = sweeps_[0];
    const auto [low, high] = std::minmax_element(sweep.values.begin(), sweep.values.end());
    std::vector<double> values = sweep.values;
    for (int i = 0; i <= drawn_points; ++i) {
      const double value = *low + (*high - *low) * i / drawn_points;
      values.push_back(type(sweep).tag == TypeTag::quantity && is_count(program_, type(sweep).id)
                           ? arithmetic::round(value)
                           : value);
    }
    std::sort(values.begin(), values.end());
    values.erase(std::unique(values.begin(), values.end()), values.end());
    std::vector<Lane> lanes;
    for (const double value : values) {
      lanes.push_back(fixed);
      lanes.back().emplace_back(sweep.input, value);
    }
    const auto results = evaluate_lanes(evaluation_, {&figure.node, 1}, lanes);
    LineChart::Line line{std::move(title), {}, false};
    const Shown x = x_shown();
    const double factor = shown_as(program_, figure.type).factor;
    for (std::size_t i = 0; i < values.size(); ++i) {
      if (results[i]) line.points.push_back({values[i] / x.factor, (*results[i])[0] / factor});
    }
    return line;
  }

  Shown x_shown() const {
    const Type t = type(sweeps_[0]);
    return t.tag == TypeTag::quantity ? shown_as(program_, t) : Shown{};
  }

  void chart(std::string id, std::string title, const Chosen& figure, std::vector<LineChart::Line> lines) {
    const Sweep& sweep = sweeps_[0];
    const Shown shown = shown_as(program_, figure.type);
    const Shown x = x_shown();
    LineChart chart;
    chart.id = std::move(id);
    chart.title = std::move(title);
    chart.x.title = path(sweep);
    chart.x.unit = x.unit;
    chart.x.places = x.places;
    chart.x.dates = type(sweep).tag == TypeTag::point;
    chart.y.unit = shown.unit;
    chart.y.places = shown.places;
    chart.lines = std::move(lines);
    chart.description = fmt::format("{} from {} to {}.", path(sweep), text(sweep, sweep.values.front()),
                                    text(sweep, sweep.values.back()));
    std::erase_if(chart.lines, [](const LineChart::Line& line) { return line.points.empty(); });
    if (!chart.lines.empty()) document_.emplace_back(std::move(chart));
  }

  const Program& program_;
  const Evaluation& evaluation_;
  const Lowered& lowered_;
  const std::vector<Chosen>& figures_;
  const std::vector<Sweep>& sweeps_;
  std::vector<GraphId> outputs_;
  Document document_;
};

}  // namespace

Document sweep_document(const Program& program, const Evaluation& evaluation, const std::vector<Chosen>& figures,
                        const std::vector<Sweep>& sweeps) {
  return Sweeper(program, evaluation, figures, sweeps).run();
}

}  // namespace sprue
