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
#include "support/lines_tables.h"
#include "support/reprice_support.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/totals.h"

namespace tarewise::reprice_equals_rank_test {
namespace {

using namespace reprice_test;  // NOLINT

// How many ties for the first place were seen, so that a test can tell that it saw some.
struct Seen {
  std::size_t rows = 0;
  std::size_t offered = 0;
  std::size_t ties = 0;
  std::size_t packaging_ties = 0;
  std::size_t errors = 0;
  std::map<RowReason, std::size_t> reasons;
};

// Compares one row and lane with `Rank`. False where they differ (told once).
bool SameAsRank(const Repricer& repricer, const GoodsColumns& goods, const Columns& got, std::size_t row,
                std::size_t lane, Seen& seen) {
  const std::size_t at = row * got.lanes + lane;
  const RowReason reason = static_cast<RowReason>(got.reason[row]);
  auto differs = [&](const std::string& what) {
    ADD_FAILURE() << "row " << row << ", lane " << lane << ": " << what << "; got total " << got.total[at]
                  << ", service " << got.service[at] << ", packaging " << got.packaging[at] << ", second "
                  << got.second[at] << ", " << NameOf(reason);
    return false;
  };
  absl::StatusOr<Request> request = repricer.RequestFor(goods, row, lane);
  if (!request.ok()) return differs(request.status().ToString());
  RankOptions options;
  options.thresholds = false;
  const absl::StatusOr<Ranking> ranking =
      Rank(repricer.dispatch(lane), repricer.setup().shelf, *std::move(request), options);
  ++seen.rows;
  ++seen.reasons[reason];
  if (!ranking.ok()) {
    ++seen.errors;
    if (reason != RowReason::kBadSide && reason != RowReason::kTooHeavyPacked) {
      return differs("Rank says " + ranking.status().ToString());
    }
    return got.total[at] == kNoTotal || differs("a total where Rank has an error");
  }
  if (ranking->candidates().empty() != (reason == RowReason::kFitsNothing)) return differs("fits or not");
  if (ranking->offers().empty()) {
    if (got.total[at] != kNoTotal || got.service[at] != -1 || got.packaging[at] != -1 || got.second[at] != kNoTotal) {
      return differs("Rank offers nothing");
    }
    if (reason == RowReason::kPriced) return differs("Rank offers nothing on this lane");
    return true;
  }
  ++seen.offered;
  if (reason != RowReason::kPriced && reason != RowReason::kNotEverywhere) return differs("Rank offers something");
  const Offer& best = ranking->offers().front();
  if (got.total[at] != best.total.micros()) return differs("Rank says " + best.total.ToString());
  if (got.service[at] != static_cast<std::int16_t>(best.service_index)) {
    return differs("Rank says service " + std::string(best.service));
  }
  const PackagingName& packaging = repricer.packagings()[static_cast<std::size_t>(got.packaging[at])];
  if (packaging.code != best.packaging || packaging.issued_by != best.issued_by) {
    return differs("Rank says packaging " + std::string(best.packaging) + ", got " + std::string(packaging.code));
  }
  std::int64_t second = kNoTotal;
  for (const Offer& offer : ranking->offers()) {
    if (offer.service_index == best.service_index) continue;
    second = offer.total.micros();
    break;
  }
  if (got.second[at] != second) return differs("Rank says second best " + std::to_string(second));
  if (ranking->offers().size() > 1 && ranking->offers()[1].total == best.total) {
    ++seen.ties;
    if (ranking->offers()[1].service_index == best.service_index) ++seen.packaging_ties;
  }
  return true;
}

// Runs all rows, and asks `Rank` about each on `lanes_a_row` of its lanes.
void ExpectSameAsRank(const Repricer& repricer, const GoodsColumns& goods, std::size_t lanes_a_row, Random& random,
                      Seen& seen) {
  Columns got;
  const RepriceResults results = got.Make(goods.rows, repricer.lanes().size());
  ASSERT_TRUE(repricer.Run(goods, results).ok());
  int failures = 0;
  for (std::size_t row = 0; row < goods.rows && failures < 5; ++row) {
    const std::size_t first = random() % got.lanes;
    for (std::size_t i = 0; i < std::min(lanes_a_row, got.lanes); ++i) {
      failures += SameAsRank(repricer, goods, got, row, (first + i) % got.lanes, seen) ? 0 : 1;
    }
    std::size_t offered = 0;
    std::int64_t worst = kNoTotal;
    std::int32_t worst_lane = -1;
    for (std::size_t lane = 0; lane < got.lanes; ++lane) {
      const std::int64_t total = got.total[row * got.lanes + lane];
      offered += total == kNoTotal ? 0 : 1;
      if (total <= worst) continue;
      worst = total;
      worst_lane = static_cast<std::int32_t>(lane);
    }
    EXPECT_EQ(got.worst[row], worst);
    EXPECT_EQ(got.worst_lane[row], worst_lane);
    const RowReason reason = static_cast<RowReason>(got.reason[row]);
    EXPECT_EQ(reason == RowReason::kPriced, offered == got.lanes);
    EXPECT_EQ(reason == RowReason::kNotEverywhere, offered > 0 && offered < got.lanes);
  }
}

TEST(RepriceEqualsRank, TheDemonstrationCatalogue) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const GoodsColumns goods = DemoCatalogue().Columns();
  ASSERT_GT(goods.rows, 3000u);
  Random random(20260803);
  Seen seen;
  ExpectSameAsRank(*repricer, goods, 1, random, seen);
  EXPECT_GT(seen.offered, 2900u);
}

TEST(RepriceEqualsRank, GoodsNearTheDemonstrationsThresholds) {
  RepriceSetup setup = DemoSetup();
  setup.lanes.push_back(LaneTo("DE", "10115"));
  const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const std::vector<Contents> classes = SomeContents();
  Random random(11);
  const Table table = NearThresholds(*repricer, classes, 110'000 / kFewer, random);
  Seen seen;
  ExpectSameAsRank(*repricer, table.Columns(classes), 1, random, seen);
  EXPECT_GT(seen.offered, 66'000u / kFewer);
  EXPECT_GT(seen.ties, 160u / kFewer);
  EXPECT_GT(seen.reasons[RowReason::kFitsNothing], 800u / kFewer);
  EXPECT_GT(seen.reasons[RowReason::kOfferedNowhere], 160u / kFewer);
  EXPECT_GT(seen.reasons[RowReason::kNotEverywhere], 800u / kFewer);
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
  EXPECT_GT(seen.offered, 14'000u / kFewer);
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
  const World world = testing::Compile(testing::WithTaxAndReductions(testing::DemoTables()));
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
      const Table table = NearThresholds(*repricer, classes, 3'000 / kFewer, random);
      // Twice, so that what is worked out on the way is used too.
      for (int i = 0; i < 2; ++i) ExpectSameAsRank(*repricer, table.Columns(classes), 1, random, seen);
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
    for (int tries = 0; tries < 3; ++tries) {
      const RepriceSetup setup = SetupFor(world, requests, random);
      const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
      if (!repricer.ok()) continue;  // such as two currencies and no rate: Rank says so too
      ++setups;
      Table table = NearThresholds(*repricer, classes, 250, random);
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
  EXPECT_GT(seen.rows, 20'000u);
  EXPECT_GT(seen.offered, seen.rows / 5);
  EXPECT_GT(seen.ties, 200u);
  EXPECT_GT(seen.packaging_ties, 20u);
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
