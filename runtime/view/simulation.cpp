// Sorting each figure once; ranks of one input at a time.
#include "runtime/view/simulation.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "runtime/ledger/shown.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/write/json.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

constexpr double shown_quantiles[] = {0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95};
constexpr std::size_t bins = 40;
constexpr std::size_t drivers_shown = 12;

class SimulationView {
 public:
  SimulationView(const Program& program, const Sources& sources, const Evaluation& evaluation,
                 const Simulated& simulated, const Sampler& sampler, Samples samples, const Indices& indices)
      : program_(program),
        sources_(sources),
        evaluation_(evaluation),
        simulated_(simulated),
        sampler_(sampler),
        samples_(std::move(samples)),
        indices_(indices) {
    for (std::size_t t = 0; t < samples_.count; ++t) {
      if (samples_.sound[t] != 0) kept_.push_back(t);
    }
  }

  Document run() {
    document_.emplace_back(Heading{"Simulation", 1});
    document_.emplace_back(Paragraph{
        fmt::format("{} trials, {}, seed {}, over {} with a range.", grouped(std::to_string(simulated_.trials)),
                    name_of_scheme(simulated_.scheme), simulated_.seed,
                    fmt::format("{} input{}", sampler_.inputs().size(), sampler_.inputs().size() == 1 ? "" : "s"))});
    if (simulated_.ties > 0)
      document_.emplace_back(
          Paragraph{fmt::format("{} correlation{} between inputs.", simulated_.ties, simulated_.ties == 1 ? "" : "s")});
    for (const std::string& unused : simulated_.unused_ties)
      document_.emplace_back(Paragraph{
          fmt::format("The correlation of {} is not used: one of them has no range that a figure needs.", unused)});
    if (simulated_.scheme == Scheme::sobol)
      document_.emplace_back(
          Paragraph{"Each input takes the coordinate of its place by path: an input more or less changes what those "
                    "after it draw. In the other schemes it does not."});
    if (simulated_.scheme != Scheme::random)
      document_.emplace_back(
          Paragraph{"Errors are told as for independent draws; these trials lie more evenly, and theirs are smaller."});
    if (kept_.size() < samples_.count)
      document_.emplace_back(
          Paragraph{fmt::format("{} of them give no sound program and are left out of all that follows.",
                                grouped(std::to_string(samples_.count - kept_.size())))});
    if (kept_.empty()) return std::move(document_);
    for (std::size_t f = 0; f < simulated_.figures.size(); ++f) summarize(f);
    figures();
    odds();
    for (Summary& summary : summaries_)
      std::move(summary.charts.begin(), summary.charts.end(), std::back_inserter(document_));
    quantiles();
    drivers();
    return std::move(document_);
  }

 private:
  /// What is told of one figure.
  struct Summary {
    Moments moments;
    std::vector<double> quantiles;  // those shown
    std::vector<Interval> intervals;
    std::vector<Block> charts;
  };

  /// One figure after the other, in place: its samples, in the unit shown, then their ranks. So no more than one figure
  /// is held twice.
  void summarize(std::size_t f) {
    std::vector<double>& values = samples_.values[f];
    const double factor = factor_of(f);
    for (std::size_t i = 0; i < kept_.size(); ++i) values[i] = values[kept_[i]] / factor;
    values.resize(kept_.size());
    Summary& summary = summaries_.emplace_back();
    summary.moments = moments_of(values);
    {
      std::vector<double> sorted = values;
      std::sort(sorted.begin(), sorted.end());
      for (const double p : shown_quantiles) {
        summary.quantiles.push_back(quantile_of_sorted(sorted, p));
        summary.intervals.push_back(quantile_interval(sorted, p));
      }
      summary.charts = charts(f, std::move(sorted));
    }
    values = ranks_of(values);
  }

