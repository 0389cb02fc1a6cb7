// Thresholds worked out by hand: goods that range, what a tolerance puts at risk, savers and steps.

#include <gtest/gtest.h>

#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/documents/load.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/tarewise.h"

namespace tarewise::by_hand_test {
namespace {

// A service at 5.00 with these surcharges, on the one zone; `rules` are JSON objects.
std::shared_ptr<const Ratebook> BookOf(const std::string& service, const std::string& rest = "") {
  const std::string text =
      R"({"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"},
    "title": "invented", "source": "invented", "currency": "USD", "in_force": {"from": "2026-01-01"},
    "zones": {"main": [{"kind": "one", "zone": "N"}]})" +
      rest + R"(, "services": [)" + service + "]}";
  Loaded<Tables> loaded = ReadTables({{"post.json", text}});
  if (!loaded.ok()) {
    ADD_FAILURE() << loaded.diagnostics.back().ToString();
    return nullptr;
  }
  auto book = Ratebook::Create(std::move(loaded.value->tariffs), std::move(loaded.value->terms));
  EXPECT_TRUE(book.ok()) << book.status();
  return book.ok() ? *book : nullptr;
}

std::string Ground(const std::string& surcharges, const std::string& prices = R"([{"amount": 5}])",
                   const std::string& extras = "[]") {
  return R"({"code": "ground", "title": "Ground", "zones": "main", "prices": )" + prices + R"(, "surcharges": [)" +
         surcharges + R"(], "extras": )" + extras + "}";
}

absl::StatusOr<Ranking> Asked(const std::shared_ptr<const Ratebook>& book, const std::string& goods,
                              const std::shared_ptr<const Shelf>& shelf = nullptr) {
  const Loaded<Request> request = ReadRequest({"request.json", R"({"format": "tarewise-request-1", )" + goods + R"(,
    "from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "98101"},
    "date": "2026-08-03"})"});
  if (!request.ok()) return absl::InvalidArgumentError(request.diagnostics.back().ToString());
  return Rank(book, shelf, *request.value);
}

std::shared_ptr<const Shelf> ShelfOf(const std::string& packaging) {
  Loaded<Shelf> shelf = ReadShelf(
      {"shelf.json", R"({"format": "tarewise-shelf-1", "currency": "USD", "packaging": [)" + packaging + "]}"});
  if (!shelf.ok()) {
    ADD_FAILURE() << shelf.diagnostics.back().ToString();
    return nullptr;
  }
  return std::make_shared<const Shelf>(*std::move(shelf.value));
}

std::string RangeText(const Offer& offer) {
  return offer.range->lowest.ToString() + ".." + offer.range->highest.ToString() + " at " + offer.weight.In("oz");
}

TEST(GoodsThatRange, OfAnEstimateMakeNoParcelBetweenAPoundAndItsAllowance) {
  const auto book = BookOf(
      Ground(
          R"({"code": "odd", "title": "Odd", "when": {"weight": {"over": "17 oz", "under": "20 oz"}}, "amount": 50})") +
      "," +
      R"({"code": "light", "title": "Light", "zones": "main", "prices": [{"when": {"weight": {"up_to": "18 oz"}}, "amount": 4},
          {"when": {"weight": {"up_to": "19 oz"}}, "amount": 6}, {"amount": 7}]})");
  const auto ranking = Asked(book, R"("goods": [{"weight": "15..17 oz", "sides": "3 x 2 x 1 in"}])");
  ASSERT_TRUE(ranking.ok()) << ranking.status();
  ASSERT_EQ(ranking->offers().size(), 2U);
  EXPECT_EQ(RangeText(ranking->offers()[0]), "5.00..5.00 at 29 oz");
  EXPECT_EQ(RangeText(ranking->offers()[1]), "4.00..7.00 at 29 oz");
  ASSERT_EQ(ranking->changes().size(), 1U);
  EXPECT_EQ(ranking->changes()[0].above_weight.In("oz"), "16 oz");
  EXPECT_EQ(ranking->changes()[0].service, "ground");
}

