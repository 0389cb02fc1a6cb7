// Everything public in one source, headers alone: the bodies meet here in the order of tarewise.h, where a name of one
// back room could hide a public name in the next.

#include <vector>

#include "gtest/gtest.h"
#include "tarewise/tarewise.h"

namespace tarewise {
namespace {

TEST(AllInOneSource, Arranges) {
  PackUnit unit;
  unit.sides = {3, 2, 1};
  Room room;
  room.sides = {1, 2, 3};
  EXPECT_EQ(Arrange(std::vector{unit}, room).fit, Fit::kFits);
}

}  // namespace
}  // namespace tarewise
