// Finding the changes and the walk, and telling them.
#include "runtime/view/comparison.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <set>

#include "lang/graph/arithmetic.hpp"
#include "lang/syntax/one_line.hpp"
#include "runtime/ledger/shown.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/view/drivers.hpp"
#include "runtime/view/parts.hpp"
#include "runtime/write/number.hpp"
#include "runtime/write/write.hpp"

namespace sprue {
namespace {

constexpr std::size_t steps_shown = 12;  // of a chart

class Comparer {
 public:
  Comparer(const Written& before, const Written& after, const Loader& library)
      : before_(before), after_(after), library_(library), changes_(changes_between(before.pieces, after.pieces)) {
    out_.versions = {before.version, after.version};
    out_.versions[0].title = "Before";
    out_.versions[1].title = "After";
    out_.before = before.label;
    out_.after = after.label;
  }

  Comparison run() {
    for (const Change& change : changes_.list) {
      std::vector<ShownChange> rows = shown(change);
      std::move(rows.begin(), rows.end(), std::back_inserter(out_.changes));
    }
    find_walks();
    out_.same = changes_.list.empty() && out_.walks.empty() && out_.no_walk.empty() &&
                expectations_side_by_side(out_.versions, true).rows.empty();
    return std::move(out_);
  }

 private:
  struct Effective {
    std::string value;
    std::string facts;
    std::string source;
    std::string place;
  };

  static std::string place(const Version& version, Span span) {
    return fmt::format("{}:{}", (*version.sources)[span.source].name,
                       version.sources->position(span.source, span.begin).line);
  }

  /// What a field is worth in a version: as given, or by default.
  static Effective effective(const Version& version, std::string_view path) {
    const Program& program = *version.program;
    const Lowered& lowered = version.evaluation->lowered;
    const PathTarget target = find_target(program, lowered.instances, path);
    if (target.instance == none || target.slot == none) return {};
    const Given* const given = lowered.instances.given(target.instance, target.slot);
    const Field& field = program.kinds[lowered.instances.all[target.instance].kind].fields[target.slot];
    Effective found;
    if (given != nullptr) {
      found.value = given->unknown ? "unknown" : one_line(version.sources->text(given->value_span()));
    } else if (field.formula != none) {
      found.value = one_line(version.sources->text(program.formulas[field.formula].span)) + " (default)";
    } else {
      found.value = "nothing";
    }
    const std::uint32_t facts = given != nullptr ? given->facts : field.facts;
    if (facts != none) {
      found.facts = one_line(version.sources->text(program.facts[facts].span));
      found.source = source_text(program, program.facts[facts]);
    }
    found.place = place(version, given != nullptr ? given->span : field.span);
    return found;
  }

  static Effective of_exchange(const Version& version, std::string_view path) {
    const Program& program = *version.program;
    const auto& currencies = program.units->currencies();
    for (std::size_t i = 0; i < program.exchanges.size(); ++i) {
      const Exchange& exchange = program.exchanges[i];
      if (program.text(currencies[exchange.currency].name) != path.substr(path.find('.') + 1)) continue;
      Effective found;
      found.value = fmt::format("{} {}", version.evaluation->lowered.instances.exchange_rates[i],
                                program.text(currencies[exchange.in].name));
      found.place = place(version, exchange.span);
      if (exchange.facts != none) {
        found.facts = one_line(version.sources->text(program.facts[exchange.facts].span));
        found.source = source_text(program, program.facts[exchange.facts]);
      }
      return found;
    }
    return {};
  }

