// A ledger by category, by item and by month, as tables and charts.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <map>

#include "runtime/ledger/shown.hpp"
#include "runtime/machine/lowest.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/view/view.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

constexpr std::size_t items_shown = 12;
constexpr std::size_t categories_shown = 8;

class LedgerViews {
 public:
  LedgerViews(const Subject& subject, LedgerId id)
      : subject_(subject),
        program_(subject.program),
        evaluation_(subject.evaluation),
        lowered_(evaluation_.lowered),
        ledger_(program_.ledgers[id]),
        totals_(lowered_.ledgers[id]),
        shown_(shown_as(program_, ledger_.dimension)),
        items_(item_sums(program_, evaluation_, id)) {}

  void run(std::vector<View>& views) {
    const std::string group = name_of(program_, ledger_.name, ledger_.title);
    const std::string introduction =
        doc_comment(program_.trees[ledger_.where.tree], subject_.sources, ledger_.where.node);
    const auto add = [&](std::string_view name, std::vector<Block> blocks) {
      views.push_back(
          {fmt::format("{}.{}", program_.text(ledger_.name), name), group, introduction, std::move(blocks)});
    };
    add("by_category", by_category());
    add("by_item", by_item());
    if (ledger_.dated) {
      add("by_month", by_month());
    } else {
      add("by_item_and_category", by_item_and_category());
    }
  }

 private:
  std::string table_id(std::string_view suffix) const {
    return fmt::format("{}_{}", program_.text(ledger_.name), suffix);
  }
  std::string name() const { return name_of(program_, ledger_.name, ledger_.title); }
  std::string category_name(std::uint32_t c) const {
    return name_of(program_, ledger_.categories[c].name, ledger_.categories[c].title);
  }
  Cell cell(double value, bool incomplete) const { return number_cell(value / shown_.factor, incomplete); }
  Cell total_cell() const { return node_cell(program_, evaluation_, quantity(ledger_.dimension), totals_.total); }
  TableColumn amounts(std::string id, std::string title) const {
    return quantity_column(program_, std::move(id), std::move(title), quantity(ledger_.dimension), true);
  }
  Axis axis() const { return {name(), shown_.unit, shown_.places, false}; }
  std::string value_text(double value) const {
    const std::string number = grouped(decimal(value / shown_.factor, shown_.places));
    return shown_.unit.empty() ? number : number + " " + shown_.unit;
  }

  struct Line {
    std::string name;
    double value = 0;  // sign applied
    bool incomplete = false;
    bool absent = false;
    bool withheld = false;
    std::map<InstanceId, double> items{};  // what each posts to it
  };

  /// Whether what it shows is more than the amount of one item; amounts that cancel hide nothing.
  bool is_shared(const std::map<InstanceId, double>& items) const {
    return std::count_if(items.begin(), items.end(), [&](const auto& item) {
             return !is_shown_as_zero(item.second / shown_.factor, shown_.places);
           }) > 1;
  }
  bool is_shared(const Line& line) const { return is_shared(line.items); }

  static bool is_something(const Sum& sum) { return sum.value != 0 || sum.incomplete; }

  /// Categories that are not nothing. Where prices are withheld, those of a single item stand together, and with the
  /// smallest others, until two items share the sum: the amount of one would be told, by itself or as what is left of
  /// the total. Where there is only one item, nothing is told.
  std::vector<Line> category_lines() const {
    std::vector<Line> lines;
    for (std::uint32_t c = 0; c < ledger_.categories.size(); ++c) {
      const GraphId node = totals_.categories[c];
      Line line{category_name(c), sign_of(ledger_, c) * evaluation_.value(node), evaluation_.incomplete(node),
                evaluation_.absent(node)};
      if (line.value == 0 && !line.incomplete) continue;
      for (const ItemSums& item : items_) {
        if (is_something(item.categories[c])) line.items[item.item] = item.categories[c].value;
      }
      lines.push_back(std::move(line));
    }
    if (!subject_.redacted) return lines;
    const auto shared =
        std::stable_partition(lines.begin(), lines.end(), [&](const Line& line) { return is_shared(line); });
    std::vector<Line> hidden(shared, lines.end());
    lines.erase(shared, lines.end());
    if (hidden.empty()) return lines;
    Line other{"Other categories"};
    const auto add = [&](const Line& line) {
      other.value += line.value;
      other.incomplete = other.incomplete || line.incomplete;
      for (const auto& [item, value] : line.items) other.items[item] += value;
    };
    for (const Line& line : hidden) add(line);
    while (!is_shared(other) && !lines.empty()) {
      const auto least = std::min_element(lines.begin(), lines.end(), [](const Line& a, const Line& b) {
        return std::fabs(a.value) < std::fabs(b.value);
      });
      add(*least);
      lines.erase(least);
    }
    other.withheld = !is_shared(other);
    lines.push_back(std::move(other));
    return lines;
  }

