// What the graph builder does before the machine sees a node.
#include "lang/graph/builder.hpp"

#include "tests/catch.hpp"

using namespace sprue;

TEST_CASE("the builder folds constants and shares equal nodes", "[graph]") {
  GraphBuilder builder;
  const GraphId x = builder.input(2);
  CHECK(builder.make(Op::add, builder.constant(1), builder.constant(2)) == builder.constant(3));
  CHECK(builder.make(Op::multiply, x, builder.constant(1)) == x);
  CHECK(builder.make(Op::add, x, x) == builder.make(Op::add, x, x));
  CHECK(builder.select(builder.constant(1), x, builder.constant(9)) == x);
}

TEST_CASE("the builder leaves faults to evaluation", "[graph]") {
  GraphBuilder builder;
  CHECK_FALSE(builder.is_constant(builder.make(Op::divide, builder.constant(1), builder.constant(0))));
}

TEST_CASE("what rests on something unknown is marked", "[graph]") {
  GraphBuilder builder;
  const GraphId x = builder.input(2);
  const GraphId unknown = builder.input(0, mark_incomplete);
  CHECK(builder.marks(builder.make(Op::add, x, unknown)) == mark_incomplete);
  CHECK(builder.marks(builder.make(Op::add, x, builder.incomplete_zero())) == mark_incomplete);
}