  /// A row for each side of it: value, range or source, title. Never none.
  std::vector<ShownChange> shown(const Change& change) const {
    const Piece& piece = change.after != nullptr ? *change.after : *change.before;
    const Version& at = change.after != nullptr ? after_.version : before_.version;
    std::vector<ShownChange> rows;
    const auto row = [&](std::string what, std::string before, std::string after) -> ShownChange& {
      rows.push_back({change.path, std::move(what), std::move(before), std::move(after), {}, place(at, piece.span)});
      return rows.back();
    };
    const auto of = [&](auto&& text) {
      return std::pair(change.before != nullptr ? text(*change.before) : std::string(),
                       change.after != nullptr ? text(*change.after) : std::string());
    };
    const auto [before_value, after_value] = of([](const Piece& p) { return one_line(p.value); });
    const auto [before_facts, after_facts] = of([](const Piece& p) { return p.facts; });
    const auto [before_title, after_title] = of([](const Piece& p) { return std::string(p.title); });
    const bool both = change.before != nullptr && change.after != nullptr;
    if (change.where != Change::Where::beside && !piece.value.empty()) {
      const auto in = [&](const Version& version) {
        return change.path.starts_with("exchange.") ? of_exchange(version, change.path)
                                                    : effective(version, change.path);
      };
      const Effective before = in(before_.version);
      const Effective after = in(after_.version);
      // Where another change hides this one, as written.
      if (change.differs()) {
        const bool seen = before.value != after.value;
        row("value", seen ? before.value : before_value, seen ? after.value : after_value).source =
            after.source.empty() ? before.source : after.source;
      }
      const bool seen = before.facts != after.facts;
      if (both ? before_facts != after_facts : seen)
        row("range or source", seen ? before.facts : before_facts, seen ? after.facts : after_facts).source =
            after.source.empty() ? before.source : after.source;
      return rows;
    }
    const bool removal = change.where == Change::Where::edit && piece.key.starts_with("remove ");
    if (!both) {
      const bool added = (change.before == nullptr) != removal;
      row(added ? "added" : "removed", before_value, after_value);
      if (removal) rows.back().path = piece.key.substr(piece.key.find(' ') + 1);
      return rows;
    }
    if (change.differs() && !piece.value.empty()) {
      row("altered", before_value, after_value);
    } else if (change.differs() || (change.figures && !piece.instance)) {
      const auto [before, after] = of([](const Piece& p) { return p.instance ? p.tokens : one_line(p.text); });
      row("altered", before, after);
    } else if (change.figures) {
      row("altered", "its entries or their order", "its entries or their order");
    }
    if (before_facts != after_facts) row("range or source", before_facts, after_facts);
    if (before_title != after_title) row("title", before_title, after_title);
    return rows;
  }

  void find_walks() {
    std::vector<HeadlineRow> rows = headline_rows(out_.versions);
    const auto value = [&](const HeadlineRow& row, std::size_t v) {
      return out_.versions[v].evaluation->value(row.nodes[v]);
    };
    std::erase_if(rows, [&](const HeadlineRow& row) {
      return std::any_of(row.nodes.begin(), row.nodes.end(), [](GraphId node) { return node == no_node; });
    });
    std::vector<HeadlineKey> keys;
    std::vector<HeadlineRow> walked;
    bool units_differ = false;
    for (const HeadlineRow& row : rows) {
      const bool walkable = row.comparable && (row.type.tag == TypeTag::quantity || row.type.tag == TypeTag::point);
      units_differ = units_differ || !row.comparable;
      if (!walkable || !differ(row, value(row, 0), value(row, 1))) continue;
      keys.push_back(row.key);
      walked.push_back(row);
    }
    if (walked.empty()) {
      if (units_differ) out_.no_walk = "the figures of the two versions are not in the same units";
      return;
    }
    const Walk walk = sprue::walk(changes_, keys, library_);
    if (!walk.found) {
      out_.no_walk = "no program between the two versions could be evaluated";
      return;
    }
    out_.exact = walk.exact;
    out_.orders = walk.orders;
    std::vector<std::string> labels;
    for (const auto& group : walk.groups) labels.push_back(label(group));
    for (std::size_t h = 0; h < walked.size(); ++h) {
      const double factor =
          walked[h].type.tag == TypeTag::quantity ? shown_as(*after_.version.program, walked[h].type.id).factor : 1;
      ShownWalk shown{walked[h], {}, walk.before[h] / factor, walk.after[h] / factor, {}, {}};
      std::vector<std::size_t> order;
      const double noise = 1e-12 * std::max(std::fabs(walk.before[h]), std::fabs(walk.after[h]));
      for (std::size_t g = 0; g < labels.size(); ++g) {
        if (std::fabs(walk.bars[h][g].value) > noise) order.push_back(g);
      }
      std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return std::fabs(walk.bars[h][a].value) > std::fabs(walk.bars[h][b].value);
      });
      for (const std::size_t g : order) {
        shown.labels.push_back(labels[g]);
        shown.bars.push_back({walk.bars[h][g].value / factor, walk.bars[h][g].error / factor});
      }
      const auto twin = std::find_if(out_.walks.begin(), out_.walks.end(),
                                     [&](const ShownWalk& other) { return alike(shown, other); });
      if (twin != out_.walks.end()) {
        twin->same.push_back(shown.headline);
      } else {
        out_.walks.push_back(std::move(shown));
      }
    }
  }

