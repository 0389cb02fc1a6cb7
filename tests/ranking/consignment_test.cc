// Consignments in C++: what is asked, what an offer says, what of a service hangs on its consignment, and thresholds
// that move with the weight of the others. The tables are those of rules-consignment.case, invented; its prices are
// worked by hand.

#include <algorithm>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/demo_goods.h"
#include "support/random.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/steps.h"

namespace tarewise::consignment_test {
namespace {

using testing::Between;
using testing::Random;

const testing::Compiled& Cases() {
  static const testing::Compiled compiled =
      testing::Compile(testing::LoadTables(TW_TEST_ROOT "/tests/cases/consignment"));
  return compiled;
}

Request Sealed(Weight weight) {
  Request request;
  request.date = *Date::Parse("2026-02-01");
  request.currency = *Currency::Parse("USD");
  request.lane = {*Place::Make("US", "05401"), *Place::Make("US", "98101")};
  Parcel parcel;
  parcel.weight = weight;
  parcel.sides = Dimensions(Length::Inches(20), Length::Inches(20), Length::Inches(20));
  request.parcel = parcel;
  return request;
}

Ranking Ranked(const Request& request) {
  absl::StatusOr<Ranking> ranking = Rank(Cases().book, nullptr, request);
  EXPECT_TRUE(ranking.ok()) << ranking.status();
  return ranking.ok() ? *std::move(ranking) : Ranking();
}

const Offer* Of(const Ranking& ranking, std::string_view service) {
  for (const Offer& offer : ranking.offers()) {
    if (offer.service == service) return &offer;
  }
  return nullptr;
}

std::string Why(const Ranking& ranking, const Offer& offer, std::string_view code) {
  for (const Charge& charge : offer.charges) {
    if (charge.code == code) return ranking.Why(offer, charge);
  }
  return {};
}

TEST(Consignment, IsToldInWords) {
  Request request = Sealed(Weight::Pounds(60));
  request.consignment = {2, Weight::Pounds(140), true};
  const Ranking first = Ranked(request);
  const Offer* offer = Of(first, "road");
  ASSERT_NE(offer, nullptr);
  EXPECT_EQ(offer->total.ToString(), "55.75");
  EXPECT_EQ(Why(first, *offer, "base"),
            "consignment weight 200 lb; 2 steps of 100 lb begun; due once a consignment; pieces are 3, at least 2");
  EXPECT_EQ(Why(first, *offer, "sheet"), "pieces 3; 2 steps of 2 begun; due once a consignment");
  EXPECT_EQ(Why(first, *offer, "pickup"), "one price; due once a consignment");
  request.consignment.first = false;
  const Ranking other = Ranked(request);
  offer = Of(other, "road");
  ASSERT_NE(offer, nullptr);
  EXPECT_EQ(offer->total, Amount());
  EXPECT_EQ(Why(other, *offer, "pickup"), "one price; due once a consignment, with another parcel");
  EXPECT_EQ(Why(other, *offer, "rebate"), "");
  request.consignment.others = 7;
  const Ranking many = Ranked(request);
  ASSERT_EQ(Of(many, "road"), nullptr);
  bool told = false;
  for (const Refusal& refusal : many.refusals()) {
    for (const RefusalReason& reason : refusal.reasons)
      told = told || reason.text.ends_with("pieces are 8, the limit is 5");
  }
  EXPECT_TRUE(told);
}

TEST(Consignment, IsInRangeOrRefused) {
  auto message = [](Consignment consignment) {
    Request request = Sealed(Weight::Pounds(1));
    request.consignment = consignment;
    const absl::Status status = request.Check();
    return status.ok() ? std::string() : std::string(status.message());
  };
  EXPECT_EQ(message({}), "");
  EXPECT_EQ(message({999, Weight::Kilograms(100'000), false}), "");
  EXPECT_EQ(message({1000, Weight::Kilograms(1), false}),
            "consignment/others: found 1000, expected 0 to 999 other parcels");
  EXPECT_EQ(message({-1, Weight(), true}), "consignment/others: found -1, expected 0 to 999 other parcels");
  EXPECT_EQ(message({0, Weight::Kilograms(1), true}),
            "consignment/others_weight: found 1 kg without others, expected none");
  EXPECT_EQ(message({1, Weight(), true}),
            "consignment/others_weight: found 0 kg, expected a weight of more than 0 and at most 100000 kg");
  EXPECT_EQ(message({0, Weight(), false}), "consignment/first: found false without others, expected true");
  RepriceSetup setup;
  setup.book = Cases().book;
  setup.shipment = Shipment::Of(Sealed(Weight::Pounds(1)), nullptr);
  setup.lanes = {setup.shipment.lane};
  EXPECT_TRUE(Repricer::Create(setup).ok());
  setup.shipment.consignment = {1, Weight::Kilograms(1), true};
  const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
  ASSERT_FALSE(repricer.ok());
  EXPECT_EQ(repricer.status().message(),
            "consignment: found 1 others, expected none: each row of many is a consignment of one");
}

// Headroom by trying: the answer at the end of it is the same, and a nanogram past it is another.
TEST(Consignment, MovesThresholdsByTheWeightOfTheOthers) {
  Random random(20261126);
  int limited = 0;
  int saved = 0;
  for (int i = 0; i < 400; ++i) {
    Request request = Sealed(Weight::Nanograms(Between(random, 1, Weight::Pounds(69).nanograms())));
    const auto others = static_cast<std::int32_t>(Between(random, 0, 4));
    if (others > 0) {
      const std::int64_t edge = Weight::Pounds(std::vector<int>{50, 100, 150, 300, 500, 1000,
                                                                1500}[static_cast<std::size_t>(Between(random, 0, 6))])
                                    .nanograms();
      const std::int64_t ng =
          std::max<std::int64_t>(1, edge - request.parcel->weight.nanograms() - Between(random, -9, 9));
      request.consignment = {others, Weight::Nanograms(ng), Between(random, 0, 1) == 0};
    }
    const Ranking ranking = Ranked(request);
    for (const Offer& offer : ranking.offers()) {
      auto total_at = [&](std::int64_t ng) -> std::optional<Amount> {
        Request other = request;
        other.parcel->weight = Weight::Nanograms(ng);
        const Ranking there = Ranked(other);
        const Offer* same = Of(there, offer.service);
        return same != nullptr ? std::optional<Amount>(same->total) : std::nullopt;
      };
      const std::int64_t here = request.parcel->weight.nanograms();
      if (offer.headroom.weight) {
        ++limited;
        const std::int64_t most = here + offer.headroom.weight->nanograms();
        EXPECT_EQ(total_at(most), offer.total) << offer.service << " " << i;
        EXPECT_NE(total_at(most + 1), offer.total) << offer.service << " " << i;
      } else {
        EXPECT_EQ(total_at(Weight::kMostNanograms), offer.total);
      }
      for (const Saver& saver : offer.savers) {
        if (saver.of != Aspect::kWeight) continue;
        ++saved;
        auto best_without = [&](Weight taken) {
          Request less = request;
          less.parcel->weight = Weight::Nanograms(here - taken.nanograms());
          const Ranking there = Ranked(less);
          return there.offers().empty() ? std::optional<Amount>() : std::optional<Amount>(there.offers().front().total);
        };
        EXPECT_EQ(best_without(saver.weight), saver.total);
      }
    }
  }
  EXPECT_GT(limited, 200);
  EXPECT_GT(saved, 20);
}

TEST(Consignment, StepsMoveWithTheWeightOfTheOthers) {
  Request request = Sealed(Weight::Pounds(1));
  request.consignment = {1, Weight::Pounds(270), false};
  const Ranking ranking = Ranked(request);
  // Of `road` as another parcel: 0 up to 300 lb together, then 4.00 for a heavy consignment.
  ASSERT_EQ(ranking.dispatch().services()[0].service->code, "road");
  const std::vector<WeightStep> steps = StepsByWeight(ranking, 0, Weight::Pounds(60));
  ASSERT_EQ(steps.size(), 2u);
  EXPECT_EQ(steps[0].until, Weight::Pounds(30));
  EXPECT_EQ(steps[0].total, Amount());
  EXPECT_EQ(steps[1].total, *Amount::Parse("4"));
}

TEST(Consignment, AServiceTellsWhatHangsOnIt) {
  auto state_of = [](const Dispatch& dispatch, std::string_view code) -> const internal::ServiceState& {
    for (const internal::ServiceState& state : internal::StateOf(dispatch).services()) {
      if (state.service().code == code) return state;
    }
    ADD_FAILURE();
    return internal::StateOf(dispatch).services().front();
  };
  // Whatever the consignment that it is asked for.
  for (const Consignment consignment : {Consignment(), Consignment{3, Weight::Pounds(9), false}}) {
    Request request = Sealed(Weight::Pounds(1));
    request.consignment = consignment;
    const absl::StatusOr<Dispatch> dispatch = Dispatch::Create(Cases().book, Shipment::Of(request, nullptr));
    ASSERT_TRUE(dispatch.ok()) << dispatch.status();
    const internal::ServiceState& road = state_of(*dispatch, "road");
    ASSERT_TRUE(road.of_consignment());
    EXPECT_TRUE(road.consignment->once);
    EXPECT_EQ(road.consignment->pieces, (std::vector<MeasureValue>{1, 2, 5}));
    ASSERT_EQ(road.consignment->piece_series.size(), 1u);
    EXPECT_EQ(road.consignment->piece_series[0].step, 2);
    std::vector<MeasureValue> bounds;
    for (const int pounds : {100, 300, 500, 1000, 1500}) bounds.push_back(Weight::Pounds(pounds).nanograms());
    EXPECT_EQ(road.consignment->weights, bounds);
    const internal::ServiceState& pieces = state_of(*dispatch, "pieces");
    ASSERT_TRUE(pieces.of_consignment());
    EXPECT_FALSE(pieces.consignment->once);
    EXPECT_EQ(pieces.consignment->pieces, (std::vector<MeasureValue>{1, 2, 3, 10, 20}));
    EXPECT_EQ(pieces.consignment->weight_series.size(), 1u);
  }
  // What cannot be due on the day is nothing of it.
  Tables tables = testing::LoadTables(TW_TEST_ROOT "/tests/cases/consignment");
  Tariff& tariff = tables.tariffs[0];
  Service& service = tariff.services[0];
  service.refuse.clear();
  service.prices.erase(service.prices.begin());
  DateCondition later;
  later.dates.from = *Date::Parse("2026-03-01");
  for (ChargeRule& rule : tariff.rules) rule.when.conditions.emplace_back(later);
  const absl::StatusOr<std::shared_ptr<const Ratebook>> book = Ratebook::Create({tariff}, {}, {});
  ASSERT_TRUE(book.ok()) << book.status();
  for (const auto& [day, of_consignment] : {std::pair{"2026-02-01", false}, std::pair{"2026-03-01", true}}) {
    Request request = Sealed(Weight::Pounds(1));
    request.date = *Date::Parse(day);
    const absl::StatusOr<Dispatch> dispatch = Dispatch::Create(*book, Shipment::Of(request, nullptr));
    ASSERT_TRUE(dispatch.ok()) << dispatch.status();
    EXPECT_EQ(state_of(*dispatch, "road").of_consignment(), of_consignment) << day;
  }
}

TEST(Consignment, WhatIsDueOnceIsTheSameWhicheverParcelIsAsked) {
  const Tables tables = testing::LoadTables(TW_TEST_ROOT "/tests/cases/consignment");
  auto error = [&tables](auto change) {
    Tariff tariff = tables.tariffs[0];
    change(tariff);
    const absl::StatusOr<std::shared_ptr<const Ratebook>> book = Ratebook::Create({std::move(tariff)}, {}, {});
    return book.ok() ? std::string() : std::string(book.status().message());
  };
  EXPECT_EQ(error([](Tariff&) {}), "");
  const MeasureCondition heavy =
      MeasureCondition::Make(Measure::kWeight, {{Bound::Op::kOver, Weight::Pounds(5).nanograms(), "lb"}});
  EXPECT_EQ(error([&](Tariff& tariff) { tariff.rules[0].when.conditions.emplace_back(heavy); }),
            "fenwick-dray: found \"pickup\" once a consignment by what its parcels may differ in, expected what is the "
            "same for all");
  EXPECT_EQ(error([](Tariff& tariff) { tariff.rules[0].group = "a"; }),
            "fenwick-dray: found \"pickup\" once a consignment in a group, expected none");
  EXPECT_EQ(error([](Tariff& tariff) { std::get<StepPrice>(tariff.rules[2].price).measure = Measure::kWeight; }),
            "fenwick-dray: found \"sheet\" once a consignment by what its parcels may differ in, expected what is the "
            "same for all");
  EXPECT_EQ(error([](Tariff& tariff) { tariff.services[0].extras = {0}; }),
            "fenwick-dray/road: found the extra \"pickup\" once a consignment, expected a surcharge");
  EXPECT_EQ(error([](Tariff& tariff) { tariff.services[0].pick_lowest = true; }),
            "fenwick-dray/road: found a price once a consignment among which the lowest is taken");
  EXPECT_EQ(error([](Tariff& tariff) {
              std::vector<PriceAlternative>& prices = tariff.services[0].prices;
              std::swap(prices[0], prices[1]);
            }),
            "fenwick-dray/road: found a price once a consignment, or one before it, by what its parcels may differ in, "
            "expected what is the same for all");
}

}  // namespace
}  // namespace tarewise::consignment_test
