// The table of operations.
#include "lang/graph/graph.hpp"

#include <array>

namespace sprue {

const OpInfo& info(Op op) {
  static constexpr std::array table{
#define SPRUE_OP(name, operands) OpInfo{#name, operands},
      SPRUE_OPS(SPRUE_OP)
#undef SPRUE_OP
  };
  return table[static_cast<std::size_t>(op)];
}

}  // namespace sprue
