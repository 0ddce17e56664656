// Collecting figures by path.
#include "runtime/view/figures.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <map>

#include "runtime/ledger/shown.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/write/number.hpp"

namespace sprue {
namespace {

class Collector {
 public:
  Collector(const Program& program, const Evaluation& evaluation)
      : program_(program), evaluation_(evaluation), lowered_(evaluation.lowered) {}

  std::vector<Figure> run() {
    for (const Headline& headline : lowered_.headlines) {
      const Instance& instance = lowered_.instances.all[headline.instance];
      const Field& field = program_.kinds[instance.kind].fields[headline.slot];
      node(fmt::format("{}.{}", lowered_.instances.path(program_, headline.instance), program_.text(field.name)),
           field.type, headline.node, field.span);
      figures_.back().stated = is_stated(program_, lowered_, headline);
    }
    for (LedgerId id = 0; id < lowered_.ledgers.size(); ++id) ledger(id);
    for (const ListingTable& table : lowered_.listings) {
      if (program_.listings[table.listing].over == none) listing(table);
    }
    std::sort(figures_.begin(), figures_.end(), [](const Figure& a, const Figure& b) { return a.path < b.path; });
    return std::move(figures_);
  }

 private:
  void node(std::string path, const Type& type, GraphId id, Span span) {
    figures_.push_back({std::move(path),
                        type,
                        evaluation_.value(id),
                        {},
                        evaluation_.incomplete(id),
                        evaluation_.absent(id),
                        false,
                        span});
  }

  void ledger(LedgerId id) {
    const Ledger& ledger = program_.ledgers[id];
    const LedgerTotals& totals = lowered_.ledgers[id];
    const std::string_view name = program_.text(ledger.name);
    const Type type{TypeTag::quantity, ledger.dimension, 0};
    node(fmt::format("{}.total", name), type, totals.total, ledger.span);
    for (std::uint32_t c = 0; c < ledger.categories.size(); ++c)
      node(fmt::format("{}.{}", name, program_.text(ledger.categories[c].name)), type, totals.categories[c],
           ledger.span);
    struct Sum {
      double value = 0;
      bool incomplete = false;
    };
    std::map<std::string, Sum> sums;
    for (std::uint32_t i = 0; i < totals.posting_count; ++i) {
      const Posting& posting = lowered_.postings[totals.first_posting + i];
      const bool out = ledger.categories[posting.category].direction == Direction::out;
      const bool absent =
          evaluation_.absent(posting.amount) || (posting.date != no_node && evaluation_.absent(posting.date));
      const auto add = [&](const std::string& path, double amount) {
        Sum& sum = sums[path];
        sum.incomplete = sum.incomplete || absent || evaluation_.incomplete(posting.amount);
        if (!absent) sum.value += amount;
      };
      const double amount = evaluation_.value(posting.amount);
      const InstanceId root = lowered_.instances.root(posting.instance);
      add(fmt::format("{}.items.{}", name, lowered_.instances.path(program_, root)), out ? -amount : amount);
      if (posting.date != no_node && !evaluation_.absent(posting.date)) {
        const std::string month = iso_date(evaluation_.value(posting.date)).substr(0, 7);
        add(fmt::format("{}.months.{}.{}", name, month, program_.text(ledger.categories[posting.category].name)),
            amount);
      }
    }
    const std::string months = fmt::format("{}.months.", name);
    for (const auto& [path, sum] : sums) {
      if (path.starts_with(months) && sum.value == 0 && !sum.incomplete)
        continue;  // a month without a payment says nothing
      figures_.push_back({path, type, sum.value, {}, sum.incomplete, false, false, ledger.span});
    }
  }

  void listing(const ListingTable& table) {
    const Listing& listing = program_.listings[table.listing];
    for (std::size_t row = 0; row < table.rows.size(); ++row) {
      for (std::size_t c = 0; c < listing.columns.size(); ++c) {
        const ListingCell& cell = table.cells[row * listing.columns.size() + c];
        std::string path =
            fmt::format("{}.{}.{}", program_.text(listing.name), lowered_.instances.path(program_, table.rows[row]),
                        program_.text(listing.columns[c].name));
        if (cell.value == no_node) continue;
        if (is_number(cell.type)) {
          node(std::move(path), cell.type, cell.value, listing.span);
        } else if (cell.type.tag == TypeTag::reference || cell.type.tag == TypeTag::optional) {
          figures_.push_back({std::move(path), cell.type, 0, lowered_.instances.path(program_, cell.value), false,
                              false, false, listing.span});
        } else {
          figures_.push_back({std::move(path), cell.type, 0, std::string(program_.text(cell.value)), false, false,
                              false, listing.span});
        }
      }
    }
  }

  const Program& program_;
  const Evaluation& evaluation_;
  const Lowered& lowered_;
  std::vector<Figure> figures_;
};

}  // namespace

std::vector<Figure> figures_of(const Program& program, const Evaluation& evaluation) {
  return Collector(program, evaluation).run();
}

}  // namespace sprue
