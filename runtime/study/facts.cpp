// Following an input back to what was written.
#include "runtime/study/facts.hpp"

#include <fmt/format.h>

namespace sprue {

std::string input_path(const Program& program, const Lowered& lowered, const InputOrigin& origin) {
  if (origin.exchange != none)
    return fmt::format("exchange.{}",
                       program.text(program.units->currencies()[program.exchanges[origin.exchange].currency].name));
  const Kind& kind = program.kinds[lowered.instances.all[origin.instance].kind];
  return fmt::format("{}.{}", lowered.instances.path(program, origin.instance),
                     program.text(kind.fields[origin.slot].name));
}

Type input_type(const Program& program, const Lowered& lowered, const InputOrigin& origin) {
  if (origin.exchange != none) return {TypeTag::quantity, ratio, 0};
  return program.kinds[lowered.instances.all[origin.instance].kind].fields[origin.slot].type;
}

const Facts* facts_of(const Program& program, const Lowered& lowered, const InputOrigin& origin) {
  std::uint32_t facts = none;
  if (origin.exchange != none) {
    facts = program.exchanges[origin.exchange].facts;
  } else if (const Given* given = lowered.instances.given(origin.instance, origin.slot); given != nullptr) {
    facts = given->facts;
  } else {
    facts = program.kinds[lowered.instances.all[origin.instance].kind].fields[origin.slot].facts;
  }
  return facts == none ? nullptr : &program.facts[facts];
}

}  // namespace sprue
