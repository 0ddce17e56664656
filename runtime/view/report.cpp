// Putting views together.
#include "runtime/view/report.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cctype>
#include <set>

#include "runtime/ledger/shown.hpp"
#include "runtime/view/drivers.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/view/redaction.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

class Reporter {
 public:
  Reporter(const Subject& subject, const ReportRequest& request)
      : subject_(subject),
        request_(request),
        program_(subject.program),
        evaluation_(subject.evaluation),
        lowered_(evaluation_.lowered),
        withheld_(subject) {}

  Document run() {
    title();
    if (subject_.redacted) document_.emplace_back(Paragraph{"Amounts of single items are withheld."});
    const std::vector<View> views = all_views();
    if (request_.views.empty()) {
      headlines({});
      for (const View& view : views) show(view, none);
    }
    if (request_.brief) stands_on();
    for (const AudienceView& wanted : request_.views) {
      headlines(wanted.path);
      for (const View& view : views) {
        if (view.id != wanted.path && !view.id.starts_with(wanted.path + ".")) continue;
        if (request_.brief) {
          show_briefly(view, wanted.rows);
        } else {
          show(view, wanted.rows);
        }
      }
    }
    if (request_.brief)
      document_.emplace_back(Paragraph{"Every table: --all. Where a figure comes from: sprue explain FILE PATH."});
    return std::move(document_);
  }

 private:
  bool wanted_all() const { return request_.views.empty(); }
  /// Views that take work are made only where they are asked for.
  bool wants(std::string_view id) const {
    return wanted_all() || std::any_of(request_.views.begin(), request_.views.end(),
                                       [&](const AudienceView& view) { return view.path == id; });
  }

  void title() {
    std::string name = "Report";
    if (!lowered_.headlines.empty()) name = name_of_instance(program_, lowered_, lowered_.headlines.front().instance);
    document_.emplace_back(Heading{name, 1});
    if (!request_.audience.empty()) document_.emplace_back(Paragraph{request_.audience});
    if (request_.scenario == none) return;
    const Scenario& s = program_.scenarios[request_.scenario];
    document_.emplace_back(Paragraph{
        fmt::format("Scenario {}{}{}", program_.text(s.name), s.title != 0 ? ": " : "", program_.text(s.title))});
  }

  /// Fields that versions must share to be compared, and rates of exchange: what the figures are of.
  void stands_on() {
    std::vector<std::string> parts;
    for (InstanceId id = 0; id < lowered_.instances.size(); ++id) {
      const Kind& kind = program_.kinds[lowered_.instances.all[id].kind];
      for (Slot slot = 0; slot < kind.fields.size(); ++slot) {
        const Field& field = kind.fields[slot];
        const GraphId node = lowered_.node_of(id, slot);
        if (!field.basis || node == no_node || evaluation_.absent(node)) continue;
        parts.push_back(fmt::format("{} {}", name_of(program_, field.name, field.title),
                                    grouped(text_of(program_, shown_type(field), evaluation_.value(node)))));
      }
    }
    for (std::size_t i = 0; i < program_.exchanges.size(); ++i) {
      const Exchange& exchange = program_.exchanges[i];
      const auto name = [&](std::uint32_t currency) {
        return program_.text(program_.units->currencies()[currency].name);
      };
      parts.push_back(fmt::format("1 {} = {} {}", name(exchange.currency), lowered_.instances.exchange_rates[i],
                                  name(exchange.in)));
    }
    if (!parts.empty()) document_.emplace_back(Paragraph{fmt::format("{}.", fmt::join(parts, ", "))});
  }

