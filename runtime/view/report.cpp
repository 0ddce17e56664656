// Views on ledgers and listings.
#include "runtime/view/report.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <map>

#include "runtime/ledger/shown.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

class Reporter {
 public:
  Reporter(const Program& program, const Sources& sources, const Evaluation& evaluation)
      : program_(program), sources_(sources), evaluation_(evaluation), lowered_(evaluation.lowered) {}

  Document run(std::uint32_t scenario) {
    title(scenario);
    headlines();
    for (LedgerId id = 0; id < lowered_.ledgers.size(); ++id) {
      if (lowered_.ledgers[id].posting_count == 0) continue;
      document_.push_back(Heading{name_of(program_.ledgers[id].name, program_.ledgers[id].title), 2});
      if (const std::string doc = doc_of(program_.ledgers[id].where); !doc.empty()) document_.push_back(Paragraph{doc});
      by_category(id);
      by_item(id);
      if (program_.ledgers[id].dated) {
        by_month(id);
      } else {
        pivot(id);
      }
    }
    for (const ListingTable& table : lowered_.listings) listing(table);
    given_and_modelled();
    sources_of_facts();
    open_questions();
    cautions();
    expectations();
    return std::move(document_);
  }

 private:
  std::string name_of(Symbol name, Symbol title) const { return std::string(program_.text(title != 0 ? title : name)); }
  std::string doc_of(TreeRef ref) const { return doc_comment(program_.trees[ref.tree], sources_, ref.node); }
  std::string name_of_instance(InstanceId id) const {
    const Draft& draft = program_.drafts[lowered_.instances.all[id].draft];
    const std::string path = lowered_.instances.path(program_, id);
    return draft.title != 0 ? fmt::format("{} ({})", program_.text(draft.title), path) : path;
  }

  static Cell text(std::string text) { return {std::move(text), 0, false, false, false}; }
  Cell number(double value, bool incomplete, bool absent) const { return {{}, value, true, incomplete, absent}; }

  TableColumn quantity_column(std::string id, std::string title, DimensionId dimension, bool foots) const {
    const Shown shown = shown_as(program_, dimension);
    return {std::move(id), std::move(title), shown.unit, shown.places, true, foots};
  }

  void title(std::uint32_t scenario) {
    std::string name = "Report";
    if (!lowered_.headlines.empty()) name = name_of_instance(lowered_.headlines.front().instance);
    document_.push_back(Heading{name, 1});
    if (scenario == none) return;
    const Scenario& s = program_.scenarios[scenario];
    document_.push_back(Paragraph{
        fmt::format("Scenario {}{}{}", program_.text(s.name), s.title != 0 ? ": " : "", program_.text(s.title))});
  }

  void headlines() {
    if (lowered_.headlines.empty()) return;
    KeyFigures block;
    for (const Headline& headline : lowered_.headlines) {
      const Field& field = program_.kinds[lowered_.instances.all[headline.instance].kind].fields[headline.slot];
      KeyFigure figure;
      figure.path =
          fmt::format("{}.{}", lowered_.instances.path(program_, headline.instance), program_.text(field.name));
      figure.title = name_of(field.name, field.title);
      figure.value = evaluation_.absent(headline.node)
                         ? "unknown"
                         : grouped(text_of(program_, field.type, evaluation_.value(headline.node)));
      if (evaluation_.incomplete(headline.node) && !evaluation_.absent(headline.node)) figure.value += " (incomplete)";
      figure.definition = doc_of(field.where);
      block.figures.push_back(std::move(figure));
    }
    document_.push_back(std::move(block));
  }

  struct Sum {
    double value = 0;
    bool incomplete = false;
  };

  double signed_amount(LedgerId ledger, const Posting& posting) const {
    const double amount = evaluation_.value(posting.amount);
    return program_.ledgers[ledger].categories[posting.category].direction == Direction::out ? -amount : amount;
  }
  bool left_out(const Posting& posting) const {
    return evaluation_.absent(posting.amount) || (posting.date != no_node && evaluation_.absent(posting.date));
  }
  template <class Visit>
  void each_posting(LedgerId ledger, Visit&& visit) const {
    const LedgerTotals& totals = lowered_.ledgers[ledger];
    for (std::uint32_t i = 0; i < totals.posting_count; ++i) visit(lowered_.postings[totals.first_posting + i]);
  }
  TableRow total_row(LedgerId ledger, std::size_t columns, double factor) const {
    const GraphId node = lowered_.ledgers[ledger].total;
    TableRow row{{text("Total")}, true};
    row.cells.push_back(
        number(evaluation_.value(node) / factor, evaluation_.incomplete(node), evaluation_.absent(node)));
    while (row.cells.size() < columns) row.cells.push_back(number(1, false, false));
    return row;
  }

