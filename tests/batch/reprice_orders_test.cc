// Orders in a catalogue: rows that are one parcel. `Rank`, asked about the goods of all of them, is what is right.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <map>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "gtest/gtest.h"
#include "support/reprice_support.h"
#include "support/same_as_rank.h"
#include "tarewise/batch/index.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/plans/plans.h"

namespace tarewise::reprice_orders_test {
namespace {

using namespace reprice_test;  // NOLINT(google-build-using-namespace)

// Goods with the order that each row is of; 0: none.
struct Ordered : Table {
  std::vector<std::int64_t> order;
  std::vector<Contents> classes = SomeContents();

  void Add(const Item& item, std::uint16_t contents_number, std::int64_t order_number) {
    Table::Add(item, contents_number);
    order.push_back(order_number);
  }
  GoodsColumns Columns() const {
    GoodsColumns goods = Table::Columns(classes);
    goods.order = Column::Of(order);
    return goods;
  }
  // In the order in which their first rows stand.
  std::vector<std::vector<std::size_t>> Orders() const {
    std::vector<std::vector<std::size_t>> out;
    std::map<std::int64_t, std::size_t> known;
    for (std::size_t row = 0; row < rows(); ++row) {
      if (order[row] == 0) continue;
      const auto [at, added] = known.emplace(order[row], out.size());
      if (added) out.emplace_back();
      out[at->second].push_back(row);
    }
    return out;
  }
};

// Orders of 1 to 6 rows, their rows anywhere, with rows of no order between them.
Ordered RandomOrders(const Repricer& repricer, std::size_t rows, Random& random) {
  Ordered table;
  GoodsNearThresholds next(repricer, table.classes, random);
  const std::int64_t numbers = static_cast<std::int64_t>(rows) / 3;
  for (std::size_t i = 0; i < rows; ++i) {
    auto [item, number] = next();
    // Small enough that several go together.
    for (Length& side : item.sides) {
      side = Length::Nanometres(std::max<std::int64_t>(side.nanometres() * (3 + Below(random, 5)) / 10, 1));
    }
    item.weight = Weight::Nanograms(std::max<std::int64_t>(item.weight.nanograms() / 3, 1));
    item.bare_allowed = Below(random, 2) == 0;
    if (Below(random, 3) != 0) item.shape = Shape::kBox;
    table.Add(item, number, Below(random, 8) == 0 ? 0 : Below(random, numbers) - numbers / 2);
  }
  return table;
}

// The request that a person would write: an item a row, as the rows stand.
Request RequestOf(const Repricer& repricer, const Ordered& table, const std::vector<std::size_t>& rows,
                  std::size_t lane) {
  GoodsColumns apart = table.Columns();
  apart.order = {};
  Request request = *repricer.RequestFor(apart, rows[0], lane);
  for (std::size_t i = 1; i < rows.size(); ++i) {
    request.goods.push_back(repricer.RequestFor(apart, rows[i], lane)->goods[0]);
  }
  return request;
}

// Every order is what `Rank` says about it, and its other rows say that they are in it.
void ExpectOrdersSameAsRank(const Repricer& repricer, const Ordered& table, Random& random, Seen& seen) {
  const GoodsColumns goods = table.Columns();
  const std::size_t lanes = repricer.lanes().size();
  Columns got;
  ASSERT_TRUE(repricer.Run(goods, got.Make(goods.rows, lanes)).ok());
  int failures = 0;
  for (const std::vector<std::size_t>& rows : table.Orders()) {
    const std::size_t lane = static_cast<std::size_t>(Below(random, static_cast<std::int64_t>(lanes)));
    if (got.reason[rows[0]] < static_cast<std::uint8_t>(RowReason::kFitsNothing) && got.reason[rows[0]] != 0 &&
        static_cast<RowReason>(got.reason[rows[0]]) != RowReason::kBadSide) {
      continue;  // too much together: see below
    }
    failures += SameAsRank(repricer, goods, got, rows[0], lane, seen) ? 0 : 1;
    for (std::size_t i = 1; i < rows.size(); ++i) {
      const bool together = static_cast<RowReason>(got.reason[rows[0]]) != RowReason::kBadSide;
      EXPECT_EQ(static_cast<RowReason>(got.reason[rows[i]]),
                together ? RowReason::kInOrder : RowReason::kOrderNotPriced);
      EXPECT_EQ(got.worst[rows[i]], kNoTotal);
      for (std::size_t l = 0; l < lanes; ++l) EXPECT_EQ(got.total[rows[i] * lanes + l], kNoTotal);
    }
    RankOptions options;
    options.thresholds = false;
    const absl::StatusOr<Ranking> ranking =
        Rank(repricer.dispatch(lane), repricer.setup().shelf, RequestOf(repricer, table, rows, lane), options);
    if (ranking.ok()) {
      const std::int64_t best = ranking->offers().empty() ? kNoTotal : ranking->offers()[0].total.micros();
      EXPECT_EQ(got.total[rows[0] * lanes + lane], best) << "row " << rows[0];
      failures += got.total[rows[0] * lanes + lane] == best ? 0 : 1;
    }
    if (failures > 4) return;
  }
}

TEST(RepriceOrders, EqualRank) {
  for (const bool with_shelf : {true, false}) {
    const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup(with_shelf));
    ASSERT_TRUE(repricer.ok()) << repricer.status();
    Random random(41);
    const Ordered table = RandomOrders(*repricer, (with_shelf ? 6'000 : 2'000) / kFewer, random);
    Seen seen;
    for (int i = 0; i < 2; ++i) ExpectOrdersSameAsRank(*repricer, table, random, seen);
    EXPECT_GT(seen.offered, testing::Share(with_shelf ? 2'000 : 700));
    // What is worked out ahead, by one thread or several, against every packaging and service anew.
    Columns one;
    Columns many;
    Columns slow;
    ASSERT_TRUE(repricer->Run(table.Columns(), one.Make(table.rows(), 9)).ok());
    ASSERT_TRUE(repricer->Run(table.Columns(), many.Make(table.rows(), 9), {.threads = 3}).ok());
    ASSERT_TRUE(repricer->Run(table.Columns(), slow.Make(table.rows(), 9), {.one_by_one = true}).ok());
    EXPECT_TRUE(one == many);
    EXPECT_TRUE(one == slow);
    // Rows of no order are as they are without the column.
    GoodsColumns apart = table.Columns();
    apart.order = {};
    Columns rows;
    ASSERT_TRUE(repricer->Run(apart, rows.Make(table.rows(), 9)).ok());
    std::size_t alone = 0;
    for (std::size_t row = 0; row < table.rows(); ++row) {
      if (table.order[row] != 0) continue;
      ++alone;
      EXPECT_EQ(one.total[row * 9 + 4], rows.total[row * 9 + 4]);
      EXPECT_EQ(one.reason[row], rows.reason[row]);
    }
    EXPECT_GT(alone, 0u);
  }
}

TEST_F(RandomWorlds, OrdersEqualRank) {
  Random random(42);
  Seen seen;
  for (const std::filesystem::path& folder : testing::RandomWorldFolders()) {
    SCOPED_TRACE(folder.filename().string());
    const World world = testing::Compile(testing::LoadTables(folder.string()));
    const RepriceSetup setup = SetupFor(world, testing::RequestsOf(folder), random);
    const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
    if (!repricer.ok()) continue;  // such as two currencies and no rate: Rank says so too
    const Ordered table = RandomOrders(*repricer, 300 * testing::kFewerWorlds / kFewer, random);
    for (int i = 0; i < 2; ++i) ExpectOrdersSameAsRank(*repricer, table, random, seen);
    if (HasFailure()) return;
  }
  EXPECT_GT(seen.rows, testing::Share(2'000));
  EXPECT_GT(seen.offered, seen.rows / 5);
}

Item Book(std::int64_t grams = 400) {
  Item item;
  item.weight = Weight::Grams(grams);
  item.sides = {Length::Millimetres(210), Length::Millimetres(148), Length::Millimetres(30)};
  item.value = Amount::Micros(12'000'000);
  return item;
}

// One row a reason, with the total of the first lane.
struct Told {
  std::vector<std::int64_t> totals;
  std::vector<RowReason> reasons;
};
Told Ask(const GoodsColumns& goods) {
  const Repricer repricer = *Repricer::Create(DemoSetup());
  Columns got;
  EXPECT_TRUE(repricer.Run(goods, got.Make(goods.rows, 9)).ok());
  Told told;
  for (std::size_t row = 0; row < goods.rows; ++row) {
    told.totals.push_back(got.total[row * 9]);
    told.reasons.push_back(static_cast<RowReason>(got.reason[row]));
  }
  return told;
}

TEST(RepriceOrders, OneRowAndAlikeRowsAreNothingNew) {
  Ordered table;
  Item three = Book();
  three.quantity = 3;
  table.Add(Book(), 0, 0);
  table.Add(Book(), 0, 7);   // an order of one row
  table.Add(three, 0, 0);    // three of one row
  table.Add(Book(), 0, -5);  // and of three, with another order between them
  table.Add(Book(), 0, -5);
  table.Add(three, 0, 8);
  table.Add(Book(), 0, -5);
  const Told told = Ask(table.Columns());
  EXPECT_GT(told.totals[0], 0);
  EXPECT_EQ(told.totals[1], told.totals[0]);
  EXPECT_GT(told.totals[2], told.totals[0]);
  EXPECT_EQ(told.totals[3], told.totals[2]);
  EXPECT_EQ(told.totals[5], told.totals[2]);
  EXPECT_EQ(told.totals[4], kNoTotal);
  const std::vector<RowReason> want = {RowReason::kPriced,  RowReason::kPriced, RowReason::kPriced, RowReason::kPriced,
                                       RowReason::kInOrder, RowReason::kPriced, RowReason::kInOrder};
  EXPECT_EQ(told.reasons, want);
}

TEST(RepriceOrders, WhatIsWrongWithARowIsWrongWithItsOrder) {
  Ordered table;
  Item flat = Book();
  flat.sides[1] = Length();
  Item heavy = Book(60'000'000);
  Item dear = Book();
  dear.value = Amount::Micros(600'000'000'000'000);
  Item many = Book(1);
  many.quantity = 6'000;
  many.value = {};
  table.Add(Book(), 0, 1);
  table.Add(flat, 0, 1);
  table.Add(Book(), 0, 1);
  table.Add(heavy, 0, 2);
  table.Add(heavy, 0, 2);
  table.Add(dear, 0, 3);
  table.Add(dear, 0, 3);
  table.Add(many, 0, 4);
  table.Add(many, 0, 4);
  table.Add(Book(), 0, 0);
  const Told told = Ask(table.Columns());
  const std::vector<RowReason> want = {
      RowReason::kOrderNotPriced, RowReason::kBadSide,  RowReason::kOrderNotPriced, RowReason::kBadWeight,
      RowReason::kOrderNotPriced, RowReason::kBadValue, RowReason::kOrderNotPriced, RowReason::kBadQuantity,
      RowReason::kOrderNotPriced, RowReason::kPriced};
  EXPECT_EQ(told.reasons, want);
  for (std::size_t row = 0; row + 1 < table.rows(); ++row) EXPECT_EQ(told.totals[row], kNoTotal);
  const Repricer repricer = *Repricer::Create(DemoSetup());
  EXPECT_EQ(repricer.RequestFor(table.Columns(), 2, 0).status().message(), "row 1: bad_side");
  EXPECT_EQ(repricer.RequestFor(table.Columns(), 4, 0).status().message(), "row 3: bad_weight");
}

TEST(RepriceOrders, CautionsAreTheOrdersOnItsFirstRow) {
  Ordered table;
  const auto number = static_cast<std::uint16_t>(
      std::find_if(table.classes.begin(), table.classes.end(),
                   [](const Contents& contents) { return contents.Has(Trait::kLithiumInEquipment); }) -
      table.classes.begin());
  table.Add(Book(), 0, 1);
  table.Add(Book(), number, 1);
  table.Add(Book(), number, 0);
  const Repricer repricer = *Repricer::Create(DemoSetup());
  std::vector<std::uint32_t> cautions(3, 77);
  RepriceResults results;
  results.cautions = cautions.data();
  ASSERT_TRUE(repricer.Run(table.Columns(), results).ok());
  EXPECT_NE(cautions[2], 0u);
  EXPECT_EQ(cautions[0] & cautions[2], cautions[2]);
  EXPECT_EQ(cautions[1], 0u);
}

TEST(RepriceOrders, WhatIsNoOrderIsAnError) {
  Ordered table;
  table.Add(Book(), 0, 1);
  GoodsColumns goods = table.Columns();
  const std::vector<double> numbers = {1.0};
  goods.order = Column::Of(numbers);
  const Repricer repricer = *Repricer::Create(DemoSetup());
  EXPECT_EQ(repricer.Run(goods, {}).message(), "column order: found floating point, expected whole numbers");
  CatalogueComparer comparer = *CatalogueComparer::Create(DemoSetup(), DemoSetup());
  EXPECT_EQ(comparer.Add(table.Columns()).message(),
            "column order: found one, expected none: price lists are compared row by row");
}

// Progress counts every row once, and an index answers as a run does.
TEST(RepriceOrders, ProgressAndAnIndex) {
  const absl::StatusOr<Repricer> before = Repricer::Create(DemoSetup());
  ASSERT_TRUE(before.ok()) << before.status();
  Random random(43);
  const Ordered table = RandomOrders(*before, 3'000 / kFewer, random);
  const GoodsColumns goods = table.Columns();
  Columns kept;
  std::size_t done = 0;
  RepriceOptions options;
  options.progress = [&done](std::size_t rows) {
    done = rows;
    return true;
  };
  ASSERT_TRUE(before->Run(goods, kept.Make(goods.rows, 9), options).ok());
  EXPECT_EQ(done, goods.rows);
  const RepriceResults results = [&kept] {
    RepriceResults out;
    out.total = kept.total.data();
    out.second_total = kept.second.data();
    out.service = kept.service.data();
    out.packaging = kept.packaging.data();
    out.worst = kept.worst.data();
    out.worst_lane = kept.worst_lane.data();
    out.reason = kept.reason.data();
    return out;
  }();
  absl::StatusOr<RepriceIndex> index = RepriceIndex::Create(*before, goods);
  ASSERT_TRUE(index.ok()) << index.status();
  Tables tables = testing::DemoTables();
  for (Tariff& tariff : tables.tariffs) {
    for (Service& service : tariff.services) {
      for (PriceAlternative& alternative : service.prices) {
        auto* flat = std::get_if<FlatPrice>(&alternative.price);
        if (flat != nullptr) flat->amount = Amount::Micros(flat->amount.micros() + 500'000);
      }
    }
  }
  const absl::StatusOr<Repricer> after = before->WithRates(testing::Compile(std::move(tables)).book);
  ASSERT_TRUE(after.ok()) << after.status();
  const absl::StatusOr<RepriceIndex::Touched> touched = index->Update(*after, goods, results);
  ASSERT_TRUE(touched.ok()) << touched.status();
  EXPECT_FALSE(touched->everything);
  Columns whole;
  ASSERT_TRUE(after->Run(goods, whole.Make(goods.rows, 9)).ok());
  EXPECT_TRUE(kept == whole);
}

TEST(RepriceOrders, InSeveralParcelsTheyAreTheBestPlans) {
  RepriceSetup setup = DemoSetup(/*with_shelf=*/true);
  setup.most_parcels = 3;
  const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  Random random(43);
  Ordered table = RandomOrders(*repricer, 60 / kFewer + 12, random);
  for (std::int64_t& weight : table.weight) weight = std::min<std::int64_t>(weight * 6, 30'000'000'000'000);
  const std::size_t lanes = repricer->lanes().size();
  Columns got;
  std::vector<std::int16_t> parcels(table.rows() * lanes, -1);
  RepriceResults results = got.Make(table.rows(), lanes);
  results.parcels = parcels.data();
  ASSERT_TRUE(repricer->Run(table.Columns(), results, {.threads = 2}).ok());
  std::size_t several = 0;
  for (const std::vector<std::size_t>& rows : table.Orders()) {
    const std::size_t lane = static_cast<std::size_t>(Below(random, static_cast<std::int64_t>(lanes)));
    const std::size_t at = rows[0] * lanes + lane;
    Request request = RequestOf(*repricer, table, rows, lane);
    request.parcels = SeveralParcels{.most = 3, .plans = 1};
    const absl::StatusOr<Plans> plans = FindPlans(repricer->dispatch(lane), setup.shelf, request);
    if (!plans.ok()) continue;
    if (plans->plans().empty()) {
      EXPECT_EQ(got.total[at], kNoTotal);
      EXPECT_EQ(parcels[at], 0);
      continue;
    }
    const Plan& plan = plans->plans().front();
    EXPECT_EQ(got.total[at], plan.total.micros());
    EXPECT_EQ(static_cast<std::size_t>(parcels[at]), plan.parcels.size());
    several += plan.parcels.size() > 1 ? 1u : 0u;
    for (std::size_t i = 1; i < rows.size(); ++i) EXPECT_EQ(parcels[rows[i] * lanes + lane], 0);
  }
  EXPECT_GE(several, testing::Share(2));
  // Rows of no order are one parcel, as ever.
  GoodsColumns apart = table.Columns();
  apart.order = {};
  ASSERT_TRUE(repricer->Run(apart, results).ok());
  for (std::size_t i = 0; i < parcels.size(); ++i) EXPECT_EQ(parcels[i], got.total[i] == kNoTotal ? 0 : 1);

  setup.most_parcels = 0;
  EXPECT_EQ(std::string(Repricer::Create(setup).status().message()), "most_parcels: found 0, expected 1 to 100");
}

// B9: a cover is shared by the declared value, and there is none. No row of such an order is priced.
TEST(RepriceOrders, InSeveralParcelsWithACoverTheyNeedAValue) {
  RepriceSetup setup = DemoSetup(/*with_shelf=*/true);
  setup.most_parcels = 2;
  setup.shipment.cover = Amount::Micros(80'000'000);
  const Repricer repricer = *Repricer::Create(setup);
  constexpr std::uint16_t kNoContents = 0;
  Ordered table;
  Item worth = Book();
  worth.value = Amount::Micros(24'000'000);
  Item nothing = worth;
  nothing.value = Amount();
  table.Add(nothing, kNoContents, 1);
  table.Add(nothing, kNoContents, 1);
  table.Add(nothing, kNoContents, 2);
  table.Add(worth, kNoContents, 2);
  Columns got;
  ASSERT_TRUE(repricer.Run(table.Columns(), got.Make(4, repricer.lanes().size())).ok());
  EXPECT_EQ(static_cast<RowReason>(got.reason[0]), RowReason::kBadValue);
  EXPECT_EQ(static_cast<RowReason>(got.reason[1]), RowReason::kOrderNotPriced);
  EXPECT_EQ(static_cast<RowReason>(got.reason[2]), RowReason::kPriced);
  EXPECT_EQ(static_cast<RowReason>(got.reason[3]), RowReason::kInOrder);
}

// B5: where all together make a parcel that is past what is accepted.
TEST(RepriceOrders, WhatIsTooLargeTogetherIsOfNoRow) {
  const Repricer repricer = *Repricer::Create(DemoSetup(/*with_shelf=*/true));
  constexpr std::uint16_t kNoContents = 0;
  Ordered table;
  Item pole = Book();
  for (Length& side : pole.sides) side = Length::Nanometres(30'000'000'000);
  pole.bare_allowed = true;
  table.Add(pole, kNoContents, 1);
  table.Add(pole, kNoContents, 1);
  Columns got;
  ASSERT_TRUE(repricer.Run(table.Columns(), got.Make(2, repricer.lanes().size())).ok());
  EXPECT_EQ(static_cast<RowReason>(got.reason[0]), RowReason::kBadSide);
  EXPECT_EQ(static_cast<RowReason>(got.reason[1]), RowReason::kOrderNotPriced);
}

// B7: nobody lifts at once what may go in several parcels, but a heavy unit is heavy wherever it goes, or does not go.
TEST(RepriceOrders, InSeveralParcelsEachUnitHasItsCautions) {
  RepriceSetup setup = DemoSetup(/*with_shelf=*/true);
  setup.most_parcels = 2;
  const Repricer repricer = *Repricer::Create(setup);
  constexpr std::uint16_t kNoContents = 0;
  Ordered table;
  Item heavy = Book();
  heavy.weight = Weight::Nanograms(30 * kNanogramsPerKilogram);
  for (Length& side : heavy.sides) side = Length::Nanometres(9'000'000'000);  // nothing takes it
  Item light = heavy;
  light.weight = Weight::Nanograms(20 * kNanogramsPerKilogram);
  table.Add(heavy, kNoContents, 1);
  table.Add(light, kNoContents, 2);
  table.Add(light, kNoContents, 2);
  std::vector<std::uint32_t> cautions(3, 77);
  std::vector<std::uint8_t> reason(3, 77);
  RepriceResults results;
  results.cautions = cautions.data();
  results.reason = reason.data();
  ASSERT_TRUE(repricer.Run(table.Columns(), results).ok());
  EXPECT_EQ(static_cast<RowReason>(reason[0]), RowReason::kOfferedNowhere);
  EXPECT_EQ(CautionSet::FromBits(cautions[0]).Codes(), "lift_with_help");
  EXPECT_EQ(static_cast<RowReason>(reason[1]), RowReason::kOfferedNowhere);
  EXPECT_EQ(CautionSet::FromBits(cautions[1]).Codes(), "");
  EXPECT_EQ(cautions[2], 0u);
}

}  // namespace
}  // namespace tarewise::reprice_orders_test
