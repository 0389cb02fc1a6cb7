// Many goods in one room and in equal rooms: published sets, flags, hostile sizes. Each filling is checked pair by
// pair.
#include "tarewise/packing/fill.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <fstream>
#include <limits>
#include <span>
#include <string>
#include <vector>

#include "packing/fill_check.h"
#include "packing/made.h"
#include "packing/published.h"

namespace tarewise {
namespace {

using testing::BischoffRatcliff;
using testing::FillProblem;
using testing::kMillimetre;
using testing::MadeNumbers;
using testing::MartelloPisingerVigo;
using testing::Utilisation;
using testing::WrongWith;

constexpr std::array<int, 7> kTypes = {3, 5, 8, 10, 12, 15, 20};

void ExpectAllPacked(const Binning& binning, std::span<const FillGood> goods, const Room& room) {
  std::vector<std::int64_t> count = binning.left;
  for (const Filling& filling : binning.rooms) {
    EXPECT_EQ(WrongWith(filling, goods, room), "");
    EXPECT_FALSE(filling.placements.empty());
    for (std::size_t i = 0; i < goods.size(); ++i) count[i] += filling.packed[i];
  }
  for (std::size_t i = 0; i < goods.size(); ++i) EXPECT_EQ(count[i], std::max<std::int64_t>(0, goods[i].quantity)) << i;
  EXPECT_LE(binning.bound, static_cast<std::int64_t>(binning.rooms.size()));
}

void CompareWithFile(const std::string& name, int types, int problems) {
  std::ifstream file(TW_TEST_ROOT "/tests/packing/data/" + name);
  ASSERT_TRUE(file);
  int count = 0;
  file >> count;
  ASSERT_EQ(count, problems);
  for (int p = 1; p <= problems; ++p) {
    const FillProblem made = BischoffRatcliff(types, p);
    std::int64_t number = 0, seed = 0, found_types = 0;
    std::array<std::int64_t, 3> room = {};
    file >> number >> seed >> room[0] >> room[1] >> room[2] >> found_types;
    EXPECT_EQ(number, p);
    EXPECT_EQ(found_types, types);
    for (std::size_t j = 0; j < 3; ++j) EXPECT_EQ(made.room.sides[j], room[j] * kMillimetre);
    for (const FillGood& good : made.goods) {
      std::int64_t type = 0, quantity = 0;
      file >> type;
      for (std::size_t j = 0; j < 3; ++j) {
        std::int64_t side = 0;
        int may_stand = 0;
        file >> side >> may_stand;
        EXPECT_EQ(good.sides[j], side * kMillimetre) << made.name << ", type " << type;
        EXPECT_EQ(good.may_stand[j], may_stand == 1) << made.name << ", type " << type;
      }
      file >> quantity;
      EXPECT_EQ(good.quantity, quantity) << made.name << ", type " << type;
    }
  }
  EXPECT_TRUE(file);
}

TEST(PublishedProblems, ContainersAreTheFilesNumbers) {
  CompareWithFile("thpack1.txt", 3, 100);
  CompareWithFile("thpack7_first_10.txt", 20, 10);
}

// 8238: the sum over the 320 problems of the larger of the volume's bound and the number of units that are longer than
// half of the bin along each axis, as an implementation of others gives it.
TEST(PublishedProblems, BinsHaveTheirSum) {
  std::int64_t sum = 0;
  for (int kind = 1; kind <= 8; ++kind) {
    for (int size : {50, 100, 150, 200}) {
      for (int replicate = 1; replicate <= 10; ++replicate) {
        const FillProblem made = MartelloPisingerVigo(kind, size, replicate);
        const std::int64_t side = made.room.sides[0] / kMillimetre;
        std::int64_t volume = 0, large = 0;
        for (const FillGood& good : made.goods) {
          std::int64_t product = 1;
          bool is_large = true;
          for (std::int64_t nm : good.sides) {
            product *= nm / kMillimetre;
            is_large = is_large && nm * 2 > made.room.sides[0];
          }
          volume += product;
          large += is_large ? 1 : 0;
        }
        sum += std::max((volume + side * side * side - 1) / (side * side * side), large);
      }
    }
  }
  EXPECT_EQ(sum, 8238);
}

TEST(FillRoom, PublishedContainersAreFilledWell) {
  std::int64_t one_pass = 0, beam = 0, count = 0;
  for (int types : kTypes) {
    for (int problem = 1; problem <= 100; problem += 20) {
      const FillProblem made = BischoffRatcliff(types, problem);
      const Filling quick = FillRoom(made.goods, made.room, {.steps = 1});
      EXPECT_EQ(WrongWith(quick, made.goods, made.room), "") << made.name;
      const Filling longer = FillRoom(made.goods, made.room, {.steps = 1'500});
      EXPECT_EQ(WrongWith(longer, made.goods, made.room), "") << made.name;
      EXPECT_GE(Utilisation(longer, made.room), Utilisation(quick, made.room)) << made.name;
      one_pass += Utilisation(quick, made.room);
      beam += Utilisation(longer, made.room);
      ++count;
    }
  }
  EXPECT_GE(one_pass / count, 8900);
  EXPECT_GE(beam / count, 9300);
}

TEST(FillRooms, PublishedBinsAreFew) {
  std::size_t rooms = 0;
  for (int kind = 1; kind <= 8; ++kind) {
    for (int size : {50, 100, 150, 200}) {
      const FillProblem made = MartelloPisingerVigo(kind, size, 1);
      const Binning found = FillRooms(made.goods, made.room, {.steps = 20'000});
      ExpectAllPacked(found, made.goods, made.room);
      rooms += found.rooms.size();
    }
  }
  EXPECT_LE(rooms, 1000U);
}

// The check of arrangements, which shares nothing with this one.
std::string WrongAsArranged(const Filling& filling, std::span<const FillGood> goods, const Room& room) {
  std::vector<PackUnit> units;
  std::vector<Placement> placements = filling.placements;
  for (Placement& p : placements) {
    const FillGood& good = goods[p.unit];
    p.unit = units.size();
    units.push_back({.sides = good.sides,
                     .this_side_up = good.as_written,
                     .may_stand = good.as_written ? std::array{false, false, true} : good.may_stand,
                     .top_free = good.top_free,
                     .bears = {}});
  }
  return CheckArrangement(units, room, placements).value_or("");
}

FillProblem Random(MadeNumbers& numbers, std::int64_t step) {
  FillProblem made;
  for (std::int64_t& side : made.room.sides) side = numbers.Between(20, 60) * step;
  made.room.wall_padding = numbers.In(30) ? numbers.Between(1, 3) * step : 0;
  for (std::int64_t i = numbers.Between(1, 12); i > 0; --i) {
    FillGood good;
    for (std::int64_t& side : good.sides) side = numbers.Between(2, 40) * step;
    for (bool& may : good.may_stand) may = numbers.In(60);
    good.as_written = numbers.In(10);
    good.top_free = numbers.In(30);
    good.quantity = numbers.Between(0, 12);
    made.goods.push_back(good);
  }
  return made;
}

TEST(Fill, RulesAreKept) {
  MadeNumbers numbers(7);
  std::size_t free_tops = 0, standing = 0;
  for (int i = 0; i < 400; ++i) {
    // Millimetres, and lengths that have nothing in common with them.
    const FillProblem made = Random(numbers, i % 2 == 0 ? kMillimetre : numbers.Between(1, 12'345'679));
    const Filling filling = FillRoom(made.goods, made.room, {.steps = 200});
    ASSERT_EQ(WrongWith(filling, made.goods, made.room), "") << i;
    ASSERT_EQ(WrongAsArranged(filling, made.goods, made.room), "") << i;
    for (const Placement& p : filling.placements) {
      free_tops += made.goods[p.unit].top_free ? 1 : 0;
      standing += !made.goods[p.unit].as_written && p.sides[2] != made.goods[p.unit].sides[2] ? 1 : 0;
    }
    ExpectAllPacked(FillRooms(made.goods, made.room, {.steps = 500}), made.goods, made.room);
  }
  EXPECT_GT(free_tops, 300U);
  EXPECT_GT(standing, 300U);
}

// Rooms that were cut up: so many rooms hold the pieces, and no bound may say more.
TEST(FillRooms, NoBoundIsAboveWhatHoldsThem) {
  MadeNumbers numbers(11);
  std::int64_t tight = 0;
  for (int i = 0; i < 300; ++i) {
    const std::int64_t step = i % 3 == 0 ? 1 : numbers.Between(1, 999'983);
    const std::int64_t side = numbers.Between(2, 50);
    const Room room{.sides = {side * step, side * step, side * step}};
    const std::int64_t rooms = numbers.Between(1, 5);
    std::vector<FillGood> goods;
    for (std::int64_t r = 0; r < rooms; ++r) {
      std::vector<std::array<std::int64_t, 3>> pieces = {{side, side, side}};
      for (std::int64_t cut = numbers.Between(0, 6); cut > 0; --cut) {
        const auto which = static_cast<std::size_t>(numbers.Between(0, static_cast<std::int64_t>(pieces.size()) - 1));
        const auto axis = static_cast<std::size_t>(numbers.Between(0, 2));
        if (pieces[which][axis] < 2) continue;
        const std::int64_t at = numbers.Between(1, pieces[which][axis] - 1);
        pieces.push_back(pieces[which]);
        pieces.back()[axis] = at;
        pieces[which][axis] -= at;
      }
      for (const auto& piece : pieces) {
        goods.push_back({.sides = {piece[0] * step, piece[1] * step, piece[2] * step}, .as_written = numbers.In(50)});
      }
    }
    const Binning found = FillRooms(goods, room, {.steps = 300});
    EXPECT_LE(found.bound, rooms) << i;
    tight += found.bound == rooms ? 1 : 0;
    ExpectAllPacked(found, goods, room);
  }
  EXPECT_EQ(tight, 300);  // they fill their rooms: volume alone says so
}

TEST(FillRooms, ALengthAboveTheHalfIsAloneOnItsAxis) {
  const FillGood good{.sides = {51, 51, 51}, .quantity = 7};
  const Binning found = FillRooms(std::vector{good}, Room{.sides = {100, 101, 101}});
  EXPECT_EQ(found.rooms.size(), 7U);
  EXPECT_EQ(found.bound, 7);
}

TEST(FillRoom, EqualGoodsFillARoomToTheLast) {
  // 10,000 cubes, and the same again in rows of one each: recognised as alike.
  const Room room{.sides = {25'000'000, 20'000'000, 20'000'000}};
  const std::array<std::int64_t, 3> cube = {1'000'000, 1'000'000, 1'000'000};
  const Filling whole = FillRoom(std::vector{FillGood{.sides = cube, .quantity = 20'000}}, room, {.steps = 1});
  EXPECT_EQ(whole.placements.size(), 10'000U);
  EXPECT_LT(whole.steps, 100);
  const std::vector<FillGood> rows(1'000, FillGood{.sides = cube});
  const Room small{.sides = {10'000'000, 10'000'000, 10'000'000}};
  const Filling by_rows = FillRoom(rows, small, {.steps = 1});
  EXPECT_EQ(WrongWith(by_rows, rows, small), "");
  EXPECT_EQ(by_rows.placements.size(), 1'000U);
  EXPECT_LT(by_rows.steps, 100);
}

TEST(FillRooms, ManyEqualGoodsTakeTheRoomsTheyMust) {
  const std::vector<FillGood> goods = {{.sides = {300, 200, 100}, .quantity = 1'800},
                                       {.sides = {900, 10, 10}, .quantity = 5}};
  const Room room{.sides = {600, 400, 300}};
  const Binning found = FillRooms(goods, room);
  EXPECT_EQ(found.rooms.size(), 150U);
  EXPECT_EQ(found.bound, 150);
  EXPECT_EQ(found.left, (std::vector<std::int64_t>{0, 5}));
}

TEST(Fill, HostileSizes) {
  constexpr std::int64_t kMost = std::numeric_limits<std::int64_t>::max();
  constexpr std::int64_t kLeast = std::numeric_limits<std::int64_t>::min();
  const std::vector<std::vector<FillGood>> all = {
      {},
      {{.sides = {0, 1, 1}}},
      {{.sides = {-5, 1, 1}, .quantity = 3}, {.sides = {1, 1, 1}, .quantity = -3}},
      {{.sides = {kMost, kMost, kMost}, .quantity = kMost}, {.sides = {kLeast, 1, kMost}, .quantity = kLeast}},
      {{.sides = {1, 1, 1}, .quantity = kMost}, {.sides = {7, 7, 7}, .quantity = kMost}},
      {{.sides = {999'999'937, 49'999'999'999, 1}, .quantity = 400}, {.sides = {24'999'999'999, 25'000'000'001, 3}}},
      {{.sides = {5, 6, 7}, .may_stand = {false, false, false}, .quantity = 4}},
  };
  const std::vector<Room> rooms = {
      Room{},
      Room{.sides = {-1, 5, 5}},
      Room{.sides = {10, 11, 12}},
      Room{.sides = {10, 11, 12}, .wall_padding = 5},
      Room{.sides = {50'000'000'000, 50'000'000'000, 50'000'000'000}},
      Room{.sides = {50'000'000'000, 7, 1}, .wall_padding = 3},
      Room{.sides = {kMost, kMost, kMost}, .wall_padding = kMost},
  };
  for (std::size_t g = 0; g < all.size(); ++g) {
    for (std::size_t r = 0; r < rooms.size(); ++r) {
      const Filling filling = FillRoom(all[g], rooms[r], {.steps = 50});
      EXPECT_EQ(filling.packed.size(), all[g].size());
      if (filling.placements.size() > 3'000) continue;  // pair by pair takes long
      EXPECT_EQ(WrongWith(filling, all[g], rooms[r]), "") << g << ", " << r;
    }
  }
  const Binning none = FillRooms(all[6], rooms[2]);
  EXPECT_TRUE(none.rooms.empty());
  EXPECT_EQ(none.left, std::vector<std::int64_t>{4});
  const Binning some = FillRooms(all[4], Room{.sides = {50, 50, 50}}, {.steps = 10});
  EXPECT_EQ(some.left, (std::vector<std::int64_t>{kMost - 10'000, kMost}));
}

// A room of 50 m and a unit that leaves it by a nanometre: rounding never lets goods overlap, nor the bound say too
// much.
TEST(Fill, LongRoomsAreRoundedSafely) {
  const std::int64_t half = 25'000'000'000;
  const std::vector<FillGood> goods = {{.sides = {half - 1, half - 3, half - 7}, .quantity = 8},
                                       {.sides = {1, 2, 5}, .quantity = 3}};
  const Room room{.sides = {2 * half, 2 * half, 2 * half}};
  EXPECT_EQ(WrongWith(FillRoom(goods, room), goods, room), "");
  const Binning found = FillRooms(goods, room, {.steps = 200});
  EXPECT_EQ(found.bound, 1);
  ExpectAllPacked(found, goods, room);
}

TEST(Fill, TheSameEachTime) {
  const FillProblem made = MartelloPisingerVigo(5, 50, 3);
  const Binning a = FillRooms(made.goods, made.room);
  const Binning b = FillRooms(made.goods, made.room);
  ASSERT_EQ(a.rooms.size(), b.rooms.size());
  EXPECT_EQ(a.steps, b.steps);
  for (std::size_t i = 0; i < a.rooms.size(); ++i) {
    ASSERT_EQ(a.rooms[i].placements.size(), b.rooms[i].placements.size());
    for (std::size_t j = 0; j < a.rooms[i].placements.size(); ++j) {
      EXPECT_EQ(a.rooms[i].placements[j].at, b.rooms[i].placements[j].at);
    }
  }
}

}  // namespace
}  // namespace tarewise
