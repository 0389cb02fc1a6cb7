// Invented fees, prices and totals throughout. The formulas are those of `economics/economics.h`; margin as a part of
// the price is common practice. The reference here is written apart from the library, in fractions.
#include "tarewise/economics/economics.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "support/random.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/economics/sale_columns.h"

namespace tarewise {
namespace {

using I = Int128;

Amount Money(const char* text) { return *Amount::Parse(text); }
Percent Part(const char* text) { return *Percent::Parse(text); }
Currency Cur(const char* code) { return *Currency::Parse(code); }

// The fees are invented.
EconomicsSetup PlainShop() {
  EconomicsSetup setup;
  setup.currency = Cur("USD");
  setup.fees = {Fee::Flat("selling", Part("11.4"), Amount(), FeeOf::kPriceAndShipping),
                Fee::Flat("payment", Part("2.2"), Money("0.25"), FeeOf::kPriceAndShipping)};
  setup.labour = Money("1.20");
  return setup;
}

// The example of the class's own comment.
TEST(Economics, ExampleOfTheDocumentation) {
  EconomicsSetup setup;
  setup.currency = *Currency::Parse("USD");
  setup.fees = {Fee::Flat("selling", *Percent::Parse("11.4"), Amount(), FeeOf::kPriceAndShipping),
                Fee::Flat("payment", *Percent::Parse("2.2"), *Amount::Parse("0.25"), FeeOf::kPriceAndShipping)};
  setup.labour = *Amount::Parse("1.20");
  Economics shop = *Economics::Create(setup);
  std::vector<PlaceTotal> places = {{*Amount::Parse("5.10"), Amount(), 3}, {*Amount::Parse("9.40"), Amount(), 1}};
  Profit profit = *shop.ProfitOf({*Amount::Parse("4.00"), *Amount::Parse("24.90")}, places);
  EXPECT_EQ(profit.worst, Money("6.66"));
  EXPECT_EQ(profit.worst_place, 1u);
  EXPECT_EQ(profit.expected, Money("9.89"));
  std::optional<Amount> most = *shop.MostToPay(*Amount::Parse("24.90"), places, *Amount::Parse("5.00"), Case::kWorst);
  EXPECT_EQ(most, Money("5.66"));
}

TEST(Fees, OneTierRoundsOnce) {
  const Fee fee = Fee::Flat("selling", Part("11.4"), Money("0.25"));
  EXPECT_EQ(fee.On(24'900'000, 10'000), 3'090'000);  // 2.8386 + 0.25
  EXPECT_EQ(fee.On(0, 10'000), 250'000);
  // Half a cent goes up: 5 % of 0.10.
  EXPECT_EQ(Fee::Flat("f", Part("5"), Amount()).On(100'000, 10'000), 10'000);
  EXPECT_EQ(Fee::Flat("f", Part("4.9999"), Amount()).On(100'000, 10'000), 0);
  // Whole units of a currency without a minor unit, thousandths of one with three decimals.
  EXPECT_EQ(Fee::Flat("f", Part("10"), Amount()).On(1'005'000'000, Cur("JPY").minor_unit()), 101'000'000);
  EXPECT_EQ(Fee::Flat("f", Part("10"), Amount()).On(1'005'000, Cur("KWD").minor_unit()), 101'000);
}

Fee Tiered(FeeScale scale) {
  Fee fee;
  fee.code = "selling";
  fee.scale = scale;
  fee.tiers = {{Money("50"), Part("12"), Money("0.20")},
               {Money("200"), Part("8"), Money("0.40")},
               {std::nullopt, Part("2"), Amount()}};
  return fee;
}

TEST(Fees, TiersOfTheWholeAndByParts) {
  const Fee whole = Tiered(FeeScale::kWhole);
  EXPECT_EQ(whole.On(50'000'000, 10'000), 6'200'000);  // ends are inclusive: 12 % of 50 and 0.20
  EXPECT_EQ(whole.On(50'010'000, 10'000), 4'400'000);  // 8 % of 50.01 is 4.0008, and 0.40
  EXPECT_EQ(whole.On(300'000'000, 10'000), 6'000'000);
  const Fee parts = Tiered(FeeScale::kByParts);
  EXPECT_EQ(parts.On(50'000'000, 10'000), 6'200'000);
  EXPECT_EQ(parts.On(100'000'000, 10'000), 10'400'000);  // 6 + 4, and 0.40
  EXPECT_EQ(parts.On(300'000'000, 10'000), 20'000'000);  // 6 + 12 + 2
}

TEST(Fees, LeastAndMost) {
  Fee fee = Fee::Flat("selling", Part("10"), Money("0.30"));
  fee.least = Money("1.00");
  fee.most = Money("5.00");
  EXPECT_EQ(fee.On(7'000'000, 10'000), 1'000'000);
  EXPECT_EQ(fee.On(7'050'000, 10'000), 1'010'000);  // 1.005
  EXPECT_EQ(fee.On(47'000'000, 10'000), 5'000'000);
  EXPECT_EQ(fee.On(900'000'000, 10'000), 5'000'000);
}

TEST(Fees, WhatStaysWhereGoodsComeBack) {
  Fee fee = Fee::Flat("payment", Part("3"), Money("0.30"));
  EXPECT_EQ(fee.KeptOnReturn(20'000'000, 10'000), 900'000);
  fee.on_return = FeeOnReturn::kFixedKept;
  EXPECT_EQ(fee.KeptOnReturn(20'000'000, 10'000), 300'000);
  fee.most = Money("0.25");
  EXPECT_EQ(fee.KeptOnReturn(20'000'000, 10'000), 250'000);
  fee.on_return = FeeOnReturn::kGivenBack;
  EXPECT_EQ(fee.KeptOnReturn(20'000'000, 10'000), 0);
}

TEST(Fees, SayWhatIsWrong) {
  auto message = [](const Fee& fee) { return std::string(fee.Check().message()); };
  Fee fee;
  fee.code = "selling";
  EXPECT_NE(message(fee).find("found no tiers"), std::string::npos);
  fee.tiers = {{Money("10"), Part("5"), Amount()}};
  EXPECT_NE(message(fee).find("tier 1: found an end on the last tier, expected none"), std::string::npos);
  fee.tiers = {{std::nullopt, Part("5"), Amount()}, {std::nullopt, Part("5"), Amount()}};
  EXPECT_NE(message(fee).find("tier 1: found no end"), std::string::npos);
  fee.tiers = {
      {Money("10"), Part("5"), Amount()}, {Money("10"), Part("5"), Amount()}, {std::nullopt, Part("5"), Amount()}};
  EXPECT_NE(message(fee).find("tier 2: found an end of 10.00, expected ends that rise"), std::string::npos);
  fee.tiers = {{std::nullopt, Part("100.0001"), Amount()}};
  EXPECT_NE(message(fee).find("found 100.0001 %, expected at most 100 %"), std::string::npos);
  fee.tiers = {{std::nullopt, Part("5"), -Money("1")}};
  EXPECT_NE(message(fee).find("found a fixed part of -1.00"), std::string::npos);
  fee.tiers = {{std::nullopt, Part("5"), Amount()}};
  fee.least = Money("2");
  fee.most = Money("1");
  EXPECT_NE(message(fee).find("found a least of 2.00 over the most of 1.00"), std::string::npos);
  fee.most = std::nullopt;
  EXPECT_TRUE(fee.Check().ok());
}

// Returns of 10 %: the seller pays for the parcel back, 120 % of the way out and 0.50; half the cost is recovered.
TEST(Economics, AccountOfAReturn) {
  EconomicsSetup setup = PlainShop();
  setup.fees[1].on_return = FeeOnReturn::kFixedKept;
  setup.packaging = Money("0.45");
  setup.returns = {Part("10"), true, Part("120"), Money("0.50"), true, Part("50"), Money("2.00")};
  const Economics shop = *Economics::Create(setup);
  const Sale sale{Money("4.01"), Money("20.00")};
  const PlaceTotal place{Money("5.13"), Money("3.00"), 1};
  // Kept: 20 + 3 - 2.62 (2.622) - 0.76 (0.506 + 0.25) - 5.13 - 0.45 - 1.20 - 4.01.
  std::vector<SaleLine> lines = *shop.Account(sale, place);
  std::int64_t sum = 0;
  for (const SaleLine& line : lines) sum += line.amount.micros();
  EXPECT_EQ(sum, 8'830'000);
  // Back: - 2.62 - 0.25 - 5.13 - 0.45 - 1.20 - (6.16 (6.156) + 0.50) - 2.00 - 4.01 + 2.01 (2.005).
  lines = *shop.Account(sale, place, true);
  sum = 0;
  for (const SaleLine& line : lines) sum += line.amount.micros();
  EXPECT_EQ(sum, -20'310'000);
  auto amount = [&lines](std::string_view code) {
    for (const SaleLine& line : lines) {
      if (line.code == code) return line.amount;
    }
    return Amount();
  };
  EXPECT_EQ(amount("return_shipping"), -Money("6.66"));
  EXPECT_EQ(amount("fees_given_back"), Money("0.51"));
  EXPECT_EQ(amount("recovered"), Money("2.01"));
  // In three parcels: packaging, labour and handling thrice, and 0.50 for each of three back.
  PlaceTotal thrice = place;
  thrice.parcels = 3;
  lines = *shop.Account(sale, thrice, true);
  EXPECT_EQ(amount("packaging"), -Money("1.35"));
  EXPECT_EQ(amount("labour"), -Money("3.60"));
  EXPECT_EQ(amount("return_handling"), -Money("6.00"));
  EXPECT_EQ(amount("return_shipping"), -Money("7.66"));
  EXPECT_EQ(amount("shipping"), -Money("5.13"));
  thrice.parcels = 0;
  EXPECT_EQ(std::string(shop.Account(sale, thrice).status().message()), "places/0/parcels: found 0, expected 1 to 100");
  EXPECT_EQ(amount("shipping_refunded"), -Money("3.00"));
  const std::vector<std::int64_t> levels = {0, 100'000, 100'001, 1'000'000};
  const Profit profit = *shop.ProfitOf(sale, std::vector<PlaceTotal>{place}, levels);
  EXPECT_EQ(profit.worst, Money("8.83"));
  EXPECT_EQ(profit.worst_returned, -Money("20.31"));
  EXPECT_EQ(profit.expected, Money("5.92"));  // 0.9 * 8.83 - 0.1 * 20.31 = 5.916
  EXPECT_EQ(profit.quantiles, (std::vector<Amount>{-Money("20.31"), -Money("20.31"), Money("8.83"), Money("8.83")}));
  // The buyer pays for the way back, and for the way out.
  setup.returns.seller_pays = false;
  setup.returns.shipping_refunded = false;
  EXPECT_EQ(Economics::Create(setup)->ProfitOf(sale, std::vector<PlaceTotal>{place})->worst_returned, -Money("10.65"));
}

// A tier of the whole makes a gap: 50.00 leaves 44.00, 50.01 leaves 41.51, and 44.00 is reached again at 52.94.
TEST(Economics, LeastPriceAcrossATierThatTakesMore) {
  EconomicsSetup setup;
  setup.currency = Cur("USD");
  Fee fee;
  fee.code = "selling";
  fee.tiers = {{Money("50"), Part("10"), Amount()}, {std::nullopt, Part("15"), Amount()}};
  setup.fees = {fee};
  const Economics shop = *Economics::Create(setup);
  const std::vector<PlaceTotal> places = {{Money("1.00"), Amount(), 1}};
  auto least = [&](const char* wanted) { return *shop.LeastPrice(Amount(), places, Money(wanted), Case::kWorst); };
  EXPECT_EQ(least("44.00"), Money("50.00"));
  EXPECT_EQ(least("44.01"), Money("52.95"));
  EXPECT_TRUE(*shop.Keeps({Amount(), Money("50.00")}, places, Money("44.00"), Case::kWorst));
  EXPECT_FALSE(*shop.Keeps({Amount(), Money("50.01")}, places, Money("44.00"), Case::kWorst));
  EXPECT_FALSE(*shop.Keeps({Amount(), Money("52.93")}, places, Money("44.00"), Case::kWorst));
  EXPECT_TRUE(*shop.Keeps({Amount(), Money("52.94")}, places, Money("44.00"), Case::kWorst));
}

TEST(Economics, MarginIsOfThePrice) {
  const Economics shop = *Economics::Create(PlainShop());
  const std::vector<PlaceTotal> places = {{Money("5.10"), Amount(), 3}, {Money("9.40"), Amount(), 1}};
  // 24.90 leaves 10.66 before the cost in the worst place: 25 % of the price is 6.225, so 4.435 may be paid, in cents
  // 4.43.
  EXPECT_EQ(*shop.MostToPay(Money("24.90"), places, Part("25"), Case::kWorst), Money("4.43"));
  EXPECT_EQ(*shop.MostToPay(Money("24.90"), places, Part("60"), Case::kWorst), std::nullopt);
  const std::optional<Amount> price = *shop.LeastPrice(Money("4.43"), places, Part("25"), Case::kWorst);
  ASSERT_TRUE(price.has_value());
  EXPECT_LE(*price, Money("24.90"));
}

TEST(Economics, WhereNoPriceIsEnough) {
  EconomicsSetup setup;
  setup.currency = Cur("USD");
  setup.fees = {Fee::Flat("all", Part("100"), Amount())};
  Economics shop = *Economics::Create(setup);
  const std::vector<PlaceTotal> places = {{Money("1.00"), Amount(), 1}};
  EXPECT_EQ(*shop.LeastPrice(Amount(), places, Money("0.01"), Case::kWorst), std::nullopt);
  EXPECT_EQ(*shop.LeastPrice(Amount(), places, -Money("1.00"), Case::kWorst), Amount());
  // Two halves that round up together take a cent too much of each odd price.
  setup.fees = {Fee::Flat("half", Part("50"), Amount()), Fee::Flat("other-half", Part("50"), Amount())};
  shop = *Economics::Create(setup);
  EXPECT_EQ(*shop.LeastPrice(Amount(), places, -Money("0.99"), Case::kWorst), std::nullopt);
  // More than everything.
  setup.fees.push_back(Fee::Flat("more", Part("5"), Amount()));
  shop = *Economics::Create(setup);
  EXPECT_EQ(*shop.LeastPrice(Amount(), places, -Money("1.00"), Case::kWorst), Amount());
  EXPECT_EQ(*shop.LeastPrice(Amount(), places, -Money("0.99"), Case::kWorst), std::nullopt);
  // A margin of more than is left of each unit.
  EXPECT_EQ(*Economics::Create(PlainShop())->LeastPrice(Amount(), places, Part("90"), Case::kAverage), std::nullopt);
}

TEST(Economics, WhereTheCostDoesNotMatter) {
  EconomicsSetup setup;
  setup.currency = Cur("USD");
  setup.returns.share = Part("100");
  const Economics shop = *Economics::Create(setup);
  const std::vector<PlaceTotal> places = {{Money("1.00"), Amount(), 1}};
  EXPECT_EQ(*shop.MostToPay(Money("9.00"), places, -Money("2.00"), Case::kAverage), Amount::Micros(kMostMicros));
}

TEST(Economics, SaysWhatIsWrong) {
  const Economics shop = *Economics::Create(PlainShop());
  const std::vector<PlaceTotal> one = {{Money("1"), Amount(), 1}};
  auto says = [](const absl::Status& status, const std::string& words) {
    EXPECT_EQ(status.code(), absl::StatusCode::kInvalidArgument);
    EXPECT_NE(std::string(status.message()).find(words), std::string::npos) << status;
  };
  says(shop.ProfitOf({}, {}).status(), "places: found none");
  says(shop.ProfitOf({}, std::vector<PlaceTotal>{{Amount::Micros(-1), Amount(), 1}}).status(),
       "places/0/total: found none");
  says(shop.ProfitOf({}, std::vector<PlaceTotal>{{Money("1"), Amount(), 0}}).status(), "shares that add up to 0");
  says(shop.ProfitOf({}, std::vector<PlaceTotal>{{Money("1"), Amount(), -1}}).status(), "places/0/share: found -1");
  says(shop.ProfitOf({-Money("1"), Amount()}, one).status(), "cost: found -1.00");
  says(shop.ProfitOf({}, one, std::vector<std::int64_t>{1'000'001}).status(), "level: found 1000001");
  says(shop.Keeps({}, one, Part("101"), Case::kWorst).status(), "found a margin of 101 %");
  says(shop.LeastPrice(Amount(), one, Money("1"), Case::kWorst, -Money("1")).status(), "price: found -1.00");
  EconomicsSetup setup = PlainShop();
  setup.fees[1].code = "selling";
  says(Economics::Create(setup).status(), "found \"selling\" twice");
  setup.fees[1].code = "refund";
  says(Economics::Create(setup).status(), "found the code \"refund\"");
  setup = PlainShop();
  setup.returns.share = Part("100.5");
  says(Economics::Create(setup).status(), "returns/share: found 100.5 %");
  setup = PlainShop();
  setup.labour = -Money("1");
  says(Economics::Create(setup).status(), "labour: found -1.00");
}

// ---- a reference apart, and random shops ----

I HalfUp(I num, I den) { return num >= 0 ? (2 * num + den) / (2 * den) : -((-2 * num + den) / (2 * den)); }

// A fee in cents on an amount in cents, from amounts in cents and percentages in millionths.
std::int64_t ReferenceFee(const Fee& fee, std::int64_t cents) {
  I exact = 0;  // cents * 10^6
  std::int64_t from = 0;
  for (const FeeTier& tier : fee.tiers) {
    const bool here = !tier.up_to || cents * 10'000 <= tier.up_to->micros();
    if (fee.scale == FeeScale::kByParts) {
      const std::int64_t to = here ? cents : tier.up_to->micros() / 10'000;
      exact += I(to - from) * tier.percent.ten_thousandths();
      from = to;
    } else if (here) {
      exact = I(cents) * tier.percent.ten_thousandths();
    }
    if (here) {
      exact += I(tier.fixed.micros()) * 100;
      break;
    }
  }
  if (fee.least && exact < I(fee.least->micros()) * 100) exact = I(fee.least->micros()) * 100;
  if (fee.most && exact > I(fee.most->micros()) * 100) exact = I(fee.most->micros()) * 100;
  return static_cast<std::int64_t>(HalfUp(exact, 1'000'000));
}

std::int64_t ReferenceKept(const Fee& fee, std::int64_t cents) {
  const std::int64_t all = ReferenceFee(fee, cents);
  if (fee.on_return == FeeOnReturn::kKept) return all;
  if (fee.on_return == FeeOnReturn::kGivenBack) return 0;
  for (const FeeTier& tier : fee.tiers) {
    if (!tier.up_to || cents * 10'000 <= tier.up_to->micros()) return std::min(all, tier.fixed.micros() / 10'000);
  }
  return 0;
}

struct Reference {
  EconomicsSetup setup;
  std::vector<PlaceTotal> places;

  // In cents.
  std::int64_t Profit(std::int64_t cost, std::int64_t price, const PlaceTotal& place, bool returned) const {
    const std::int64_t charged = place.charged.micros() / 10'000;
    const std::int64_t total = place.total.micros() / 10'000;
    std::int64_t profit = -total - setup.packaging.micros() / 10'000 - setup.labour.micros() / 10'000 - cost;
    for (const Fee& fee : setup.fees) {
      const std::int64_t base = fee.of == FeeOf::kPrice ? price : price + charged;
      profit -= returned ? ReferenceKept(fee, base) : ReferenceFee(fee, base);
    }
    const Returns& returns = setup.returns;
    if (!returned) return profit + price + charged;
    if (!returns.shipping_refunded) profit += charged;
    if (returns.seller_pays) {
      profit -= static_cast<std::int64_t>(HalfUp(I(total) * returns.of_total.ten_thousandths(), 1'000'000)) +
                returns.plus.micros() / 10'000;
    }
    profit -= returns.handling.micros() / 10'000;
    return profit + static_cast<std::int64_t>(HalfUp(I(cost) * returns.recovered.ten_thousandths(), 1'000'000));
  }

  bool Keeps(std::int64_t cost, std::int64_t price, const Wanted& wanted, Case which) const {
    // wanted in cents * 10^6
    const I target = std::holds_alternative<Amount>(wanted) ? I(std::get<Amount>(wanted).micros()) * 100
                                                            : I(price) * std::get<Percent>(wanted).ten_thousandths();
    I sum = 0;
    I weights = 0;
    const std::int64_t back = setup.returns.share.ten_thousandths();
    for (const PlaceTotal& place : places) {
      const I kept = Profit(cost, price, place, false);
      if (which == Case::kWorst && kept * 1'000'000 < target) return false;
      sum += (kept * (1'000'000 - back) + I(Profit(cost, price, place, true)) * back) * place.share;
      weights += place.share;
    }
    return which == Case::kWorst || sum >= target * weights;
  }
};

class RandomShops : public ::testing::TestWithParam<int> {
 protected:
  testing::Random random_{static_cast<std::uint64_t>(GetParam()) * 7919 + 17};

  std::int64_t Pick(std::int64_t low, std::int64_t high) { return testing::Pick(random_, low, high); }
  Amount Cents(std::int64_t low, std::int64_t high) { return Amount::Micros(Pick(low, high) * 10'000); }

  Fee MakeFee(int number) {
    Fee fee;
    fee.code = "fee-" + std::to_string(number);
    fee.of = Pick(0, 1) == 0 ? FeeOf::kPrice : FeeOf::kPriceAndShipping;
    fee.scale = Pick(0, 1) == 0 ? FeeScale::kWhole : FeeScale::kByParts;
    fee.on_return = static_cast<FeeOnReturn>(Pick(0, 2));
    std::int64_t end = 0;
    const std::int64_t tiers = Pick(1, 4);
    for (std::int64_t i = 0; i < tiers; ++i) {
      FeeTier tier;
      end += Pick(1, 3000);
      if (i + 1 < tiers) tier.up_to = Amount::Micros(end * 10'000);
      tier.percent = Percent::TenThousandths(Pick(0, 3) == 0 ? Pick(0, 50) * 10'000 : Pick(0, 300'000));
      tier.fixed = Pick(0, 1) == 0 ? Amount() : Cents(0, 200);
      fee.tiers.push_back(tier);
    }
    if (Pick(0, 2) == 0) fee.least = Cents(0, 150);
    if (Pick(0, 2) == 0) fee.most = Amount::Micros((fee.least ? fee.least->micros() : 0) + Cents(50, 1500).micros());
    return fee;
  }

  Reference Make() {
    Reference shop;
    shop.setup.currency = Cur("USD");
    const std::int64_t fees = Pick(0, 3);
    for (int i = 0; i < fees; ++i) shop.setup.fees.push_back(MakeFee(i));
    shop.setup.packaging = Cents(0, 100);
    shop.setup.labour = Cents(0, 300);
    shop.setup.returns = {Percent::TenThousandths(Pick(0, 1) == 0 ? 0 : Pick(0, 400'000)),
                          Pick(0, 1) == 0,
                          Percent::TenThousandths(Pick(0, 1'500'000)),
                          Cents(0, 100),
                          Pick(0, 1) == 0,
                          Percent::TenThousandths(Pick(0, 1'000'000)),
                          Cents(0, 200)};
    const std::int64_t places = Pick(1, 5);
    const std::int64_t charging = Pick(0, 2);
    const Amount flat = Cents(0, 900);
    for (std::int64_t i = 0; i < places; ++i) {
      PlaceTotal place{Cents(200, 2500), Amount(), Pick(i == 0 ? 1 : 0, 40)};
      if (charging == 1) place.charged = flat;
      if (charging == 2) place.charged = place.total;
      shop.places.push_back(place);
    }
    return shop;
  }
};

TEST_P(RandomShops, AgreeWithTheReference) {
  for (int round = 0; round < 40; ++round) {
    const Reference reference = Make();
    const absl::StatusOr<Economics> shop = Economics::Create(reference.setup);
    ASSERT_TRUE(shop.ok()) << shop.status();
    for (int i = 0; i < 20; ++i) {
      const std::int64_t cost = Pick(0, 5000);
      const std::int64_t price = Pick(0, 12'000);
      const Sale sale{Amount::Micros(cost * 10'000), Amount::Micros(price * 10'000)};
      const std::vector<std::int64_t> levels = {0, 50'000, 500'000, 1'000'000};
      const Profit profit = *shop->ProfitOf(sale, reference.places, levels);
      I sum = 0;
      I weights = 0;
      std::int64_t worst = INT64_MAX;
      const std::int64_t back = reference.setup.returns.share.ten_thousandths();
      std::vector<std::pair<std::int64_t, std::int64_t>> outcomes;
      for (const PlaceTotal& place : reference.places) {
        const std::int64_t kept = reference.Profit(cost, price, place, false);
        const std::int64_t returned = reference.Profit(cost, price, place, true);
        worst = std::min(worst, kept);
        sum += (I(kept) * (1'000'000 - back) + I(returned) * back) * place.share;
        weights += I(place.share) * 1'000'000;
        if (place.share > 0) outcomes.emplace_back(kept, place.share * (1'000'000 - back));
        if (place.share > 0 && back > 0) outcomes.emplace_back(returned, place.share * back);
        std::int64_t lines = 0;
        const std::vector<SaleLine> account = *shop->Account(sale, place, i % 2 == 0);
        for (const SaleLine& line : account) lines += line.amount.micros();
        ASSERT_EQ(lines, (i % 2 == 0 ? returned : kept) * 10'000);
      }
      ASSERT_EQ(profit.worst.micros(), worst * 10'000);
      ASSERT_EQ(profit.expected.micros(), static_cast<std::int64_t>(HalfUp(sum, weights)) * 10'000);
      // A quantile by counting: what it says does not hold for any lesser outcome.
      for (std::size_t q = 0; q < levels.size(); ++q) {
        I at_most = 0;
        I below = 0;
        for (const auto& [value, weight] : outcomes) {
          if (value * 10'000 <= profit.quantiles[q].micros()) at_most += weight;
          if (value * 10'000 < profit.quantiles[q].micros()) below += weight;
        }
        ASSERT_GE(at_most * 1'000'000, weights * levels[q]);
        ASSERT_TRUE(below == 0 || below * 1'000'000 < weights * levels[q]);
      }
      const Wanted wanted = i % 2 == 0 ? Wanted(Amount::Micros(Pick(-500, 3000) * 10'000))
                                       : Wanted(Percent::TenThousandths(Pick(0, 500'000)));
      for (const Case which : {Case::kWorst, Case::kAverage}) {
        ASSERT_EQ(*shop->Keeps(sale, reference.places, wanted, which), reference.Keeps(cost, price, wanted, which));
      }
    }
  }
}

TEST_P(RandomShops, MostToPayKeepsItAndOneCentMoreDoesNot) {
  for (int round = 0; round < 40; ++round) {
    const Reference reference = Make();
    const Economics shop = *Economics::Create(reference.setup);
    const std::int64_t price = Pick(500, 20'000);
    const Wanted wanted =
        round % 2 == 0 ? Wanted(Cents(-300, 4000)) : Wanted(Percent::TenThousandths(Pick(0, 500'000)));
    for (const Case which : {Case::kWorst, Case::kAverage}) {
      const std::optional<Amount> most =
          *shop.MostToPay(Amount::Micros(price * 10'000), reference.places, wanted, which);
      if (!most) {
        ASSERT_FALSE(reference.Keeps(0, price, wanted, which));
        continue;
      }
      const std::int64_t cents = most->micros() / 10'000;
      ASSERT_EQ(most->micros() % 10'000, 0);
      ASSERT_TRUE(reference.Keeps(cents, price, wanted, which));
      ASSERT_FALSE(reference.Keeps(cents + 1, price, wanted, which));
    }
  }
}

// Against stepping through every price from 0.
TEST_P(RandomShops, LeastPriceIsTheFirstThatKeepsIt) {
  constexpr std::int64_t kUpTo = 15'000;
  int found = 0;
  for (int round = 0; round < 25; ++round) {
    const Reference reference = Make();
    const Economics shop = *Economics::Create(reference.setup);
    const std::int64_t cost = Pick(0, 3000);
    const Wanted wanted =
        round % 2 == 0 ? Wanted(Cents(-500, 3000)) : Wanted(Percent::TenThousandths(Pick(0, 600'000)));
    for (const Case which : {Case::kWorst, Case::kAverage}) {
      const std::optional<Amount> least = *shop.LeastPrice(Amount::Micros(cost * 10'000), reference.places, wanted,
                                                           which, Amount::Micros(kUpTo * 10'000));
      std::optional<std::int64_t> first;
      for (std::int64_t price = 0; price <= kUpTo && !first; ++price) {
        if (reference.Keeps(cost, price, wanted, which)) first = price;
      }
      ASSERT_EQ(least.has_value(), first.has_value()) << "first " << first.value_or(-1);
      if (!least) continue;
      ++found;
      ASSERT_EQ(least->micros(), *first * 10'000);
    }
  }
  EXPECT_GT(found, 10);
}

TEST_P(RandomShops, ColumnsSayWhatIsSaidOfEachSale) {
  int kept = 0;
  for (int round = 0; round < 30; ++round) {
    const Reference reference = Make();
    SaleTerms terms;
    terms.shop = std::make_shared<const Economics>(*Economics::Create(reference.setup));
    terms.which = Pick(0, 1) == 0 ? Case::kWorst : Case::kAverage;
    terms.wanted = round % 2 == 0 ? Wanted(Cents(-300, 3000)) : Wanted(Percent::TenThousandths(Pick(0, 500'000)));
    terms.up_to = Cents(10'000, 20'000);
    constexpr std::size_t kRows = 40;
    const std::size_t lanes = static_cast<std::size_t>(Pick(1, 40));
    std::vector<std::int64_t> shares(lanes);
    for (std::size_t i = 0; i < lanes; ++i) shares[i] = Pick(i == 0 ? 1 : 0, 5);
    std::vector<std::int64_t> prices;
    std::vector<std::int64_t> costs;
    std::vector<std::int64_t> charges;
    std::vector<std::int64_t> totals;
    for (std::size_t row = 0; row < kRows; ++row) {
      prices.push_back(Pick(0, 20'000));
      costs.push_back(Pick(0, 5000));
      charges.push_back(row % 3 == 0 ? Pick(0, 900) : 350);
      for (std::size_t i = 0; i < lanes; ++i) {
        totals.push_back(Pick(0, 30) == 0 ? kNoTotal : Pick(200, 200 + Pick(0, 2300)) * 10'000);
      }
    }
    std::vector<std::int64_t> profit(kRows), most(kRows), least(kRows);
    std::vector<std::int8_t> keeps(kRows);
    std::vector<std::uint8_t> reason(kRows);
    SaleColumns columns;
    columns.price.values = Column::Of(prices, 10'000);
    columns.cost.values = Column::Of(costs, 10'000);
    columns.charged.values = Column::Of(charges, 10'000);
    columns.profit = profit.data();
    columns.most_to_pay = most.data();
    columns.least_price = least.data();
    columns.keeps = keeps.data();
    columns.reason = reason.data();
    const std::atomic<bool> stop{false};
    ASSERT_TRUE(*RunSales(terms, columns, kRows, totals.data(), shares, 1, stop));
    for (std::size_t row = 0; row < kRows; ++row) {
      std::vector<PlaceTotal> places;
      bool priced = true;
      for (std::size_t i = 0; i < lanes; ++i) {
        const std::int64_t total = totals[row * lanes + i];
        if (total == kNoTotal) priced = priced && shares[i] == 0;
        if (total != kNoTotal) {
          places.push_back({Amount::Micros(total), Amount::Micros(charges[row] * 10'000), shares[i]});
        }
      }
      if (!priced) {
        EXPECT_EQ(reason[row], static_cast<std::uint8_t>(SaleReason::kNotPriced));
        EXPECT_EQ(profit[row], kNoProfit);
        continue;
      }
      const Sale sale{Amount::Micros(costs[row] * 10'000), Amount::Micros(prices[row] * 10'000)};
      const Profit whole = *terms.shop->ProfitOf(sale, places);
      ASSERT_EQ(profit[row], (terms.which == Case::kWorst ? whole.worst : whole.expected).micros());
      ASSERT_EQ(keeps[row] == 1, *terms.shop->Keeps(sale, places, *terms.wanted, terms.which));
      const auto micros = [](std::optional<Amount> amount) { return amount ? amount->micros() : kNoTotal; };
      ASSERT_EQ(most[row], micros(*terms.shop->MostToPay(sale.price, places, *terms.wanted, terms.which)));
      ASSERT_EQ(least[row],
                micros(*terms.shop->LeastPrice(sale.cost, places, *terms.wanted, terms.which, terms.up_to)));
      kept += keeps[row];
    }
  }
  EXPECT_GT(kept, 20);
}

INSTANTIATE_TEST_SUITE_P(Seeds, RandomShops, ::testing::Range(0, 20));

}  // namespace
}  // namespace tarewise
