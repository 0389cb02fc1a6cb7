// Goods in one packaging, with nothing else: what a ranking says of the same goods, and what is refused.

#include "tarewise/ranking/pack_goods.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>
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
#include "tarewise/ranking/rank.h"

namespace tarewise::pack_goods_test {
namespace {

using testing::ThingOf;

Packaging Carton(std::string_view inside) { return testing::CartonOf(inside, "0.15 in"); }

Request Ask(std::vector<Item> goods) {
  Request request;
  request.goods = std::move(goods);
  return request;
}

std::string ErrorOf(const Request& request, const Packaging& packaging) {
  return std::string(PackGoods(request, packaging).status().message());
}

// Of the ranking of the same goods with that packaging alone on the shelf.
TEST(PackGoods, IsWhatARankingSays) {
  testing::Random random(19);
  const int cases = static_cast<int>(120 / testing::kFewer);
  int fits = 0;
  int refused = 0;
  int cut = 0;
  for (int i = 0; i < cases; ++i) {
    const auto side = [&](int least, int most) { return std::to_string(testing::Pick(random, least, most)); };
    Packaging carton = Carton(side(9, 16) + " x " + side(7, 12) + " x " + side(5, 12) + " in");
    if (testing::Pick(random, 0, 1) == 1) carton.least_height = Length::Inches(2);
    std::vector<Item> goods = {
        ThingOf(side(3, 9) + " x 5 x 3 in", static_cast<std::int32_t>(testing::Pick(random, 1, 3))),
        ThingOf("4 x 4 x 5 in")};
    goods[1].top_free = testing::Pick(random, 0, 1) == 1;
    if (testing::Pick(random, 0, 3) == 0) {
      ASSERT_TRUE(goods[0].contents.Add("fragile").ok());
    }
    const std::shared_ptr<const Shelf> shelf = testing::ShelfWith(carton);
    Request request = testing::RequestOn(testing::LaneTo("US", "98101"));
    request.goods = goods;
    const absl::StatusOr<Packing> packed = PackGoods(request, carton);
    ASSERT_TRUE(packed.ok()) << packed.status();
    const absl::StatusOr<Ranking> ranking = Rank(testing::Demo().book, shelf, request);
    ASSERT_TRUE(ranking.ok()) << ranking.status();
    ASSERT_EQ(packed->fit == Fit::kFits, !ranking->candidates().empty());
    if (packed->fit != Fit::kFits) {
      ++refused;
      EXPECT_EQ(packed->fit == Fit::kUnknown, packed->proof == FitProof::kNone);
      EXPECT_EQ(packed->why, ranking->refusals().front().reasons.front().text);
      EXPECT_TRUE(TellPacking(request, carton, *packed).steps.empty());
      continue;
    }
    ++fits;
    const Candidate& candidate = ranking->candidates().back();
    EXPECT_EQ(packed->cut_height.has_value(), candidate.cut_to.has_value());
    if (candidate.cut_to) {
      ++cut;
      EXPECT_EQ(*packed->cut_height, candidate.cut_to->nanometres());
    }
    ASSERT_EQ(packed->placements.size(), candidate.arrangement->size());
    const std::array<Length, 3> inside = InsideOf(candidate);
    for (std::size_t k = 0; k < 3; ++k) EXPECT_EQ(RoomOf(carton, *packed)[k], inside[k].nanometres());
    const ToldPacking told = TellPacking(request, carton, *packed);
    EXPECT_EQ(told.steps, TellPacking(*ranking, candidate).steps);
    EXPECT_EQ(told.of_units, TellPacking(*ranking, candidate).of_units);
    const absl::StatusOr<std::optional<std::string>> checked = CheckPackedGoods(request, carton, packed->placements);
    ASSERT_TRUE(checked.ok()) << checked.status();
    EXPECT_EQ(checked->value_or(""), "");
  }
  EXPECT_GE(fits, cases / 4);
  EXPECT_GE(refused, cases / 16);
  EXPECT_GE(cut, cases / 16);
}

TEST(PackGoods, ARefusalHasItsProof) {
  const auto proof = [](std::vector<Item> goods, std::string_view inside) {
    return PackGoods(Ask(std::move(goods)), Carton(inside))->proof;
  };
  EXPECT_EQ(proof({ThingOf("9 x 8 x 7 in")}, "9 x 8 x 6 in"), FitProof::kUnitTooLarge);
  EXPECT_EQ(proof({ThingOf("9 x 8 x 7 in", 2)}, "9 x 8 x 6 in"), FitProof::kUnitTooLarge);
  EXPECT_EQ(proof({ThingOf("5 x 5 x 5 in", 9)}, "10 x 10 x 10 in"), FitProof::kVolume);
  EXPECT_EQ(proof({ThingOf("6 x 6 x 6 in", 2)}, "10 x 10 x 10 in"), FitProof::kBound);
  EXPECT_EQ(proof({ThingOf("5 x 5 x 5 in", 8)}, "10 x 10 x 10 in"), FitProof::kNone);
}

TEST(PackGoods, WithoutStepsItIsUnknown) {
  // Decided by a search alone.
  const Request request = Ask({ThingOf("7 x 5 x 3 in", 3), ThingOf("6 x 4 x 4 in", 3), ThingOf("8 x 3 x 2 in", 2)});
  const Packaging carton = Carton("12 x 9 x 7 in");
  const absl::StatusOr<Packing> one = PackGoods(request, carton, {1});
  ASSERT_TRUE(one.ok());
  EXPECT_EQ(one->fit, Fit::kUnknown);
  EXPECT_EQ(one->why, "whether the goods fit is not known");
  EXPECT_EQ(one->proof, FitProof::kNone);
  EXPECT_TRUE(one->placements.empty());
}

TEST(PackGoods, TheBoxOfAMailerIsTheRoom) {
  Packaging mailer;
  mailer.kind = PackagingKind::kMailer;
  mailer.wall = *Length::Parse("0.005 in");
  mailer.inside = {Length::Inches(14), Length::Inches(18), Length()};
  mailer.outside = {Length::Inches(15), Length::Inches(19), Length()};
  const absl::StatusOr<Packing> packed = PackGoods(Ask({ThingOf("9 x 8 x 2 in")}), mailer);
  ASSERT_TRUE(packed.ok()) << packed.status();
  ASSERT_EQ(packed->fit, Fit::kFits);
  std::array<std::int64_t, 3> room = RoomOf(mailer, *packed);
  std::sort(room.begin(), room.end());
  EXPECT_EQ(room, (std::array{Length::Inches(2).nanometres(), Length::Inches(8).nanometres(),
                              Length::Inches(9).nanometres()}));
}

TEST(PackGoods, WhatCannotBeIsRefusedWithItsPlace) {
  const Packaging carton = Carton("10 x 10 x 10 in");
  const Request goods = Ask({ThingOf("5 x 5 x 5 in", 2)});
  EXPECT_NE(ErrorOf(Ask({}), carton).find("neither goods nor a parcel"), std::string::npos);
  Request sealed;
  sealed.parcel.emplace();
  EXPECT_NE(ErrorOf(sealed, carton).find("expected goods to pack"), std::string::npos);
  Request many = goods;
  many.goods[0].quantity = 10'001;
  EXPECT_EQ(ErrorOf(many, carton).rfind("goods/0/quantity", 0), 0u) << ErrorOf(many, carton);
  Request padded = goods;
  padded.padding = Length::Inches(-1);
  EXPECT_EQ(ErrorOf(padded, carton).rfind("padding", 0), 0u) << ErrorOf(padded, carton);
  const auto spoiled = [&](auto spoil, std::string_view place) {
    Packaging wrong = carton;
    spoil(wrong);
    EXPECT_EQ(ErrorOf(goods, wrong).rfind(place, 0), 0u) << ErrorOf(goods, wrong);
  };
  spoiled([](Packaging& p) { p.kind = PackagingKind::kBare; }, "packaging/kind: found bare");
  spoiled([](Packaging& p) { p.inside[1] = Length(); }, "packaging/inside: found 0 mm");
  spoiled([](Packaging& p) { p.inside[2] = Length::Inches(-1); }, "packaging/inside: ");
  spoiled([](Packaging& p) { p.inside[0] = Length::Nanometres(kLongestPackSide + 1); }, "packaging/inside: ");
  spoiled([](Packaging& p) { p.outside[0] = Length::Inches(9); }, "packaging/outside: found 228.6 mm");
  spoiled([](Packaging& p) { p.outside[2] = Length::Nanometres(kLongestPackSide + 1); }, "packaging/outside: ");
  spoiled([](Packaging& p) { p.wall = Length::Nanometres(-1); }, "packaging/wall: ");
  spoiled([](Packaging& p) { p.least_height = Length(); }, "packaging/least_height: found 0 in");
  spoiled([](Packaging& p) { p.least_height = Length::Inches(11); }, "packaging/least_height: ");
  spoiled([](Packaging& p) { p.kind = PackagingKind::kTube, p.least_height = Length::Inches(2); },
          "packaging/least_height: found one");
}

TEST(CheckPackedGoods, FindsWhatIsWrong) {
  const Packaging carton = Carton("10 x 10 x 10 in");
  Request request = Ask({ThingOf("10 x 5 x 5 in", 2), ThingOf("4 x 4 x 4 in")});
  request.goods[0].top_free = true;
  constexpr std::int64_t kInch = 25'400'000;
  const std::array<std::int64_t, 3> flat = {10 * kInch, 5 * kInch, 5 * kInch};
  const std::array<std::int64_t, 3> cube = {4 * kInch, 4 * kInch, 4 * kInch};
  const auto wrong = [&](std::vector<Placement> placements) {
    const absl::StatusOr<std::optional<std::string>> found = CheckPackedGoods(request, carton, placements);
    return found.ok() ? found->value_or("") : std::string(found.status().message());
  };
  const std::vector<Placement> above = {{0, {}, flat}, {1, {0, 5 * kInch, 0}, flat}, {2, {0, 0, 5 * kInch}, cube}};
  EXPECT_EQ(wrong(above), "of units 0 and 2 one is above the other, which takes nothing on top");
  request.goods[0].top_free = false;
  EXPECT_EQ(wrong(above), "");
  EXPECT_EQ(wrong({above[2], above[1], above[0]}), "");
  request.goods[0].bears = Weight::Ounces(8);
  EXPECT_NE(wrong(above).find("unit 0 bears "), std::string::npos);
  request.goods[0].bears.reset();
  EXPECT_NE(wrong({above[0], above[1]}), "");
  EXPECT_NE(wrong({above[0], above[1], above[1]}), "");
  std::vector<Placement> other = above;
  other[2].at[0] = 7 * kInch;
  EXPECT_NE(wrong(other).find("unit 2 is at "), std::string::npos);
  other[2].at[0] = std::numeric_limits<std::int64_t>::max();
  EXPECT_EQ(wrong(other), "placements/2/at: found 9223372036854775807 nm, expected a place within 50 m");
  other[2].at[0] = std::numeric_limits<std::int64_t>::min();
  EXPECT_EQ(wrong(other).rfind("placements/2/at: found -9223372036854775808 nm", 0), 0u);
  other = above;
  other[2].sides[1] = std::numeric_limits<std::int64_t>::max();
  EXPECT_EQ(wrong(other), "unit 2 is turned as it may not be");
  other = above;
  other[2].unit = std::numeric_limits<std::size_t>::max();
  EXPECT_NE(wrong(other).find("is placed twice, or is none of the units"), std::string::npos);
  Packaging tube = carton;
  tube.kind = PackagingKind::kTube;
  EXPECT_EQ(CheckPackedGoods(request, tube, above).status().message(),
            "packaging/kind: found another kind, expected a carton");
  ASSERT_TRUE(request.goods[1].contents.Add("fragile").ok());
  EXPECT_NE(wrong(above), "");
}

// A place from outside may be any number, in `CheckArrangement` too.
TEST(CheckPackedGoods, NoPlaceIsTooFar) {
  PackUnit unit;
  unit.sides = {1'000, 1'000, 1'000};
  const Room room{{2'000, 2'000, 2'000}};
  for (const std::int64_t at : {std::numeric_limits<std::int64_t>::max(), std::numeric_limits<std::int64_t>::min()}) {
    const std::vector<Placement> placements = {{0, {at, 0, 0}, unit.sides}};
    EXPECT_TRUE(CheckArrangement(std::vector{unit}, room, placements).has_value());
  }
}

}  // namespace
}  // namespace tarewise::pack_goods_test
