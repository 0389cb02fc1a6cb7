// Repricing against ranking: `Rank` is the single source of truth, and every row must get its very totals, winners and
// reasons. The tables are the demonstration's and random ones, all invented.

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/fewer.h"
#include "support/lines_tables.h"
#include "support/reprice_support.h"
#include "support/same_as_rank.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/totals.h"

namespace tarewise::reprice_equals_rank_test {
namespace {

using namespace reprice_test;  // NOLINT

TEST(RepriceEqualsRank, TheDemonstrationCatalogue) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  GoodsColumns goods = DemoCatalogue().Columns();
  ASSERT_GT(goods.rows, 3000u);
  goods.rows /= kFewer;
  Random random(20260803);
  Seen seen;
  ExpectSameAsRank(*repricer, goods, 1, random, seen);
  EXPECT_GT(seen.offered, testing::Share(2'900));
}

TEST(RepriceEqualsRank, GoodsNearTheDemonstrationsThresholds) {
  RepriceSetup setup = DemoSetup();
  setup.lanes.push_back(LaneTo("DE", "10115"));
  const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const std::vector<Contents> classes = SomeContents();
  Random random(11);
  const std::size_t rows = kFewer > 1 ? 2'750 : testing::Cases(11'000, 44'000);
  const Table table = NearThresholds(*repricer, classes, rows, random);
  Seen seen;
  ExpectSameAsRank(*repricer, table.Columns(classes), 1, random, seen);
  EXPECT_GT(seen.offered, testing::Share(6'500));
  EXPECT_GT(seen.ties, testing::Share(8));
  EXPECT_GT(seen.reasons[RowReason::kFitsNothing], testing::Share(80));
  EXPECT_GT(seen.reasons[RowReason::kOfferedNowhere], testing::Share(8));
  EXPECT_GT(seen.reasons[RowReason::kNotEverywhere], testing::Share(80));
  RecordProperty("rows", static_cast<int>(seen.rows));
}

TEST(RepriceEqualsRank, EstimatesWithoutAShelf) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup(false));
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const std::vector<Contents> classes = SomeContents();
  Random random(12);
  const Table table = NearThresholds(*repricer, classes, 20'000 / kFewer, random);
  Seen seen;
  ExpectSameAsRank(*repricer, table.Columns(classes), 1, random, seen);
  EXPECT_GT(seen.offered, testing::Share(14'000));
}

TEST(RepriceEqualsRank, PromisesExtrasAndOtherCurrencies) {
  const std::vector<Contents> classes = SomeContents();
  Random random(13);
  Seen seen;
  std::vector<RepriceSetup> setups;
  setups.push_back(DemoSetup());
  setups.back().shipment.promise = WithinDays{3};
  setups.back().shipment.cover = Amount::Micros(250'000'000);
  setups.push_back(DemoSetup());
  setups.back().shipment.promise = PaidFor{"harbourline", "swift"};
  setups.back().shipment.extras = {"signature"};
  setups.back().padding = Length::Millimetres(5);
  setups.push_back(DemoSetup());
  setups.back().shipment.currency = *Currency::Parse("EUR");
  setups.back().shipment.exchange.emplace("USD", *ExchangeRate::Parse("0.9217"));
  setups.back().fill_weight = Weight::Grams(40);
  setups.push_back(DemoSetup());
  setups.back().shipment.exchange.emplace("EUR", *ExchangeRate::Parse("1.0842"));
  setups.back().lanes = {LaneTo("DE", "10115"),
                         LaneTo("CA", "M5V2T6"),
                         LaneTo("JP", "1000001", false),
                         {*Place::Make("DE", "10115"), *Place::Make("FR", "75001", true)},
                         {*Place::Make("DE", "10115"), *Place::Make("DE", "80331", false)}};
  setups.push_back(DemoSetup());
  setups.back().shipment.date = *Date::Parse("2026-12-01");
  for (const RepriceSetup& setup : setups) {
    const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
    ASSERT_TRUE(repricer.ok()) << repricer.status();
    const Table table = NearThresholds(*repricer, classes, 2'000 / kFewer, random);
    ExpectSameAsRank(*repricer, table.Columns(classes), 1, random, seen);
  }
  EXPECT_EQ(seen.rows, setups.size() * (2'000 / kFewer));
  EXPECT_GT(seen.offered, seen.rows / 2);
}

// Tax of every kind, reductions, percentages behind extras, discounts that add up; with the tax counted and without.
TEST(RepriceEqualsRank, TaxAndReductions) {
  const World world = testing::Compile(testing::WithTaxAndReductions(testing::DemoTables(), Weight::Kilograms(20)));
  const std::vector<Contents> classes = SomeContents();
  Random random(15);
  Seen seen;
  for (const Totals totals : {Totals::kWithTax, Totals::kWithoutTax}) {
    for (const std::int64_t parcels : {49, 50}) {
      RepriceSetup setup = DemoSetup(parcels == 49);
      setup.book = world.book;
      setup.lanes.push_back(LaneTo("DE", "10115"));
      setup.shipment.totals = totals;
      setup.shipment.exchange.emplace("EUR", *ExchangeRate::Parse("1.0842"));
      setup.shipment.week.each.parcels = parcels;
      setup.shipment.extras = {"x-drop-off"};
      if (parcels == 50) setup.shipment.extras.insert(setup.shipment.extras.begin(), "signature");
      const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
      ASSERT_TRUE(repricer.ok()) << repricer.status();
      const Table table = NearThresholds(*repricer, classes, 1'500 / kFewer, random);
      ExpectSameAsRank(*repricer, table.Columns(classes), 1, random, seen);
    }
  }
  EXPECT_GT(seen.offered, seen.rows / 3);
}

TEST_F(RandomWorlds, EqualRank) {
  const std::vector<Contents> classes = SomeContents();
  Random random(14);
  Seen seen;
  std::size_t worlds = 0;
  std::size_t setups = 0;
  for (const std::filesystem::path& folder : testing::RandomWorldFolders()) {
    SCOPED_TRACE(folder.filename().string());
    const World world = testing::Compile(testing::LoadTables(folder.string()));
    ++worlds;
    const std::vector<Request> requests = testing::RequestsOf(folder);
    ASSERT_GT(requests.size(), 10u);
    for (int tries = 0; tries < (kFewer > 1 ? 2 : 3); ++tries) {
      const RepriceSetup setup = SetupFor(world, requests, random);
      const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
      if (!repricer.ok()) continue;  // such as two currencies and no rate: Rank says so too
      ++setups;
      Table table = NearThresholds(*repricer, classes, 250 * testing::kFewerWorlds / kFewer, random);
      for (const Request& request : requests) {
        if (request.goods.size() != 1 || request.goods[0].weight_most || !request.goods[0].side_ranges.empty())
          continue;
        table.Add(request.goods[0], static_cast<std::uint16_t>(Below(random, std::ssize(classes))));
      }
      // Twice, so that what is worked out on the way is used too.
      for (int i = 0; i < 2; ++i) {
        ExpectSameAsRank(*repricer, table.Columns(classes), 2, random, seen);
        if (HasFailure()) return;
      }
    }
  }
  EXPECT_GE(worlds, 15u);
  EXPECT_GE(setups, worlds);
  EXPECT_GT(seen.rows, testing::Share(20'000));
  EXPECT_GT(seen.offered, seen.rows / 5);
  EXPECT_GT(seen.ties, testing::Share(200));
  EXPECT_GT(seen.packaging_ties, testing::Share(20));
}

TEST(RankTotals, AreThoseOfRank) {
  Random random(17);
  const std::vector<Contents> classes = SomeContents();
  const RepriceSetup setup = DemoSetup();
  TotalsResult totals;
  std::size_t offers = 0;
  for (int i = 0; i < 3'000; ++i) {
    Request request;
    request.date = setup.shipment.date;
    request.currency = setup.shipment.currency;
    request.lane = setup.lanes[static_cast<std::size_t>(Below(random, 9))];
    if (Below(random, 4) == 0) request.lane.to = *Place::Make("DE", "10115");
    request.exchange.emplace("EUR", *ExchangeRate::Parse("1.0842"));
    Parcel parcel;
    parcel.weight = Weight::Nanograms(1 + Below(random, 40) * kNanogramsPerPound / 4);
    parcel.sides = Dimensions(Length::Nanometres(1 + Below(random, 60) * kNanometresPerInch / 2),
                              Length::Nanometres(1 + Below(random, 40) * kNanometresPerInch / 2),
                              Length::Nanometres(1 + Below(random, 30) * kNanometresPerInch / 2));
    parcel.shape = static_cast<Shape>(Below(random, 5));
    parcel.contents = classes[static_cast<std::size_t>(Below(random, std::ssize(classes)))];
    parcel.value = Amount::Micros(Below(random, 3'000) * 1'000'000);
    request.parcel = parcel;
    absl::StatusOr<Dispatch> made = Dispatch::Create(setup.book, Shipment::Of(request, nullptr));
    ASSERT_TRUE(made.ok()) << made.status();
    const auto dispatch = std::make_shared<const Dispatch>(*std::move(made));
    RankOptions options;
    options.thresholds = false;
    const absl::StatusOr<Ranking> ranking = Rank(dispatch, nullptr, request, options);
    ASSERT_TRUE(ranking.ok()) << ranking.status();
    RankTotals(*dispatch, ranking->candidates()[0].facts, parcel.value, {}, totals);
    ASSERT_EQ(totals.offers.size(), ranking->offers().size());
    for (std::size_t k = 0; k < totals.offers.size(); ++k) {
      ASSERT_EQ(totals.offers[k].total, ranking->offers()[k].total);
      ASSERT_EQ(totals.offers[k].service, ranking->offers()[k].service_index);
    }
    offers += totals.offers.size();
  }
  EXPECT_GT(offers, 10'000u);
}

}  // namespace
}  // namespace tarewise::reprice_equals_rank_test
