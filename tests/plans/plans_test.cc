// Orders in several parcels: prices worked by hand on an invented tariff, every way to part an order tried with `Rank`
// on the demonstration's tables, and what stands in the way. Goods are invented.

#include "tarewise/plans/plans.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <numeric>
#include <optional>
#include <string>
#include <string_view>
#include <thread>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/demo_goods.h"
#include "support/fewer.h"
#include "support/random.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::plans_test {
namespace {

using testing::Below;
using testing::Demo;
using testing::LaneTo;
using testing::Random;
using testing::RequestOn;

// Up to 10 lb for 10.00, up to 20 lb for 30.00 and no more; called for once a consignment, which is 3.00 by Road.
constexpr std::string_view kTariff = R"({
  "format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "Two rows",
  "source": "invented for the tests", "currency": "USD", "in_force": {"from": "2026-01-01"},
  "zones": {"main": [{"kind": "one", "zone": "1"}]},
  "services": [
    {"code": "road", "title": "Road", "zones": "main", "mode": "surface", "days": {"1": [2, 3]},
     "refuse": [{"when": {"weight": {"over": "20 lb"}}, "reason": "over 20 lb"}],
     "prices": [{"table": {"by": "weight", "unit": "lb", "columns": ["*"], "rows": [[10, 10.00], [20, 30.00]]}}],
     "surcharges": ["pickup"]},
    {"code": "swift", "title": "Swift", "zones": "main", "mode": "air", "days": {"1": [1, 1]},
     "refuse": [{"when": {"weight": {"over": "10 lb"}}, "reason": "over 10 lb"}], "prices": [{"amount": 12.00}]}],
  "surcharges": [{"code": "pickup", "title": "Called for", "once": true, "amount": 3.00}]
})";

std::shared_ptr<const Ratebook> Book() {
  static const std::shared_ptr<const Ratebook> book = [] {
    Loaded<Tariff> tariff = ReadTariff({"two rows", std::string(kTariff)});
    EXPECT_TRUE(tariff.ok()) << (tariff.diagnostics.empty() ? "" : tariff.diagnostics.front().ToString());
    std::vector<Tariff> tariffs;
    tariffs.push_back(*std::move(tariff.value));
    return *Ratebook::Create(std::move(tariffs));
  }();
  return book;
}

Item Of(std::int64_t pounds, std::int32_t quantity = 1) {
  Item item;
  item.weight = Weight::Pounds(pounds);
  item.sides = {Length::Inches(6), Length::Inches(4), Length::Inches(4)};
  item.quantity = quantity;
  return item;
}

Packaging Carton(std::string code, std::int64_t inches) {
  Packaging carton;
  carton.code = std::move(code);
  carton.inside = carton.outside = {Length::Inches(inches), Length::Inches(inches), Length::Inches(inches)};
  return carton;
}

std::shared_ptr<const Shelf> ShelfOf(std::vector<Shelf::Own> own) {
  auto shelf = std::make_shared<Shelf>();
  shelf->own = std::move(own);
  return shelf;
}
std::shared_ptr<const Shelf> Plenty() { return ShelfOf({{Carton("cube-12", 12), std::nullopt}}); }

Request Order(std::vector<Item> goods, std::int32_t most) {
  Request request;
  request.lane = LaneTo("US", "98101");
  request.date = testing::DemoDay();
  request.currency = *Currency::Parse("USD");
  request.goods = std::move(goods);
  request.parcels = SeveralParcels{.most = most};
  return request;
}

// The first of some plans; its total is 0 where there is none.
const Plan& First(const Plans& plans) {
  static const Plan none;
  EXPECT_FALSE(plans.plans().empty());
  return plans.plans().empty() ? none : plans.plans().front();
}

Plans Found(const std::shared_ptr<const Shelf>& shelf, const Request& request, const PlanOptions& options = {}) {
  absl::StatusOr<Plans> plans = FindPlans(Book(), shelf, request, options);
  EXPECT_TRUE(plans.ok()) << plans.status();
  return plans.ok() ? *std::move(plans) : Plans();
}

std::string Codes(const Plans& plans) {
  std::string codes;
  for (const PlanObstacle& obstacle : plans.obstacles()) {
    codes += (codes.empty() ? "" : " ") + std::string(kObstacleNames[static_cast<int>(obstacle.code)]);
  }
  return codes;
}

