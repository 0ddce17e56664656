// What each item posts, in all and by category, and the private columns of listings; but not the total of a ledger that
// several items post to, which is no secret of one of them.
#include "runtime/view/redaction.hpp"

#include <algorithm>
#include <cmath>

#include "runtime/ledger/shown.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/write/number.hpp"

namespace sprue {

Withheld::Withheld(const Subject& subject) : program_(&subject.program) {
  if (!subject.redacted) return;
  const Lowered& lowered = subject.evaluation.lowered;
  std::vector<std::string> shared;
  for (LedgerId id = 0; id < lowered.ledgers.size(); ++id) {
    const DimensionId dimension = program_->ledgers[id].dimension;
    const std::vector<ItemSums> items = item_sums(*program_, subject.evaluation, id);
    const auto posting = std::count_if(items.begin(), items.end(), [](const ItemSums& i) { return i.total != 0; });
    if (posting > 1) shared.push_back(text(dimension, subject.evaluation.value(lowered.ledgers[id].total)));
    for (const ItemSums& item : items) {
      add(dimension, item.total);
      for (const Sum& sum : item.categories) add(dimension, sum.value);
    }
  }
  for (const ListingTable& table : lowered.listings) {
    const std::vector<Column>& columns = program_->listings[table.listing].columns;
    for (std::size_t i = 0; i < table.cells.size(); ++i) {
      const ListingCell& cell = table.cells[i];
      if (columns[i % columns.size()].is_private && cell.value != no_node && cell.type.tag == TypeTag::quantity)
        add(cell.type.id, subject.evaluation.value(cell.value));
    }
  }
  for (const std::string& total : shared) texts_.erase(total);
}

bool Withheld::tells(DimensionId dimension, double value) const {
  return texts_.count(text(dimension, value)) != 0;
}

void Withheld::add(DimensionId dimension, double value) {
  const Shown shown = shown_as(*program_, dimension);
  if (!is_shown_as_zero(value / shown.factor, shown.places)) texts_.insert(text(dimension, value));
}

std::string Withheld::text(DimensionId dimension, double value) const {
  return text_of(*program_, {TypeTag::quantity, dimension, 0}, std::fabs(value));
}

}  // namespace sprue