  std::vector<Block> by_category() const {
    const std::vector<Line> lines = category_lines();
    Table table{
        table_id("by_category"), "By category", {text_column("category", "Category"), amounts("amount", "Amount")}, {}};
    const double whole = evaluation_.value(totals_.total);
    double amounts_in_all = 0;
    for (const Line& line : lines) amounts_in_all += std::fabs(line.value);
    const bool shares =
        !ledger_.signed_categories && whole > 0.5 * amounts_in_all;  // of a balance they would mean nothing
    if (shares) {
      TableColumn share = text_column("share", "Share");
      share.unit = "%";
      share.places = 1;
      share.number = share.summed = true;
      table.columns.push_back(std::move(share));
    }
    BarChart chart{table_id("by_category"), fmt::format("{} by category", name()), {}, axis(), {}, {}};
    for (const Line& line : lines) {
      if (line.withheld) return only_withheld(std::move(table), line.name);
      Cell amount = cell(line.value, line.incomplete);
      amount.absent = line.absent;
      table.rows.push_back({{text_cell(line.name), amount}, false});
      if (shares) table.rows.back().cells.push_back(number_cell(100 * line.value / whole));
      chart.bars.push_back({line.name, value_text(line.value), {{0, line.value / shown_.factor, 0}}});
    }
    TableRow total{{text_cell("Total"), total_cell()}, true};
    if (shares) total.cells.push_back(number_cell(100));
    table.rows.push_back(std::move(total));
    chart.description = fmt::format("{} categories, in all {}.", lines.size(), value_text(whole));
    std::stable_sort(chart.bars.begin(), chart.bars.end(), [](const BarChart::Bar& a, const BarChart::Bar& b) {
      return std::fabs(a.stretches[0].to) > std::fabs(b.stretches[0].to);
    });
    if (chart.bars.size() > categories_shown + 1) {
      double rest = 0;
      for (std::size_t i = categories_shown; i < chart.bars.size(); ++i) rest += chart.bars[i].stretches[0].to;
      const std::string label = fmt::format("{} more", chart.bars.size() - categories_shown);
      chart.bars.resize(categories_shown);
      chart.bars.push_back({label, value_text(rest * shown_.factor), {{0, rest, 0}}});
    }
    return with_chart(std::move(chart), std::move(table));
  }

  /// One item makes up the whole: its amount is the total.
  static std::vector<Block> only_withheld(Table table, std::string name) {
    for (const bool total : {false, true}) {
      table.rows.push_back({{text_cell(total ? "Total" : name)}, total});
      while (table.rows.back().cells.size() < table.columns.size()) table.rows.back().cells.push_back(withheld_cell());
    }
    return {std::move(table)};
  }

  /// A chart of bars that would all be shown as zero is none.
  bool says_something(const BarChart& chart) const {
    return std::any_of(chart.bars.begin(), chart.bars.end(),
                       [&](const BarChart::Bar& bar) { return !is_shown_as_zero(bar.stretches[0].to, shown_.places); });
  }
  static bool says_something(const LineChart&) { return true; }