  void by_category(LedgerId id) {
    const Ledger& ledger = program_.ledgers[id];
    const LedgerTotals& totals = lowered_.ledgers[id];
    Table table{
        fmt::format("{}_by_category", program_.text(ledger.name)),
        "By category",
        {{"category", "Category", {}, 0, false, false}, quantity_column("amount", "Amount", ledger.dimension, true)},
        {}};
    const double factor = shown_as(program_, ledger.dimension).factor;
    const double whole = evaluation_.value(totals.total);
    double amounts = 0;
    for (const GraphId node : totals.categories) amounts += std::fabs(evaluation_.value(node));
    const bool shares = !ledger.signed_categories && whole > 0.5 * amounts;  // of a balance they would mean nothing
    if (shares) table.columns.push_back({"share", "Share", "%", 1, true, true});
    for (std::uint32_t c = 0; c < ledger.categories.size(); ++c) {
      const Category& category = ledger.categories[c];
      const GraphId node = totals.categories[c];
      const double value = (category.direction == Direction::out ? -1 : 1) * evaluation_.value(node);
      if (value == 0 && !evaluation_.incomplete(node)) continue;
      TableRow row{{text(name_of(category.name, category.title)),
                    number(value / factor, evaluation_.incomplete(node), evaluation_.absent(node))},
                   false};
      if (shares) row.cells.push_back(number(100 * value / whole, false, false));
      table.rows.push_back(std::move(row));
    }
    TableRow total = total_row(id, 2, factor);
    if (shares) total.cells.push_back(number(100, false, false));
    table.rows.push_back(std::move(total));
    document_.push_back(std::move(table));
  }

  /// The outermost owner of what posts, largest amounts first.
  void by_item(LedgerId id) {
    const Ledger& ledger = program_.ledgers[id];
    std::map<InstanceId, Sum> sums;
    each_posting(id, [&](const Posting& posting) {
      Sum& sum = sums[lowered_.instances.root(posting.instance)];
      sum.incomplete = sum.incomplete || left_out(posting) || evaluation_.incomplete(posting.amount);
      if (!left_out(posting)) sum.value += signed_amount(id, posting);
    });
    std::vector<std::pair<InstanceId, Sum>> rows(sums.begin(), sums.end());
    std::stable_sort(rows.begin(), rows.end(), [](const auto& a, const auto& b) {
      return std::fabs(a.second.value) > std::fabs(b.second.value);
    });
    const double factor = shown_as(program_, ledger.dimension).factor;
    Table table{fmt::format("{}_by_item", program_.text(ledger.name)),
                "By item",
                {{"item", "Item", {}, 0, false, false}, quantity_column("amount", "Amount", ledger.dimension, true)},
                {}};
    for (const auto& [item, sum] : rows) {
      if (sum.value == 0 && !sum.incomplete) continue;
      table.rows.push_back({{text(name_of_instance(item)), number(sum.value / factor, sum.incomplete, false)}, false});
    }
    table.rows.push_back(total_row(id, 2, factor));
    document_.push_back(std::move(table));
  }

