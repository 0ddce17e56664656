// What a reader must keep in mind, and what was expected of the figures.
#include <fmt/format.h>

#include "runtime/view/parts.hpp"
#include "runtime/view/view.hpp"

namespace sprue {
namespace {

class Judgments {
 public:
  Judgments(const Subject& subject, std::vector<View>& views)
      : subject_(subject),
        program_(subject.program),
        sources_(subject.sources),
        evaluation_(subject.evaluation),
        lowered_(evaluation_.lowered),
        views_(views) {}

  void run() {
    cautions();
    expectations();
  }

 private:
  void add(std::string id, std::string title, Table table) {
    views_.push_back({std::move(id), std::move(title), {}, {std::move(table)}});
  }

  void cautions() {
    if (evaluation_.cautions.empty()) return;
    Table table{"cautions", {}, {text_column("caution", "Caution"), text_column("where", "Where")}, {}};
    for (const auto& [caution, instances] : evaluation_.cautions) {
      std::string where = lowered_.instances.path(program_, instances.front());
      if (instances.size() > 1) where += fmt::format(" and {} more", instances.size() - 1);
      table.rows.push_back(
          {{text_cell(std::string(program_.text(caution->text))), text_cell(std::move(where))}, false});
    }
    add("cautions", "Cautions", std::move(table));
  }

  void expectations() {
    if (evaluation_.expectations_hold.empty()) return;
    Table table{"expectations",
                {},
                {text_column("expectation", "Expectation"), text_column("condition", "Condition"),
                 text_column("holds", "Holds")},
                {}};
    for (std::size_t i = 0; i < evaluation_.expectations_hold.size(); ++i) {
      const Expectation& expectation = program_.expectations[i];
      table.rows.push_back(
          {{text_cell(std::string(program_.text(expectation.text))),
            subject_.redacted ? withheld_cell() : text_cell(std::string(sources_.text(expectation.span))),
            text_cell(evaluation_.expectations_hold[i] ? "yes" : "no")},
           false});
    }
    add("expectations", "Expectations", std::move(table));
  }

  const Subject& subject_;
  const Program& program_;
  const Sources& sources_;
  const Evaluation& evaluation_;
  const Lowered& lowered_;
  std::vector<View>& views_;
};

}  // namespace

void add_judgment_views(const Subject& subject, std::vector<View>& views) {
  Judgments(subject, views).run();
}

}  // namespace sprue