TEST(GoodsThatRange, InAnEnvelopeLieOnTheirThinnestSideThatGoesIn) {
  // Up to 1.8 in the goods lie 1 in thick or thinner; once they are wider than the envelope, 1.9 in: nothing between.
  const auto book = BookOf(Ground(
      R"({"code": "odd", "title": "Odd", "when": {"height": {"over": "1.2 in", "under": "1.7 in"}}, "amount": 50},
         {"code": "thick", "title": "Thick", "when": {"height": {"over": "1.7 in"}}, "amount": 1})"));
  const auto shelf = ShelfOf(R"({"code": "stiff", "title": "Stiff", "kind": "envelope", "inside": "1.8 x 10 x 2 in",
                                 "tare": "1 oz", "cost": "0.10"})");
  const auto ranking = Asked(book, R"("goods": [{"weight": "5 oz", "sides": "1.2..8 x 1 x 1.9 in"}])", shelf);
  ASSERT_TRUE(ranking.ok()) << ranking.status();
  ASSERT_EQ(ranking->offers().size(), 1U);
  // 1.2..1.8 in: on its side of 1.9 in along the length, 1 in thick. Above: across it lies only the side of 1 in.
  EXPECT_EQ(RangeText(ranking->offers()[0]), "5.10..6.10 at 6 oz");
  EXPECT_EQ(ranking->offers()[0].sides.width().In("in"), "1.9 in");  // thicker than the envelope is wide
}