  /// Items against categories: who causes what.
  void pivot(LedgerId id) {
    const Ledger& ledger = program_.ledgers[id];
    std::map<InstanceId, std::vector<Sum>> items;
    std::vector<bool> used(ledger.categories.size(), false);
    each_posting(id, [&](const Posting& posting) {
      auto& row = items[lowered_.instances.root(posting.instance)];
      row.resize(ledger.categories.size());
      Sum& sum = row[posting.category];
      sum.incomplete = sum.incomplete || left_out(posting) || evaluation_.incomplete(posting.amount);
      if (!left_out(posting)) sum.value += signed_amount(id, posting);
      used[posting.category] = used[posting.category] || sum.value != 0 || sum.incomplete;
    });
    const double factor = shown_as(program_, ledger.dimension).factor;
    Table table{fmt::format("{}_by_item_and_category", program_.text(ledger.name)),
                "By item and category",
                {{"item", "Item", {}, 0, false, false}},
                {}};
    TableRow total{{text("Total")}, true};
    for (std::uint32_t c = 0; c < ledger.categories.size(); ++c) {
      if (!used[c]) continue;
      const Category& category = ledger.categories[c];
      table.columns.push_back(quantity_column(std::string(program_.text(category.name)),
                                              name_of(category.name, category.title), ledger.dimension, true));
      const GraphId node = lowered_.ledgers[id].categories[c];
      total.cells.push_back(number((category.direction == Direction::out ? -1 : 1) * evaluation_.value(node) / factor,
                                   evaluation_.incomplete(node), false));
    }
    for (const auto& [item, sums] : items) {
      TableRow row{{text(lowered_.instances.path(program_, item))}, false};
      bool any = false;
      for (std::uint32_t c = 0; c < sums.size(); ++c) {
        if (!used[c]) continue;
        any = any || sums[c].value != 0 || sums[c].incomplete;
        row.cells.push_back(number(sums[c].value / factor, sums[c].incomplete, false));
      }
      if (any) table.rows.push_back(std::move(row));
    }
    table.rows.push_back(std::move(total));
    document_.push_back(std::move(table));
  }

  void by_month(LedgerId id) {
    const Ledger& ledger = program_.ledgers[id];
    std::map<std::string, std::vector<Sum>> months;
    std::vector<bool> used(ledger.categories.size(), false);
    each_posting(id, [&](const Posting& posting) {
      if (left_out(posting) || (evaluation_.value(posting.amount) == 0 && !evaluation_.incomplete(posting.amount)))
        return;
      auto& row = months[iso_date(evaluation_.value(posting.date)).substr(0, 7)];
      row.resize(ledger.categories.size());
      row[posting.category].value += signed_amount(id, posting);
      row[posting.category].incomplete = row[posting.category].incomplete || evaluation_.incomplete(posting.amount);
      used[posting.category] = true;
    });
    const double factor = shown_as(program_, ledger.dimension).factor;
    Table table{fmt::format("{}_by_month", program_.text(ledger.name)),
                "By month",
                {{"month", "Month", {}, 0, false, false}},
                {}};
    for (std::uint32_t c = 0; c < ledger.categories.size(); ++c) {
      if (used[c])
        table.columns.push_back(quantity_column(std::string(program_.text(ledger.categories[c].name)),
                                                name_of(ledger.categories[c].name, ledger.categories[c].title),
                                                ledger.dimension, true));
    }
    table.columns.push_back(quantity_column("net", "Net", ledger.dimension, true));
    table.columns.push_back(quantity_column("balance", "Balance", ledger.dimension, false));
    double balance = 0;
    std::vector<double> totals(table.columns.size(), 0);
    for (const auto& [month, sums] : months) {
      TableRow row{{text(month)}, false};
      double net = 0;
      for (std::uint32_t c = 0; c < sums.size(); ++c) {
        if (!used[c]) continue;
        totals[row.cells.size()] += sums[c].value;
        row.cells.push_back(number(sums[c].value / factor, sums[c].incomplete, false));
        net += sums[c].value;
      }
      balance += net;
      totals[row.cells.size()] += net;
      row.cells.push_back(number(net / factor, false, false));
      row.cells.push_back(number(balance / factor, false, false));
      table.rows.push_back(std::move(row));
    }
    TableRow total{{text("Total")}, true};
    for (std::size_t c = 1; c + 1 < table.columns.size(); ++c)
      total.cells.push_back(number(totals[c] / factor, false, false));
    total.cells.push_back(number(balance / factor, false, false));
    table.rows.push_back(std::move(total));
    document_.push_back(std::move(table));
  }

