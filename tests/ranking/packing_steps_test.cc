// How to pack an arrangement in words: what goes in first, what is told together, how it lies and where, and on what.

#include "tarewise/ranking/packing_steps.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/demo_goods.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::packing_steps_test {
namespace {

using Sides = std::array<std::int64_t, 3>;

constexpr std::int64_t kInch = Length::Inches(1).nanometres();

Item ItemOf(const char* title, Sides inches, std::int32_t quantity = 1) {
  Item item;
  item.weight = Weight::Ounces(8);
  for (std::size_t i = 0; i < 3; ++i) item.sides[i] = Length::Inches(inches[i]);
  item.quantity = quantity;
  item.title = title;
  return item;
}

// A request of these goods; its ranking is an estimate, whose arrangements the tests make themselves.
struct Packed {
  Packed(std::vector<Item> goods, Sides inside) {
    request = testing::RequestOn(testing::LaneTo("US", "60614"));
    request.goods = std::move(goods);
    carton.code = "carton";
    carton.title = "Carton 12";
    for (std::size_t i = 0; i < 3; ++i) {
      carton.inside[i] = Length::Inches(inside[i]);
      carton.outside[i] = carton.inside[i] + *Length::Parse("0.3 in");
    }
    candidate.packaging = &carton;
  }

  void Put(std::size_t unit, Sides at, Sides sides) {
    Placement one;
    one.unit = unit;
    for (std::size_t i = 0; i < 3; ++i) {
      one.at[i] = at[i] * kInch;
      one.sides[i] = sides[i] * kInch;
    }
    placements.push_back(one);
  }

  std::vector<std::string> Steps() {
    if (!placements.empty()) candidate.arrangement = std::make_shared<const std::vector<Placement>>(placements);
    const absl::StatusOr<Ranking> ranking = Rank(testing::Demo().book, nullptr, request);
    EXPECT_TRUE(ranking.ok()) << ranking.status();
    return ranking.ok() ? PackingSteps(*ranking, candidate) : std::vector<std::string>();
  }