  /// What is left of a sum that should be zero is no difference: a millionth of the last place shown.
  bool differ(const HeadlineRow& row, double before, double after) const {
    if (row.type.tag != TypeTag::quantity) return before != after;
    const Shown shown = shown_as(*after_.version.program, row.type);
    return std::fabs(after - before) / shown.factor > arithmetic::power(10, -shown.places) * 1e-6;
  }

  static bool alike(const ShownWalk& a, const ShownWalk& b) {
    const auto near = [](double x, double y) {
      return std::fabs(x - y) <= 1e-9 * std::max(std::fabs(x), std::fabs(y));
    };
    const bool ends = a.headline.type == b.headline.type && near(a.before, b.before) && near(a.after, b.after);
    if (!ends || a.labels != b.labels) return false;
    for (std::size_t i = 0; i < a.bars.size(); ++i) {
      if (!near(a.bars[i].value, b.bars[i].value)) return false;
    }
    return true;
  }

  std::string label(const std::vector<std::uint32_t>& group) const {
    std::vector<std::string> names;
    for (const std::uint32_t i : group) {
      const ShownChange change = shown(changes_.list[i]).front();
      const bool plain = change.what != "added" && change.what != "removed";
      std::string name = plain ? change.path : fmt::format("{} {}", change.path, change.what);
      if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(std::move(name));
    }
    const std::size_t named = std::min<std::size_t>(names.size(), 3);
    std::string text =
        fmt::format("{}", fmt::join(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(named), ", "));
    if (names.size() > named) text += fmt::format(" and {} more", names.size() - named);
    return text;
  }

  const Written& before_;
  const Written& after_;
  const Loader& library_;
  Changes changes_;
  Comparison out_;
};

// Telling it.

/// Bars are sorted by size: how many would not be shown as zero.
std::size_t telling_bars(const ShownWalk& walk, const TableColumn& amount) {
  const double scale = amount.percent >= 0 ? 100 : 1;
  const int places = amount.percent >= 0 ? amount.percent : amount.places;
  return static_cast<std::size_t>(
      std::find_if(walk.bars.begin(), walk.bars.end(),
                   [&](const Estimate& bar) { return is_shown_as_zero(scale * bar.value, places); }) -
      walk.bars.begin());
}

Table walk_table(const Comparison& comparison, const ShownWalk& walk) {
  const Program& program = *comparison.versions[1].program;
  const bool date = walk.headline.type.tag == TypeTag::point;
  TableColumn amount = text_column("amount", date ? "Days" : "Amount");
  if (!date) amount = quantity_column(program, "amount", "Amount", walk.headline.type, true);
  amount.number = true;
  if (date) amount.places = 2;
  Table table{fmt::format("walk_{}", walk.headline.key.path),
              walk.headline.title,
              {text_column("change", "What changed"), amount},
              {}};
  if (!comparison.exact) {
    TableColumn error = amount;
    error.id = "standard_error";
    error.title = "Standard error";
    error.summed = false;
    table.columns.push_back(std::move(error));
  }
  const auto end = [&](const Version& version, double value, bool total) {
    const Cell cell = date ? text_cell(iso_date(value)) : number_cell(value);
    table.rows.push_back({{text_cell(version.title), cell}, total});
    if (!comparison.exact) table.rows.back().cells.push_back(text_cell(""));
  };
  end(comparison.versions[0], walk.before, false);
  const auto change = [](double value) {
    Cell cell = number_cell(value);
    cell.change = true;
    return cell;
  };
  const std::size_t telling = telling_bars(walk, table.columns[1]);
  for (std::size_t i = 0; i < telling; ++i) {
    table.rows.push_back({{text_cell(walk.labels[i]), change(walk.bars[i].value)}, false});
    if (!comparison.exact) table.rows.back().cells.push_back(number_cell(walk.bars[i].error));
  }
  if (telling < walk.bars.size()) {
    double rest = 0;
    for (std::size_t i = telling; i < walk.bars.size(); ++i) rest += walk.bars[i].value;
    table.rows.push_back(
        {{text_cell(fmt::format("{} too small to be seen", walk.bars.size() - telling)), change(rest)}, false});
    if (!comparison.exact) table.rows.back().cells.push_back(text_cell(""));
  }
  end(comparison.versions[1], walk.after, true);
  return table;
}

