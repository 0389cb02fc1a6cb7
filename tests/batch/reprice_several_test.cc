// Several units a row: what they go into, and the parcels that they make, are what `Rank` says.

#include <algorithm>
#include <array>
#include <cstdint>
#include <filesystem>
#include <iterator>
#include <span>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/reprice_support.h"
#include "support/same_as_rank.h"
#include "tarewise/batch/index.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/ranking/packer.h"

namespace tarewise::reprice_several_test {
namespace {

using namespace reprice_test;  // NOLINT(google-build-using-namespace)

// Boxes that just fill a packaging, cut into alike units along its sides, a nanometre more or less.
class AlikeUnits {
 public:
  AlikeUnits(const Repricer& repricer, std::span<const Contents> classes, Random& random)
      : next_(repricer, classes, random), random_(random), padding_(PackPadding::Of(repricer.setup().padding)) {
    const Shelf* shelf = repricer.setup().shelf.get();
    for (const Shelf::Own& own : shelf->own) packagings_.push_back(&own.packaging);
    for (const Dispatch::Carrier& carrier : repricer.dispatch(0)->carriers()) {
      for (const Packaging& packaging : carrier.edition->tariff->packaging) packagings_.push_back(&packaging);
    }
  }

  std::pair<Item, std::uint16_t> operator()() {
    auto [item, number] = next_();
    const Packaging& packaging = *packagings_[static_cast<std::size_t>(Below(random_, std::ssize(packagings_)))];
    std::array<std::int64_t, 3> box;
    for (std::size_t i = 0; i < 3; ++i) box[i] = packaging.inside[i].nanometres();
    const auto part = [this](std::int64_t of) { return of * (1 + Below(random_, 40)) / 40; };
    if (packaging.kind == PackagingKind::kMailer) {
      const std::int64_t thick = part(box[0] / 2);
      box = {box[1] - thick, box[0] - thick, thick};
    } else if (packaging.kind == PackagingKind::kTube) {
      const std::int64_t across = box[0] * 7 / 10;  // nearly a square in the round
      box = {box[1], across, across};
    } else if (packaging.kind == PackagingKind::kCarton) {
      for (std::int64_t& side : box) side -= 2 * padding_.Around(item.contents.Has(Trait::kFragile));
    } else if (packaging.kind == PackagingKind::kBare) {
      box = {part(400'000'000), part(300'000'000), part(200'000'000)};
    }
    static constexpr std::array<std::int64_t, 3> kGrids[] = {{1, 1, 2}, {1, 2, 1}, {2, 1, 1}, {1, 3, 1}, {2, 2, 1},
                                                             {2, 1, 2}, {1, 2, 2}, {3, 2, 1}, {2, 2, 2}};
    const std::array<std::int64_t, 3>& grid = kGrids[Below(random_, std::size(kGrids))];
    item.quantity = static_cast<std::int32_t>(grid[0] * grid[1] * grid[2]);
    std::array<std::int64_t, 3> sides;
    for (std::size_t i = 0; i < 3; ++i) sides[i] = box[i] / grid[i] + (Below(random_, 4) == 0 ? 1 : 0);
    if (!item.this_side_up) std::shuffle(sides.begin(), sides.end(), random_);
    item.this_side_up = item.this_side_up && Below(random_, 3) == 0;
    for (std::size_t i = 0; i < 3; ++i) {
      item.sides[i] = Length::Nanometres(std::clamp<std::int64_t>(sides[i], 1, Length::kMostSideNanometres));
    }
    item.weight = Weight::Nanograms(std::max<std::int64_t>(item.weight.nanograms() / item.quantity, 1));
    return {item, number};
  }