  Request request;
  Packaging carton;
  Candidate candidate;
  std::vector<Placement> placements;
};

constexpr const char* kFill = "Fill what is left free, so that nothing moves.";

TEST(PackingSteps, AStackIsOneStepAndWhatIsOnItComesAfter) {
  Packed packed({ItemOf("Tin", {4, 4, 2}), ItemOf("Board game", {10, 8, 2}, 3)}, {12, 9, 8});
  packed.Put(0, {0, 0, 6}, {4, 4, 2});
  packed.Put(3, {0, 0, 4}, {10, 8, 2});
  packed.Put(1, {0, 0, 0}, {10, 8, 2});
  packed.Put(2, {0, 0, 2}, {10, 8, 2});
  const std::vector<std::string> expected = {
      "Lay all 3 of \"Board game\" flat, one on the other, their 10 in sides from left to right, on the bottom, in the "
      "left front corner.",
      "Lay \"Tin\" flat, on top of \"Board game\", in the left front corner.", kFill};
  EXPECT_EQ(packed.Steps(), expected);
}

TEST(PackingSteps, WhatStandsOnItsEndOrEdgeSaysWhichSideIsUpright) {
  Packed packed({ItemOf("", {10, 4, 2}), ItemOf("", {10, 4, 2}), ItemOf("", {3, 3, 3}), ItemOf("", {2, 5, 6})},
                {12, 10, 10});
  packed.Put(0, {0, 0, 0}, {4, 2, 10});
  packed.Put(1, {0, 2, 0}, {2, 8, 4});
  packed.placements.back().sides = {2 * kInch, 8 * kInch, 4 * kInch};
  packed.Put(2, {9, 7, 0}, {3, 3, 3});
  packed.request.goods[3].this_side_up = true;
  packed.Put(3, {5, 4, 0}, {2, 5, 6});
  const std::vector<std::string> expected = {
      "Stand item 1 on its end, its 10 in side upright, its 4 in side from left to right, on the bottom, in the left "
      "front corner.",
      "Stand item 2 on its edge, its 4 in side upright, its 8 in side from front to back, on the bottom, in the left "
      "back corner.",
      "Put item 4 this side up, its 5 in side from front to back, on the bottom, 5 in from the left and 4 in from the "
      "front.",
      "Put item 3 on the bottom, in the right back corner.", kFill};
  EXPECT_EQ(packed.Steps(), expected);
}

TEST(PackingSteps, RowsAndBlocksOfEqualGoods) {
  Packed row({ItemOf("Book", {8, 6, 1}, 4)}, {8, 6, 4});
  for (std::size_t i = 0; i < 4; ++i) row.Put(i, {0, 0, static_cast<std::int64_t>(i)}, {8, 6, 1});
  // They fill it: nowhere else to put them, and nothing left free.
  EXPECT_EQ(row.Steps(), (std::vector<std::string>{"Lay all 4 of \"Book\" flat, one on the other, their 8 in sides "
                                                   "from left to right, on the bottom."}));
  Packed block({ItemOf("", {4, 3, 2}, 13)}, {8, 9, 6});
  std::size_t unit = 0;
  for (std::int64_t z = 0; z < 2; ++z) {
    for (std::int64_t y = 0; y < 3; ++y) {
      for (std::int64_t x = 0; x < 2; ++x) block.Put(unit++, {4 * x, 3 * y, 2 * z}, {4, 3, 2});
    }
  }
  block.Put(12, {2, 3, 4}, {4, 3, 2});
  EXPECT_EQ(
      block.Steps(),
      (std::vector<std::string>{
          "Lay 12 of item 1 flat, 2 from left to right, 3 from front to back and 2 high, their 4 in sides from left to "
          "right, on the bottom.",
          "Lay another of item 1 flat, its 4 in side from left to right, on top of item 1, 2 in from the left and "
          "3 in from the front.",
          kFill}));
}

// A unit that comes later in the order of the goods is put in first where it lies below, and stacks are not told
// together where one between them must come first.
TEST(PackingSteps, NothingIsPutInBeforeWhatLiesBelowIt) {
  Packed packed({ItemOf("Plate", {6, 6, 1}, 2), ItemOf("Board", {6, 6, 3})}, {6, 6, 6});
  packed.Put(0, {0, 0, 4}, {6, 6, 1});
  packed.Put(2, {0, 0, 1}, {6, 6, 3});
  packed.Put(1, {0, 0, 0}, {6, 6, 1});
  const std::vector<std::string> expected = {"Lay one of \"Plate\" flat, on the bottom.",
                                             "Lay \"Board\" flat, on top of \"Plate\".",
                                             "Lay another of \"Plate\" flat, on top of \"Board\".", kFill};
  EXPECT_EQ(packed.Steps(), expected);
}

TEST(PackingSteps, WhatIsHollowBelowIsFilledFirst) {
  Packed packed({ItemOf("Low", {4, 4, 2}), ItemOf("Wide", {8, 4, 2}), ItemOf("Hanging", {4, 4, 1})}, {12, 4, 5});
  packed.Put(0, {0, 0, 0}, {4, 4, 2});
  packed.Put(1, {0, 0, 2}, {8, 4, 2});
  packed.Put(2, {8, 0, 3}, {4, 4, 1});
  const std::vector<std::string> expected = {
      "Lay \"Low\" flat, on the bottom, at the left.",
      "Lay \"Wide\" flat, its 8 in side from left to right, on top of \"Low\", at the left. First fill what is hollow "
      "below the rest.",
      "Lay \"Hanging\" flat, on filling, 3 in above the bottom, at the right. First fill what is hollow below.", kFill};
  EXPECT_EQ(packed.Steps(), expected);
}

TEST(PackingSteps, GoodsOfOneNameInSeveralPlacesAreTakenApartByTheirSteps) {
  Packed packed({ItemOf("Block", {4, 4, 4}, 2), ItemOf("Lid", {8, 4, 1})}, {9, 4, 6});
  packed.Put(0, {0, 0, 0}, {4, 4, 4});
  packed.Put(1, {5, 0, 0}, {4, 4, 4});
  packed.Put(2, {0, 0, 4}, {8, 4, 1});
  const std::vector<std::string> steps = packed.Steps();
  ASSERT_EQ(steps.size(), 4u);
  EXPECT_EQ(steps[1], "Put another of \"Block\" on the bottom, at the right.");
  EXPECT_EQ(
      steps[2],
      "Lay \"Lid\" flat, its 8 in side from left to right, on top of \"Block\" of step 1 and \"Block\" of step 2, "
      "at the left. First fill what is hollow below the rest.");
}

TEST(PackingSteps, FragileGoodsArePaddedAndNeighboursAcrossTheirPaddingAreToldTogether) {
  Packed packed({ItemOf("Bowl", {4, 4, 4}, 2), ItemOf("Book", {6, 4, 1})}, {12, 6, 8});
  ASSERT_TRUE(packed.request.goods[0].contents.Add("fragile").ok());
  packed.Put(0, {1, 1, 1}, {4, 4, 4});
  packed.Put(1, {6, 1, 1}, {4, 4, 4});
  packed.Put(2, {0, 0, 6}, {6, 4, 1});
  const std::vector<std::string> expected = {
      "Put both of \"Bowl\", side by side from left to right, on the padding of the bottom, at the left, with 1 in of "
      "padding on every side of each.",
      "Lay \"Book\" flat, its 6 in side from left to right, on top of \"Bowl\", in the left front corner. First fill "
      "what is hollow below the rest.",
      kFill};
  EXPECT_EQ(packed.Steps(), expected);
  packed.request.padding = Length::Millimetres(12);
  const std::vector<std::string> steps = packed.Steps();
  ASSERT_FALSE(steps.empty());
  EXPECT_EQ(steps.front(), "Line the carton with 0.47 in of padding: bottom, walls and top.");
}

TEST(PackingSteps, ACartonIsCutDownFirst) {
  Packed packed({ItemOf("Plate", {6, 6, 1}, 2)}, {6, 6, 6});
  packed.candidate.cut_to = *Length::Parse("2.3 in");
  const std::string cut =
      "Cut the carton \"Carton 12\" down to a height of 2.3 in outside; inside it is then 2 in high.";
  // One unit needs no arrangement, but to know where to cut.
  EXPECT_EQ(packed.Steps(), std::vector<std::string>{cut});
  packed.Put(0, {0, 0, 0}, {6, 6, 1});
  packed.Put(1, {0, 0, 1}, {6, 6, 1});
  EXPECT_EQ(packed.Steps(),
            (std::vector<std::string>{cut, "Lay both of \"Plate\" flat, one on the other, on the bottom."}));
  packed.request.side_units = UnitSystem::kMetric;
  EXPECT_EQ(packed.Steps().front(),
            "Cut the carton \"Carton 12\" down to a height of 5.842 cm outside; inside it is then 5.08 cm high.");
  packed.candidate.packaging = nullptr;
  EXPECT_EQ(packed.Steps(), std::vector<std::string>());
}

TEST(PackingSteps, EachUnitIsOfTheStepThatPutsItIn) {
  Packed packed({ItemOf("Tin", {4, 4, 2}), ItemOf("Board game", {10, 8, 2}, 3)}, {12, 9, 8});
  packed.candidate.cut_to = Length::Inches(8);
  packed.Put(0, {0, 0, 6}, {4, 4, 2});
  packed.Put(3, {0, 0, 4}, {10, 8, 2});
  packed.Put(1, {0, 0, 0}, {10, 8, 2});
  packed.Put(2, {0, 0, 2}, {10, 8, 2});
  packed.candidate.arrangement = std::make_shared<const std::vector<Placement>>(packed.placements);
  const absl::StatusOr<Ranking> ranking = Rank(testing::Demo().book, nullptr, packed.request);
  ASSERT_TRUE(ranking.ok()) << ranking.status();
  EXPECT_EQ(StepsOfUnits(*ranking, packed.candidate), (std::vector<std::size_t>{3, 2, 2, 2}));
  packed.candidate.arrangement = nullptr;
  EXPECT_TRUE(StepsOfUnits(*ranking, packed.candidate).empty());
}

TEST(PackingSteps, UnitsOfARequestAreCountedByItem) {
  Request request;
  request.goods = {ItemOf("", {1, 1, 1}, 2), ItemOf("", {1, 1, 1}), ItemOf("", {1, 1, 1}, 3)};
  const std::pair<std::size_t, std::size_t> expected[] = {{0, 0}, {0, 1}, {1, 0}, {2, 0}, {2, 1}, {2, 2}};
  for (std::size_t i = 0; i < std::size(expected); ++i) {
    const GoodsUnit unit = GoodsUnitOf(request, i);
    EXPECT_EQ(std::pair(unit.item, unit.unit), expected[i]) << i;
  }
}

}  // namespace
}  // namespace tarewise::packing_steps_test
