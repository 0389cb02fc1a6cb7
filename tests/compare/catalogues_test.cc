// A catalogue before and after, against ranking row by row, on the demonstration tables (invented).
#include "tarewise/compare/catalogues.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "compare/read.h"
#include "support/demo_goods.h"
#include "tarewise/compare/summary.h"
#include "tarewise/documents/comparison_json.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::catalogues_test {
namespace {

using compare_test::Day;

using Goods = testing::MonthlyGoods<double>;

Goods RandomGoods(std::uint64_t seed, std::size_t rows) {
  Goods goods = testing::SeededGoods<double>(seed, rows, {.most_weight = 3000, .most_side = 200, .most_value = 300});
  // Rows that nothing can be said of: no weight, and what fits nothing.
  goods.weight[1] = 0;
  for (auto& side : goods.sides) side[2] = 4'000'000'000;
  return goods;
}

RepriceSetup DemoSetup(const char* date, std::vector<std::pair<const char*, std::int64_t>> places) {
  RepriceSetup setup = testing::SetupOn({});
  setup.shipment.date = Day(date);
  for (const auto& [code, share] : places) {
    setup.lanes.push_back(testing::LaneTo("US", code));
    setup.shares.push_back(share);
  }
  return setup;
}

// What ranking says of one row on one lane.
struct Best {
  std::int64_t total = kNoTotal;
  std::string service;
  std::string packaging;
};

Best Ranked(const Goods& goods, std::size_t row, const RepriceSetup& setup, std::size_t lane) {
  Request request = testing::RequestOn(setup.lanes[lane]);
  request.goods = {goods.At(row)};
  request.date = setup.shipment.date;
  RankOptions options;
  options.thresholds = false;
  const absl::StatusOr<Ranking> ranking = Rank(setup.book, setup.shelf, request, options);
  if (!ranking.ok() || ranking->offers().empty()) return {};
  const Offer& offer = ranking->offers().front();
  return {offer.total.micros(), std::string(offer.carrier) + "/" + std::string(offer.service),
          std::string(offer.packaging)};
}

TEST(CompareCatalogue, AgreesWithRankingRowByRow) {
  const std::vector<std::pair<const char*, std::int64_t>> places = {
      {"05201", 10}, {"60601", 25}, {"98101", 40}, {"99501", 0}, {"33101", 25}};
  const RepriceSetup before = DemoSetup("2026-07-01", places);
  const RepriceSetup after = DemoSetup("2026-12-01", places);
  const Goods goods = RandomGoods(7, 60);
  absl::StatusOr<CatalogueComparer> comparer = CatalogueComparer::Create(before, after, 5);
  ASSERT_TRUE(comparer.ok()) << comparer.status();
  std::vector<std::int64_t> mean_before(60), mean_after(60), month(60);
  std::vector<std::uint8_t> change(60);
  CatalogueColumns out;
  out.before = mean_before.data();
  out.after = mean_after.data();
  out.month = month.data();
  out.change = change.data();
  ASSERT_TRUE(comparer->Add(goods.Columns(), Column::Of(goods.monthly, kMillionthsPerParcel), out).ok());
  const CatalogueChange result = comparer->Result();

  CatalogueChange expected;
  double month_before = 0;
  double month_after = 0;
  std::vector<std::pair<double, std::size_t>> losses;
  for (std::size_t row = 0; row < 60; ++row) {
    unsigned bits = 0;
    bool all_before = true;
    bool all_after = true;
    std::int64_t sum_before = 0;
    std::int64_t sum_after = 0;
    for (std::size_t lane = 0; lane < places.size(); ++lane) {
      if (places[lane].second == 0) continue;
      const bool bad = goods.weight[row] == 0;
      const Best a = bad ? Best() : Ranked(goods, row, before, lane);
      const Best b = bad ? Best() : Ranked(goods, row, after, lane);
      all_before = all_before && a.total != kNoTotal;
      all_after = all_after && b.total != kNoTotal;
      sum_before += a.total * places[lane].second;
      sum_after += b.total * places[lane].second;
      if ((a.total == kNoTotal) != (b.total == kNoTotal)) bits |= kOfferedChanges;
      if (a.total == kNoTotal || b.total == kNoTotal) continue;
      if (a.total != b.total) bits |= kTotalChanges;
      if (a.service != b.service) bits |= kServiceChanges;
      if (a.packaging != b.packaging) bits |= kPackagingChanges;
    }
    EXPECT_EQ(change[row], bits) << row;
    expected.changed += bits != 0;
    expected.total_changed += (bits & kTotalChanges) != 0;
    expected.service_changed += (bits & kServiceChanges) != 0;
    expected.packaging_changed += (bits & kPackagingChanges) != 0;
    expected.lost += all_before && !all_after;
    expected.gained += !all_before && all_after;
    EXPECT_EQ(mean_before[row] != kNoTotal, all_before) << row;
    if (!all_before || !all_after) continue;
    ++expected.comparable;
    // Shares add up to 100: half up to the cent.
    EXPECT_EQ(mean_before[row], (sum_before + 500'000) / 1'000'000 * 10'000) << row;
    EXPECT_EQ(mean_after[row], (sum_after + 500'000) / 1'000'000 * 10'000) << row;
    month_before += static_cast<double>(sum_before) / 100 * goods.monthly[row];
    month_after += static_cast<double>(sum_after) / 100 * goods.monthly[row];
    const double rise = static_cast<double>(sum_after - sum_before) / 100 * goods.monthly[row];
    EXPECT_NEAR(static_cast<double>(month[row]), rise, 5'001) << row;
    if (rise > 0) losses.emplace_back(-rise, row);
  }
  EXPECT_EQ(result.rows, 60u);
  EXPECT_EQ(result.comparable, expected.comparable);
  EXPECT_EQ(result.changed, expected.changed);
  EXPECT_EQ(result.total_changed, expected.total_changed);
  EXPECT_EQ(result.service_changed, expected.service_changed);
  EXPECT_EQ(result.packaging_changed, expected.packaging_changed);
  EXPECT_EQ(result.lost, expected.lost);
  EXPECT_EQ(result.gained, expected.gained);
  EXPECT_GT(result.service_changed, 0u);
  EXPECT_LT(result.comparable, 60u);
  EXPECT_NEAR(static_cast<double>(result.month_before.micros()), month_before, 5'001);
  EXPECT_NEAR(static_cast<double>(result.month_after.micros()), month_after, 5'001);
  std::sort(losses.begin(), losses.end());
  ASSERT_EQ(result.losers.size(), std::min<std::size_t>(5, losses.size()));
  for (std::size_t i = 0; i < result.losers.size(); ++i) {
    const RowLoss& loss = result.losers[i];
    EXPECT_EQ(loss.row, losses[i].second);
    EXPECT_EQ(loss.month.micros(), month[loss.row]);
    const Best a = Ranked(goods, loss.row, before, loss.lane);
    const Best b = Ranked(goods, loss.row, after, loss.lane);
    EXPECT_EQ(loss.lane_before.total, a.total);
    EXPECT_EQ(loss.lane_after.total, b.total);
    EXPECT_EQ(std::string(loss.lane_after.carrier) + "/" + std::string(loss.lane_after.service), b.service);
  }

  // In blocks, on other threads, in another order of calls: the same.
  absl::StatusOr<CatalogueComparer> again = CatalogueComparer::Create(before, after, 5);
  ASSERT_TRUE(again.ok());
  RepriceOptions options;
  options.threads = 3;
  for (std::size_t first = 0; first < 60; first += 20) {
    Goods part;
    auto cut = [first](const auto& column) {
      using C = std::decay_t<decltype(column)>;
      const auto begin = column.begin() + static_cast<std::ptrdiff_t>(first);
      return C(begin, begin + 20);
    };
    part.weight = cut(goods.weight);
    for (int i = 0; i < 3; ++i) part.sides[i] = cut(goods.sides[i]);
    part.value = cut(goods.value);
    part.contents = cut(goods.contents);
    part.monthly = cut(goods.monthly);
    ASSERT_TRUE(again->Add(part.Columns(), Column::Of(part.monthly, kMillionthsPerParcel), {}, options).ok());
  }
  const std::vector<Lane>& lanes = before.lanes;
  EXPECT_EQ(Summary(again->Result(), lanes), Summary(result, lanes));
  EXPECT_EQ(ToJson(Comparison(), again->Result(), lanes), ToJson(Comparison(), result, lanes));
  const nlohmann::json json = nlohmann::json::parse(
      ToJson(Comparison(), result, lanes, [](std::uint64_t row) { return "SKU-" + std::to_string(row); }));
  EXPECT_EQ(json["catalogue"]["rows"], 60);
  EXPECT_EQ(json["catalogue"]["lose_most"][0]["name"], "SKU-" + std::to_string(result.losers[0].row));
  EXPECT_EQ(json["catalogue"]["month"]["before"], result.month_before.ToString());
}

TEST(CompareCatalogue, NothingChangesBetweenTwoDaysOfOneEdition) {
  const std::vector<std::pair<const char*, std::int64_t>> places = {{"05201", 1}, {"98101", 1}};
  const Goods goods = RandomGoods(11, 200);
  absl::StatusOr<CatalogueComparer> comparer =
      CatalogueComparer::Create(DemoSetup("2026-08-03", places), DemoSetup("2026-08-04", places));
  ASSERT_TRUE(comparer.ok()) << comparer.status();
  const absl::StatusOr<CatalogueChange> change = CompareCatalogue(goods.Columns(), {}, *comparer);
  ASSERT_TRUE(change.ok());
  EXPECT_EQ(change->changed, 0u);
  EXPECT_EQ(change->rows, 200u);
  EXPECT_EQ(change->month_before, change->month_after);
  EXPECT_GT(change->month_before, Amount());
  EXPECT_TRUE(change->losers.empty());
  // One parcel each without volumes.
  EXPECT_EQ(change->month_parcels, static_cast<std::int64_t>(change->comparable) * kMillionthsPerParcel);
}

TEST(CompareCatalogue, SaysWhatIsWrong) {
  const RepriceSetup setup = DemoSetup("2026-08-03", {{"05201", 1}, {"98101", 1}});
  auto says = [](const absl::Status& status, const std::string& words) {
    EXPECT_EQ(status.code(), absl::StatusCode::kInvalidArgument);
    EXPECT_NE(std::string(status.message()).find(words), std::string::npos) << status;
  };
  RepriceSetup other = setup;
  other.shares = {1, 2};
  says(CatalogueComparer::Create(setup, other).status(), "shares: found different ones");
  other = setup;
  std::swap(other.lanes[0], other.lanes[1]);
  says(CatalogueComparer::Create(setup, other).status(), "lanes: found different ones");
  other = setup;
  other.book = nullptr;
  says(CatalogueComparer::Create(setup, other).status(), "found no ratebook");
  absl::StatusOr<CatalogueComparer> comparer = CatalogueComparer::Create(setup, setup);
  ASSERT_TRUE(comparer.ok());
  Goods goods = RandomGoods(3, 10);
  goods.monthly[4] = -1;
  says(comparer->Add(goods.Columns(), Column::Of(goods.monthly, kMillionthsPerParcel)), "row 4: found a volume");
  goods.monthly[4] = 2e9;
  absl::StatusOr<CatalogueComparer> fresh = CatalogueComparer::Create(setup, setup);
  says(fresh->Add(goods.Columns(), Column::Of(goods.monthly, kMillionthsPerParcel)), "row 4: found a volume");
}

}  // namespace
}  // namespace tarewise::catalogues_test
