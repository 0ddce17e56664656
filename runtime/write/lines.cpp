// One figure a line; a longer name must not move another line.
#include "runtime/write/lines.hpp"

#include <fmt/format.h>

#include "runtime/ledger/shown.hpp"
#include "runtime/write/write.hpp"

namespace sprue {

std::string figure_text(const Program& program, const Figure& figure) {
  if (figure.absent) return "unknown";
  return figure.text.empty() ? text_of(program, figure.type, figure.value) : visible(figure.text);
}

std::string write_lines(const Program& program, const std::vector<Figure>& figures) {
  std::string out;
  for (const Figure& figure : figures) {
    out += fmt::format("{} = {}{}\n", figure.path, figure_text(program, figure),
                       figure.incomplete && !figure.absent ? " incomplete" : "");
  }
  return out;
}

}  // namespace sprue
