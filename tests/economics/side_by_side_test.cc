// On the demonstration tables: invented carriers, an invented shop.
#include "tarewise/economics/side_by_side.h"

#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <vector>

#include "support/demo_goods.h"
#include "tarewise/documents/load.h"

namespace tarewise::side_by_side_test {
namespace {

Amount Money(const char* text) { return *Amount::Parse(text); }
Percent Part(const char* text) { return *Percent::Parse(text); }

SideBySideSetup KettleSetup() {
  SideBySideSetup setup;
  setup.book = testing::Demo().book;
  setup.shelf = testing::Demo().shelf;
  Item item;
  item.weight = *Weight::Parse("2 lb 3 oz");
  item.sides = {*Length::Parse("9 in"), *Length::Parse("7 in"), *Length::Parse("8 in")};
  item.value = Money("34.00");
  setup.request.goods.push_back(std::move(item));
  setup.request.date = testing::DemoDay();
  setup.lanes = testing::LanesToHomes({"05201", "60601", "33101", "98101", "99501"});
  setup.shares = {20, 30, 25, 24, 1};
  setup.sale = {Money("6.00"), Money("34.00")};
  setup.wanted = Money("8.00");
  return setup;
}

Economics Shop() {
  EconomicsSetup setup;
  setup.currency = *Currency::Parse("USD");
  setup.fees = {Fee::Flat("selling", Part("12"), Amount(), FeeOf::kPriceAndShipping),
                Fee::Flat("payment", Part("2.2"), Money("0.25"), FeeOf::kPriceAndShipping)};
  setup.labour = Money("1.50");
  setup.returns.share = Part("4");
  return *Economics::Create(std::move(setup));
}

std::vector<ShippingOption> Options() {
  ShippingOption free{"free", {}, WithinDays{5}};
  ShippingOption flat{"flat", {Charging::Kind::kFlat, Money("9.95"), Percent(), Amount()}, WithinDays{5}};
  ShippingOption calculated{"calculated", {Charging::Kind::kCalculated, Amount(), Part("5"), Money("0.50")}, Promise()};
  ShippingOption swift{
      "swift", {Charging::Kind::kCalculated, Amount(), Percent(), Amount()}, PaidFor{"harbourline", "swift"}};
  return {free, flat, calculated, swift};
}

TEST(SideBySide, EachOptionByTheCheapestServiceThatKeepsItsPromise) {
  const SideBySideSetup setup = KettleSetup();
  const Economics shop = Shop();
  const std::vector<ShippingOption> options = Options();
  const absl::StatusOr<std::vector<OptionOutcome>> outcomes = SideBySide(shop, setup, options);
  ASSERT_TRUE(outcomes.ok()) << outcomes.status();
  ASSERT_EQ(outcomes->size(), 4u);
  EXPECT_EQ((*outcomes)[0].promise, "within 5 business days");
  EXPECT_EQ((*outcomes)[2].promise, "none");
  EXPECT_EQ((*outcomes)[3].promise, "no slower than harbourline/swift");
  for (std::size_t o = 0; o < options.size(); ++o) {
    const OptionOutcome& outcome = (*outcomes)[o];
    SCOPED_TRACE(outcome.name);
    std::vector<PlaceTotal> places;
    std::size_t used = 0;
    std::int64_t share = 0;
    for (std::size_t lane = 0; lane < setup.lanes.size(); ++lane) {
      // The list of every offer for this place and promise; the choice is its first.
      Request request = setup.request;
      request.lane = setup.lanes[lane];
      request.promise = options[o].promise;
      request.currency = *Currency::Parse("USD");
      const absl::StatusOr<Ranking> ranking = Rank(setup.book, setup.shelf, request);
      ASSERT_TRUE(ranking.ok());
      const PlaceChoice& choice = outcome.places[lane];
      ASSERT_EQ(choice.offered, !ranking->offers().empty());
      if (!choice.offered) continue;
      for (const Offer& offer : ranking->offers()) EXPECT_GE(offer.total, choice.total);
      EXPECT_EQ(choice.service, ranking->offers().front().service);
      if (const auto* within = std::get_if<WithinDays>(&options[o].promise)) {
        EXPECT_LE(choice.days->most, within->days);
      }
      Amount charged;
      if (outcome.name == "flat") charged = Money("9.95");
      if (outcome.name == "swift") charged = choice.total;
      if (outcome.name == "calculated") {
        const std::int64_t cents = choice.total.micros() / 10'000;
        charged = Amount::Micros((cents * 105 + 50) / 100 * 10'000 + 500'000);
      }
      EXPECT_EQ(choice.charged, charged);
      places.push_back({choice.total, charged, setup.shares[lane]});
    }
    for (const ServiceUse& use : outcome.services) {
      used += use.places;
      share += use.share;
      EXPECT_LE(use.lowest, use.highest);
    }
    EXPECT_EQ(used, places.size());
    if (outcome.unserved > 0) {
      EXPECT_FALSE(outcome.profit || outcome.most_to_pay || outcome.least_price);
      EXPECT_EQ(share + outcome.unserved_share, 100);
      continue;
    }
    EXPECT_EQ(share, 100);
    EXPECT_EQ(outcome.profit->expected, shop.ProfitOf(setup.sale, places)->expected);
    EXPECT_EQ(outcome.most_to_pay, *shop.MostToPay(setup.sale.price, places, setup.wanted, setup.which));
    EXPECT_EQ(outcome.least_price, *shop.LeastPrice(setup.sale.cost, places, setup.wanted, setup.which));
  }
  // Who pays nothing for shipping asks more for the good.
  ASSERT_TRUE((*outcomes)[0].profit || (*outcomes)[0].unserved > 0);
  EXPECT_TRUE((*outcomes)[2].profit.has_value());
}

TEST(SideBySide, SaysWhichPromiseCannotBeKept) {
  SideBySideSetup setup = KettleSetup();
  const absl::StatusOr<std::vector<OptionOutcome>> outcomes =
      SideBySide(Shop(), setup, {{"tomorrow", {}, WithinDays{0}}});
  ASSERT_TRUE(outcomes.ok());
  EXPECT_EQ((*outcomes)[0].unserved, 5u);
  EXPECT_EQ((*outcomes)[0].unserved_share, 100);
  EXPECT_EQ((*outcomes)[0].profit.has_value(), false);
}

TEST(SideBySide, SaysWhatIsWrong) {
  auto says = [](const absl::Status& status, const std::string& words) {
    EXPECT_EQ(status.code(), absl::StatusCode::kInvalidArgument);
    EXPECT_NE(std::string(status.message()).find(words), std::string::npos) << status;
  };
  const Economics shop = Shop();
  SideBySideSetup setup = KettleSetup();
  says(SideBySide(shop, setup, {}).status(), "options: found none");
  says(SideBySide(shop, setup, {{"paid", {}, PaidFor{"", "no-such"}}}).status(),
       "option \"paid\": promise: found service");
  says(SideBySide(shop, setup, {{"flat", {Charging::Kind::kFlat, -Money("1"), Percent(), Amount()}, Promise()}})
           .status(),
       "option \"flat\": found a charge out of range");
  setup.shares.pop_back();
  says(SideBySide(shop, setup, Options()).status(), "shares: found 4, expected one for each of the 5 lanes");
  setup = KettleSetup();
  setup.request.currency = *Currency::Parse("EUR");
  says(SideBySide(shop, setup, Options()).status(), "currency: found EUR in the request, expected USD");
  setup = KettleSetup();
  setup.lanes.clear();
  says(SideBySide(shop, setup, Options()).status(), "lanes: found none");
  setup = KettleSetup();
  setup.request.goods.clear();
  says(SideBySide(shop, setup, Options()).status(), "option \"free\": found neither goods nor a parcel");
}

// A seller's handicaps choose the service, and no money holds them.
TEST(SideBySide, ChoosesByHandicapsAndChargesTotals) {
  SideBySideSetup setup = KettleSetup();
  const Economics shop = Shop();
  const std::vector<ShippingOption> options = {Options()[0]};
  const absl::StatusOr<std::vector<OptionOutcome>> plain = SideBySide(shop, setup, options);
  ASSERT_TRUE(plain.ok()) << plain.status();
  const PlaceChoice& best = (*plain)[0].places[0];
  const std::string rules = R"({"format": "tarewise-seller-1", "currency": "USD", "handicaps": [
    {"code": "far", "title": "Far", "services": [")" +
                            std::string(best.carrier) + R"("], "amount": 40}]})";
  Tables tables = testing::DemoTables();
  tables.seller = ReadSeller({"seller.json", rules}).value;
  ASSERT_TRUE(tables.seller.has_value());
  setup.book = testing::Compile(std::move(tables)).book;
  const absl::StatusOr<std::vector<OptionOutcome>> moved = SideBySide(shop, setup, options);
  ASSERT_TRUE(moved.ok()) << moved.status();
  const PlaceChoice& other = (*moved)[0].places[0];
  EXPECT_NE(other.carrier, best.carrier);
  EXPECT_GT(other.total, best.total);
  EXPECT_LT(other.total, best.total + Money("40"));
  EXPECT_LT((*moved)[0].profit->expected, (*plain)[0].profit->expected) << "by what is billed more";
}

}  // namespace
}  // namespace tarewise::side_by_side_test