  double factor_of(std::size_t f) const {
    const Type& type = simulated_.figures[f].type;
    return type.tag == TypeTag::quantity ? shown_as(program_, type.id).factor : 1;
  }
  bool is_date(std::size_t f) const { return simulated_.figures[f].type.tag == TypeTag::point; }
  int places_of(std::size_t f) const {
    const Type& type = simulated_.figures[f].type;
    return type.tag == TypeTag::quantity ? shown_as(program_, type.id).places : 0;
  }
  std::string unit_of(std::size_t f) const {
    const Type& type = simulated_.figures[f].type;
    return type.tag == TypeTag::quantity ? shown_as(program_, type.id).unit : "";
  }
  Cell value_cell(std::size_t f, double value) const {
    if (is_date(f)) return text_cell(text_of(program_, simulated_.figures[f].type, value));
    Cell cell = number_cell(value);
    cell.places = places_of(f);
    cell.percent = percent_places(simulated_.figures[f].type).value_or(-1);
    return cell;
  }
  Cell spread_cell(std::size_t f, double value) const {
    Cell cell = number_cell(value);
    cell.places = is_date(f) ? 2 : places_of(f);
    cell.percent = percent_places(simulated_.figures[f].type).value_or(-1);
    return cell;
  }
  Cell unit_cell(std::size_t f) const {
    Cell cell = text_cell(unit_of(f));
    if (percent_places(simulated_.figures[f].type)) cell.for_people = "%";
    return cell;
  }

  void figures() {
    Table table{"figures",
                {},
                {text_column("figure", "Figure"), number_column("stated", "As stated"), number_column("mean", "Mean"),
                 number_column("mean_error", "Standard error"), number_column("deviation", "Standard deviation")},
                {}};
    for (const double p : shown_quantiles)
      table.columns.push_back(
          number_column(fmt::format("q{}", std::lround(100 * p)), fmt::format("{} %", std::lround(100 * p))));
    table.columns.push_back(text_column("unit", "Unit"));
    for (std::size_t f = 0; f < simulated_.figures.size(); ++f) {
      const Chosen& figure = simulated_.figures[f];
      const Moments& moments = summaries_[f].moments;
      TableRow row{{text_cell(figure.title), value_cell(f, evaluation_.value(figure.node) / factor_of(f)),
                    value_cell(f, moments.mean), spread_cell(f, moments.mean_error), spread_cell(f, moments.deviation)},
                   false};
      for (const double quantile : summaries_[f].quantiles) row.cells.push_back(value_cell(f, quantile));
      row.cells.push_back(unit_cell(f));
      table.rows.push_back(std::move(row));
    }
    document_.emplace_back(Heading{"Figures", 2});
    document_.emplace_back(std::move(table));
  }

  void quantiles() {
    Table table{
        "quantiles",
        {},
        {text_column("figure", "Figure"), number_column("share", "Share below, %"), number_column("value", "Value"),
         number_column("low", "At least"), number_column("high", "At most"), text_column("unit", "Unit")},
        {}};
    for (std::size_t f = 0; f < simulated_.figures.size(); ++f) {
      const Summary& summary = summaries_[f];
      for (std::size_t q = 0; q < summary.quantiles.size(); ++q) {
        table.rows.push_back({{text_cell(simulated_.figures[f].title), number_cell(100 * shown_quantiles[q]),
                               value_cell(f, summary.quantiles[q]), value_cell(f, summary.intervals[q].low),
                               value_cell(f, summary.intervals[q].high), unit_cell(f)},
                              false});
      }
    }
    document_.emplace_back(Heading{"How well the quantiles are known", 2});
    document_.emplace_back(Paragraph{
        "With as many trials, the true quantile lies between these ends in 95 of 100 simulations (order statistics)."});
    document_.emplace_back(std::move(table));
  }

  void odds() {
    if (simulated_.expectations.empty()) return;
    TableColumn share = number_column("odds", "Holds in, %");
    share.places = 2;
    TableColumn error = number_column("error", "Standard error");
    error.places = 2;
    Table table{"odds",
                {},
                {text_column("expectation", "Expectation"), text_column("condition", "Condition"), std::move(share),
                 std::move(error)},
                {}};
    for (std::size_t e = 0; e < simulated_.expectations.size(); ++e) {
      const Expectation& expectation = program_.expectations[simulated_.expectations[e]];
      double holds = 0;
      for (const std::size_t t : kept_) holds += samples_.values[simulated_.figures.size() + e][t] != 0 ? 1 : 0;
      const auto n = static_cast<double>(kept_.size());
      const double p = holds / n;
      table.rows.push_back({{text_cell(std::string(program_.text(expectation.text))),
                             text_cell(std::string(sources_.text(expectation.span))), number_cell(100 * p),
                             number_cell(100 * std::sqrt(p * (1 - p) / n))},
                            false});
    }
    document_.emplace_back(Heading{"Odds of the expectations", 2});
    document_.emplace_back(std::move(table));
  }