  template <class Chart>
  std::vector<Block> with_chart(Chart chart, Table table) const {
    std::vector<Block> blocks;
    if (says_something(chart)) blocks.emplace_back(std::move(chart));
    blocks.emplace_back(std::move(table));
    return blocks;
  }

  /// Largest amounts first; in path order where they are withheld, for the order would tell.
  std::vector<Block> by_item() const {
    std::vector<const ItemSums*> rows;
    for (const ItemSums& item : items_) {
      if (item.total != 0 || item.incomplete) rows.push_back(&item);
    }
    if (!subject_.redacted) {
      std::stable_sort(rows.begin(), rows.end(),
                       [](const ItemSums* a, const ItemSums* b) { return std::fabs(a->total) > std::fabs(b->total); });
    }
    Table table{table_id("by_item"), "By item", {text_column("item", "Item"), amounts("amount", "Amount")}, {}};
    BarChart chart{table_id("by_item"), fmt::format("{} by item", name()), {}, axis(), {}, {}};
    double rest = 0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const std::string item = name_of_instance(program_, lowered_, rows[i]->item);
      table.rows.push_back(
          {{text_cell(item), subject_.redacted ? withheld_cell() : cell(rows[i]->total, rows[i]->incomplete)}, false});
      if (i < items_shown) {
        chart.bars.push_back({item, value_text(rows[i]->total), {{0, rows[i]->total / shown_.factor, 0}}});
      } else {
        rest += rows[i]->total;
      }
    }
    if (rows.size() > items_shown)
      chart.bars.push_back(
          {fmt::format("{} more", rows.size() - items_shown), value_text(rest), {{0, rest / shown_.factor, 0}}});
    const bool gives_away = subject_.redacted && rows.size() < 2;
    table.rows.push_back({{text_cell("Total"), gives_away ? withheld_cell() : total_cell()}, true});
    if (subject_.redacted) return {std::move(table)};
    chart.description =
        fmt::format("{} items, largest first, in all {}.", rows.size(), value_text(evaluation_.value(totals_.total)));
    return with_chart(std::move(chart), std::move(table));
  }

  /// Who causes what.
  std::vector<Block> by_item_and_category() const {
    std::vector<std::uint32_t> used;
    for (std::uint32_t c = 0; c < ledger_.categories.size(); ++c) {
      if (std::any_of(items_.begin(), items_.end(),
                      [&](const ItemSums& item) { return is_something(item.categories[c]); }))
        used.push_back(c);
    }
    Table table{table_id("by_item_and_category"), "By item and category", {text_column("item", "Item")}, {}};
    TableRow total{{text_cell("Total")}, true};
    for (const std::uint32_t c : used) {
      table.columns.push_back(amounts(std::string(program_.text(ledger_.categories[c].name)), category_name(c)));
      const GraphId node = totals_.categories[c];
      total.cells.push_back(subject_.redacted
                                ? withheld_cell()
                                : cell(sign_of(ledger_, c) * evaluation_.value(node), evaluation_.incomplete(node)));
    }
    for (const ItemSums& item : items_) {
      TableRow row{{text_cell(lowered_.instances.path(program_, item.item))}, false};
      bool any = false;
      for (const std::uint32_t c : used) {
        const Sum& sum = item.categories[c];
        const bool something = is_something(sum);
        any = any || something;
        row.cells.push_back(!subject_.redacted ? cell(sum.value, sum.incomplete)
                            : something        ? withheld_cell()
                                               : text_cell(""));
      }
      if (any) table.rows.push_back(std::move(row));
    }
    table.rows.push_back(std::move(total));
    return {std::move(table)};
  }

  /// What is paid in one month; where prices are withheld, in months that stand together until two items share the sum.
  struct Period {
    std::string first, last;  // months
    double last_day = 0;
    std::vector<Sum> sums;  // by category
    std::map<InstanceId, double> items{};

    void add(const Period& later) {
      last = later.last;
      last_day = later.last_day;
      for (std::size_t c = 0; c < sums.size(); ++c) {
        sums[c].value += later.sums[c].value;
        sums[c].incomplete = sums[c].incomplete || later.sums[c].incomplete;
      }
      for (const auto& [item, value] : later.items) items[item] += value;
    }
  };

  std::vector<Period> periods() const {
    std::map<std::string, Period> months;
    for (std::uint32_t i = 0; i < totals_.posting_count; ++i) {
      const Posting& posting = lowered_.postings[totals_.first_posting + i];
      if (evaluation_.absent(posting.date)) continue;
      const bool absent = evaluation_.absent(posting.amount);
      const bool incomplete = absent || evaluation_.incomplete(posting.amount);
      const double amount = absent ? 0 : sign_of(ledger_, posting.category) * evaluation_.value(posting.amount);
      if (amount == 0 && !incomplete) continue;
      const std::string month = iso_date(evaluation_.value(posting.date)).substr(0, 7);
      Period& period = months[month];
      period.first = period.last = month;
      period.last_day = std::max(period.last_day, evaluation_.value(posting.date));
      period.sums.resize(ledger_.categories.size());
      Sum& sum = period.sums[posting.category];
      sum.value += amount;
      sum.incomplete = sum.incomplete || incomplete || evaluation_.incomplete(posting.date);
      period.items[lowered_.instances.root(posting.instance)] += amount;
    }
    std::vector<Period> out;
    const std::vector<bool> undated = this->undated();
    for (auto& [month, period] : months) {
      for (std::size_t c = 0; c < undated.size(); ++c) {
        period.sums[c].incomplete = period.sums[c].incomplete || undated[c];
      }
      if (subject_.redacted && !out.empty() && !is_shared(out.back().items)) {
        out.back().add(period);
      } else {
        out.push_back(period);
      }
    }
    if (subject_.redacted && out.size() > 1 && !is_shared(out.back().items)) {
      const Period last = out.back();
      out.pop_back();
      out.back().add(last);
    }
    return out;
  }

  std::vector<Block> by_month() const {
    const std::vector<Period> periods = this->periods();
    std::vector<bool> used = undated();
    for (const Period& period : periods) {
      for (std::uint32_t c = 0; c < used.size(); ++c) used[c] = used[c] || is_something(period.sums[c]);
    }
    if (subject_.redacted) used.assign(used.size(), false);
    Table table{table_id("by_month"), "By month", {text_column("month", "Month")}, {}};
    for (std::uint32_t c = 0; c < ledger_.categories.size(); ++c) {
      if (used[c])
        table.columns.push_back(amounts(std::string(program_.text(ledger_.categories[c].name)), category_name(c)));
    }
    table.columns.push_back(amounts("net", "Net"));
    table.columns.push_back(amounts("balance", "Balance"));
    table.columns.back().summed = false;
    if (subject_.redacted && periods.size() == 1 && !is_shared(periods[0].items))
      return only_withheld(std::move(table), months_of(periods[0]));
    Sum balance;
    const auto add = [](Sum& to, const Sum& sum) {
      to.value += sum.value;
      to.incomplete = to.incomplete || sum.incomplete;
    };
    for (const Period& period : periods) {
      TableRow row{{text_cell(months_of(period))}, false};
      Sum net;
      for (std::uint32_t c = 0; c < period.sums.size(); ++c) {
        add(net, period.sums[c]);
        if (used[c]) row.cells.push_back(cell(period.sums[c].value, period.sums[c].incomplete));
      }
      add(balance, net);
      row.cells.push_back(cell(net.value, net.incomplete));
      row.cells.push_back(cell(balance.value, balance.incomplete));
      table.rows.push_back(std::move(row));
    }
    TableRow total{{text_cell("Total")}, true};
    for (std::uint32_t c = 0; c < used.size(); ++c) {
      const GraphId node = totals_.categories[c];
      if (used[c])
        total.cells.push_back(cell(sign_of(ledger_, c) * evaluation_.value(node), evaluation_.incomplete(node)));
    }
    total.cells.insert(total.cells.end(), {total_cell(), total_cell()});
    table.rows.push_back(std::move(total));
    const std::map<double, double> days = steps(periods);
    if (days.size() < 3) return {std::move(table)};  // no course of time to draw
    return with_chart(balance_chart(days), std::move(table));
  }

  /// By category, whether something is posted on a day that nobody knows: it may belong to any month.
  std::vector<bool> undated() const {
    std::vector<bool> found(ledger_.categories.size(), false);
    for (std::uint32_t i = 0; i < totals_.posting_count; ++i) {
      const Posting& posting = lowered_.postings[totals_.first_posting + i];
      if (evaluation_.absent(posting.date)) found[posting.category] = true;
    }
    return found;
  }

  static std::string months_of(const Period& period) {
    return period.first == period.last ? period.first : fmt::format("{} to {}", period.first, period.last);
  }

  /// What is paid on each day; where prices are withheld, in each period on its last.
  std::map<double, double> steps(const std::vector<Period>& periods) const {
    std::map<double, double> days;
    for (const Period& period : periods) {
      if (!subject_.redacted) break;
      for (const Sum& sum : period.sums) days[period.last_day] += sum.value;
    }
    for (std::uint32_t i = 0; i < totals_.posting_count && !subject_.redacted; ++i) {
      const Posting& posting = lowered_.postings[totals_.first_posting + i];
      if (evaluation_.absent(posting.amount) || evaluation_.absent(posting.date)) continue;
      const double amount = sign_of(ledger_, posting.category) * evaluation_.value(posting.amount);
      if (amount != 0) days[evaluation_.value(posting.date)] += amount;
    }
    return days;
  }

  /// The running balance day by day, its lowest point, and every headline that is a date.
  LineChart balance_chart(const std::map<double, double>& days) const {
    LineChart chart{table_id("balance"),
                    fmt::format("{}: running balance", name()),
                    {},
                    {"", "", 0, true},
                    axis(),
                    {{name(), {}, true}},
                    {}};
    auto& points = chart.lines[0].points;
    double balance = 0;
    std::vector<DatedAmount> dated;
    points.push_back({days.begin()->first, 0});
    for (const auto& [day, amount] : days) {
      balance += amount / shown_.factor;
      points.push_back({day, balance});
      dated.push_back({day, amount / shown_.factor, 0});
    }
    const Lowest found = sprue::lowest(dated);
    const LineChart::Point lowest{found.date, found.sum};
    if (lowest.y < 0)
      chart.marks.push_back(
          {lowest, fmt::format("Lowest: {} on {}", value_text(lowest.y * shown_.factor), iso_date(lowest.x))});
    for (const Headline& headline : lowered_.headlines) {
      const Field& field = program_.kinds[lowered_.instances.all[headline.instance].kind].fields[headline.slot];
      if (field.type.tag != TypeTag::point || evaluation_.absent(headline.node)) continue;
      const double day = evaluation_.value(headline.node);
      if (day == lowest.x || day < points.front().x || day > points.back().x) continue;
      const auto after = std::upper_bound(points.begin(), points.end(), day,
                                          [](double d, const LineChart::Point& point) { return d < point.x; });
      chart.marks.push_back({{day, std::prev(after)->y},
                             fmt::format("{}: {}", name_of(program_, field.name, field.title), iso_date(day))});
    }
    chart.description = fmt::format("From {} to {}; it ends at {}.", iso_date(points.front().x),
                                    iso_date(points.back().x), value_text(balance * shown_.factor));
    for (const LineChart::Mark& mark : chart.marks) chart.description += fmt::format(" {}.", mark.text);
    return chart;
  }

  const Subject& subject_;
  const Program& program_;
  const Evaluation& evaluation_;
  const Lowered& lowered_;
  const Ledger& ledger_;
  const LedgerTotals& totals_;
  Shown shown_;
  std::vector<ItemSums> items_;
};

}  // namespace

void add_ledger_views(const Subject& subject, LedgerId ledger, std::vector<View>& views) {
  LedgerViews(subject, ledger).run(views);
}

}  // namespace sprue
