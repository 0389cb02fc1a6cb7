// Several goods in one carton, and cartons that are cut down, with the demonstration's tables. Goods are invented.

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/demo_goods.h"
#include "support/fewer.h"
#include "support/goods_to_pack.h"
#include "support/random.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/ranking/growth.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::arranged_test {
namespace {

using testing::Demo;
using testing::LaneTo;
using testing::RequestOn;
using testing::ShelfWith;
using testing::ThingOf;

Packaging Carton(std::string_view inside, std::string_view wall) {
  Packaging carton = testing::CartonOf(inside, wall);
  carton.tare = Weight::Ounces(6);
  carton.cost = Amount::Micros(450'000);
  return carton;
}

Request Ask(std::vector<Item> goods, std::string_view to = "98101") {
  Request request = RequestOn(LaneTo("US", to));
  request.goods = std::move(goods);
  return request;
}

Ranking RankIn(const std::shared_ptr<const Shelf>& shelf, Request request) {
  absl::StatusOr<Ranking> ranking = Rank(Demo().book, shelf, std::move(request), {.thresholds = true});
  EXPECT_TRUE(ranking.ok()) << ranking.status();
  return *std::move(ranking);
}

std::vector<PackUnit> UnitsOf(const Request& request) {
  std::vector<PackUnit> units;
  for (const Item& item : request.goods) {
    PackUnit unit;
    for (std::size_t s = 0; s < 3; ++s) unit.sides[s] = item.sides[s].nanometres();
    unit.this_side_up = item.this_side_up;
    unit.may_stand = item.may_stand;
    unit.top_free = item.top_free;
    unit.padded = item.contents.Has(Trait::kFragile);
    unit.weight = item.weight.nanograms();
    if (item.bears) unit.bears = item.bears->nanograms();
    units.insert(units.end(), static_cast<std::size_t>(item.quantity), unit);
  }
  return units;
}

// What is wrong with where the units of a candidate lie, or "".
std::string WrongIn(const Ranking& ranking, const Candidate& candidate) {
  const Request& request = ranking.request();
  Room room;
  for (std::size_t i = 0; i < 3; ++i) room.sides[i] = candidate.packaging->inside[i].nanometres();
  if (candidate.cut_to) room.sides[2] -= (candidate.packaging->outside[2] - *candidate.cut_to).nanometres();
  room.padding = request.padding.value_or(Length::Inches(1)).nanometres();
  room.wall_padding = request.padding.value_or(Length()).nanometres();
  if (candidate.arrangement == nullptr) return "no arrangement";
  return CheckArrangement(UnitsOf(request), room, *candidate.arrangement).value_or("");
}

bool Fits(const Ranking& ranking) { return !ranking.candidates().empty(); }

std::string WhyNot(const Ranking& ranking) {
  return ranking.refusals().empty() ? "" : ranking.refusals().front().reasons.front().text;
}

TEST(Arranged, ACubeGoesBesideStackedBoxes) {
  // Piled they are 10 x 8 x 11 in, which only dearer cartons hold.
  const Ranking ranking = RankIn(Demo().shelf, Ask({ThingOf("10 x 8 x 2 in", 3), ThingOf("5 x 5 x 5 in")}));
  ASSERT_FALSE(ranking.offers().empty());
  const Candidate& best = ranking.candidates()[ranking.offers().front().candidate_index];
  EXPECT_EQ(WrongIn(ranking, best), "");
  for (const Candidate& candidate : ranking.candidates()) {
    if (candidate.packaging->kind != PackagingKind::kCarton) continue;
    EXPECT_EQ(WrongIn(ranking, candidate), "");
  }
  const std::string code(ranking.offers().front().packaging);
  EXPECT_NE(code, "used-paper");
  // A carton of 16 x 12 x 10 in takes them beside one another.
  EXPECT_TRUE(Fits(RankIn(ShelfWith(Carton("15 x 8 x 6 in", "0.1 in")), ranking.request())));
  EXPECT_FALSE(Fits(RankIn(ShelfWith(Carton("14.9 x 8 x 6 in", "0.1 in")), ranking.request())));
}

TEST(Arranged, RefusalsSayWhy) {
  EXPECT_EQ(WhyNot(RankIn(ShelfWith(Carton("9 x 8 x 6 in", "0.1 in")), Ask({ThingOf("10 x 2 x 2 in", 2)}))),
            "the longest side is 10 in, the carton has 9 in");
  EXPECT_EQ(WhyNot(RankIn(ShelfWith(Carton("10 x 8 x 6 in", "0.1 in")), Ask({ThingOf("10 x 8 x 4 in", 2)}))),
            "the goods fill 640 in3, the carton holds 480 in3");
  EXPECT_EQ(WhyNot(RankIn(ShelfWith(Carton("10 x 10 x 10 in", "0.1 in")), Ask({ThingOf("6 x 6 x 6 in", 2)}))),
            "no arrangement of these 2 units goes in");
}

TEST(Arranged, PaddingIsKeptBetweenFragileNeighboursOnce) {
  std::vector<Item> goods = {ThingOf("4 x 4 x 4 in", 2)};
  ASSERT_TRUE(goods[0].contents.Add("fragile").ok());
  EXPECT_TRUE(Fits(RankIn(ShelfWith(Carton("11 x 6 x 6 in", "0.1 in")), Ask(goods))));
  EXPECT_FALSE(Fits(RankIn(ShelfWith(Carton("10.9 x 6 x 6 in", "0.1 in")), Ask(goods))));
  // One that is not fragile may touch the carton, but not its neighbour.
  goods[0].quantity = 1;
  goods.push_back(ThingOf("4 x 4 x 4 in"));
  EXPECT_TRUE(Fits(RankIn(ShelfWith(Carton("10 x 6 x 6 in", "0.1 in")), Ask(goods))));
  EXPECT_FALSE(Fits(RankIn(ShelfWith(Carton("9.9 x 6 x 6 in", "0.1 in")), Ask(goods))));
  // A padding that is asked for is kept around all of them.
  Request padded = Ask({ThingOf("4 x 4 x 4 in", 2)});
  padded.padding = Length::Inches(1);
  EXPECT_TRUE(Fits(RankIn(ShelfWith(Carton("10 x 6 x 6 in", "0.1 in")), padded)));
  EXPECT_FALSE(Fits(RankIn(ShelfWith(Carton("9.9 x 6 x 6 in", "0.1 in")), padded)));
}

TEST(Arranged, GoodsLieAsTheyMay) {
  const std::shared_ptr<const Shelf> flat = ShelfWith(Carton("8 x 4 x 2 in", "0.1 in"));
  EXPECT_TRUE(Fits(RankIn(flat, Ask({ThingOf("4 x 4 x 2 in", 2)}))));
  std::vector<Item> goods = {ThingOf("4 x 4 x 2 in", 2)};
  goods[0].may_stand = {true, true, false};
  EXPECT_FALSE(Fits(RankIn(flat, Ask(goods))));
  EXPECT_EQ(WhyNot(RankIn(flat, Ask({goods}))), "the upright side is 4 in, the carton's is 2 in");
  // Beside this_side_up, which leaves the third side, it says nothing: of one as of several.
  goods[0].this_side_up = true;
  EXPECT_TRUE(Fits(RankIn(flat, Ask(goods))));
  goods[0].quantity = 1;
  EXPECT_TRUE(Fits(RankIn(flat, Ask(goods))));
  // Nothing on top of it: two such need the floor.
  const std::shared_ptr<const Shelf> high = ShelfWith(Carton("4 x 4 x 8 in", "0.1 in"));
  goods = {ThingOf("4 x 4 x 4 in", 2)};
  EXPECT_TRUE(Fits(RankIn(high, Ask(goods))));
  goods[0].top_free = true;
  EXPECT_FALSE(Fits(RankIn(high, Ask(goods))));
  goods[0].top_free = false;
  goods[0].bears = Weight::Ounces(9);
  EXPECT_TRUE(Fits(RankIn(high, Ask(goods))));
  goods[0].bears = Weight::Ounces(8);
  EXPECT_FALSE(Fits(RankIn(high, Ask(goods))));
}

// ---- cartons that are cut down ----

// The lowest total of a service for a sealed parcel, with what the packaging costs.
std::optional<Amount> SealedTotal(const std::shared_ptr<const Shelf>& shelf, const Request& asked, Weight weight,
                                  const Dimensions& sides, const Offer& like) {
  Request request = asked;
  request.goods.clear();
  request.parcel.emplace();
  request.parcel->weight = weight;
  request.parcel->sides = sides;
  request.parcel->packaging = "carton";
  const Ranking ranking = RankIn(shelf, request);
  for (const Offer& offer : ranking.offers()) {
    if (offer.carrier == like.carrier && offer.service == like.service) return offer.total;
  }
  return std::nullopt;
}

TEST(CutDown, EachServiceIsOfferedAtTheLowerTotal) {
  Packaging carton = Carton("17 x 13 x 12 in", "0.15 in");
  carton.least_height = Length::Inches(3);
  const std::shared_ptr<const Shelf> shelf = ShelfWith(carton);
  bool cut = false;
  bool whole = false;
  for (const std::string_view height : {"2.9 in", "4 in", "7.5 in", "11.9 in", "12 in"}) {
    const Request request = Ask({ThingOf("16 x 12 x " + std::string(height))});
    const Ranking ranking = RankIn(shelf, request);
    ASSERT_FALSE(ranking.offers().empty());
    const Length needed = std::max(*Length::Parse(height) + carton.wall + carton.wall, *carton.least_height);
    const Dimensions as_it_is(carton.outside[0], carton.outside[1], carton.outside[2]);
    const Dimensions lowered(carton.outside[0], carton.outside[1], needed);
    std::map<std::string, int> seen;
    for (const Offer& offer : ranking.offers()) {
      EXPECT_EQ(++seen[std::string(offer.carrier) + "/" + std::string(offer.service)], 1);
      const std::optional<Amount> a = SealedTotal(shelf, request, offer.weight, as_it_is, offer);
      const std::optional<Amount> b = SealedTotal(shelf, request, offer.weight, lowered, offer);
      ASSERT_TRUE(a || b);
      EXPECT_EQ(offer.total, std::min(a.value_or(*(b ? b : a)), b.value_or(*(a ? a : b))));
      const bool is_cut = b && (!a || *b < *a);
      EXPECT_EQ(offer.cut_to.has_value(), is_cut);
      EXPECT_EQ(offer.sides, is_cut ? lowered : as_it_is);
      (is_cut ? cut : whole) = true;
    }
    for (const Refusal& refusal : ranking.refusals()) {
      EXPECT_EQ(++seen[std::string(refusal.carrier) + "/" + std::string(refusal.service)], 1);
    }
  }
  EXPECT_TRUE(cut);
  EXPECT_TRUE(whole);
}

TEST(CutDown, GoodsLieAsLowAsTheyCan) {
  Packaging carton = Carton("12 x 8 x 12 in", "0.1 in");
  carton.least_height = Length::Inches(1);
  // Two side by side under a flat one: 4 in and not 8.
  const Ranking ranking = RankIn(ShelfWith(carton), Ask({ThingOf("6 x 8 x 3 in", 2), ThingOf("12 x 8 x 1 in")}));
  ASSERT_EQ(ranking.candidates().size(), 2u);
  EXPECT_EQ(ranking.candidates()[1].cut_to, *Length::Parse("4.2 in"));
  EXPECT_EQ(WrongIn(ranking, ranking.candidates()[0]), "");
  EXPECT_EQ(WrongIn(ranking, ranking.candidates()[1]), "");
}

TEST(CutDown, ARandomCartonIsNoLowerThanItsGoodsNeed) {
  testing::Random random(20261126);
  const int cases = static_cast<int>(400 / testing::kFewer);
  int cut = 0;
  for (int i = 0; i < cases; ++i) {
    Packaging carton =
        Carton(std::to_string(testing::Pick(random, 6, 14)) + " x " + std::to_string(testing::Pick(random, 5, 12)) +
                   " x " + std::to_string(testing::Pick(random, 4, 14)) + " in",
               "0.15 in");
    carton.least_height = Length::Inches(testing::Pick(random, 1, 3));
    std::vector<Item> goods;
    for (std::int64_t g = testing::Pick(random, 1, 3); g > 0; --g) {
      goods.push_back(ThingOf(std::to_string(testing::Pick(random, 1, 8)) + " x " +
                                  std::to_string(testing::Pick(random, 1, 7)) + " x " +
                                  std::to_string(testing::Pick(random, 1, 5)) + " in",
                              static_cast<std::int32_t>(testing::Pick(random, 1, 2))));
      goods.back().this_side_up = testing::Pick(random, 0, 4) == 0;
    }
    const Ranking ranking = RankIn(ShelfWith(carton), Ask(goods));
    if (ranking.candidates().size() != 2) continue;
    ++cut;
    const Candidate& lowered = ranking.candidates()[1];
    if (UnitsOf(ranking.request()).size() > 1) {
      EXPECT_EQ(WrongIn(ranking, lowered), "");
    }
    EXPECT_GE(*lowered.cut_to, *carton.least_height);
    if (*lowered.cut_to == *carton.least_height) continue;
    // A carton that is lower by a nanometre holds them no more.
    Packaging lower = carton;
    lower.least_height.reset();
    lower.outside[2] = *lowered.cut_to - Length::Nanometres(1);
    lower.inside[2] = lower.outside[2] - carton.wall - carton.wall;
    EXPECT_FALSE(Fits(RankIn(ShelfWith(lower), Ask(goods))));
  }
  EXPECT_GE(cut, cases / 8);
}

// ---- savers and growth ----

TEST(Arranged, ASideIsOnlyTakenOffWhereTheGoodsStillGoIn) {
  testing::Random random(7);
  const int cases = static_cast<int>(200 / testing::kFewer);
  int found = 0;
  for (int i = 0; i < cases; ++i) {
    const Packaging carton =
        Carton(std::to_string(testing::Pick(random, 10, 20)) + " x " + std::to_string(testing::Pick(random, 8, 16)) +
                   " x " + std::to_string(testing::Pick(random, 6, 14)) + " in",
               "0.15 in");
    const std::vector<Item> goods = {ThingOf(std::to_string(testing::Pick(random, 3, 9)) + " x 4 x 3 in", 2),
                                     ThingOf("5 x 5 x 2.5 in", 2)};
    const Ranking ranking = RankIn(ShelfWith(carton), Ask(goods, "60614"));
    for (const Offer& offer : ranking.offers()) {
      for (const Saver& saver : offer.savers) {
        if (saver.of == Aspect::kWeight) continue;
        ++found;
        // The carton's axis of that length: equal ones are the same carton.
        const Length longest = offer.sides.sides()[static_cast<std::size_t>(saver.of) - 1];
        const std::size_t axis = static_cast<std::size_t>(
            std::find(carton.outside.begin(), carton.outside.end(), longest) - carton.outside.begin());
        Packaging shorter = carton;
        shorter.inside[axis] = shorter.inside[axis] - saver.length;
        shorter.outside[axis] = shorter.outside[axis] - saver.length;
        const Ranking after = RankIn(ShelfWith(shorter), Ask(goods, "60614"));
        ASSERT_FALSE(after.offers().empty());
        EXPECT_EQ(after.offers().front().total, saver.total);
      }
    }
  }
  EXPECT_GE(found, cases / 10);
}

TEST(RoomToGrow, IsTheMostThatStillGoesIn) {
  const std::shared_ptr<const Shelf> shelf = ShelfWith(Carton("12 x 9 x 6 in", "0.1 in"));
  std::vector<Item> goods = {ThingOf("6 x 8 x 3 in", 2), ThingOf("5 x 4 x 2 in")};
  const Ranking ranking = RankIn(shelf, Ask(goods));
  ASSERT_TRUE(Fits(ranking));
  const std::vector<Growth> growth = RoomToGrow(ranking, ranking.candidates().front());
  ASSERT_EQ(growth.size(), goods.size());
  for (const Growth& one : growth) {
    for (std::size_t side = 0; side < 3; ++side) {
      std::vector<Item> grown = goods;
      grown[one.item].sides[side] = grown[one.item].sides[side] + one.sides[side];
      EXPECT_TRUE(Fits(RankIn(shelf, Ask(grown))));
      grown[one.item].sides[side] = grown[one.item].sides[side] + Length::Nanometres(1);
      EXPECT_FALSE(Fits(RankIn(shelf, Ask(grown))));
    }
  }
}

}  // namespace
}  // namespace tarewise::arranged_test