 private:
  GoodsNearThresholds next_;
  Random& random_;
  PackPadding padding_;
  std::vector<const Packaging*> packagings_;
};

Table SeveralUnits(const Repricer& repricer, std::span<const Contents> classes, std::size_t rows, Random& random) {
  return TableOf(rows, AlikeUnits(repricer, classes, random));
}

// By kind: how many rows are best sent in such a packaging.
std::array<std::size_t, 5> KindsOf(const Repricer& repricer, const GoodsColumns& goods) {
  Columns got;
  EXPECT_TRUE(repricer.Run(goods, got.Make(goods.rows, repricer.lanes().size())).ok());
  std::array<std::size_t, 5> kinds = {};
  for (std::size_t at = 0; at < got.packaging.size(); at += got.lanes) {
    if (got.packaging[at] < 0) continue;
    const PackagingName& name = repricer.packagings()[static_cast<std::size_t>(got.packaging[at])];
    for (const Shelf::Own& own : repricer.setup().shelf->own) {
      if (name.issued_by.empty() && own.packaging.code == name.code)
        ++kinds[static_cast<std::size_t>(own.packaging.kind)];
    }
  }
  return kinds;
}

TEST(RepriceSeveral, EqualRankInEveryPackaging) {
  for (const bool fragile_pads : {true, false}) {
    RepriceSetup setup = DemoSetup();
    if (!fragile_pads) setup.padding = Length::Millimetres(3);
    const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
    ASSERT_TRUE(repricer.ok()) << repricer.status();
    const std::vector<Contents> classes = SomeContents();
    Random random(31);
    const Table table = SeveralUnits(*repricer, classes, 1'200 / kFewer, random);
    Seen seen;
    // Twice, so that what is worked out on the way is used too.
    for (int i = 0; i < 2; ++i) ExpectSameAsRank(*repricer, table.Columns(classes), 1, random, seen);
    EXPECT_GT(seen.offered, testing::Share(1'200));
    const std::array<std::size_t, 5> kinds = KindsOf(*repricer, table.Columns(classes));
    for (const PackagingKind kind : {PackagingKind::kCarton, PackagingKind::kMailer, PackagingKind::kEnvelope,
                                     PackagingKind::kTube, PackagingKind::kBare}) {
      EXPECT_GE(kinds[static_cast<std::size_t>(kind)], testing::Share(1)) << NameOf(kind);
    }
    Columns fast;
    Columns slow;
    ASSERT_TRUE(repricer->Run(table.Columns(classes), fast.Make(table.rows(), 9)).ok());
    ASSERT_TRUE(repricer->Run(table.Columns(classes), slow.Make(table.rows(), 9), {.one_by_one = true}).ok());
    EXPECT_TRUE(fast == slow);
  }
}

TEST_F(RandomWorlds, SeveralUnitsEqualRank) {
  const std::vector<Contents> classes = SomeContents();
  Random random(32);
  Seen seen;
  for (const std::filesystem::path& folder : testing::RandomWorldFolders()) {
    SCOPED_TRACE(folder.filename().string());
    const World world = testing::Compile(testing::LoadTables(folder.string()));
    if (world.shelf == nullptr) continue;
    const std::vector<Request> requests = testing::RequestsOf(folder);
    const RepriceSetup setup = SetupFor(world, requests, random);
    const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
    if (!repricer.ok()) continue;  // such as two currencies and no rate: Rank says so too
    const Table table = SeveralUnits(*repricer, classes, 120 * testing::kFewerWorlds / kFewer, random);
    for (int i = 0; i < 2; ++i) {
      ExpectSameAsRank(*repricer, table.Columns(classes), 2, random, seen);
      if (HasFailure()) return;
    }
  }
  EXPECT_GT(seen.rows, testing::Share(2'000));
  EXPECT_GT(seen.offered, seen.rows / 5);
}

// An index keeps rows of several units by what they go into, and prices again those that new rates can touch.
TEST(RepriceSeveral, AnIndexAnswersAsARun) {
  const RepriceSetup setup = DemoSetup();
  const absl::StatusOr<Repricer> before = Repricer::Create(setup);
  ASSERT_TRUE(before.ok()) << before.status();
  const std::vector<Contents> classes = SomeContents();
  Random random(33);
  Table table = SeveralUnits(*before, classes, 1'500 / kFewer, random);
  // Many of one shape at other weights, so that rows share what is worked out.
  const std::size_t shapes = table.rows();
  for (std::size_t i = 0; i < shapes; ++i) {
    Item item = table.At(i % 40);
    item.quantity = table.quantity[i % 40];
    item.weight = Weight::Nanograms(1 + Below(random, 40) * kNanogramsPerOunce);
    table.Add(item, 0);
  }
  const GoodsColumns goods = table.Columns(classes);
  Columns kept;
  const RepriceResults results = kept.Make(goods.rows, 9);
  ASSERT_TRUE(before->Run(goods, results).ok());
  absl::StatusOr<RepriceIndex> index = RepriceIndex::Create(*before, goods);
  ASSERT_TRUE(index.ok()) << index.status();
  Tables tables = testing::DemoTables();
  bool changed = false;
  for (Tariff& tariff : tables.tariffs) {
    for (Service& service : tariff.services) {
      for (PriceAlternative& alternative : service.prices) {
        if (auto* flat = std::get_if<FlatPrice>(&alternative.price); flat != nullptr) {
          flat->amount = Amount::Micros(flat->amount.micros() + 500'000);
          changed = true;
        }
      }
    }
  }
  ASSERT_TRUE(changed);
  const absl::StatusOr<Repricer> after = before->WithRates(testing::Compile(std::move(tables)).book);
  ASSERT_TRUE(after.ok()) << after.status();
  const absl::StatusOr<RepriceIndex::Touched> touched = index->Update(*after, goods, results);
  ASSERT_TRUE(touched.ok()) << touched.status();
  EXPECT_FALSE(touched->everything);
  EXPECT_GT(touched->rows.size(), 0u);
  EXPECT_LT(touched->rows.size(), goods.rows);
  Columns whole;
  ASSERT_TRUE(after->Run(goods, whole.Make(goods.rows, 9)).ok());
  EXPECT_TRUE(kept == whole);
}

}  // namespace
}  // namespace tarewise::reprice_several_test