  /// How often each stretch of values comes, and the share of trials below each value.
  std::vector<Block> charts(std::size_t f, std::vector<double> sorted) const {
    const Chosen& figure = simulated_.figures[f];
    const Shown shown = figure.type.tag == TypeTag::quantity ? shown_as(program_, figure.type) : Shown{"", 1, 0};
    const double scale = percent_places(figure.type) ? 100 : 1;  // people see percentages
    for (double& value : sorted) value *= scale;
    if (!(sorted.back() > sorted.front())) return {};
    const std::string id = figure.path.substr(figure.path.rfind('.') + 1);
    // The outermost thousandths would stretch the axis.
    const double low = quantile_of_sorted(sorted, 0.001);
    const double high = quantile_of_sorted(sorted, 0.999);
    if (!(high > low)) return {};
    LineChart histogram;
    histogram.id = fmt::format("histogram_{}", id);
    histogram.title = fmt::format("{}: how often", figure.title);
    histogram.x = {"", shown.unit, shown.places, is_date(f)};
    histogram.y = {"Share of trials", "%", 2, false};
    LineChart::Line line{figure.title, {}, true};
    std::vector<std::size_t> counts(bins, 0);
    for (const double value : sorted) {
      if (value < low || value > high) continue;
      ++counts[std::min(bins - 1, static_cast<std::size_t>((value - low) / (high - low) * static_cast<double>(bins)))];
    }
    const auto edge = [&](std::size_t i) {
      return low + (high - low) * static_cast<double>(i) / static_cast<double>(bins);
    };
    line.points.push_back({low, 0});
    for (std::size_t i = 0; i < bins; ++i)
      line.points.push_back({edge(i), 100 * static_cast<double>(counts[i]) / static_cast<double>(sorted.size())});
    line.points.push_back({high, 0});
    histogram.lines.push_back(std::move(line));
    LineChart cumulative;
    cumulative.id = fmt::format("cumulative_{}", id);
    cumulative.title = fmt::format("{}: share of trials below", figure.title);
    cumulative.x = histogram.x;
    cumulative.y = histogram.y;
    LineChart::Line rising{figure.title, {}, false};
    for (int i = 1; i < 1000; i += 2) rising.points.push_back({quantile_of_sorted(sorted, i / 1000.0), i / 10.0});
    cumulative.lines.push_back(std::move(rising));
    const double stated = scale * evaluation_.value(figure.node) / factor_of(f);
    const auto text = [&](double value) {
      return is_date(f) ? iso_date(value) : grouped(decimal(value, shown.places)) + " " + shown.unit;
    };
    const double below = 100.0 *
                         static_cast<double>(std::lower_bound(sorted.begin(), sorted.end(), stated) - sorted.begin()) /
                         static_cast<double>(sorted.size());
    const double median = quantile_of_sorted(sorted, 0.5);
    cumulative.marks.push_back({{median, 50}, fmt::format("Half lie below {}", text(median))});
    if (stated >= low && stated <= high)
      cumulative.marks.push_back(
          {{stated, below}, fmt::format("As stated, {}: {} % lie below", text(stated), decimal(below, 0))});
    cumulative.description =
        fmt::format("{}. Nine of ten trials lie between {} and {}.", cumulative.marks[0].text,
                    text(quantile_of_sorted(sorted, 0.05)), text(quantile_of_sorted(sorted, 0.95)));
    histogram.description = cumulative.description;
    return {std::move(histogram), std::move(cumulative)};
  }

  void drivers() {
    if (sampler_.inputs().empty()) return;
    document_.emplace_back(Heading{"What drives the spread", 2});
    document_.emplace_back(Paragraph{
        indices_.empty() ? "Rank correlation of each input with the figure (Spearman): 1 or -1 where it alone decides. "
                           "Inputs within three standard errors of nothing are left out."
                         : "Rank correlation (Spearman) and Sobol indices: the share of the variance that an input "
                           "explains by itself, and with all it does together with others."});
    const std::size_t figures = simulated_.figures.size();
    std::vector<std::vector<double>> correlations(figures);
    std::vector<double> row(samples_.count);
    for (std::size_t i = 0; i < sampler_.inputs().size(); ++i) {
      sampler_.row(i, samples_.first, samples_.count, row.data());
      std::vector<double> kept;
      for (const std::size_t t : kept_) kept.push_back(row[t]);
      const std::vector<double> ranks = ranks_of(kept);
      for (std::size_t f = 0; f < figures; ++f) correlations[f].push_back(correlation(ranks, samples_.values[f]));
    }
    for (std::size_t f = 0; f < figures; ++f) driver_table(f, correlations[f]);
  }

