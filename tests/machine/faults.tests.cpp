// Which results are no finite number by their own fault, and whether anything asked for depends on them.
#include "runtime/machine/faults.hpp"

#include <vector>

#include "runtime/machine/machine.hpp"
#include "tests/catch.hpp"
#include "tests/machine/sketch.hpp"

using namespace sprue;
using sprue::testing::Sketch;

namespace {

std::vector<GraphId> faults(const Sketch& sketch, const std::vector<GraphId>& outputs) {
  const std::vector<double> values = evaluate_all(sketch.graph);
  return faults_of(sketch.graph, values, demand(sketch.graph, values, outputs));
}

using Ids = std::vector<GraphId>;

}  // namespace

TEST_CASE("a fault is reported where it arises, not where it spreads", "[machine][faults]") {
  Sketch sketch;
  const GraphId zero = sketch.input(0);
  const GraphId one = sketch.input(1);
  const GraphId quotient = sketch.make(Op::divide, one, zero);
  const GraphId spread = sketch.make(Op::add, sketch.make(Op::multiply, quotient, one), quotient);
  CHECK(faults(sketch, {spread}) == Ids{quotient});
}

TEST_CASE("every operation that can fail is seen to", "[machine][faults]") {
  Sketch sketch;
  const GraphId zero = sketch.input(0);
  const GraphId minus = sketch.input(-1);
  const GraphId huge = sketch.input(1e300);
  const Ids failing{sketch.make(Op::divide, zero, zero),
                    sketch.make(Op::divide, minus, zero),
                    sketch.make(Op::logarithm, zero),
                    sketch.make(Op::logarithm10, minus),
                    sketch.make(Op::square_root, minus),
                    sketch.make(Op::exponential, huge),
                    sketch.make(Op::power, minus, sketch.constant(0.5)),
                    sketch.make(Op::power, zero, minus),
                    sketch.make(Op::multiply, huge, huge),
                    sketch.make(Op::months_after, huge, zero),
                    sketch.list(Op::lowest, {zero, sketch.make(Op::negate, huge)})};
  CHECK(faults(sketch, failing) == Ids(failing.begin(), failing.end() - 1));
}

TEST_CASE("a fault nothing asks for does not count", "[machine][faults]") {
  Sketch sketch;
  const GraphId zero = sketch.input(0);
  const GraphId unasked = sketch.make(Op::divide, zero, zero);
  CHECK(faults(sketch, {sketch.make(Op::negate, zero)}).empty());
  CHECK(faults(sketch, {unasked}) == Ids{unasked});
}

TEST_CASE("a branch not taken is not asked for, its condition is", "[machine][faults]") {
  Sketch sketch;
  const GraphId zero = sketch.input(0);
  const GraphId one = sketch.input(1);
  const GraphId quotient = sketch.make(Op::divide, one, zero);
  const GraphId positive = sketch.make(Op::less, zero, zero);
  const GraphId guarded = sketch.make(Op::select, positive, quotient, one);
  const GraphId unguarded = sketch.make(Op::select, positive, one, quotient);
  const GraphId condition = sketch.make(Op::select, sketch.make(Op::less, quotient, one), one, one);
  CHECK(faults(sketch, {guarded}).empty());
  CHECK(faults(sketch, {unguarded}) == Ids{quotient});
  CHECK(faults(sketch, {condition}) == Ids{quotient});
  CHECK(faults(sketch, {guarded, quotient}) == Ids{quotient});
}

TEST_CASE("the right side of `and` and `or` is asked for only where the left one leaves it open", "[machine][faults]") {
  Sketch sketch;
  const GraphId zero = sketch.input(0);
  const GraphId one = sketch.input(1);
  const GraphId quotient = sketch.make(Op::divide, one, zero);
  CHECK(faults(sketch, {sketch.make(Op::logical_and, zero, quotient)}).empty());
  CHECK(faults(sketch, {sketch.make(Op::logical_or, one, quotient)}).empty());
  CHECK(faults(sketch, {sketch.make(Op::logical_and, one, quotient)}) == Ids{quotient});
  CHECK(faults(sketch, {sketch.make(Op::logical_or, zero, quotient)}) == Ids{quotient});
  CHECK(faults(sketch, {sketch.make(Op::logical_and, quotient, zero)}) == Ids{quotient});
}

TEST_CASE("an input that is no finite number is a fault of its own", "[machine][faults]") {
  Sketch sketch;
  const GraphId bad = sketch.input(1e300 * 1e300);
  CHECK(faults(sketch, {sketch.make(Op::negate, bad)}) == Ids{bad});
}