TEST(Plans, TwoParcelsAreCheaperThanOne) {
  // Two of 7 lb: one parcel of 14 lb is 30 + 3; two by Road are 10 + 10 and 3 once.
  const Plans plans = Found(Plenty(), Order({Of(7, 2)}, 2));
  ASSERT_EQ(plans.plans().size(), 2u);
  const Plan& best = plans.plans()[0];
  EXPECT_EQ(best.total.ToString(), "23.00");
  EXPECT_EQ(plans.single()->ToString(), "33.00");
  EXPECT_EQ(plans.plans()[1].total.ToString(), "33.00");
  EXPECT_EQ(plans.plans()[1].parcels.size(), 1u);
  EXPECT_TRUE(plans.proved());
  EXPECT_EQ(plans.at_least()->ToString(), "23.00");
  ASSERT_EQ(best.parcels.size(), 2u);
  EXPECT_EQ(best.parcels[0].offer().total.ToString(), "13.00");
  EXPECT_EQ(best.parcels[1].offer().total.ToString(), "10.00");
  EXPECT_EQ(best.parcels[0].goods, (std::vector<PlannedGoods>{{0, 1}}));
  ASSERT_EQ(best.once.size(), 1u);
  EXPECT_EQ(best.once[0].parcel, 0u);
  EXPECT_EQ(best.once[0].code, "pickup");
  EXPECT_EQ(best.once[0].amount.ToString(), "3.00");
  EXPECT_EQ(best.days, (Days{2, 3}));
}

TEST(Plans, OneThatIsCalledForGoesBySwift) {
  // One parcel of 7 lb is 13.00 by Road and 12.00 by Swift; two are 23.00 by Road, 24.00 by Swift, 25.00 by one of
  // each.
  const Plans one = Found(Plenty(), Order({Of(7)}, 3));
  EXPECT_EQ(one.plans()[0].total.ToString(), "12.00");
  EXPECT_TRUE(one.plans()[0].once.empty());
  Request order = Order({Of(7, 2)}, 2);
  order.promise = WithinDays{1};
  const Plans fast = Found(Plenty(), order);
  EXPECT_EQ(fast.plans()[0].total.ToString(), "24.00");
  EXPECT_FALSE(fast.single());
}

TEST(Plans, AllByOneServiceOrCarrier) {
  // 15 lb must go by Road, 30 + 3. Beside it 1 lb is 10.00 by Road.
  Request order = Order({Of(15), Of(9)}, 2);
  order.parcels->all_by = AllBy::kService;
  EXPECT_EQ(First(Found(Plenty(), order)).total.ToString(), "43.00");
  order.parcels->all_by = AllBy::kCarrier;
  EXPECT_EQ(First(Found(Plenty(), order)).total.ToString(), "43.00");
}

TEST(Plans, WhatTravelsTogetherAndApart) {
  Request order = Order({Of(4), Of(4), Of(4)}, 3);
  // 12 lb together are 33.00; 8 lb and 4 lb are 20 + 3.
  EXPECT_EQ(First(Found(Plenty(), order)).total.ToString(), "23.00");
  order.parcels->together = {{0, 2}};
  const Plans together = Found(Plenty(), order);
  ASSERT_EQ(together.plans().size(), 2u);
  EXPECT_EQ(together.plans()[0].parcels[0].goods, (std::vector<PlannedGoods>{{0, 1}, {2, 1}}));
  EXPECT_EQ(together.plans()[0].parcels[1].goods, (std::vector<PlannedGoods>{{1, 1}}));
  order.parcels->together.clear();
  order.parcels->apart = {{0, 1, 2}};
  const Plans apart = Found(Plenty(), order);
  ASSERT_EQ(apart.plans().size(), 1u);
  EXPECT_EQ(apart.plans()[0].total.ToString(), "33.00");
  EXPECT_FALSE(apart.single());
}

TEST(Plans, NoMoreOfAPackagingThanIsOnHand) {
  Packaging dear = Carton("dear", 12);
  dear.cost = Amount::Micros(5'000'000);
  auto shelf = std::make_shared<Shelf>();
  shelf->currency = *Currency::Parse("USD");
  shelf->own = {{Carton("cube-12", 12), 1}, {dear, 1}};
  // 10 + 10 + 3, and 5 for the second carton.
  EXPECT_EQ(First(Found(shelf, Order({Of(7, 2)}, 2))).total.ToString(), "28.00");
  shelf->own.pop_back();
  const Plans one = Found(shelf, Order({Of(7, 2)}, 2));
  ASSERT_EQ(one.plans().size(), 1u);
  EXPECT_EQ(one.plans()[0].total.ToString(), "33.00");
}

