// Paths to nodes.
#include "runtime/view/chosen.hpp"

#include <fmt/format.h>

#include "runtime/ledger/shown.hpp"
#include "runtime/study/facts.hpp"
#include "runtime/view/parts.hpp"

namespace sprue {
namespace {

constexpr std::size_t paths_compared = 20000;

std::vector<std::string> paths_of(const Program& program, const Instances& instances) {
  std::vector<std::string> paths;
  for (InstanceId id = 0; id < instances.size() && paths.size() < paths_compared; ++id) {
    const std::string path = instances.path(program, id);
    paths.push_back(path);
    for (const Field& field : program.kinds[instances.all[id].kind].fields)
      paths.push_back(fmt::format("{}.{}", path, program.text(field.name)));
  }
  return paths;
}

}  // namespace

FigurePath find_figure(const Program& program, const Instances& instances, const std::string& path) {
  FigurePath found{path, find_target(program, instances, path)};
  const std::size_t dot = path.find('.');
  const std::string rest = dot == std::string::npos ? "total" : path.substr(dot + 1);
  for (LedgerId id = 0; id < program.ledgers.size(); ++id) {
    const Ledger& ledger = program.ledgers[id];
    if (program.text(ledger.name) != path.substr(0, dot)) continue;
    if (rest == "total") found.ledger = id;
    for (std::uint32_t c = 0; c < ledger.categories.size(); ++c) {
      if (program.text(ledger.categories[c].name) != rest) continue;
      found.ledger = id;
      found.category = c;
    }
  }
  return found;
}

std::string figure_help(const Program& program, const Instances& instances, const std::string& path) {
  if (find_target(program, instances, path).instance != none)
    return fmt::format("`{}` is an instance; name one of its fields", path);
  const std::vector<std::string> paths = paths_of(program, instances);
  const std::string_view near = nearest(path, {paths.begin(), paths.end()});
  return near.empty() ? std::string() : fmt::format("did you mean `{}`?", near);
}

std::optional<Chosen> choose(const Program& program, const Evaluation& evaluation, const FigurePath& path) {
  const Lowered& lowered = evaluation.lowered;
  Chosen chosen{path.path, path.path, {}, no_node};
  if (path.ledger != none) {
    const Ledger& ledger = program.ledgers[path.ledger];
    chosen.type = {TypeTag::quantity, ledger.dimension, 0};
    chosen.title = name_of(program, ledger.name, ledger.title);
    chosen.node = lowered.ledgers[path.ledger].total;
    if (path.category != none) {
      const Category& category = ledger.categories[path.category];
      chosen.title += ": " + name_of(program, category.name, category.title);
      chosen.node = lowered.ledgers[path.ledger].categories[path.category];
    }
  } else {
    const Field& field = program.kinds[lowered.instances.all[path.field.instance].kind].fields[path.field.slot];
    if (!is_number(field.type)) return std::nullopt;
    chosen.type = shown_type(field);
    if (field.title != 0) chosen.title = program.text(field.title);
    chosen.node = lowered.node_of(path.field.instance, path.field.slot);
  }
  if (chosen.node == no_node || evaluation.absent(chosen.node)) return std::nullopt;
  return chosen;
}

Cell figure_cell(const Program& program, const Chosen& figure, double value) {
  if (figure.type.tag == TypeTag::quantity) {
    Cell cell = number_cell(value / shown_as(program, figure.type.id).factor);
    cell.percent = percent_places(figure.type).value_or(-1);
    return cell;
  }
  return text_cell(text_of(program, figure.type, value));
}

TableColumn figure_column(const Program& program, const Chosen& figure, std::string id, std::string title) {
  if (figure.type.tag == TypeTag::quantity)
    return quantity_column(program, std::move(id), std::move(title), figure.type, false);
  return text_column(std::move(id), std::move(title));
}

namespace {

bool is_measured(const Program& program, const Type& type) {
  return type.tag == TypeTag::quantity || type.tag == TypeTag::whole ||
         (type.tag == TypeTag::point && type.id != program.dimensions.time);
}

}  // namespace

Cell exact_input_cell(const Program& program, const Lowered& lowered, std::uint32_t input, double value) {
  const InputOrigin& origin = lowered.inputs[input];
  const Shown shown = input_shown(program, lowered, origin);
  const Type type = input_type(program, lowered, origin);
  if (is_measured(program, type)) {
    Cell cell = number_cell((value - shown.zero) / shown.factor);
    cell.percent = percent_places(type).value_or(-1);
    return cell;
  }
  return text_cell(input_text(program, lowered, origin, value));
}

TableColumn exact_input_column(const Program& program, const Lowered& lowered, std::uint32_t input, std::string id,
                               std::string title) {
  const Shown shown = input_shown(program, lowered, lowered.inputs[input]);
  TableColumn column = number_column(std::move(id), std::move(title));
  column.unit = shown.unit;
  column.places = shown.places;
  column.percent = percent_places(input_type(program, lowered, lowered.inputs[input])).value_or(-1);
  column.exact = true;
  return column;
}

std::vector<Chosen> leading(const Program& program, const Evaluation& evaluation, std::size_t most) {
  std::vector<Chosen> out;
  for (const Headline& headline : evaluation.lowered.headlines) {
    if (out.size() == most) break;
    const Field& field = program.kinds[evaluation.lowered.instances.all[headline.instance].kind].fields[headline.slot];
    const bool number = field.type.tag == TypeTag::quantity || field.type.tag == TypeTag::point;
    if (!number || evaluation.absent(headline.node)) continue;
    out.push_back(
        {fmt::format("{}.{}", evaluation.lowered.instances.path(program, headline.instance), program.text(field.name)),
         title_of_headline(program, evaluation.lowered, headline), shown_type(field), headline.node});
  }
  return out;
}

}  // namespace sprue
