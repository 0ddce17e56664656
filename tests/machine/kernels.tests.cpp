// Every kernel, at every vector width this processor has, gives the bits of the scalar functions.
#include "runtime/machine/kernels.hpp"

#include <vector>

#include "tests/catch.hpp"
#include "tests/machine/bits.hpp"
#include "tests/machine/oracle.hpp"
#include "tests/machine/random_graph.hpp"
#include "tests/machine/sketch.hpp"

using namespace sprue;
using sprue::testing::Oracle;
using sprue::testing::Random;
using sprue::testing::same_bits;
using sprue::testing::Sketch;

TEST_CASE("kernels of all widths agree with the scalar functions", "[machine][property]") {
  constexpr std::size_t count = 331;
  Random random(5);
  std::vector<std::vector<double>> operands(3);
  for (std::vector<double>& operand : operands) {
    for (std::size_t i = 0; i < count; ++i) operand.push_back(i % 2 == 0 ? random.number() : random.between(-30, 60));
  }
  const std::vector<double>& a = operands[0];
  const std::vector<double>& b = operands[1];
  const std::vector<double>& c = operands[2];
  for (unsigned op = 0; op <= static_cast<unsigned>(Op::lowest_date); ++op) {
    Sketch sketch;
    const GraphId x = sketch.input(0);
    const GraphId y = sketch.input(0);
    const GraphId z = sketch.input(0);
    const GraphId result = sketch.make(static_cast<Op>(op), x, y, z);
    const int operand_count = info(static_cast<Op>(op)).operands;
    for (unsigned varying = 1; operand_count > 0 && varying < 1U << static_cast<unsigned>(operand_count); ++varying) {
      for (unsigned width = 0; width <= static_cast<unsigned>(widest_vectors()); ++width) {
        std::vector<double> out(count);
        kernel_of(static_cast<Op>(op), varying, static_cast<Vectors>(width))(out.data(), a.data(), b.data(), c.data(),
                                                                             count);
        for (std::size_t i = 0; i < count; ++i) {
          const std::vector<double> inputs{a[(varying & varies_a) != 0 ? i : 0], b[(varying & varies_b) != 0 ? i : 0],
                                           c[(varying & varies_c) != 0 ? i : 0]};
          INFO(info(static_cast<Op>(op)).name << " of " << inputs[0] << ", " << inputs[1] << ", " << inputs[2]
                                              << ", width " << width);
          REQUIRE(same_bits(out[i], Oracle(sketch.graph, inputs)(result)));
        }
      }
    }
  }
}
