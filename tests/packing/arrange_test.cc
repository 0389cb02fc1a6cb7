// What is asked of arrangements beside the tiny rooms: flags one by one, bad input, many units, long sides, threads.
#include "tarewise/packing/arrange.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include "packing/boxes.h"
#include "packing/made.h"
#include "support/fewer.h"

namespace tarewise::testing {
namespace packing_arrange {

constexpr std::int64_t kMillimetre = 1'000'000;

PackUnit Of(std::int64_t a, std::int64_t b, std::int64_t c) {
  PackUnit unit;
  unit.sides = {a, b, c};
  return unit;
}

// Lies on the face of its first two sides.
PackUnit Flat(std::int64_t a, std::int64_t b, std::int64_t c) {
  PackUnit unit = Of(a, b, c);
  unit.may_stand = {false, false, true};
  return unit;
}

Room RoomOf(std::int64_t a, std::int64_t b, std::int64_t c) { return {.sides = {a, b, c}}; }

Fit FitOf(const std::vector<PackUnit>& units, const Room& room) {
  const Arrangement answer = Arrange(units, room);
  if (answer.fit == Fit::kFits) {
    const std::optional<std::string> wrong = CheckArrangement(units, room, answer.placements);
    EXPECT_FALSE(wrong) << *wrong;
  }
  EXPECT_EQ(answer.fit == Fit::kDoesNotFit, answer.proof != FitProof::kNone);
  EXPECT_EQ(answer.fit == Fit::kFits, answer.placements.size() == units.size());
  return answer.fit;
}

TEST(PackingArrange, BesideStackedBoxes) {
  // Three boxes and a cube, in tenths of an inch: the cube goes beside the stacked boxes.
  const std::vector<PackUnit> units = {Of(100, 80, 20), Of(100, 80, 20), Of(100, 80, 20), Of(50, 50, 50)};
  EXPECT_EQ(FitOf(units, RoomOf(150, 80, 60)), Fit::kFits);
  EXPECT_EQ(FitOf(units, RoomOf(149, 80, 60)), Fit::kDoesNotFit);
}

TEST(PackingArrange, Proofs) {
  Arrangement answer = Arrange(std::vector{Of(1, 1, 1), Of(5, 1, 1)}, RoomOf(4, 4, 4));
  EXPECT_EQ(answer.proof, FitProof::kUnitTooLarge);
  EXPECT_EQ(answer.unit, 1u);
  answer = Arrange(std::vector{Of(4, 4, 3), Of(4, 4, 2)}, RoomOf(4, 4, 4));
  EXPECT_EQ(answer.proof, FitProof::kVolume);
  // Two cubes of over half a side each.
  answer = Arrange(std::vector{Of(51, 51, 51), Of(51, 51, 51)}, RoomOf(100, 100, 100));
  EXPECT_EQ(answer.proof, FitProof::kBound);
  EXPECT_EQ(answer.nodes, 0);
}

TEST(PackingArrange, NothingFits) {
  EXPECT_EQ(Arrange({}, RoomOf(0, 0, 0)).fit, Fit::kFits);
  EXPECT_EQ(FitOf({Of(1, 1, 1)}, RoomOf(0, 5, 5)), Fit::kDoesNotFit);
  EXPECT_EQ(FitOf({Of(1, 1, 1)}, RoomOf(-3, 5, 5)), Fit::kDoesNotFit);
}

TEST(PackingArrange, Turnings) {
  PackUnit pole = Of(1, 1, 9);
  EXPECT_EQ(FitOf({pole}, RoomOf(9, 1, 1)), Fit::kFits);
  pole.this_side_up = true;
  EXPECT_EQ(FitOf({pole}, RoomOf(9, 1, 1)), Fit::kDoesNotFit);
  EXPECT_EQ(FitOf({pole}, RoomOf(1, 1, 9)), Fit::kFits);
  PackUnit plank = Of(9, 2, 1);
  plank.may_stand = {false, true, true};
  EXPECT_EQ(FitOf({plank}, RoomOf(1, 2, 9)), Fit::kDoesNotFit);
  EXPECT_EQ(FitOf({plank}, RoomOf(9, 1, 2)), Fit::kFits);
  plank.may_stand = {false, false, false};
  EXPECT_EQ(FitOf({plank}, RoomOf(50, 50, 50)), Fit::kDoesNotFit);
  plank.may_stand = {true, true, false};
  plank.this_side_up = true;
  EXPECT_EQ(FitOf({plank}, RoomOf(50, 50, 50)), Fit::kDoesNotFit);
}

TEST(PackingArrange, FreeTops) {
  std::vector<PackUnit> units = {Flat(4, 4, 2), Flat(4, 4, 2)};
  for (PackUnit& unit : units) unit.top_free = true;
  EXPECT_EQ(FitOf(units, RoomOf(4, 4, 4)), Fit::kDoesNotFit);
  units[0].top_free = false;
  EXPECT_EQ(FitOf(units, RoomOf(4, 4, 4)), Fit::kFits);
  // At any height: not with a gap between either.
  units = {Of(4, 4, 1), Of(4, 2, 1)};
  units[0].top_free = units[1].top_free = true;
  EXPECT_EQ(FitOf(units, RoomOf(4, 5, 9)), Fit::kFits);  // stands beside
  units[1].may_stand = units[0].may_stand = {false, false, true};
  EXPECT_EQ(FitOf(units, RoomOf(4, 5, 9)), Fit::kDoesNotFit);
}

TEST(PackingArrange, Loads) {
  std::vector<PackUnit> units = {Flat(4, 4, 2), Flat(4, 4, 1), Flat(4, 4, 1)};
  for (PackUnit& unit : units) unit.weight = 10;
  units[0].bears = 20;
  units[1].bears = units[2].bears = 0;
  EXPECT_EQ(FitOf(units, RoomOf(4, 4, 4)), Fit::kDoesNotFit);  // one of the two is under the other
  units[2].bears = 10;
  EXPECT_EQ(FitOf(units, RoomOf(4, 4, 4)), Fit::kFits);
  units[0].bears = 19;
  EXPECT_EQ(FitOf(units, RoomOf(4, 4, 4)), Fit::kDoesNotFit);
  units[2].bears = 20;
  EXPECT_EQ(FitOf(units, RoomOf(4, 4, 4)), Fit::kFits);
}

TEST(PackingArrange, Paddings) {
  std::vector<PackUnit> units = {Of(4, 4, 4), Of(4, 4, 4), Of(4, 4, 4)};
  Room room = RoomOf(12, 4, 4);
  EXPECT_EQ(FitOf(units, room), Fit::kFits);
  room.wall_padding = 1;
  room.sides = {14, 6, 6};
  EXPECT_EQ(FitOf(units, room), Fit::kFits);
  room.sides = {14, 6, 5};
  EXPECT_EQ(FitOf(units, room), Fit::kDoesNotFit);
  // Once between neighbours, and from a wall the larger of the two.
  units = {Of(5, 5, 5), Of(5, 5, 5), Of(5, 5, 5)};
  room.padding = 3;
  units[1].padded = true;
  room.sides = {1 + 5 + 5 + 3 + 5 + 3, 11, 11};
  EXPECT_EQ(FitOf(units, room), Fit::kFits);
  --room.sides[0];
  EXPECT_EQ(FitOf(units, room), Fit::kDoesNotFit);
  units[0].padded = units[2].padded = true;
  room.sides = {3 + 5 + 3 + 5 + 3 + 5 + 3, 11, 11};
  EXPECT_EQ(FitOf(units, room), Fit::kFits);
  --room.sides[0];
  EXPECT_EQ(FitOf(units, room), Fit::kDoesNotFit);
  room.padding = kLongestPackSide;
  EXPECT_EQ(FitOf(units, room), Fit::kDoesNotFit);
}

TEST(PackingArrange, BadInput) {
  const Room room = RoomOf(10, 10, 10);
  for (const std::int64_t side : {std::int64_t{0}, std::int64_t{-1}, kLongestPackSide + 1, INT64_MAX, INT64_MIN}) {
    EXPECT_TRUE(CheckPackInput(std::vector{Of(1, side, 1)}, room).has_value()) << side;
    EXPECT_EQ(Arrange(std::vector{Of(1, side, 1)}, room).fit, Fit::kUnknown) << side;
  }
  EXPECT_EQ(*CheckPackInput(std::vector{Of(1, 1, 1), Of(1, 1, 0)}, room),
            "unit 1 has a side of 0 nm, expected above 0 and at most 50 m");
  PackUnit heavy = Of(1, 1, 1);
  heavy.weight = -1;
  EXPECT_TRUE(CheckPackInput(std::vector{heavy}, room).has_value());
  heavy.weight = 1;
  heavy.bears = INT64_MAX;
  EXPECT_TRUE(CheckPackInput(std::vector{heavy}, room).has_value());
  EXPECT_TRUE(CheckPackInput({}, Room{.sides = {1, 1, 1}, .padding = -1}).has_value());
  EXPECT_TRUE(CheckPackInput({}, Room{.sides = {1, INT64_MAX, 1}}).has_value());
  EXPECT_TRUE(CheckPackInput(std::vector<PackUnit>(kMostPackUnits + 1, Of(1, 1, 1)), room).has_value());
  EXPECT_FALSE(CheckPackInput(std::vector<PackUnit>(kMostPackUnits, Of(1, 1, 1)), room).has_value());
}

TEST(PackingArrange, LongestSides) {
  const std::int64_t most = kLongestPackSide;
  EXPECT_EQ(FitOf({Of(most, most, most / 2), Of(most, most / 2, most / 2), Of(most, most / 2, most / 2)},
                  RoomOf(most, most, most)),
            Fit::kFits);
  EXPECT_EQ(FitOf({Of(most, most, most / 2), Of(most, most / 2, most / 2), Of(most, most / 2, most / 2 + 1)},
                  RoomOf(most, most, most)),
            Fit::kDoesNotFit);
  // No measure in common but one nanometre, so that no list of lengths is made.
  std::vector<PackUnit> odd;
  for (std::int64_t i = 0; i < 9; ++i) odd.push_back(Of(most / 3 + i, most / 2 - 7 * i, most / 2 + 1 - i * i));
  EXPECT_EQ(FitOf(odd, RoomOf(most, most, most)), Fit::kUnknown) << "a search over long odd lengths ends by its budget";
}

TEST(PackingArrange, ManyUnits) {
  const std::vector<PackUnit> units(1000 / kFewer, Of(10, 10, 10));
  EXPECT_EQ(FitOf(units, RoomOf(100, 100, 100)), Fit::kFits);
  EXPECT_EQ(FitOf(std::vector<PackUnit>(10'000, Of(10, 10, 10)), RoomOf(100, 100, 100)), Fit::kDoesNotFit);
}

// One by one they are not placed: it takes blocks of equal units.
TEST(PackingArrange, ManyEqualUnitsGoInByBlocks) {
  // 3 x 4 x 2 of 5 x 3 x 2, and 30 of 4 x 3 x 2 beside them.
  std::vector<PackUnit> units(24, Of(5, 3, 2));
  units.insert(units.end(), 30, Of(4, 3, 2));
  EXPECT_EQ(FitOf(units, RoomOf(15, 12, 8)), Fit::kFits);
  units.emplace_back(Of(1, 1, 1));
  EXPECT_EQ(Arrange(units, RoomOf(15, 12, 8)).proof, FitProof::kVolume);
}

TEST(PackingArrange, Settled) {
  // Nothing floats: each unit is on the floor or on another.
  for (std::uint64_t number = 0; number < 40; ++number) {
    const MadePacking made = MakeOrder(GoodsSort::kDifferent, 6, 1, number);
    const Arrangement answer = Arrange(made.units, made.room);
    for (const Placement& one : answer.placements) {
      bool rests = one.at[2] == 0;
      for (const Placement& other : answer.placements) {
        bool over = other.at[2] + other.sides[2] == one.at[2];
        for (std::size_t axis = 0; axis < 2; ++axis) {
          over = over && one.at[axis] < other.at[axis] + other.sides[axis] &&
                 other.at[axis] < one.at[axis] + one.sides[axis];
        }
        rests = rests || over;
      }
      EXPECT_TRUE(rests) << "order " << number << " unit " << one.unit;
    }
  }
}

bool Same(const Arrangement& a, const Arrangement& b) {
  bool same = a.fit == b.fit && a.proof == b.proof && a.nodes == b.nodes && a.placements.size() == b.placements.size();
  for (std::size_t i = 0; same && i < a.placements.size(); ++i) {
    same = a.placements[i].unit == b.placements[i].unit && a.placements[i].at == b.placements[i].at &&
           a.placements[i].sides == b.placements[i].sides;
  }
  return same;
}

TEST(PackingArrange, SameOnEveryThread) {
  constexpr std::size_t kThreads = 4;
  const std::size_t orders = 120 / kFewer;
  std::array<std::vector<Arrangement>, kThreads> answers;
  std::vector<std::thread> threads;
  for (std::size_t thread = 0; thread < kThreads; ++thread) {
    threads.emplace_back([&answers, thread, orders] {
      for (std::size_t number = 0; number < orders; ++number) {
        const GoodsSort sort = number % 2 == 0 ? GoodsSort::kDifferent : GoodsSort::kRepeated;
        const MadePacking made = MakeOrder(sort, 8, number % kFillBands, number);
        answers[thread].push_back(Arrange(made.units, made.room, {500}));
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  for (std::size_t thread = 1; thread < kThreads; ++thread) {
    for (std::size_t i = 0; i < orders; ++i) EXPECT_TRUE(Same(answers[0][i], answers[thread][i])) << i;
  }
}

TEST(PackingArrange, EqualUnitsOfTwoBlocks) {
  // Six in two piles of three, 212 by 281 and 189 high, and beside them four in two piles of two, 212 by 189 and 281
  // high.
  const std::vector<PackUnit> units(10, Of(189, 281, 212));
  EXPECT_EQ(FitOf(units, RoomOf(459, 479, 619)), Fit::kFits);
}

TEST(PackingArrange, WhatWasStackedIsNotRefused) {
  // Two blocks of equal boxes, each turned its own way, side by side, and a little more room than they take.
  MadeNumbers random(7);
  std::size_t tried = 0;
  std::size_t fits = 0;
  for (std::size_t number = 0; number < Cases(300, 1'500); ++number) {
    const PackUnit unit = Of(random.Between(19, 40), random.Between(19, 40), random.Between(19, 40));
    std::array<std::array<std::int64_t, 3>, 2> block;
    std::int64_t count = 0;
    for (std::array<std::int64_t, 3>& sides : block) {
      std::array<std::int64_t, 3> turned = unit.sides;
      for (std::size_t i = 2; i > 0; --i) {
        std::swap(turned[i], turned[static_cast<std::size_t>(random.Between(0, static_cast<std::int64_t>(i)))]);
      }
      std::int64_t boxes = 1;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const std::int64_t beside = random.Between(1, 3);
        sides[axis] = turned[axis] * beside;
        boxes *= beside;
      }
      count += boxes;
    }
    if (count < 3 || count > 16) continue;
    Room room;
    const std::size_t along = static_cast<std::size_t>(random.Between(0, 2));
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const std::int64_t both = block[0][axis] + block[1][axis];
      room.sides[axis] = (axis == along ? both : std::max(block[0][axis], block[1][axis])) + random.Between(0, 12);
    }
    const std::vector<PackUnit> units(static_cast<std::size_t>(count), unit);
    const Arrangement answer = Arrange(units, room, {2'000});
    ++tried;
    fits += answer.fit == Fit::kFits ? 1 : 0;
    EXPECT_NE(answer.fit, Fit::kDoesNotFit) << number;
  }
  EXPECT_GE(fits * 10, tried * 9);
}

TEST(PackingArrange, FewNodesAreEnoughOrUnknown) {
  std::size_t unknown = 0;
  for (std::uint64_t number = 0; number < 60; ++number) {
    const MadePacking made = MakeOrder(GoodsSort::kDifferent, 8, 4, number);
    const Arrangement none = Arrange(made.units, made.room, {0});
    const Arrangement few = Arrange(made.units, made.room, {300});
    EXPECT_LE(few.nodes, 301);
    if (none.fit == Fit::kUnknown) {
      ++unknown;
    } else {
      EXPECT_EQ(none.fit, few.fit) << number;
    }
  }
  EXPECT_GE(unknown, 5u);
}

TEST(PackingArrange, CheckSees) {
  const std::vector<PackUnit> units = {Of(4, 4, 2), Flat(4, 4, 2)};
  const Room room = RoomOf(4, 4, 4);
  const std::vector<Placement> good = {{0, {0, 0, 0}, {4, 4, 2}}, {1, {0, 0, 2}, {4, 4, 2}}};
  EXPECT_FALSE(CheckArrangement(units, room, good));
  std::vector<Placement> bad = good;
  bad[1].at[2] = 1;
  EXPECT_EQ(*CheckArrangement(units, room, bad), "units 0 and 1 are -1 nm apart, expected at least 0");
  bad[1].at[2] = 3;
  EXPECT_EQ(*CheckArrangement(units, room, bad), "unit 1 is at 3 to 5 nm along axis 2, expected 0 to 4 nm");
  bad[1].sides = {2, 4, 4};
  EXPECT_EQ(*CheckArrangement(units, room, bad), "unit 1 is turned as it may not be");
  bad[1] = bad[0];
  EXPECT_EQ(*CheckArrangement(units, room, bad), "unit 0 is placed twice, or is none of the units");
  bad.pop_back();
  EXPECT_EQ(*CheckArrangement(units, room, bad), "1 placements, expected 2");
  std::vector<PackUnit> loaded = units;
  loaded[0].top_free = true;
  EXPECT_EQ(*CheckArrangement(loaded, room, good),
            "of units 0 and 1 one is above the other, which takes nothing on top");
  loaded[0].top_free = false;
  loaded[0].bears = 4;
  loaded[1].weight = 5;
  EXPECT_EQ(*CheckArrangement(loaded, room, good), "unit 0 bears 5 ng, expected at most 4");
  loaded[1].padded = true;
  EXPECT_TRUE(CheckArrangement(loaded, Room{.sides = {9, 9, 9}, .padding = 1}, good).has_value());
}

}  // namespace packing_arrange
}  // namespace tarewise::testing