  /// Tables alone, each under its group's name.
  void show_briefly(const View& view, std::uint32_t rows) {
    if (view.id == "expectations") {
      Table table = brief_expectations(subject_);
      table.columns[0].title = std::move(table.title);
      table.title.clear();
      document_.emplace_back(std::move(table));
      return;
    }
    for (const Block& block : view.blocks) {
      const auto* const table = std::get_if<Table>(&block);
      if (table == nullptr || rows == 0) continue;
      Table some = *table;
      if (rows != none) keep_rows(some, rows);
      std::string title = some.title.empty() ? view.group : some.title;
      if (!some.title.empty() && !view.group.empty()) {
        title[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(title[0])));
        title = fmt::format("{}, {}", view.group, title);
      }
      // What the table is of stands over its first column.
      some.columns[0].title = std::move(title);
      some.title.clear();
      some.brief = !view.id.starts_with("scenarios.");
      document_.emplace_back(std::move(some));
    }
  }

  /// All of them where nothing or `headlines` is wanted, else the one wanted as KIND.FIELD.
  void headlines(std::string_view wanted) {
    KeyFigures block;
    for (const Headline& headline : lowered_.headlines) {
      const Kind& kind = program_.kinds[lowered_.instances.all[headline.instance].kind];
      const Field& field = kind.fields[headline.slot];
      if (!wanted.empty() && wanted != "headlines" && !names_field(wanted, headline)) continue;
      KeyFigure figure;
      figure.path =
          fmt::format("{}.{}", lowered_.instances.path(program_, headline.instance), program_.text(field.name));
      figure.title = title_of_headline(program_, lowered_, headline);
      figure.value = evaluation_.absent(headline.node)
                         ? "unknown"
                         : grouped(text_of(program_, shown_type(field), evaluation_.value(headline.node)));
      figure.number = figure.value;
      if (field.type.tag == TypeTag::quantity && !evaluation_.absent(headline.node)) {
        const Shown shown = shown_as(program_, field.type.id);
        figure.number = decimal(evaluation_.value(headline.node) / shown.factor, shown.places);
        figure.unit = shown.unit;
      }
      if (field.type.tag == TypeTag::quantity && withheld_.tells(field.type.id, evaluation_.value(headline.node))) {
        figure.value = figure.number = "withheld";
        figure.unit.clear();
      } else if (evaluation_.incomplete(headline.node) && !evaluation_.absent(headline.node)) {
        figure.value += " (incomplete)";
      }
      if (!request_.brief)
        figure.definition = doc_comment(program_.trees[field.where.tree], subject_.sources, field.where.node);
      block.figures.push_back(std::move(figure));
    }
    if (block.figures.empty()) return;
    if (auto* const before = std::get_if<KeyFigures>(&document_.back())) {
      before->figures.insert(before->figures.end(), block.figures.begin(), block.figures.end());
    } else {
      document_.emplace_back(std::move(block));
    }
  }

  /// A headline of a kind is one of the kinds derived from it, too.
  bool names_field(std::string_view wanted, const Headline& headline) const {
    const std::size_t dot = wanted.find('.');
    const KindId kind = lowered_.instances.all[headline.instance].kind;
    if (dot == std::string_view::npos ||
        program_.text(program_.kinds[kind].fields[headline.slot].name) != wanted.substr(dot + 1))
      return false;
    for (KindId at = kind; at != none; at = program_.kinds[at].base) {
      if (program_.text(program_.kinds[at].name) == wanted.substr(0, dot)) return true;
    }
    return false;
  }

  std::vector<View> all_views() const {
    std::vector<View> views;
    if (request_.versions.size() > 1) add_scenarios(views);
    for (LedgerId id = 0; id < lowered_.ledgers.size(); ++id) {
      if (lowered_.ledgers[id].posting_count != 0) add_ledger_views(subject_, id, views);
    }
    add_listing_views(subject_, views);
    if (wants("drivers")) add_driver_view(subject_, views);
    add_evidence_views(subject_, views);
    add_judgment_views(subject_, views);
    return views;
  }

  void add_scenarios(std::vector<View>& views) const {
    const std::string group = "Scenarios";
    View columns{"scenarios.headlines", group, {}, {}};
    std::string titles;
    for (const Scenario& scenario : program_.scenarios) {
      const std::string_view name = program_.text(scenario.name);
      const bool shown = std::any_of(request_.versions.begin(), request_.versions.end(),
                                     [&](const Version& version) { return version.title == name; });
      if (shown && scenario.title != 0)
        titles += fmt::format("{}{}: {}", titles.empty() ? "" : "; ", name, program_.text(scenario.title));
    }
    if (!titles.empty()) columns.blocks.emplace_back(Paragraph{titles + "."});
    for (std::string& sentence : unlike(request_.versions)) columns.blocks.emplace_back(Paragraph{std::move(sentence)});
    const std::vector<HeadlineRow> rows = headline_rows(request_.versions);
    Table headlines = headlines_side_by_side(request_.versions);
    std::vector<Withheld> withheld;
    for (const Version& version : request_.versions)
      withheld.emplace_back(Subject{*version.program, *version.sources, *version.evaluation, subject_.redacted});
    for (std::size_t r = 0; r < rows.size(); ++r) {
      if (!tells(withheld, rows[r])) continue;
      for (std::size_t c = 1; c < headlines.columns.size(); ++c) headlines.rows[r].cells[c] = withheld_cell();
    }
    columns.blocks.emplace_back(selected_headlines(std::move(headlines)));
    views.push_back(std::move(columns));
    View chart{"scenarios.chart", group, {}, {}};
    if (!rows.empty() && !tells(withheld, rows.front())) add_scenario_chart(chart, rows);
    views.push_back(std::move(chart));
    View ledgers{"scenarios.ledgers", group, {}, {}};
    if (!subject_.redacted) {
      for (Table& table : ledgers_side_by_side(request_.versions)) ledgers.blocks.emplace_back(std::move(table));
    }
    views.push_back(std::move(ledgers));
    Table expectations = expectations_side_by_side(request_.versions, true);
    if (expectations.rows.empty()) return;
    expectations.title = "Expectations that do not hold alike";
    views.push_back({"scenarios.expectations", group, {}, {std::move(expectations)}});
  }

  /// Whether a version of it is the same as an amount that is withheld there.
  bool tells(const std::vector<Withheld>& withheld, const HeadlineRow& row) const {
    for (std::size_t v = 0; v < request_.versions.size(); ++v) {
      if (row.type.tag != TypeTag::quantity || row.nodes[v] == no_node) continue;
      if (withheld[v].tells(row.type.id, request_.versions[v].evaluation->value(row.nodes[v]))) return true;
    }
    return false;
  }

  /// Where single headlines are asked for, those.
  Table selected_headlines(Table table) const {
    std::set<std::string> paths;
    const std::vector<HeadlineKey> keys = headline_keys(program_, lowered_);
    for (std::size_t h = 0; h < keys.size(); ++h) {
      const bool named = std::any_of(request_.views.begin(), request_.views.end(), [&](const AudienceView& view) {
        return names_field(view.path, lowered_.headlines[h]);
      });
      if (named) paths.insert(keys[h].path);
    }
    if (paths.empty()) return table;
    const std::vector<HeadlineRow> headlines = headline_rows(request_.versions);
    std::vector<TableRow> rows;
    for (std::size_t i = 0; i < headlines.size(); ++i) {
      if (paths.count(headlines[i].key.path) != 0) rows.push_back(std::move(table.rows[i]));
    }
    table.rows = std::move(rows);
    return table;
  }

  /// The first headline in each version.
  void add_scenario_chart(View& view, const std::vector<HeadlineRow>& rows) const {
    if (!rows.front().comparable || rows.front().type.tag != TypeTag::quantity) return;
    const HeadlineRow& row = rows.front();
    const Shown shown = shown_as(program_, row.type);
    BarChart chart{"scenarios", fmt::format("{} by scenario", row.title),
                   {},          {row.title, shown.unit, shown.places, false},
                   {},          {}};
    for (std::size_t v = 0; v < request_.versions.size(); ++v) {
      const double value = request_.versions[v].evaluation->value(row.nodes[v]);
      chart.bars.push_back(
          {request_.versions[v].title, grouped(text_of(program_, row.type, value)), {{0, value / shown.factor, 0}}});
      chart.description +=
          fmt::format("{}{}: {}", v == 0 ? "" : "; ", request_.versions[v].title, chart.bars.back().note);
    }
    chart.description += ".";
    view.blocks.emplace_back(std::move(chart));
  }

  void show(const View& view, std::uint32_t rows) {
    if (view.blocks.empty()) return;
    // A chart alone has a title of its own.
    if (view.group != group_ && rows != 0) {
      document_.emplace_back(Heading{view.group, 2});
      if (!view.introduction.empty() && rows == none) document_.emplace_back(Paragraph{view.introduction});
      group_ = view.group;
    }
    const bool has_table = std::any_of(view.blocks.begin(), view.blocks.end(),
                                       [](const Block& block) { return std::holds_alternative<Table>(block); });
    for (const Block& block : view.blocks) {
      const auto* const table = std::get_if<Table>(&block);
      // With a number of rows the table stands for its chart; with none the chart for its table.
      if (rows != none && rows > 0 && has_table && is_chart(block)) continue;
      if (table != nullptr && rows != none) {
        if (rows == 0) continue;
        Table some = *table;
        keep_rows(some, rows);
        document_.emplace_back(std::move(some));
      } else {
        document_.push_back(block);
      }
    }
  }

  const Subject& subject_;
  const ReportRequest& request_;
  const Program& program_;
  const Evaluation& evaluation_;
  const Lowered& lowered_;
  Withheld withheld_;
  std::string group_;
  Document document_;
};

}  // namespace

Document report_document(const Subject& subject, const ReportRequest& request) {
  return Reporter(subject, request).run();
}

}  // namespace sprue