  void listing(const ListingTable& from) {
    if (from.rows.empty()) return;
    const Listing& listing = program_.listings[from.listing];
    Table table{std::string(program_.text(listing.name)), {}, {{"item", "Item", {}, 0, false, false}}, {}};
    for (const Column& column : listing.columns) {
      const Type& type = program_.formulas[column.formula].type;
      const std::string id{program_.text(column.name)};
      if (type.tag == TypeTag::quantity || type.tag == TypeTag::whole) {
        table.columns.push_back(quantity_column(id, name_of(column.name, column.title),
                                                type.tag == TypeTag::whole ? ratio : type.id, false));
        if (type.tag == TypeTag::whole) table.columns.back().places = 0;
      } else {
        table.columns.push_back({id, name_of(column.name, column.title), {}, 0, false, false});
      }
    }
    const std::size_t width = listing.columns.size();
    for (std::size_t r = 0; r < from.rows.size(); ++r) {
      TableRow row{{text(name_of_instance(from.rows[r]))}, false};
      for (std::size_t c = 0; c < width; ++c) row.cells.push_back(listing_cell(from.cells[r * width + c]));
      table.rows.push_back(std::move(row));
    }
    document_.push_back(Heading{name_of(listing.name, listing.title), 2});
    document_.push_back(std::move(table));
  }

  Cell listing_cell(const ListingCell& cell) const {
    if (cell.value == no_node) return text("");
    if (cell.type.tag == TypeTag::reference || cell.type.tag == TypeTag::optional)
      return text(lowered_.instances.path(program_, cell.value));
    if (!is_number(cell.type)) return text(std::string(program_.text(cell.value)));
    const bool absent = evaluation_.absent(cell.value);
    if (cell.type.tag == TypeTag::quantity || cell.type.tag == TypeTag::whole) {
      const double factor = cell.type.tag == TypeTag::whole ? 1 : shown_as(program_, cell.type.id).factor;
      return number(evaluation_.value(cell.value) / factor, evaluation_.incomplete(cell.value), absent);
    }
    return text(absent ? "unknown" : text_of(program_, cell.type, evaluation_.value(cell.value)));
  }

  /// Where a value was given instead of a formula: both, and the gap.
  void given_and_modelled() {
    Table table{"given_and_modelled",
                {},
                {{"field", "Field", {}, 0, false, false},
                 {"given", "Given", {}, 0, false, false},
                 {"model", "The model says", {}, 0, false, false},
                 {"gap", "Given against model", "%", 1, true, false}},
                {}};
    for (const Headline& modelled : lowered_.modelled) {
      const Field& field = program_.kinds[lowered_.instances.all[modelled.instance].kind].fields[modelled.slot];
      const GraphId node = lowered_.node_of(modelled.instance, modelled.slot);
      if (node == no_node || evaluation_.absent(node) || evaluation_.absent(modelled.node)) continue;
      const double given = evaluation_.value(node);
      const double model = evaluation_.value(modelled.node);
      if (!std::isfinite(model)) continue;
      const bool comparable = model != 0 && std::isfinite(given / model);
      table.rows.push_back(
          {{text(fmt::format("{}.{}", lowered_.instances.path(program_, modelled.instance), program_.text(field.name))),
            text(text_of(program_, field.type, given)), text(text_of(program_, field.type, model)),
            comparable ? number(100 * (given / model - 1), false, false) : text("")},
           false});
    }
    if (table.rows.empty()) return;
    document_.push_back(Heading{"Given against modelled", 2});
    document_.push_back(std::move(table));
  }

  /// A default of nothing (0, or a whole share) changes nothing until somebody states it; any other is an assumption.
  std::string unsourced_default(GraphId node) const {
    const double value = node == no_node ? 0 : evaluation_.value(node);
    return value == 0 || value == 1 ? "left at 0 or 1" : "assumed";
  }