/// The table as bars, each where the one before it ended; the smallest of many are one.
BarChart walk_chart(const Comparison& comparison, const ShownWalk& walk, const Table& table) {
  const auto cells = shown_cells(table, true);
  BarChart chart;
  chart.id = table.id;
  chart.title = walk.headline.title;
  chart.axis.title = walk.headline.title;
  const Shown shown = shown_as(*comparison.versions[1].program, walk.headline.type);
  const double scale = table.columns[1].percent >= 0 ? 100 : 1;  // people see percentages
  chart.axis.unit = shown.unit;
  chart.axis.places = shown.places;
  chart.series = {"As a whole", "More", "Less"};
  const auto add = [&](std::string label, std::string note, double from, double to) {
    const std::uint32_t series = from == 0 ? 0 : to > from ? 1 : 2;
    chart.bars.push_back({std::move(label), std::move(note), {{from, to, series}}});
  };
  add(cells[0][0], cells[0][1], 0, scale * walk.before);
  const std::size_t telling = telling_bars(walk, table.columns[1]);
  const std::size_t single = telling > steps_shown + 1 ? steps_shown : telling;
  double at = scale * walk.before;
  for (std::size_t i = 0; i < single; ++i) {
    add(walk.labels[i], cells[i + 1][1], at, at + scale * walk.bars[i].value);
    at += scale * walk.bars[i].value;
  }
  if (single < walk.bars.size())
    add(fmt::format("{} more", walk.bars.size() - single),
        (scale * walk.after > at ? "+" : "") + grouped(decimal(scale * walk.after - at, chart.axis.places)), at,
        scale * walk.after);
  add(cells.back()[0], cells.back()[1], 0, scale * walk.after);
  chart.description =
      fmt::format("From {} to {} {} by {} changes.", cells[0][1], cells.back()[1], chart.axis.unit, walk.bars.size());
  return chart;
}

std::string the_same(const ShownWalk& walk) {
  std::string text = "The same for: ";
  for (std::size_t i = 0; i < walk.same.size(); ++i) text += (i == 0 ? "" : "; ") + walk.same[i].title;
  return text + ".";
}

/// Figures that are shown otherwise after than before, each change once.
struct ChangedHeadlines {
  Table table;
  std::size_t alike = 0;  // before and after
  std::size_t twins = 0;  // of one in the table
};

ChangedHeadlines changed_headlines(const std::vector<Version>& versions) {
  ChangedHeadlines out{headlines_side_by_side(versions)};
  const auto cells = shown_cells(out.table, true);
  std::vector<TableRow> changed;
  std::set<std::vector<std::string>> seen;
  for (std::size_t r = 0; r < cells.size(); ++r) {
    if (cells[r][1] == cells[r][2] && cells[r][3].empty()) {
      ++out.alike;
    } else if (!seen.insert({cells[r].begin() + 1, cells[r].end()}).second) {
      ++out.twins;
    } else {
      changed.push_back(std::move(out.table.rows[r]));
    }
  }
  out.table.rows = std::move(changed);
  return out;
}