TEST(Plans, SaysWhatStandsInTheWay) {
  // Nothing takes 21 lb.
  const Plans heavy = Found(Plenty(), Order({Of(3), Of(21)}, 4));
  EXPECT_TRUE(heavy.plans().empty());
  EXPECT_EQ(Codes(heavy), "nothing_takes");
  EXPECT_TRUE(heavy.proved());
  EXPECT_FALSE(heavy.at_least());
  EXPECT_EQ(heavy.obstacles()[0].goods, (std::vector<PlannedGoods>{{1, 1}}));
  ASSERT_TRUE(heavy.obstacles()[0].alone);
  EXPECT_EQ(heavy.obstacles()[0].alone->refusals().size(), 2u);
  // Three of 12 lb need three parcels.
  const Plans many = Found(Plenty(), Order({Of(12, 3)}, 2));
  EXPECT_EQ(Codes(many), "more_parcels");
  EXPECT_EQ(many.obstacles()[0].need, 3);
  // And as many cartons; with 2 on hand and 2 parcels both stand in the way.
  const std::shared_ptr<const Shelf> two = ShelfOf({{Carton("cube-12", 12), 2}});
  EXPECT_EQ(Codes(Found(two, Order({Of(12, 3)}, 3))), "not_on_hand");
  EXPECT_EQ(Codes(Found(two, Order({Of(12, 3)}, 2))), "not_on_hand more_parcels");
  // 12 lb must not fly, and the other must be there tomorrow: by Swift alone, which takes 10 lb.
  Request one_service = Order({Of(12)}, 1);
  one_service.promise = WithinDays{1};
  EXPECT_EQ(Codes(Found(Plenty(), one_service)), "nothing_takes");
}

TEST(Plans, SealedParcelsTogether) {
  Request order = Order({}, 1);
  order.parcels.reset();
  for (const std::int64_t pounds : {7, 15}) {
    Parcel parcel;
    parcel.weight = Weight::Pounds(pounds);
    parcel.sides = Dimensions(Length::Inches(9), Length::Inches(9), Length::Inches(9));
    order.sealed.push_back(parcel);
  }
  const Plans plans = Found(nullptr, order);
  ASSERT_EQ(plans.plans().size(), 1u);
  // 10 + 30 by Road and 3 once; by Swift the light one would be 12.
  EXPECT_EQ(plans.plans()[0].total.ToString(), "43.00");
  EXPECT_EQ(plans.plans()[0].parcels[1].sealed, 1u);
  EXPECT_FALSE(plans.single());
  EXPECT_FALSE(plans.estimate());
  order.sealed[1].weight = Weight::Pounds(25);
  const Plans none = Found(nullptr, order);
  EXPECT_EQ(Codes(none), "nothing_takes");
  EXPECT_EQ(none.obstacles()[0].sealed, 1u);
}

TEST(Plans, CoverIsSharedByValue) {
  Request order = Order({Of(7), Of(7)}, 2);
  order.cover = Amount::Micros(100'000'000);
  EXPECT_EQ(FindPlans(Book(), Plenty(), order).status().message(),
            "cover: found with goods of no declared value, expected their values: parcels share it by them");
  order.goods[0].value = Amount::Micros(10'000'000);
  order.goods[1].value = Amount::Micros(20'000'000);
  // Road has no extra for cover: nothing goes. With a value of 0 a parcel has no share.
  EXPECT_EQ(Codes(Found(Plenty(), order)), "nothing_takes nothing_takes");
  order.goods[0].value = Amount();
  EXPECT_EQ(Codes(Found(Plenty(), order)), "nothing_takes");
}

