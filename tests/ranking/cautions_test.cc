// Cautions: their codes, words and sources; an offer's own; and repricing and comparing against `Rank`. The tables are
// the demonstration's with some services that no longer say how they go; all invented, see tables/README.md.

#include "tarewise/ranking/cautions.h"

#include <cstdint>
#include <initializer_list>
#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/reprice_support.h"
#include "tarewise/batch/index.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::cautions_test {
namespace {

using namespace reprice_test;  // NOLINT

constexpr Trait kRestricted[] = {Trait::kLithiumAlone, Trait::kFlammableLiquid, Trait::kAerosol};

CautionSet Set(std::initializer_list<CautionCode> codes) {
  CautionSet set;
  for (const CautionCode code : codes) set.Add(code);
  return set;
}

// The demonstration where every other service on the surface, and every third by air, says no mode.
const std::shared_ptr<const Ratebook>& Unsaid() {
  static const std::shared_ptr<const Ratebook> book = [] {
    Tables tables = testing::DemoTables();
    int n = 0;
    for (Tariff& tariff : tables.tariffs) {
      for (Service& service : tariff.services) {
        if (++n % (service.mode == Mode::kAir ? 3 : 2) == 0) service.mode = Mode::kAny;
      }
    }
    return testing::Compile(std::move(tables)).book;
  }();
  return book;
}

RepriceSetup UnsaidSetup(bool with_shelf = true) {
  RepriceSetup setup = DemoSetup(with_shelf);
  setup.book = Unsaid();
  return setup;
}

TEST(Cautions, EachHasACodeWordsAndASource) {
  std::set<std::string_view> names;
  for (std::size_t i = 0; i < std::size(kCautions); ++i) {
    const Caution& caution = kCautions[i];
    EXPECT_EQ(static_cast<std::size_t>(caution.code), i);
    EXPECT_EQ(NameOf(caution.code), caution.name);
    EXPECT_TRUE(names.insert(caution.name).second) << caution.name;
    EXPECT_FALSE(caution.text.empty());
    EXPECT_NE(caution.source, "") << caution.name;
  }
  EXPECT_EQ(Set({CautionCode::kAerosol, CautionCode::kLithiumAlone}).Codes(), "lithium_alone aerosol");
  EXPECT_EQ(Set({}).Codes(), "");
  EXPECT_EQ(Set({}).Told(), Set({}));
  EXPECT_EQ(Set({CautionCode::kSharp}).Told(), Set({CautionCode::kSharp, CautionCode::kCarrierDecides}));
  EXPECT_EQ(CautionSet::FromBits(0xFFFFFFFF).List().size(), std::size(kCautions)) << "bits of no code are left out";
}

// 23 kg is the load constant of NIOSH Publication 94-110; 70 lb is common practice.
TEST(Cautions, OfAWeightAreThoseAboveTheBound) {
  const std::int64_t lift = 23'000'000'000'000;
  const std::int64_t heavy = 70 * 453'592'370'000;
  const CautionSet one = Set({CautionCode::kLiftWithHelp});
  const CautionSet both = Set({CautionCode::kLiftWithHelp, CautionCode::kMarkHeavy});
  EXPECT_EQ(CautionsOf(Weight::Nanograms(lift - 1)), Set({}));
  EXPECT_EQ(CautionsOf(Weight::Nanograms(lift)), Set({}));
  EXPECT_EQ(CautionsOf(Weight::Nanograms(lift + 1)), one);
  EXPECT_EQ(CautionsOf(Weight::Nanograms(heavy)), one);
  EXPECT_EQ(CautionsOf(Weight::Nanograms(heavy + 1)), both);
}

TEST(Cautions, OfContentsAreThoseOfEachTrait) {
  const std::string_view expected[] = {
      "",        "",      "", "liquid", "perishable", "lithium_in_equipment", "lithium_alone", "flammable_liquid",
      "aerosol", "sharp", "", "live"};
  for (std::size_t i = 0; i < std::size(kTraitNames); ++i) {
    EXPECT_EQ(CautionsOf(1u << i).Codes(), expected[i]) << kTraitNames[i];
    const bool restricted = i == 6 || i == 7 || i == 8;
    EXPECT_EQ(NeverByAir(1u << i), restricted) << kTraitNames[i];
    for (const Mode mode : {Mode::kSurface, Mode::kAir, Mode::kAny}) {
      EXPECT_EQ(CautionsOfOffer(1u << i, Weight::Pounds(1), mode).Codes(),
                restricted && mode == Mode::kAny ? "confirm_surface" : "");
    }
  }
}

Request Goods(std::initializer_list<Trait> traits, Weight weight) {
  Item item;
  item.weight = weight;
  item.sides = {Length::Inches(6), Length::Inches(4), Length::Inches(3)};
  for (const Trait trait : traits) item.contents.Add(trait);
  Request request = testing::RequestOn(LaneTo("US", "98101"));
  request.goods = {item};
  return request;
}

std::string CodesOf(const Ranking& ranking) {
  std::string out;
  for (const Caution& caution : ranking.cautions()) out.append(out.empty() ? "" : " ").append(caution.name);
  return out;
}

// A service that does not say how it goes takes what never goes by air, and says so; one by air takes none of it.
TEST(Cautions, OffersSayWhereToConfirmThatItGoesBySurface) {
  for (const Trait trait : kRestricted) {
    SCOPED_TRACE(kTraitNames[static_cast<int>(trait)]);
    const absl::StatusOr<Ranking> ranking = Rank(Unsaid(), Demo().shelf, Goods({trait}, Weight::Ounces(20)));
    ASSERT_TRUE(ranking.ok()) << ranking.status();
    std::size_t unsaid = 0;
    std::size_t surface = 0;
    for (const Offer& offer : ranking->offers()) {
      EXPECT_NE(offer.mode, Mode::kAir);
      (offer.mode == Mode::kAny ? unsaid : surface) += 1;
      EXPECT_EQ(offer.cautions, offer.mode == Mode::kAny ? Set({CautionCode::kConfirmSurface}) : Set({}));
    }
    EXPECT_GT(unsaid, 0u);
    EXPECT_GT(surface, 0u);
    EXPECT_EQ(CodesOf(*ranking),
              std::string(kTraitNames[static_cast<int>(trait)]) + " confirm_surface carrier_decides");
  }
  for (const std::initializer_list<Trait> traits :
       {std::initializer_list<Trait>{}, {Trait::kMedia}, {Trait::kLithiumInEquipment, Trait::kLiquid}}) {
    const absl::StatusOr<Ranking> ranking = Rank(Unsaid(), Demo().shelf, Goods(traits, Weight::Ounces(20)));
    ASSERT_TRUE(ranking.ok());
    for (const Offer& offer : ranking->offers()) EXPECT_TRUE(offer.cautions.empty());
    EXPECT_EQ(CodesOf(*ranking).find("confirm_surface"), std::string::npos);
  }
}

// The parcel counts, not the goods alone, and of a range its heavier end.
TEST(Cautions, OffersTellTheWeightOfTheirParcel) {
  const Weight bound = Weight::Kilograms(23);
  absl::StatusOr<Ranking> ranking = Rank(Demo().book, Demo().shelf, Goods({}, bound));
  ASSERT_TRUE(ranking.ok());
  std::size_t heavier = 0;
  for (const Offer& offer : ranking->offers()) {
    EXPECT_EQ(offer.cautions.Has(CautionCode::kLiftWithHelp), offer.weight > bound);
    heavier += offer.weight > bound ? 1 : 0;
  }
  EXPECT_GT(heavier, 0u);
  EXPECT_EQ(CodesOf(*ranking), "lift_with_help carrier_decides");

  Request range = Goods({}, Weight::Pounds(20));
  range.goods[0].weight_most = Weight::Pounds(60);
  ranking = Rank(Demo().book, Demo().shelf, range);
  ASSERT_TRUE(ranking.ok());
  ASSERT_FALSE(ranking->offers().empty());
  for (const Offer& offer : ranking->offers()) EXPECT_TRUE(offer.cautions.Has(CautionCode::kLiftWithHelp));

  // Goods that nothing takes are as heavy.
  Request large = Goods({Trait::kSharp}, Weight::Pounds(300));
  large.goods[0].sides = {Length::Inches(200), Length::Inches(100), Length::Inches(100)};
  ranking = Rank(Demo().book, Demo().shelf, large);
  ASSERT_TRUE(ranking.ok());
  EXPECT_TRUE(ranking->offers().empty());
  EXPECT_EQ(CodesOf(*ranking), "sharp lift_with_help mark_heavy carrier_decides");
}

// ---- repricing ----

// What `Rank` says of a row on all lanes: the goods' own, and those of each best offer.
CautionSet ByRank(const Repricer& repricer, const GoodsColumns& goods, std::size_t row, bool& error) {
  CautionSet all;
  error = false;
  for (std::size_t lane = 0; lane < repricer.lanes().size(); ++lane) {
    absl::StatusOr<Request> request = repricer.RequestFor(goods, row, lane);
    if (!request.ok()) {
      error = true;
      return {};
    }
    const Item& item = request->goods[0];
    std::uint32_t traits = 0;
    for (std::size_t i = 0; i < std::size(kTraitNames); ++i) {
      traits |= item.contents.Has(static_cast<Trait>(i)) ? 1u << i : 0;
    }
    all.AddAll(CautionsOfGoods(traits, Weight::Nanograms(item.weight.nanograms() * item.quantity)));
    RankOptions options;
    options.thresholds = false;
    const absl::StatusOr<Ranking> ranking =
        Rank(repricer.dispatch(lane), repricer.setup().shelf, *std::move(request), options);
    if (!ranking.ok()) {
      error = true;
      return {};
    }
    if (!ranking->offers().empty()) all.AddAll(ranking->offers().front().cautions);
    for (const Caution& caution : ranking->cautions()) {
      if (caution.code == CautionCode::kCarrierDecides) continue;
      const bool known = caution.code == CautionCode::kConfirmSurface || all.Has(caution.code) ||
                         caution.code == CautionCode::kLiftWithHelp || caution.code == CautionCode::kMarkHeavy;
      EXPECT_TRUE(known) << caution.name;
    }
  }
  return all;
}

struct Seen {
  std::size_t rows = 0;
  std::size_t errors = 0;
  std::size_t confirm = 0;
  std::set<std::string> codes;
};

void ExpectSameAsRank(const Repricer& repricer, const GoodsColumns& goods, Seen& seen) {
  std::vector<std::uint32_t> got(goods.rows, 77);
  std::vector<std::uint32_t> slow(goods.rows, 77);
  std::vector<std::uint32_t> again(goods.rows, 77);
  RepriceResults results;
  RepriceOptions options;
  results.cautions = got.data();
  ASSERT_TRUE(repricer.Run(goods, results).ok());
  results.cautions = slow.data();
  options.one_by_one = true;
  ASSERT_TRUE(repricer.Run(goods, results, options).ok());
  EXPECT_EQ(got, slow);
  results.cautions = again.data();
  options = {};
  options.threads = 3;
  ASSERT_TRUE(repricer.Run(goods, results, options).ok());
  EXPECT_EQ(got, again);
  int failures = 0;
  for (std::size_t row = 0; row < goods.rows && failures < 5; ++row) {
    bool error = false;
    const CautionSet want = ByRank(repricer, goods, row, error);
    ++seen.rows;
    seen.errors += error ? 1 : 0;
    if (got[row] != want.bits()) {
      ++failures;
      ADD_FAILURE() << "row " << row << ": got " << CautionSet::FromBits(got[row]).Codes() << ", Rank says "
                    << want.Codes();
    }
    seen.confirm += want.Has(CautionCode::kConfirmSurface) ? 1 : 0;
    seen.codes.insert(want.Codes());
  }
}

// Near 23 kg and 70 lb, so that the packaging decides, with every trait.
Table AroundTheBounds(std::size_t rows, std::span<const Contents> classes, Random& random) {
  Table table;
  const std::int64_t bounds[] = {kLiftWithHelp.nanograms(), kMarkHeavy.nanograms(), Weight::Ounces(20).nanograms()};
  for (std::size_t i = 0; i < rows; ++i) {
    Item item;
    item.quantity = random() % 5 == 0 ? 2 : 1;
    const std::int64_t off = static_cast<std::int64_t>(random() % 3'000'000'000'000) - 2'000'000'000'000;
    const std::int64_t weight = bounds[random() % 3] + (random() % 4 == 0 ? static_cast<std::int64_t>(random() % 3) - 1
                                                                          : off * (random() % 2 == 0 ? 1 : 0));
    item.weight = Weight::Nanograms(std::max<std::int64_t>(weight / item.quantity, 1));
    for (Length& side : item.sides) side = Length::Millimetres(20 + static_cast<std::int64_t>(random() % 260));
    const std::uint16_t number = static_cast<std::uint16_t>(random() % classes.size());
    item.contents = classes[number];
    table.Add(item, number);
  }
  return table;
}

TEST(Cautions, RepricingSaysWhatRankSays) {
  for (const bool shelf : {true, false}) {
    const absl::StatusOr<Repricer> repricer = Repricer::Create(UnsaidSetup(shelf));
    ASSERT_TRUE(repricer.ok()) << repricer.status();
    const std::vector<Contents> classes = SomeContents();
    Random random(23);
    Seen seen;
    const Table table = AroundTheBounds(400 / kFewer, classes, random);
    ExpectSameAsRank(*repricer, table.Columns(classes), seen);
    const Table others = NearThresholds(*repricer, classes, 300 / kFewer, random);
    ExpectSameAsRank(*repricer, others.Columns(classes), seen);
    EXPECT_GT(seen.confirm, testing::Share(seen.rows / 40));
    EXPECT_GT(seen.codes.size(), kFewer > 1 ? 5u : 12u);
    EXPECT_LT(seen.errors, seen.rows / 10);
  }
}

TEST(Cautions, RepricingTheDemonstrationCatalogue) {
  RepriceSetup setup = DemoSetup();
  setup.lanes.resize(3);
  const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  GoodsColumns goods = DemoCatalogue().Columns();
  Seen seen;
  if (kFewer > 1) goods.rows = std::min<std::size_t>(goods.rows, 1'000);
  ExpectSameAsRank(*repricer, goods, seen);
  EXPECT_EQ(seen.errors, 0u);
  EXPECT_TRUE(seen.codes.contains("lithium_in_equipment")) << seen.codes.size();
}

TEST(Cautions, RowsThatCannotBeReadHaveNone) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(UnsaidSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  // The first is too large for any packaging; then weight, side, quantity and contents of no kind, and one missing.
  const std::vector<double> pounds = {80, 0, 80, 80, 80, 80, 80};
  const std::vector<double> inches = {90, 5, 0, 5, 5, 5, 5};
  const std::vector<std::int32_t> quantity = {1, 1, 1, 0, 1, 1, 1};
  const std::vector<std::uint32_t> contents = {0x240, 0x240, 0x240, 0x240, 0x8000, 0x240, 0x240};
  const std::vector<std::uint8_t> missing = {0, 0, 0, 0, 0, 1, 0};
  GoodsColumns goods;
  goods.rows = pounds.size();
  goods.weight = Column::Of(pounds, kNanogramsPerPound);
  for (Column& side : goods.sides) side = Column::Of(inches, kNanometresPerInch);
  goods.quantity = Column::Of(quantity);
  goods.contents = Column::Of(contents);
  goods.missing = Column::Of(missing);
  std::vector<std::uint32_t> got(goods.rows, 77);
  std::vector<std::uint8_t> reason(goods.rows, 77);
  RepriceResults results;
  results.cautions = got.data();
  results.reason = reason.data();
  ASSERT_TRUE(repricer->Run(goods, results).ok());
  EXPECT_EQ(static_cast<RowReason>(reason[0]), RowReason::kFitsNothing);
  EXPECT_EQ(CautionSet::FromBits(got[0]).Codes(), "lithium_alone sharp lift_with_help mark_heavy");
  for (std::size_t row = 1; row < 6; ++row) EXPECT_EQ(got[row], 0u) << row;
  EXPECT_EQ(CautionSet::FromBits(got[6]).Has(CautionCode::kLithiumAlone), true);
}

TEST(Cautions, AnUpdateOfAnIndexTellsNone) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  GoodsColumns goods = DemoCatalogue().Columns();
  goods.rows = 10;
  absl::StatusOr<RepriceIndex> index = RepriceIndex::Create(*repricer, goods);
  ASSERT_TRUE(index.ok());
  std::vector<std::uint32_t> got(goods.rows, 77);
  RepriceResults results;
  results.cautions = got.data();
  const auto touched = index->Update(*repricer, goods, results);
  ASSERT_FALSE(touched.ok());
  EXPECT_NE(touched.status().message().find("cautions: found a column"), std::string::npos);
  EXPECT_EQ(got, std::vector<std::uint32_t>(goods.rows, 77));
}

// Of the side after: what will be sent.
TEST(Cautions, ComparingTellsThoseOfTheSideAfter) {
  absl::StatusOr<CatalogueComparer> comparer = CatalogueComparer::Create(DemoSetup(), UnsaidSetup());
  ASSERT_TRUE(comparer.ok()) << comparer.status();
  const std::vector<Contents> classes = SomeContents();
  Random random(5);
  const Table table = AroundTheBounds(2'000 / kFewer, classes, random);
  const GoodsColumns goods = table.Columns(classes);
  std::vector<std::uint32_t> got(goods.rows, 77);
  CatalogueColumns columns;
  columns.cautions = got.data();
  ASSERT_TRUE(comparer->Add(goods, {}, columns).ok());
  std::vector<std::uint32_t> want(goods.rows, 77);
  RepriceResults results;
  results.cautions = want.data();
  ASSERT_TRUE(comparer->after().Run(goods, results).ok());
  EXPECT_EQ(got, want);
  ASSERT_TRUE(comparer->before().Run(goods, results).ok());
  EXPECT_NE(got, want);
}

}  // namespace
}  // namespace tarewise::cautions_test
