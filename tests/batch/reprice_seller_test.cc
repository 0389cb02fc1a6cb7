// Repricing with a seller's own rules against ranking with them; and a change of the rules alone. The tables are the
// demonstration's, all invented.

#include <cstdint>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/reprice_support.h"
#include "support/same_as_rank.h"
#include "support/seller_rules.h"
#include "tarewise/batch/index.h"
#include "tarewise/batch/reprice.h"

namespace tarewise::reprice_seller_test {
namespace {

using namespace reprice_test;  // NOLINT
using testing::kAskText;
using testing::kAvoidText;
using testing::kHandicapsText;
using testing::SellerText;

std::shared_ptr<const Ratebook> BookWith(const std::string& seller) {
  return testing::Compile(testing::DemoTablesWith(seller)).book;
}

RepriceSetup SetupWith(const std::string& seller, bool with_shelf = true) {
  RepriceSetup setup = DemoSetup(with_shelf);
  setup.book = BookWith(seller);
  setup.lanes.push_back(LaneTo("CA", "M5V2T6"));
  setup.shipment.exchange.emplace("EUR", *ExchangeRate::Parse("1.0842"));
  return setup;
}

// Twice, so that what is worked out on the way is used too; the second time, one by one is asked for as well.
void ExpectEqual(const RepriceSetup& setup, std::size_t rows, Random& random, Seen& seen) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const std::vector<Contents> classes = SomeContents();
  const Table table = NearThresholds(*repricer, classes, rows / kFewer, random);
  const GoodsColumns goods = table.Columns(classes);
  ExpectSameAsRank(*repricer, goods, 2, random, seen);
  ExpectSameAsRank(*repricer, goods, 1, random, seen);
  Columns one;
  Columns other;
  const RepriceResults results = one.Make(goods.rows, setup.lanes.size());
  ASSERT_TRUE(repricer->Run(goods, results).ok());
  RepriceOptions options;
  options.one_by_one = true;
  const RepriceResults again = other.Make(goods.rows, setup.lanes.size());
  ASSERT_TRUE(repricer->Run(goods, again, options).ok());
  EXPECT_EQ(one, other);
}

TEST(RepriceWithASellersRules, EqualsRank) {
  Random random(31);
  Seen seen;
  ExpectEqual(SetupWith(SellerText("USD", {kAvoidText})), 1'500, random, seen);
  ExpectEqual(SetupWith(SellerText("USD", {kAskText})), 1'500, random, seen);
  ExpectEqual(SetupWith(SellerText("USD", {kHandicapsText})), 1'000, random, seen);
  ExpectEqual(SetupWith(SellerText("USD", {kAvoidText, kAskText, kHandicapsText})), 1'000, random, seen);
  EXPECT_GT(seen.offered, seen.rows / 3);
}

TEST(RepriceWithASellersRules, EqualsRankInAnotherCurrency) {
  Random random(32);
  Seen seen;
  ExpectEqual(SetupWith(SellerText("EUR", {kAvoidText, kAskText})), 1'000, random, seen);
  ExpectEqual(SetupWith(SellerText("EUR", {kAvoidText, kAskText, kHandicapsText})), 700, random, seen);
  EXPECT_GT(seen.offered, seen.rows / 3);
}

TEST(RepriceWithASellersRules, EqualsRankBeforeGoodsArePacked) {
  Random random(33);
  Seen seen;
  ExpectEqual(SetupWith(SellerText("USD", {kAvoidText, kAskText}), false), 1'000, random, seen);
  ExpectEqual(SetupWith(SellerText("USD", {kHandicapsText}), false), 1'000, random, seen);
  EXPECT_GT(seen.offered, seen.rows / 3);
}

TEST(RepriceWithASellersRules, EqualsRankBesideWhatIsAskedAlready) {
  Random random(34);
  Seen seen;
  RepriceSetup setup = SetupWith(SellerText("USD", {kAskText, kHandicapsText}));
  setup.shipment.extras = {"signature-adult"};
  setup.shipment.cover = Amount::Micros(180'000'000);
  ExpectEqual(setup, 700, random, seen);
  setup = SetupWith(SellerText("USD", {kAskText}));
  setup.shipment.extras = {"collect"};
  ExpectEqual(setup, 700, random, seen);
  EXPECT_GT(seen.offered, 0u);
}

// Handicaps of a service decide who wins, and no total holds them.
TEST(RepriceWithASellersRules, AHandicapMovesTheWinnerAndNoTotal) {
  const RepriceSetup plain = SetupWith(SellerText("USD", {}));
  const RepriceSetup moved = SetupWith(SellerText(
      "USD", {R"("handicaps": [{"code": "far", "title": "Far", "services": ["harbourline"], "amount": 1.75}])"}));
  const Repricer before = *Repricer::Create(plain);
  const Repricer after = *Repricer::Create(moved);
  const GoodsColumns goods = DemoCatalogue().Columns();
  Columns then;
  Columns now;
  ASSERT_TRUE(before.Run(goods, then.Make(goods.rows, plain.lanes.size())).ok());
  ASSERT_TRUE(after.Run(goods, now.Make(goods.rows, plain.lanes.size())).ok());
  std::size_t changed = 0;
  for (std::size_t i = 0; i < then.total.size(); ++i) {
    if (then.service[i] == now.service[i]) {
      ASSERT_EQ(then.total[i], now.total[i]);
      continue;
    }
    ++changed;
    ASSERT_GE(now.total[i], then.total[i]);
    ASSERT_LE(now.total[i], then.total[i] + 1'750'000);
  }
  EXPECT_GT(changed, 500u);
}

// An update of an index is a run of the new rates, whatever part of the rules comes, goes or changes.
TEST(RepriceWithASellersRules, AnIndexFollowsTheRules) {
  const std::string texts[] = {
      SellerText("USD", {}),
      SellerText("USD", {kAvoidText}),
      SellerText("USD", {kAvoidText, kAskText}),
      SellerText("USD", {kAvoidText, kAskText, kHandicapsText}),
      SellerText("USD", {kAvoidText, kAskText,
                         R"("handicaps": [{"code": "far", "title": "Far", "services": ["larkspur"], "amount": 2}])"}),
      SellerText("USD", {R"("handicaps": [{"code": "far", "title": "Far", "services": ["larkspur"], "amount": 3}])"}),
      SellerText("USD", {R"("ask": [{"when": {"value": {"at_least": "250"}}, "cover": "value"}])"}),
      SellerText("USD", {R"("ask": [{"when": {"value": {"at_least": "250"}}, "cover": "300"}])"}),
      SellerText("USD", {R"("ask": [{"when": {"value": {"at_least": "250"}}, "cover": "450"}])"}),
      SellerText("EUR", {R"("ask": [{"when": {"value": {"at_least": "250"}}, "cover": "450"}])"}),
      SellerText("USD", {})};
  const std::vector<Contents> classes = SomeContents();
  Random random(35);
  RepriceSetup setup = SetupWith(texts[0]);
  setup.lanes.resize(4);
  Repricer repricer = *Repricer::Create(setup);
  const Table table = NearThresholds(repricer, classes, 1'000 / kFewer, random);
  const GoodsColumns goods = table.Columns(classes);
  Columns kept;
  const RepriceResults results = kept.Make(goods.rows, setup.lanes.size());
  ASSERT_TRUE(repricer.Run(goods, results).ok());
  RepriceIndex index = *RepriceIndex::Create(repricer, goods);
  for (const std::string& text : texts) {
    SCOPED_TRACE(text);
    const absl::StatusOr<Repricer> next = repricer.WithRates(BookWith(text));
    ASSERT_TRUE(next.ok()) << next.status();
    ASSERT_TRUE(index.Update(*next, goods, results).ok());
    RepriceSetup fresh = setup;
    fresh.book = BookWith(text);
    Columns expected;
    ASSERT_TRUE(Repricer::Create(fresh)->Run(goods, expected.Make(goods.rows, setup.lanes.size())).ok());
    ASSERT_EQ(kept, expected);
    Columns adopted;
    ASSERT_TRUE(next->Run(goods, adopted.Make(goods.rows, setup.lanes.size())).ok());
    ASSERT_EQ(adopted, expected);
    repricer = *next;
  }
}

}  // namespace
}  // namespace tarewise::reprice_seller_test