  void driver_table(std::size_t f, const std::vector<double>& correlations) {
    std::vector<std::size_t> order;
    const double noise = 3 / std::sqrt(static_cast<double>(kept_.size()));
    for (std::size_t i = 0; i < correlations.size(); ++i) {
      const bool beyond =
          indices_.empty() ? std::fabs(correlations[i]) > noise : indices_[f][i].total > 3 * indices_[f][i].total_error;
      if (beyond) order.push_back(i);
    }
    const auto weight = [&](std::size_t i) {
      return indices_.empty() ? std::fabs(correlations[i]) : indices_[f][i].total;
    };
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return weight(a) > weight(b); });
    order.resize(std::min(order.size(), drivers_shown));
    Table table{fmt::format("spread_{}", simulated_.figures[f].path.substr(simulated_.figures[f].path.rfind('.') + 1)),
                simulated_.figures[f].title,
                {text_column("input", "Input"), number_column("rank_correlation", "Rank correlation")},
                {}};
    if (!indices_.empty()) {
      for (const auto& [id, title] : {std::pair{"first", "By itself"},
                                      {"first_error", "Standard error"},
                                      {"total", "In all"},
                                      {"total_error", "Standard error"}})
        table.columns.push_back(number_column(id, title));
    }
    for (std::size_t c = 1; c < table.columns.size(); ++c) table.columns[c].places = 3;
    for (const std::size_t i : order) {
      TableRow row{{text_cell(sampler_.inputs()[i].path), number_cell(correlations[i])}, false};
      if (!indices_.empty()) {
        const SobolIndex& index = indices_[f][i];
        for (const double value : {index.first, index.first_error, index.total, index.total_error})
          row.cells.push_back(number_cell(value));
      }
      table.rows.push_back(std::move(row));
    }
    document_.emplace_back(std::move(table));
  }

  const Program& program_;
  const Sources& sources_;
  const Evaluation& evaluation_;
  const Simulated& simulated_;
  const Sampler& sampler_;
  Samples samples_;
  const Indices& indices_;
  std::vector<std::size_t> kept_;
  std::vector<Summary> summaries_;  // by figure
  Document document_;
};

}  // namespace

std::string_view name_of_scheme(Scheme scheme) {
  return scheme == Scheme::sobol ? "Sobol points" : scheme == Scheme::latin ? "Latin hypercube" : "independent draws";
}

std::vector<GraphId> outputs_of(const Evaluation& evaluation, const Simulated& simulated) {
  std::vector<GraphId> outputs;
  for (const Chosen& figure : simulated.figures) outputs.push_back(figure.node);
  // In the order in which they were chosen, which is that of the conditions.
  std::size_t next = 0;
  for (const Check& check : evaluation.lowered.expectations) {
    if (next == simulated.expectations.size() || check.index != simulated.expectations[next]) continue;
    outputs.push_back(check.node);
    ++next;
  }
  return outputs;
}

Document simulation_document(const Program& program, const Sources& sources, const Evaluation& evaluation,
                             const Simulated& simulated, const Sampler& sampler, Samples samples,
                             const Indices& indices) {
  return SimulationView(program, sources, evaluation, simulated, sampler, std::move(samples), indices).run();
}

std::string samples_csv(const Program& program, const Simulated& simulated, const Samples& samples) {
  std::string out = "trial";
  for (const Chosen& figure : simulated.figures) {
    const std::string unit = figure.type.tag == TypeTag::quantity ? shown_as(program, figure.type.id).unit : "";
    out += fmt::format(",{}{}", figure.path, unit.empty() ? "" : fmt::format(" [{}]", unit));
  }
  for (const std::uint32_t index : simulated.expectations) out += fmt::format(",expectation_{}", index + 1);
  out += "\r\n";
  for (std::size_t t = 0; t < samples.count; ++t) {
    out += std::to_string(samples.first + t + 1);
    for (std::size_t v = 0; v < samples.values.size(); ++v) {
      const bool figure = v < simulated.figures.size();
      const bool quantity = figure && simulated.figures[v].type.tag == TypeTag::quantity;
      const double factor = quantity ? shown_as(program, simulated.figures[v].type.id).factor : 1;
      out += ",";
      if (samples.sound[t] != 0) out += json_number(samples.values[v][t] / factor);
    }
    out += "\r\n";
  }
  return out;
}

}  // namespace sprue