void add_edits(const Comparison& comparison, bool all, Document& document) {
  if (comparison.changes.empty()) return;
  Table table{"changes",
              {},
              {text_column("path", "What"), text_column("change", "Change"), text_column("before", "Before"),
               text_column("after", "After"), text_column("source", "Source"), text_column("place", "Place")},
              {}};
  for (const ShownChange& change : comparison.changes)
    table.rows.push_back({{text_cell(change.path), text_cell(change.what), text_cell(change.before),
                           text_cell(change.after), text_cell(change.source), text_cell(change.place)},
                          false});
  if (!all) {
    table.columns.erase(table.columns.begin() + 4);
    for (TableRow& row : table.rows) row.cells.erase(row.cells.begin() + 4);
  }
  document.emplace_back(Heading{"Changes of the source", 2});
  document.emplace_back(std::move(table));
}

void add_headlines(const Comparison& comparison, bool all, Document& document) {
  document.emplace_back(Heading{all ? "Headlines" : "Figures that changed", 2});
  if (all) {
    document.emplace_back(headlines_side_by_side(comparison.versions));
    return;
  }
  ChangedHeadlines changed = changed_headlines(comparison.versions);
  if (!changed.table.rows.empty()) document.emplace_back(std::move(changed.table));
  const auto counted = [](std::size_t n) { return fmt::format("{} other figure{}", n, n == 1 ? "" : "s"); };
  std::string others;
  if (changed.twins > 0) others = counted(changed.twins) + " changed by the same amount as one of these.";
  if (changed.alike > 0)
    others += fmt::format("{}{} {} the same before and after.", others.empty() ? "" : " ", counted(changed.alike),
                          changed.alike == 1 ? "reads" : "read");
  if (!others.empty()) document.emplace_back(Paragraph{others});
}

void add_walks(const Comparison& comparison, bool all, Document& document) {
  if (!comparison.no_walk.empty()) {
    document.emplace_back(Paragraph{fmt::format("What each change contributed is not known: {}.", comparison.no_walk)});
    return;
  }
  if (comparison.walks.empty()) {
    document.emplace_back(Paragraph{"No headline differs."});
    return;
  }
  document.emplace_back(Heading{"What each change contributed", 2});
  std::string how = "Shares of the difference that do not depend on the order of the changes (Shapley values).";
  if (!comparison.exact)
    how = fmt::format(
        "Estimated from {} orders of the changes; the shares add up exactly, each is known to about twice its "
        "standard error.",
        comparison.orders);
  document.emplace_back(Paragraph{std::move(how)});
  const std::size_t most = all ? comparison.walks.size() : std::min(comparison.walks.size(), leading_figures);
  for (std::size_t i = 0; i < most; ++i) {
    const ShownWalk& walk = comparison.walks[i];
    Table table = walk_table(comparison, walk);
    if (i < leading_figures && walk.headline.type.tag == TypeTag::quantity)
      document.emplace_back(walk_chart(comparison, walk, table));
    document.emplace_back(std::move(table));
    if (!walk.same.empty()) document.emplace_back(Paragraph{the_same(walk)});
  }
}

}  // namespace

Comparison compare(const Written& before, const Written& after, const Loader& library) {
  return Comparer(before, after, library).run();
}

Document comparison_document(const Comparison& comparison, bool all) {
  Document document;
  if (comparison.same) return document;
  const auto& versions = comparison.versions;
  document.emplace_back(Heading{"Comparison", 1});
  document.emplace_back(Paragraph{fmt::format("Before: {}", comparison.before)});
  document.emplace_back(Paragraph{fmt::format("After: {}", comparison.after)});
  for (std::string& sentence : unlike(versions)) document.emplace_back(Paragraph{std::move(sentence)});
  add_edits(comparison, all, document);
  add_headlines(comparison, all, document);
  Table expectations = expectations_side_by_side(versions, true);
  if (!expectations.rows.empty()) {
    document.emplace_back(Heading{"Expectations that changed", 2});
    document.emplace_back(std::move(expectations));
  }
  add_walks(comparison, all, document);
  const std::vector<Table> ledgers = all ? ledgers_side_by_side(versions) : std::vector<Table>{};
  if (!ledgers.empty()) document.emplace_back(Heading{"Ledgers", 2});
  for (const Table& table : ledgers) document.emplace_back(table);
  if (!all) document.emplace_back(Paragraph{"More: --all prints every figure, walk and ledger."});
  return document;
}

}  // namespace sprue