TEST(GoodsThatRange, InAPileTurnWithTheirShortestSide) {
  // Two alike: up to 2 in they lie on that side, twice as high as it; beyond, 4 in high and wider. The shortest side of
  // the pile is never over 4.5 in wide and under 3.9 in high, and under 2.5 in up to there.
  const auto book = BookOf(Ground(
      R"({"code": "odd", "title": "Odd", "when": {"width": {"over": "4.5 in"}, "height": {"under": "3.9 in"}}, "amount": 50},
         {"code": "flat", "title": "Flat", "when": {"height": {"under": "2.5 in"}}, "amount": 1})"));
  const auto shelf = ShelfOf(R"({"code": "as-is", "title": "As it is", "kind": "bare", "tare": "3 oz", "cost": 0})");
  const auto ranking =
      Asked(book, R"("goods": [{"weight": "5 oz", "sides": "1..5 x 2 x 10 in", "quantity": 2, "bare": true}])", shelf);
  ASSERT_TRUE(ranking.ok()) << ranking.status();
  ASSERT_EQ(ranking->offers().size(), 1U);
  EXPECT_EQ(RangeText(ranking->offers()[0]), "5.00..6.00 at 10 oz");  // and the tare is not theirs
  EXPECT_TRUE(ranking->changes().empty());
}

TEST(GoodsThatRange, ComeToTheirSumsAlone) {
  const auto book = BookOf(Ground(
      R"({"code": "odd", "title": "Odd", "when": {"weight": {"over": "0.00003 mg", "under": "0.000033 mg"}}, "amount": 50})"));
  struct Goods {
    std::vector<std::array<std::int64_t, 3>> items;  // quantity, least and most of each in ng
    std::string dearest;
  };
  // Three alike of 10 or 11 ng are 30 or 33 ng; with two of 5 or 6 ng beside them, or alone, two come to 32.
  for (const Goods& goods : {Goods{{{3, 10, 11}}, "5.00"}, Goods{{{2, 15, 16}}, "55.00"}, Goods{{{1, 30, 33}}, "55.00"},
                             Goods{{{3, 6, 7}, {2, 6, 6}}, "5.00"}, Goods{{{3, 6, 7}, {2, 6, 7}}, "55.00"}}) {
    Request request;
    request.lane = {*Place::Make("US", "05401"), *Place::Make("US", "98101")};
    request.date = *Date::Parse("2026-08-03");
    for (const auto& [quantity, least, most] : goods.items) {
      Item item;
      item.weight = Weight::Nanograms(least);
      item.weight_most = Weight::Nanograms(most);
      item.sides = {Length::Inches(1), Length::Inches(1), Length::Inches(1)};
      item.quantity = static_cast<std::int32_t>(quantity);
      request.goods.push_back(item);
    }
    const auto ranking = Rank(book, nullptr, request);
    ASSERT_TRUE(ranking.ok()) << ranking.status();
    EXPECT_EQ(ranking->offers().at(0).total.ToString(), goods.dearest);
  }
}

TEST(GoodsThatRange, ToldByTheMostAllowanceWhereTheLeastIsRefused) {
  const auto book = BookOf(Ground("", R"([{"when": {"weight": {"up_to": "26 oz"}}, "amount": 3},
                                           {"when": {"weight": {"over": "28 oz"}}, "amount": 5}])"));
  const auto ranking = Asked(book, R"("goods": [{"weight": "17..19 oz", "sides": "3 x 2 x 1 in"}])");
  ASSERT_TRUE(ranking.ok()) << ranking.status();
  ASSERT_EQ(ranking->offers().size(), 1U);
  EXPECT_EQ(RangeText(ranking->offers()[0]), "5.00..5.00 at 31 oz");
  const auto taken = Asked(book, R"("goods": [{"weight": "17..18 oz", "sides": "3 x 2 x 1 in"}])");
  ASSERT_TRUE(taken.ok()) << taken.status();
  EXPECT_EQ(RangeText(taken->offers().at(0)), "3.00..5.00 at 30 oz");
}

TEST(WhatIsAtRisk, IsFoundWhereBoundsMeet) {
  const auto book = BookOf(
      Ground(R"({"code": "long", "title": "Long", "when": {"length_plus_girth": {"over": "800 mm"}}, "amount": 0},
                {"code": "exactly-long", "title": "Exactly long", "when": {"exact_length_plus_girth": {"over": "800 mm"}}, "amount": 0},
                {"code": "round", "title": "Round", "when": {"girth": {"over": "500 mm", "up_to": "502 mm"}}, "amount": 500})"));
  const auto ranking =
      Asked(book, R"("parcel": {"weight": "1 kg", "sides": "300 x 120 x 120 mm"}, "tolerance": {"sides": "20 mm"})");
  ASSERT_TRUE(ranking.ok()) << ranking.status();
  ASSERT_EQ(ranking->offers().size(), 1U);
  EXPECT_TRUE(ranking->offers()[0].at_risk);
  ASSERT_TRUE(ranking->offers()[0].total_at_risk.has_value());
  EXPECT_EQ(ranking->offers()[0].total_at_risk->ToString(), "505.00");
}

TEST(Thresholds, AreNotCutByWhatNobodyAsksFor) {
  const auto book = BookOf(
      Ground(R"({"code": "care", "title": "Care", "group": "handling", "amount": 1})", R"([{"amount": 5}])",
             R"(["per-gram"])"),
      R"(, "extras": [{"code": "per-gram", "title": "By the gram", "per": {"measure": "weight", "step": "1 g", "first": 1, "each": 1}}])");
  const auto ranking = Asked(book, R"("parcel": {"weight": "1 kg", "sides": "300 x 120 x 120 mm"})");
  ASSERT_TRUE(ranking.ok()) << ranking.status();
  EXPECT_FALSE(ranking->offers().at(0).headroom.weight.has_value());
  EXPECT_EQ(internal::StateOf(ranking->dispatch()).services()[0].cuts().NextWeight(1, {}), internal::Cuts::kNever);
  const auto asked =
      Asked(book, R"("extras": ["per-gram"], "parcel": {"weight": "1.0005 kg", "sides": "300 x 120 x 120 mm"})");
  ASSERT_TRUE(asked.ok()) << asked.status();
  EXPECT_EQ(asked->offers().at(0).headroom.weight->In("g"), "0.5 g");
}

TEST(Thresholds, OfAGroupPassOverSteps) {
  // The base is by the gram and rounds to whole units; the group has one price: 1,000,000 steps lie under one total.
  const auto book = BookOf(Ground(R"({"code": "care", "title": "Care", "group": "handling", "amount": 1})",
                                  R"([{"per": {"measure": "weight", "step": "1 g", "first": 5, "each": 0.000001}}])"),
                           R"(, "rounding": {"line": 1, "total": 1, "mode": "down"})");
  const auto ranking = Asked(book, R"("parcel": {"weight": "1 g", "sides": "300 x 120 x 120 mm"})");
  ASSERT_TRUE(ranking.ok()) << ranking.status();
  EXPECT_EQ(ranking->offers().at(0).headroom.weight->In("g"), "999999 g");
}

TEST(Savers, AreFoundManyStepsAway) {
  // By the gram under 500 g, of a parcel of 9 kg: 8,501 steps of 1 g.
  const auto book = BookOf(Ground("") + R"(, {"code": "gram", "title": "By the gram", "zones": "main",
                        "prices": [{"per": {"measure": "weight", "step": "1 g", "first": 0.01, "each": 0.01}}]})");
  const auto ranking = Asked(book, R"("parcel": {"weight": "9 kg", "sides": "300 x 120 x 120 mm"})");
  ASSERT_TRUE(ranking.ok()) << ranking.status();
  ASSERT_EQ(ranking->offers().at(0).savers.size(), 1U);
  EXPECT_EQ(ranking->offers().at(0).savers[0].weight.In("g"), "8501 g");
  EXPECT_EQ(ranking->offers().at(0).savers[0].total.ToString(), "4.99");
}

TEST(Savers, OfSidesAreForParcelsSealedInAnyPackagingOfOnesOwn) {
  const auto book =
      BookOf(Ground(R"({"code": "long", "title": "Long", "when": {"length": {"over": "299 mm"}}, "amount": 3})"));
  const auto shelf = ShelfOf(
      R"({"code": "soft", "title": "Soft", "kind": "mailer", "inside": "20 x 40 cm", "tare": "10 g", "cost": 0})");
  const auto ranking =
      Asked(book, R"("parcel": {"weight": "1 kg", "sides": "300 x 120 x 20 mm", "packaging": "soft"})", shelf);
  ASSERT_TRUE(ranking.ok()) << ranking.status();
  ASSERT_EQ(ranking->offers().at(0).savers.size(), 1U);
  EXPECT_EQ(ranking->offers().at(0).savers[0].of, Aspect::kLength);
  EXPECT_EQ(ranking->offers().at(0).savers[0].length.In("mm"), "1 mm");
  EXPECT_EQ(ranking->offers().at(0).savers[0].total.ToString(), "5.00");
}

TEST(Steps, AreOfTheUnitWrittenFirst) {
  for (const auto& [sides, imperial] : {std::pair{"30 cm x 10 in x 5 in", false},
                                        std::pair{"12 in x 10 cm x 5 cm", true}, std::pair{"12inx10cmx5cm", true},
                                        std::pair{"10..12 x 9 x 6 cm", false}, std::pair{"1 yd x 9 cm x 6 cm", true}}) {
    const Loaded<Request> request = ReadRequest({"request.json", R"({"format": "tarewise-request-1",
      "goods": [{"weight": "1 kg", "sides": ")" + std::string(sides) +
                                                                     R"("}],
      "from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "98101"},
      "date": "2026-08-03"})"});
    ASSERT_TRUE(request.ok()) << request.diagnostics.back().ToString();
    EXPECT_EQ(request.value->side_units == UnitSystem::kImperial, imperial) << sides;
    EXPECT_EQ(request.value->steps.sides.Times(1), imperial ? Length::Nanometres(3'175'000) : Length::Millimetres(1))
        << sides;
    EXPECT_EQ(request.value->steps.weight.Times(1), Weight::Grams(1));
  }
}

}  // namespace
}  // namespace tarewise::by_hand_test