TEST(Plans, RefusesWhatCannotBePlanned) {
  const auto error = [](const Request& request) {
    return std::string(FindPlans(Book(), Plenty(), request).status().message());
  };
  Request order = Order({Of(7), Of(7)}, 2);
  order.cash_on_delivery = Amount::Micros(1);
  EXPECT_EQ(error(order).substr(0, 59), "amounts/cash_on_delivery: found with several parcels, expec");
  order = Order({Of(7), Of(7)}, 0);
  EXPECT_EQ(error(order), "parcels/most: found 0, expected 1 to 100");
  order = Order({Of(7), Of(7)}, 2);
  order.parcels->together = {{0, 2}};
  EXPECT_EQ(error(order), "parcels/together/0/1: found 2, expected a place of the goods, 0 to 1");
  order.parcels->together = {{0}, {1, 0}};
  EXPECT_EQ(error(order), "parcels/together/1: found 0, which stands in another list too");
  order.parcels->together = {{0, 1}};
  order.parcels->apart = {{1, 0}};
  EXPECT_EQ(error(order), "parcels/apart/0: found 1 and 0, which must travel together");
  order.parcels->apart = {{1}};
  EXPECT_EQ(error(order), "parcels/apart/0: found 1 of the goods, expected at least 2");
  order = Order({Of(7)}, 2);
  order.sealed.resize(1);
  EXPECT_EQ(error(order), "sealed: found beside goods or a parcel, expected one of them");
  order = Order({Of(7)}, 2);
  order.consignment = {1, Weight::Pounds(1), true};
  EXPECT_EQ(error(order).substr(0, 40), "consignment: found with an order that is");
  order = Order({Of(7)}, 2);
  order.parcels.reset();
  order.goods.clear();
  order.sealed.resize(2);
  EXPECT_EQ(std::string(Rank(Book(), Plenty(), order).status().message()),
            "sealed: found several sealed parcels, expected one: `FindPlans` takes several");
}

std::int32_t Pick(Random& random, std::int32_t least, std::int32_t most) {
  return static_cast<std::int32_t>(testing::Pick(random, least, most));
}

// ---- every way to part an order, tried with `Rank` ----

