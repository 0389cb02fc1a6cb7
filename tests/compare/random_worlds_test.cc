// A catalogue before and after, on random tables, against what repricing says of each side. All invented.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "gtest/gtest.h"
#include "support/fewer.h"
#include "support/reprice_support.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/compare/kept_catalogue.h"
#include "tarewise/compare/summary.h"

namespace tarewise::compare_random_worlds_test {
namespace {

using namespace reprice_test;  // NOLINT

struct Side {
  const Repricer& repricer;
  Columns columns;

  std::string Service(std::size_t at) const {
    const ServiceName& name = repricer.services()[static_cast<std::size_t>(columns.service[at])];
    return std::string(name.carrier) + "/" + std::string(name.service);
  }
  std::string Packaging(std::size_t at) const {
    const PackagingName& name = repricer.packagings()[static_cast<std::size_t>(columns.packaging[at])];
    return std::string(name.issued_by) + "/" + std::string(name.code);
  }
};

unsigned ChangeOf(const Side& before, const Side& after, std::size_t row) {
  unsigned bits = 0;
  for (std::size_t lane = 0; lane < before.columns.lanes; ++lane) {
    const std::size_t at = row * before.columns.lanes + lane;
    const bool then = before.columns.total[at] != kNoTotal;
    const bool now = after.columns.total[at] != kNoTotal;
    if (then != now) bits |= kOfferedChanges;
    if (!then || !now) continue;
    if (before.columns.total[at] != after.columns.total[at]) bits |= kTotalChanges;
    if (before.Service(at) != after.Service(at)) bits |= kServiceChanges;
    if (before.Packaging(at) != after.Packaging(at)) bits |= kPackagingChanges;
  }
  return bits;
}

using CompareInRandomWorlds = RandomWorlds;
TEST_F(CompareInRandomWorlds, AgreesWithRepricingOfEachSide) {
  const std::vector<Contents> classes = SomeContents();
  Random random(41);
  std::size_t rows = 0;
  std::size_t changed = 0;
  std::size_t means = 0;
  for (const std::filesystem::path& folder : testing::RandomWorldFolders()) {
    SCOPED_TRACE(folder.filename().string());
    const World world = testing::Compile(testing::LoadTables(folder.string()));
    const std::vector<Request> requests = testing::RequestsOf(folder);
    RepriceSetup before = SetupFor(world, requests, random);
    before.shares = {1, 2, 3, 4, 5, 6};
    RepriceSetup after = before;
    before.shipment.date = *Date::Parse("2026-07-08");
    after.shipment.date = *Date::Parse("2026-08-03");
    const absl::StatusOr<Repricer> then = Repricer::Create(before);
    const absl::StatusOr<Repricer> now = Repricer::Create(after);
    if (!then.ok() || !now.ok()) continue;
    absl::StatusOr<CatalogueComparer> comparer = CatalogueComparer::Create(before, after, 5);
    if (!comparer.ok()) continue;  // such as two currencies
    const Table table = NearThresholds(*now, classes, 150, random);
    const GoodsColumns goods = table.Columns(classes);
    Side sides[] = {{*then, {}}, {*now, {}}};
    for (Side& side : sides) {
      ASSERT_TRUE(side.repricer.Run(goods, side.columns.Make(goods.rows, 6, true)).ok());
    }
    std::vector<std::int64_t> mean_before(goods.rows), mean_after(goods.rows);
    std::vector<std::uint8_t> change(goods.rows);
    CatalogueColumns out;
    out.before = mean_before.data();
    out.after = mean_after.data();
    out.change = change.data();
    ASSERT_TRUE(comparer->Add(goods, {}, out).ok());
    for (std::size_t row = 0; row < goods.rows; ++row) {
      ++rows;
      ASSERT_EQ(change[row], ChangeOf(sides[0], sides[1], row)) << row;
      changed += change[row] != 0 ? 1 : 0;
      // Where a side is not offered everywhere it has no mean.
      ASSERT_EQ(mean_before[row] != kNoTotal, sides[0].columns.reason[row] == 0) << row;
      ASSERT_EQ(mean_after[row] != kNoTotal, sides[1].columns.reason[row] == 0) << row;
      means += mean_after[row] != kNoTotal ? 1 : 0;
    }
  }
  EXPECT_GT(rows, 3'000 / testing::kFewerWorlds);
  EXPECT_GT(changed, rows / 20);
  EXPECT_GT(means, 100 / testing::kFewerWorlds);
}

// A catalogue kept while values of series change, against a comparison anew and a run from nothing.
TEST_F(CompareInRandomWorlds, KeptCataloguesFollowValuesThatChangeByDate) {
  const std::vector<Contents> classes = SomeContents();
  Random random(42);
  std::size_t changes = 0;
  std::size_t changed = 0;
  std::size_t number = 0;
  for (const std::filesystem::path& folder : testing::RandomWorldFolders()) {
    if (number++ % 3 != 1) continue;
    SCOPED_TRACE(folder.filename().string());
    const World world = testing::Compile(testing::LoadTables(folder.string()));
    RepriceSetup setup = SetupFor(world, testing::RequestsOf(folder), random);
    setup.shares = {1, 2, 3, 4, 5, 6};
    const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
    if (!repricer.ok()) continue;
    const Table table = NearThresholds(*repricer, classes, 150, random);
    const GoodsColumns goods = table.Columns(classes);
    std::vector<std::int64_t> volumes(goods.rows);
    for (std::int64_t& volume : volumes) volume = Below(random, 50);
    const Column monthly = Column::Of(volumes, 1);
    std::vector<Tariff> tariffs = setup.book->tariffs();
    std::optional<SellerRules> seller;
    if (setup.book->seller() != nullptr) seller = *setup.book->seller();
    for (Tariff& tariff : tariffs) FollowSeries(tariff);
    const auto dated = Ratebook::Create(tariffs, setup.book->terms(), setup.book->gazetteer(), seller);
    ASSERT_TRUE(dated.ok()) << dated.status();
    setup.book = *dated;
    absl::StatusOr<KeptCatalogue> kept = KeptCatalogue::Create(setup, goods, monthly);
    ASSERT_TRUE(kept.ok()) << kept.status();
    for (int i = 0; i < 2; ++i) {
      bool any = false;
      for (Tariff& tariff : tariffs) any = ChangeValuesByDate(tariff, random) || any;
      if (!any) break;
      const auto book = Ratebook::Create(tariffs, setup.book->terms(), setup.book->gazetteer(), seller);
      ASSERT_TRUE(book.ok()) << book.status();
      RepriceSetup after = setup;
      after.book = *book;
      absl::StatusOr<CatalogueComparer> comparer = CatalogueComparer::Create(setup, after);
      ASSERT_TRUE(comparer.ok()) << comparer.status();
      const absl::StatusOr<CatalogueChange> full = CompareCatalogue(goods, monthly, *comparer);
      const absl::StatusOr<CatalogueChange> change = kept->Change(*book);
      ASSERT_TRUE(full.ok() && change.ok()) << full.status() << change.status();
      EXPECT_EQ(Summary(*change, setup.lanes), Summary(*full, setup.lanes));
      EXPECT_EQ(change->changed, full->changed);
      EXPECT_EQ(change->dearer, full->dearer);
      EXPECT_EQ(change->cheaper, full->cheaper);
      EXPECT_EQ(change->lost, full->lost);
      EXPECT_EQ(change->gained, full->gained);
      EXPECT_EQ(change->month_before, full->month_before);
      EXPECT_EQ(change->month_after, full->month_after);
      Columns whole;
      ASSERT_TRUE(Repricer::Create(after)->Run(goods, whole.Make(goods.rows, setup.lanes.size())).ok());
      ASSERT_TRUE(std::ranges::equal(kept->totals(), whole.total)) << "what is kept is what a run from nothing gives";
      setup = after;
      ++changes;
      changed += change->changed + change->lost + change->gained > 0 ? 1 : 0;
      if (HasFailure()) return;
    }
  }
  EXPECT_GT(changes, kFewer > 1 ? 4u : 30u);
  EXPECT_GT(changed, changes / 10);
}

}  // namespace
}  // namespace tarewise::compare_random_worlds_test
