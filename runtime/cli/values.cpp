// Reading numbers with units.
#include "runtime/cli/values.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>
#include <cmath>

#include "lang/graph/arithmetic.hpp"
#include "lang/limits/limits.hpp"
#include "lang/syntax/literals.hpp"
#include "runtime/ledger/shown.hpp"
#include "runtime/study/facts.hpp"

namespace sprue {
namespace {

std::string trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return std::string(text);
}

bool refuse(const std::string& text, std::string_view problem, std::string_view help, Streams streams) {
  complain(streams, fmt::format("`{}` {}", text, problem), Code::bad_command, help);
  return false;
}

}  // namespace

std::optional<double> read_value(Study& study, std::uint32_t input, const std::string& written, Streams streams) {
  Program& program = study.workspace.program;
  const Lowered& lowered = study.evaluation.lowered;
  const InputOrigin& origin = lowered.inputs[input];
  const Type type = input_type(program, lowered, origin);
  const std::string text = trimmed(written);
  const auto nothing = [&](std::string_view problem, std::string_view help) {
    refuse(text, problem, help, streams);
    return std::nullopt;
  };
  if (type.tag == TypeTag::point && type.id == program.dimensions.time) {
    const auto day = day_of(text);
    if (!day) return nothing("is no date", "write for example 2027-01-31");
    return *day;
  }
  std::string digits = text;
  digits.erase(std::remove(digits.begin(), digits.end(), '_'), digits.end());
  double value = 0;
  const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  if (read.ec != std::errc{} || !std::isfinite(value))
    return nothing("is no number", "write for example 12_000 or 4.20 USD/kg");
  const std::string unit_text = trimmed({read.ptr, static_cast<std::size_t>(digits.data() + digits.size() - read.ptr)});
  const Shown shown = input_shown(program, lowered, origin);
  if (unit_text.empty()) return value * shown.factor + shown.zero;
  Units::Problem problem;
  const Unit* const unit = program.units->unit(program.symbols.intern(unit_text), problem);
  if (unit == nullptr) {
    const std::string near = program.units->nearest_unit(problem.word);
    return nothing(fmt::format("has no unit: {}", problem.text),
                   near.empty() ? problem.help : fmt::format("did you mean `{}`?", near));
  }
  if (unit->dimension != type.id)
    return nothing("is in another dimension than the input",
                   fmt::format("write it in {}", shown.unit.empty() ? "plain numbers" : shown.unit));
  if (unit->currency != no_currency && !origin.is_exchange() && currency_of(program, lowered, origin) != unit->currency)
    return nothing("is in another currency than the input is stated in", "write it in the same currency");
  return value * unit->factor + unit->zero;
}

std::string varied_path(const std::string& text) {
  const std::size_t at = text.find('=');
  return at == std::string::npos ? std::string() : trimmed(text.substr(0, at));
}

std::optional<Varied> read_varied(Study& study, const std::string& text, Streams streams) {
  constexpr std::string_view help = "write PATH=VALUE,VALUE… or PATH=LOW..HIGH in N, or in N log";
  Varied varied;
  varied.path = varied_path(text);
  if (varied.path.empty()) {
    refuse(text, "varies nothing", help, streams);
    return std::nullopt;
  }
  varied.input = find_input(study, varied.path, streams);
  if (varied.input == none) return std::nullopt;
  std::string rest = trimmed(text.substr(text.find('=') + 1));
  const std::size_t dots = rest.find("..");
  if (dots == std::string::npos) {
    std::size_t bare = 0;
    for (std::size_t begin = 0; begin <= rest.size();) {
      const std::size_t end = std::min(rest.find(',', begin), rest.size());
      const std::string piece = trimmed(rest.substr(begin, end - begin));
      const auto value = read_value(study, varied.input, piece, streams);
      if (!value) return std::nullopt;
      varied.values.push_back(*value);
      bare += piece.find_first_not_of("0123456789_.-+") == std::string::npos ? 1 : 0;
      begin = end + 1;
    }
    // `10000 unit,20,000 unit`
    if (bare != 0 && bare != varied.values.size()) {
      refuse(rest, "has a unit with some values only", "write it with each, or with none; a thousand is 1_000",
             streams);
      return std::nullopt;
    }
    return varied;
  }
  varied.range = true;
  std::size_t steps = 9;
  bool ratios = false;
  if (const std::size_t in = rest.find(" in "); in != std::string::npos) {
    std::string count = trimmed(rest.substr(in + 4));
    if (count.ends_with(" log")) {
      ratios = true;
      count = trimmed(count.substr(0, count.size() - 4));
    }
    const auto read = std::from_chars(count.data(), count.data() + count.size(), steps);
    if (read.ec != std::errc{} || read.ptr != count.data() + count.size() || steps < 2 ||
        steps > limits::swept_values) {
      refuse(count, fmt::format("is no count of values from 2 to {}", limits::swept_values), help, streams);
      return std::nullopt;
    }
    rest = rest.substr(0, in);
  }
  const auto low = read_value(study, varied.input, rest.substr(0, dots), streams);
  const auto high = low ? read_value(study, varied.input, rest.substr(dots + 2), streams) : std::nullopt;
  if (!high) return std::nullopt;
  if (!(*low < *high) || (ratios && !(*low > 0))) {
    refuse(rest, ratios ? "does not rise from above zero" : "does not rise", "write the lower value first", streams);
    return std::nullopt;
  }
  const Program& program = study.workspace.program;
  const Lowered& lowered = study.evaluation.lowered;
  const bool stepped = is_stepped(program, input_type(program, lowered, lowered.inputs[varied.input]));
  for (std::size_t i = 0; i < steps; ++i) {
    const double share = static_cast<double>(i) / static_cast<double>(steps - 1);
    double value = i + 1 == steps ? *high
                   : ratios       ? *low * arithmetic::power(*high / *low, share)
                                  : *low + share * (*high - *low);
    if (stepped) value = arithmetic::round(value);
    if (varied.values.empty() || value > varied.values.back()) varied.values.push_back(value);
  }
  return varied;
}

}  // namespace sprue