Request RandomOrder(Random& random, std::size_t goods, std::int64_t heavier) {
  static constexpr std::string_view kCodes[] = {"05602", "10011", "60614", "98101"};
  Request request = RequestOn(LaneTo("US", kCodes[static_cast<std::size_t>(Below(random, 4))]));
  for (std::size_t i = 0; i < goods; ++i) {
    if (i > 0 && Below(random, 4) == 0) {
      request.goods.push_back(request.goods.back());  // Alike.
      continue;
    }
    Item item;
    item.weight = Weight::Nanograms(Pick(random, 1, 160) * 28'349'523'125 / 10 * heavier);
    for (Length& side : item.sides) side = Length::Nanometres((8 + Below(random, 72)) * 3'175'000);
    if (Below(random, 5) == 0) item.contents.Add(Trait::kMedia);
    item.value = Amount::Micros(Below(random, 40) * 1'000'000);
    request.goods.push_back(std::move(item));
  }
  return request;
}

// The least of all ways to part the goods of an order, by what `Rank` offers for each set of them; on-hand numbers are
// left aside.
std::optional<Amount> LeastByRank(const std::shared_ptr<const Shelf>& shelf, const Request& order, std::size_t most) {
  constexpr std::int64_t kNever = std::int64_t{1} << 60;
  const std::size_t sets = std::size_t{1} << order.goods.size();
  std::vector<std::int64_t> cost(sets, kNever);
  for (std::size_t set = 1; set < sets; ++set) {
    Request one = order;
    one.parcels.reset();
    one.goods.clear();
    for (std::size_t i = 0; i < order.goods.size(); ++i) {
      if ((set >> i & 1) != 0) one.goods.push_back(order.goods[i]);
    }
    const absl::StatusOr<Ranking> ranking = Rank(Demo().book, shelf, one, {.thresholds = false});
    EXPECT_TRUE(ranking.ok()) << ranking.status();
    if (ranking.ok() && !ranking->offers().empty()) cost[set] = ranking->offers().front().total.micros();
  }
  std::vector<std::int64_t> least(sets, kNever);
  least[0] = 0;
  for (std::size_t parcels = 0; parcels < most; ++parcels) {
    std::vector<std::int64_t> more = least;
    for (std::size_t set = 1; set < sets; ++set) {
      for (std::size_t part = set; part != 0; part = (part - 1) & set) {
        more[set] = std::min(more[set], cost[part] + least[set ^ part]);
      }
    }
    least = std::move(more);
  }
  return least.back() >= kNever ? std::nullopt : std::optional<Amount>(Amount::Micros(least.back()));
}

std::shared_ptr<const Shelf> DemoPlenty() {
  auto shelf = std::make_shared<Shelf>(*Demo().shelf);
  for (Shelf::Own& own : shelf->own) own.on_hand.reset();
  for (Shelf::Issued& issued : shelf->issued) issued.on_hand.reset();
  return shelf;
}

TEST(Plans, AreTheBestOfAllWaysOnTheDemonstration) {
  Random random(20'260'803);
  const std::shared_ptr<const Shelf> shelf = DemoPlenty();
  std::size_t several = 0;
  for (std::size_t i = 0; i < testing::Cases(60, 60); ++i) {
    Request order = RandomOrder(random, static_cast<std::size_t>(Pick(random, 2, 5)), Pick(random, 1, 60));
    const std::int32_t most = Pick(random, 1, 4);
    order.parcels = SeveralParcels{.most = most, .plans = Pick(random, 1, 3)};
    const absl::StatusOr<Plans> plans = FindPlans(Demo().book, shelf, order);
    ASSERT_TRUE(plans.ok()) << plans.status();
    EXPECT_TRUE(plans->proved());
    const std::optional<Amount> least = LeastByRank(shelf, order, static_cast<std::size_t>(most));
    ASSERT_EQ(least.has_value(), !plans->plans().empty()) << "order " << i;
    if (!least) continue;
    EXPECT_EQ(plans->plans().front().total, *least) << "order " << i;
    several += plans->plans().front().parcels.size() > 1 ? 1u : 0u;
    const std::optional<Amount> single = LeastByRank(shelf, order, 1);
    EXPECT_EQ(plans->single().has_value(), single.has_value());
    if (single && plans->single()) {
      EXPECT_EQ(*plans->single(), *single);
    }
  }
  EXPECT_GE(several, testing::Share(4));
}

// What holds of every answer.
void ExpectWhole(const Plans& plans) {
  const Request& order = plans.request();
  std::optional<Amount> before;
  for (const Plan& plan : plans.plans()) {
    std::vector<std::int32_t> left;
    for (const Item& item : order.goods) left.push_back(item.quantity);
    Amount total;
    std::map<std::pair<std::string_view, std::string_view>, std::int64_t> taken;
    for (const PlannedParcel& parcel : plan.parcels) {
      for (const PlannedGoods& some : parcel.goods) left[some.item] -= some.units;
      total = total + parcel.offer().total;
      ++taken[{parcel.offer().packaging, parcel.offer().issued_by}];
    }
    EXPECT_TRUE(std::all_of(left.begin(), left.end(), [](std::int32_t units) { return units == 0; }));
    EXPECT_EQ(plan.total, total);
    EXPECT_LE(plan.parcels.size(), static_cast<std::size_t>(order.parcels->most));
    for (const Shelf::Own& own : Demo().shelf->own) {
      if (own.on_hand) {
        EXPECT_LE((taken[{own.packaging.code, ""}]), *own.on_hand);
      }
    }
    for (const Shelf::Issued& issued : Demo().shelf->issued) {
      if (issued.on_hand) {
        EXPECT_LE((taken[{issued.code, issued.carrier}]), *issued.on_hand);
      }
    }
    const Amount due = plan.total + plan.handicap;
    if (before) {
      EXPECT_LE(*before, due);
    }
    before = due;
    if (plans.at_least()) {
      EXPECT_LE(*plans.at_least(), due);
    }
  }
}

TEST(Plans, AreWholeAndAsCautiousOnesOfNoTolerance) {
  // A cautious order is ranked set by set, by a way of its own; within no tolerance it must come to the same.
  Random random(77);
  for (std::size_t i = 0; i < testing::Cases(40, 40); ++i) {
    Request order = RandomOrder(random, static_cast<std::size_t>(Pick(random, 2, 5)), Pick(random, 1, 20));
    order.parcels =
        SeveralParcels{.most = Pick(random, 1, 4), .all_by = static_cast<AllBy>(Below(random, 3)), .plans = 4};
    if (Below(random, 3) == 0) order.parcels->apart = {{0, 1}};
    const absl::StatusOr<Plans> plans = FindPlans(Demo().book, Demo().shelf, order);
    ASSERT_TRUE(plans.ok()) << plans.status();
    ExpectWhole(*plans);
    order.objective = Objective::kCautious;
    const absl::StatusOr<Plans> cautious = FindPlans(Demo().book, Demo().shelf, order);
    ASSERT_TRUE(cautious.ok()) << cautious.status();
    ASSERT_EQ(cautious->plans().size(), plans->plans().size()) << "order " << i;
    for (std::size_t p = 0; p < plans->plans().size(); ++p) {
      EXPECT_EQ(cautious->plans()[p].total, plans->plans()[p].total) << "order " << i << " plan " << p;
    }
  }
}

TEST(Plans, EstimatesRangesAndCoversAreTheBestOfAllWaysToo) {
  Random random(99);
  for (std::size_t i = 0; i < testing::Cases(24, 24); ++i) {
    Request order = RandomOrder(random, static_cast<std::size_t>(Pick(random, 2, 4)), Pick(random, 4, 40));
    order.parcels = SeveralParcels{.most = 3, .plans = 1};
    std::shared_ptr<const Shelf> shelf = DemoPlenty();
    if (i % 3 == 0) shelf = nullptr;  // Not packed yet.
    if (i % 3 == 1) order.goods[0].weight_most = order.goods[0].weight + Weight::Ounces(20);
    if (i % 3 == 2) order.goods[0].side_ranges = {{0, order.goods[0].sides[0] + Length::Inches(2)}};
    const absl::StatusOr<Plans> plans = FindPlans(Demo().book, shelf, order);
    ASSERT_TRUE(plans.ok()) << plans.status();
    EXPECT_EQ(plans->estimate(), shelf == nullptr);
    const std::optional<Amount> least = LeastByRank(shelf, order, 3);
    ASSERT_EQ(least.has_value(), !plans->plans().empty()) << "order " << i;
    if (least) {
      EXPECT_EQ(plans->plans().front().total, *least) << "order " << i;
    }
  }
}

TEST(Plans, ACoverIsPaidForByEachParcelForItsShare) {
  // 60.00 shared by values of 10 and 20: 20.00 and 40.00; asked about alone, each parcel costs as much.
  Request order = RequestOn(LaneTo("US", "98101"));
  Item light;
  light.weight = Weight::Pounds(40);
  light.sides = {Length::Inches(10), Length::Inches(8), Length::Inches(6)};
  light.value = Amount::Micros(10'000'000);
  Item heavy = light;
  heavy.weight = Weight::Pounds(45);
  heavy.value = Amount::Micros(20'000'000);
  order.goods = {light, heavy};
  order.cover = Amount::Micros(60'000'000);
  order.parcels = SeveralParcels{.most = 2, .apart = {{0, 1}}, .plans = 1};
  const absl::StatusOr<Plans> plans = FindPlans(Demo().book, DemoPlenty(), order);
  ASSERT_TRUE(plans.ok()) << plans.status();
  ASSERT_EQ(plans->plans().size(), 1u);
  Amount apart;
  for (const std::int64_t i : {0, 1}) {
    Request one = order;
    one.parcels.reset();
    one.goods = {order.goods[static_cast<std::size_t>(i)]};
    one.cover = Amount::Micros((i + 1) * 20'000'000);
    const absl::StatusOr<Ranking> ranking = Rank(Demo().book, DemoPlenty(), one);
    ASSERT_TRUE(ranking.ok() && !ranking->offers().empty());
    apart = apart + ranking->offers().front().total;
    EXPECT_EQ(plans->plans()[0].parcels[static_cast<std::size_t>(i)].ranking.request().cover, one.cover);
  }
  EXPECT_EQ(plans->plans()[0].total, apart);
}

TEST(Plans, MoreParcelsAreNeverDearer) {
  Random random(5);
  for (std::size_t i = 0; i < testing::Cases(20, 20); ++i) {
    Request order = RandomOrder(random, 5, Pick(random, 4, 30));
    std::optional<Amount> before;
    for (std::int32_t most = 1; most <= 5; ++most) {
      order.parcels = SeveralParcels{.most = most, .plans = 1};
      const absl::StatusOr<Plans> plans = FindPlans(Demo().book, Demo().shelf, order);
      ASSERT_TRUE(plans.ok()) << plans.status();
      if (plans->plans().empty()) {
        EXPECT_FALSE(before);
        EXPECT_FALSE(plans->obstacles().empty());
        continue;
      }
      const Amount total = plans->plans().front().total;
      if (before) {
        EXPECT_LE(total, *before);
      }
      before = total;
    }
  }
}

TEST(Plans, LargeOrdersGetPlansAndABound) {
  Random random(30);
  Request order = RandomOrder(random, 18, 3);
  for (std::size_t i = 0; i < order.goods.size(); ++i) {
    order.goods[i].weight = order.goods[i].weight + Weight::Nanograms(static_cast<std::int64_t>(i));  // No two alike.
  }
  order.parcels = SeveralParcels{.most = 6};
  const absl::StatusOr<Plans> plans = FindPlans(Demo().book, Demo().shelf, order, {.sets = 300});
  ASSERT_TRUE(plans.ok()) << plans.status();
  ASSERT_FALSE(plans->plans().empty());
  ASSERT_TRUE(plans->at_least());
  ExpectWhole(*plans);
  EXPECT_GT(plans->at_least()->micros(), 0);
  // The same again, and beside itself.
  std::vector<std::string> totals(4);
  std::vector<std::thread> threads;
  for (std::string& total : totals) {
    threads.emplace_back([&total, &order] {
      const absl::StatusOr<Plans> again = FindPlans(Demo().book, Demo().shelf, order, {.sets = 300});
      total = again.ok() ? again->plans().front().total.ToString() : again.status().ToString();
    });
  }
  for (std::thread& thread : threads) thread.join();
  for (const std::string& total : totals) EXPECT_EQ(total, plans->plans().front().total.ToString());
}

TEST(Plans, ALargeSearchOfASmallOrderFindsTheBest) {
  Random random(11);
  std::size_t found = 0;
  const std::size_t cases = testing::Cases(20, 20);
  for (std::size_t i = 0; i < cases; ++i) {
    Request order = RandomOrder(random, 5, Pick(random, 4, 20));
    order.parcels = SeveralParcels{.most = 4, .plans = 1};
    const absl::StatusOr<Plans> exact = FindPlans(Demo().book, Demo().shelf, order);
    const absl::StatusOr<Plans> moved = FindPlans(Demo().book, Demo().shelf, order, {.pairs = 0});
    ASSERT_TRUE(exact.ok() && moved.ok());
    if (exact->plans().empty()) {
      EXPECT_TRUE(moved->plans().empty());
      ++found;
      continue;
    }
    ASSERT_FALSE(moved->plans().empty());
    EXPECT_LE(exact->plans().front().total, moved->plans().front().total);
    if (moved->at_least()) {
      EXPECT_LE(*moved->at_least(), exact->plans().front().total) << "order " << i;
      found += exact->plans().front().total == moved->plans().front().total ? 1u : 0u;
    }
  }
  EXPECT_GE(found * 10, cases * 9);
}

TEST(Plans, HundredsOfUnitsOfTwoKindsGetAPlan) {
  // 300 lb: 30 parcels of 10 lb for 10.00 each, at most 100 of them, and 3.00 once.
  Item heavier = Of(2, 60);
  heavier.sides = {Length::Inches(3), Length::Inches(3), Length::Inches(2)};
  Item lighter = Of(1, 180);
  lighter.sides = {Length::Inches(2), Length::Inches(2), Length::Inches(2)};
  Request order = Order({heavier, lighter}, 100);
  const Plans plans = Found(Plenty(), order, {.pairs = 1'000});
  ASSERT_FALSE(plans.plans().empty());
  EXPECT_FALSE(plans.proved());
  ASSERT_TRUE(plans.at_least());
  EXPECT_LE(*plans.at_least(), Amount::Micros(303'000'000));
  EXPECT_GE(First(plans).total, Amount::Micros(303'000'000));
  EXPECT_LE(First(plans).total, Amount::Micros(420'000'000));
  std::int32_t units = 0;
  for (const PlannedParcel& parcel : First(plans).parcels) {
    for (const PlannedGoods& some : parcel.goods) units += some.units;
  }
  EXPECT_EQ(units, 240);
}

TEST(Plans, GoodsOfOneItemAreCountedNotNamed) {
  // 60 alike in at most 100 parcels: 61 sets.
  const Plans plans = Found(Plenty(), Order({Of(2, 60)}, 100));
  EXPECT_TRUE(plans.proved());
  // 18 lie in a cube of 12 in (6 x 4 x 4 in), but 10 lb are five of them: 12 parcels.
  EXPECT_EQ(plans.plans()[0].total.ToString(), "123.00");
  EXPECT_EQ(plans.plans()[0].parcels.size(), 12u);
}

}  // namespace
}  // namespace tarewise::plans_test