  /// How many of the facts behind the figures come from where.
  void sources_of_facts() {
    std::map<std::string, std::size_t> counts;
    for (const InputOrigin& origin : lowered_.inputs) {
      std::uint32_t facts = none;
      bool by_default = false;
      if (origin.exchange != none) {
        facts = program_.exchanges[origin.exchange].facts;
      } else if (const Given* given = lowered_.instances.given(origin.instance, origin.slot); given != nullptr) {
        facts = given->facts;
      } else {
        facts = program_.kinds[lowered_.instances.all[origin.instance].kind].fields[origin.slot].facts;
        by_default = true;
      }
      const Symbol source = facts == none ? 0 : program_.facts[facts].source;
      ++counts[source != 0   ? std::string(program_.text(source))
               : !by_default ? "none stated"
                             : unsourced_default(lowered_.node_of(origin.instance, origin.slot))];
    }
    if (counts.empty()) return;
    Table table{"sources_of_facts",
                {},
                {{"source", "Source", {}, 0, false, false}, {"facts", "Facts", {}, 0, true, false}},
                {}};
    for (const std::string_view source :
         {"invoice", "quote", "measured", "handbook", "estimate", "assumed", "none stated", "left at 0 or 1"}) {
      const auto found = counts.find(std::string(source));
      if (found != counts.end())
        table.rows.push_back({{text(found->first), number(static_cast<double>(found->second), false, false)}, false});
    }
    table.rows.push_back({{text("Total"), number(static_cast<double>(lowered_.inputs.size()), false, false)}, true});
    document_.push_back(Heading{"Sources of the facts", 2});
    document_.push_back(std::move(table));
  }

  /// What the scenario leaves unknown and the figures rest on.
  void open_questions() {
    Table table{"open_questions",
                {},
                {{"what", "Unknown", {}, 0, false, false},
                 {"counted_as", "Counted as", {}, 0, false, false},
                 {"place", "Place", {}, 0, false, false}},
                {}};
    for (const InputOrigin& origin : lowered_.inputs) {
      const Given* given = origin.instance == none ? nullptr : lowered_.instances.given(origin.instance, origin.slot);
      if (given == nullptr || !given->unknown) continue;
      const Field& field = program_.kinds[lowered_.instances.all[origin.instance].kind].fields[origin.slot];
      const GraphId node = lowered_.node_of(origin.instance, origin.slot);
      const bool ranged = node != no_node && !evaluation_.absent(node);
      const std::string place = fmt::format("{}:{}", sources_[given->span.source].name,
                                            sources_.position(given->span.source, given->span.begin).line);
      table.rows.push_back(
          {{text(fmt::format("{}.{}", lowered_.instances.path(program_, origin.instance), program_.text(field.name))),
            text(ranged ? text_of(program_, field.type, evaluation_.value(node)) + ", the middle of its range"
                        : "nothing: left out"),
            text(place)},
           false});
    }
    if (table.rows.empty()) return;
    std::sort(table.rows.begin(), table.rows.end(),
              [](const TableRow& a, const TableRow& b) { return a.cells[0].text < b.cells[0].text; });
    document_.push_back(Heading{"Open questions", 2});
    document_.push_back(std::move(table));
  }

  void cautions() {
    if (evaluation_.cautions.empty()) return;
    Table table{
        "cautions", {}, {{"caution", "Caution", {}, 0, false, false}, {"where", "Where", {}, 0, false, false}}, {}};
    for (const auto& [caution, instances] : evaluation_.cautions) {
      std::string where = lowered_.instances.path(program_, instances.front());
      if (instances.size() > 1) where += fmt::format(" and {} more", instances.size() - 1);
      table.rows.push_back({{text(std::string(program_.text(caution->text))), text(std::move(where))}, false});
    }
    document_.push_back(Heading{"Cautions", 2});
    document_.push_back(std::move(table));
  }

  void expectations() {
    if (evaluation_.expectations_hold.empty()) return;
    Table table{"expectations",
                {},
                {{"expectation", "Expectation", {}, 0, false, false},
                 {"condition", "Condition", {}, 0, false, false},
                 {"holds", "Holds", {}, 0, false, false}},
                {}};
    for (std::size_t i = 0; i < evaluation_.expectations_hold.size(); ++i) {
      const Expectation& expectation = program_.expectations[i];
      table.rows.push_back(
          {{text(std::string(program_.text(expectation.text))), text(std::string(sources_.text(expectation.span))),
            text(evaluation_.expectations_hold[i] ? "yes" : "no")},
           false});
    }
    document_.push_back(Heading{"Expectations", 2});
    document_.push_back(std::move(table));
  }

  const Program& program_;
  const Sources& sources_;
  const Evaluation& evaluation_;
  const Lowered& lowered_;
  Document document_;
};

}  // namespace

Document report_document(const Program& program, const Sources& sources, const Evaluation& evaluation,
                         std::uint32_t scenario) {
  return Reporter(program, sources, evaluation).run(scenario);
}

}  // namespace sprue
