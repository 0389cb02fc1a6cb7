// Tables of classes, rates, cover included by the weight and cash on delivery: what is told of them, and where answers
// change. The tables are those of tests/cases, all invented.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/same_as_rank.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/totals.h"

namespace tarewise::price_kinds_test {
namespace {

using namespace reprice_test;  // NOLINT

constexpr std::int64_t kGram = 1'000'000'000;
constexpr std::int64_t kCentimetre = 10'000'000;

// The tariff of a folder of tests/cases; with one service alone, if one is named.
std::shared_ptr<const Ratebook> BookOf(const std::string& folder, std::string_view service = "") {
  Loaded<Tables> tables = ReadFolder(std::string(TW_TEST_ROOT) + "/tests/cases/" + folder);
  EXPECT_TRUE(tables.ok());
  std::vector<Tariff> tariffs = std::move(tables.value->tariffs);
  if (!service.empty()) std::erase_if(tariffs[0].services, [&](const Service& one) { return one.code != service; });
  return *Ratebook::Create(std::move(tariffs), {}, {});
}

Request RequestOf(std::int64_t weight, std::array<std::int64_t, 3> millimetres, const char* to = "DE 10115") {
  Request request;
  request.parcel.emplace();
  request.parcel->weight = Weight::Nanograms(weight);
  request.parcel->sides = Dimensions(Length::Millimetres(millimetres[0]), Length::Millimetres(millimetres[1]),
                                     Length::Millimetres(millimetres[2]));
  request.lane.from = *Place::Parse("DE 20095");
  request.lane.to = *Place::Parse(to);
  request.date = *Date::Parse("2026-08-03");
  request.currency = *Currency::Parse("EUR");
  request.steps.weight = ScaleStep<Weight>::Of(Weight::Grams(100));
  request.steps.sides = ScaleStep<Length>::Of(Length::Millimetres(1));
  request.weight_units = UnitSystem::kMetric;
  request.side_units = UnitSystem::kMetric;
  return request;
}
Request Kilograms(double kilograms) { return RequestOf(std::llround(kilograms * 1000) * kGram, {200, 200, 200}); }

Ranking Ask(const std::shared_ptr<const Ratebook>& book, const Request& request) {
  absl::StatusOr<Ranking> ranking = Rank(book, nullptr, request);
  EXPECT_TRUE(ranking.ok()) << ranking.status();
  return *std::move(ranking);
}

std::string TotalOf(const Ranking& ranking) {
  return ranking.offers().empty() ? "refused" : ranking.offers()[0].total.ToString();
}
std::string Room(const std::optional<Weight>& weight) { return weight ? weight->In("g") : "without end"; }

// ---- what is told ----

TEST(Rates, TellWhatTheyAreBilledAs) {
  const Ranking ranking = Ask(BookOf("grids", "deficit"), Kilograms(40));
  const Offer& offer = ranking.offers().at(0);
  EXPECT_EQ(offer.total.ToString(), "108.00");
  EXPECT_EQ(Ranking::BilledAs(offer.charges[0]), "45 kg");
  EXPECT_EQ(Ranking::Row(offer.charges[0]), "100 kg");
  EXPECT_EQ(ranking.Why(offer, offer.charges[0]),
            "billable weight 40 kg (actual); billed as 45 kg; 90 steps of 500 g begun; zone 1");
  EXPECT_NE(ToJson(ranking).find("\"billed_as\": \"45 kg\""), std::string::npos);
}

TEST(Rates, AreNotBilledAsMoreWhereTheirOwnOrTheLeastCounts) {
  for (const auto& [kilograms, why] : std::vector<std::pair<double, std::string>>{
           {34.5, "billable weight 34.5 kg (actual); 69 steps of 500 g begun; zone 1"},
           {5, "billable weight 5 kg (actual); the least price; zone 1"},
           {50, "billable weight 50 kg (actual); 100 steps of 500 g begun; zone 1"}}) {
    const Ranking ranking = Ask(BookOf("grids", "deficit"), Kilograms(kilograms));
    const Offer& offer = ranking.offers().at(0);
    EXPECT_EQ(Ranking::BilledAs(offer.charges[0]), "");
    EXPECT_EQ(ranking.Why(offer, offer.charges[0]), why);
    EXPECT_EQ(ToJson(ranking).find("billed_as"), std::string::npos);
  }
}

TEST(Classes, TellEveryBoundOfTheirRow) {
  const Ranking ranking = Ask(BookOf("grids", "size"), Kilograms(4));
  const Offer& offer = ranking.offers().at(0);
  EXPECT_EQ(Ranking::Row(offer.charges[0]), "80 cm, 5 kg");
  EXPECT_EQ(ranking.Column(offer, offer.charges[0]), "1");
  EXPECT_EQ(ranking.Why(offer, offer.charges[0]), "sum of sides 60 cm; weight 4 kg; zone 1");
  // A bound in a unit of its own.
  const Ranking large = Ask(BookOf("grids", "size"), Kilograms(15));
  EXPECT_EQ(Ranking::Row(large.offers().at(0).charges[0]), "1.4 m, 20 kg");
}

TEST(IncludedCover, IsToldOfTheParcelAndOrdersByTheLightest) {
  const std::shared_ptr<const Ratebook> book = BookOf("cover", "by-kilogram");
  const std::vector<std::pair<double, std::string>> told = {{0.5, "20.00"}, {1, "20.00"},   {1.5, "40.00"},
                                                            {4, "80.00"},   {4.5, "90.00"}, {30, "90.00"}};
  for (const auto& [kilograms, included] : told) {
    const Ranking ranking = Ask(book, Kilograms(kilograms));
    EXPECT_EQ(ranking.offers().at(0).included_cover.ToString(), included) << kilograms;
    EXPECT_EQ(ranking.dispatch().services()[0].included_cover.ToString(), "20.00");
  }
}

// ---- thresholds ----

TEST(Headroom, EndsAtBoundsOfClasses) {
  Ranking ranking = Ask(BookOf("grids", "size"), RequestOf(1500 * kGram, {300, 200, 90}));
  EXPECT_EQ(TotalOf(ranking), "7.40");
  EXPECT_EQ(Room(ranking.offers()[0].headroom.weight), "500 g");
  EXPECT_EQ(ranking.offers()[0].headroom.sides[0]->In("mm"), "10 mm");
  // On both bounds, and a nanogram past one of them.
  ranking = Ask(BookOf("grids", "size"), RequestOf(2000 * kGram, {300, 200, 100}));
  EXPECT_EQ(TotalOf(ranking), "7.40");
  EXPECT_EQ(Room(ranking.offers()[0].headroom.weight), "0 g");
  EXPECT_EQ(ranking.offers()[0].headroom.sides[2]->In("mm"), "0 mm");
  ranking = Ask(BookOf("grids", "size"), RequestOf(2000 * kGram + 1, {300, 200, 100}));
  EXPECT_EQ(TotalOf(ranking), "9.10");
  EXPECT_EQ(Room(ranking.offers()[0].headroom.weight), "2999.999999999 g");
  EXPECT_EQ(ranking.offers()[0].headroom.sides[2]->In("mm"), "200 mm");
}

TEST(Headroom, PassesOverStepsThatADeficitOrALeastHides) {
  const std::shared_ptr<const Ratebook> book = BookOf("grids", "deficit");
  EXPECT_EQ(Room(Ask(book, Kilograms(2)).offers().at(0).headroom.weight), "7000 g");  // the least, to 9 kg
  EXPECT_EQ(Room(Ask(book, Kilograms(9)).offers().at(0).headroom.weight), "0 g");
  EXPECT_EQ(Room(Ask(book, Kilograms(34.6)).offers().at(0).headroom.weight), "10400 g");  // 108.00, to 45 kg
  EXPECT_EQ(Room(Ask(book, Kilograms(79.1)).offers().at(0).headroom.weight), "20900 g");  // 190.00, to 100 kg
  EXPECT_EQ(Room(Ask(book, Kilograms(300)).offers().at(0).headroom.weight), "0 g");
}

TEST(Headroom, EndsWhereARateFalls) {
  const std::shared_ptr<const Ratebook> book = BookOf("grids", "rates");
  EXPECT_EQ(Room(Ask(book, Kilograms(44.3)).offers().at(0).headroom.weight), "700 g");
  EXPECT_EQ(Room(Ask(book, Kilograms(45)).offers().at(0).headroom.weight), "0 g");
}

TEST(Headroom, EndsWhereCoverBeginsToBeIncluded) {
  Request request = Kilograms(0.7);
  request.cover = Amount::Micros(60'000'000);
  Ranking ranking = Ask(BookOf("cover", "by-kilogram"), request);
  EXPECT_EQ(TotalOf(ranking), "7.00");
  EXPECT_EQ(Room(ranking.offers()[0].headroom.weight), "1300 g");
  request.parcel->weight = Weight::Nanograms(2000 * kGram + 1);
  ranking = Ask(BookOf("cover", "by-kilogram"), request);
  EXPECT_EQ(TotalOf(ranking), "5.00");
  EXPECT_EQ(Room(ranking.offers()[0].headroom.weight), "without end");
  // More than is ever included, and nothing asked for: no weight changes anything.
  request.cover = Amount::Micros(90'010'000);
  EXPECT_EQ(Room(Ask(BookOf("cover", "by-kilogram"), request).offers().at(0).headroom.weight), "without end");
  request.cover.reset();
  EXPECT_EQ(Room(Ask(BookOf("cover", "by-kilogram"), request).offers().at(0).headroom.weight), "without end");
}

TEST(Headroom, OfASideEndsWhereCoverBeginsToBeIncludedByTheBillableWeight) {
  // 24 x 20 x 10 cm are 1 kg; from 25 cm on it is 2 kg, which include 49.00.
  Request request = RequestOf(800 * kGram, {240, 200, 100});
  request.cover = Amount::Micros(49'000'000);
  const Ranking ranking = Ask(BookOf("cover", "billable"), request);
  EXPECT_EQ(TotalOf(ranking), "7.00");
  EXPECT_EQ(ranking.offers()[0].headroom.sides[0]->In("mm"), "10 mm");
  EXPECT_EQ(Room(ranking.offers()[0].headroom.weight), "200 g");
}

std::string SaverOf(const Ranking& ranking) {
  for (const Saver& saver : ranking.offers().at(0).savers) {
    if (saver.of == Aspect::kWeight) return saver.weight.In("g") + " for " + saver.total.ToString();
  }
  return "none";
}

TEST(Savers, GoBackToWhereARateIsLower) {
  EXPECT_EQ(SaverOf(Ask(BookOf("grids", "deficit"), Kilograms(44))), "9500 g for 106.95");
  EXPECT_EQ(SaverOf(Ask(BookOf("grids", "deficit"), Kilograms(9.2))), "200 g for 28.00");
  EXPECT_EQ(SaverOf(Ask(BookOf("grids", "deficit"), Kilograms(8))), "none");
  // Down across the bound it is dearer first: 35 kg are 108.50, as 45.1 kg are 110.40.
  EXPECT_EQ(SaverOf(Ask(BookOf("grids", "rates"), Kilograms(45.1))), "10100 g for 108.50");
  EXPECT_EQ(SaverOf(Ask(BookOf("grids", "size"), Kilograms(2.3))), "300 g for 7.40");
}

TEST(Savers, DoNotTakeOutWhatCoverIsIncludedFor) {
  Request request = Kilograms(2.3);
  request.cover = Amount::Micros(60'000'000);
  EXPECT_EQ(SaverOf(Ask(BookOf("cover", "by-kilogram"), request)), "none");
  // Of a table that falls, less weight includes more: 50.00 up to 2 kg, 40.00 up to 5 kg.
  request.cover = Amount::Micros(50'000'000);
  EXPECT_EQ(TotalOf(Ask(BookOf("cover", "ends"), request)), "refused");
}

TEST(AtRisk, SeesTheDearestWithinATolerance) {
  auto risk = [](const std::string& folder, const char* service, double kilograms, std::int64_t grams,
                 std::int64_t cover) {
    Request request = Kilograms(kilograms);
    request.tolerance.weight = Weight::Grams(grams);
    if (cover != 0) request.cover = Amount::Micros(cover * 1'000'000);
    const Ranking ranking = Ask(BookOf(folder, service), request);
    const Offer& offer = ranking.offers().at(0);
    return !offer.at_risk ? std::string("no")
                          : (offer.total_at_risk ? offer.total_at_risk->ToString() : std::string("refused"));
  };
  EXPECT_EQ(risk("grids", "rates", 44.9, 200, 0), "no");       // it falls
  EXPECT_EQ(risk("grids", "rates", 43.9, 5000, 0), "139.50");  // at 45 kg, amid what it may weigh
  EXPECT_EQ(risk("grids", "deficit", 34.4, 200, 0), "108.00");
  EXPECT_EQ(risk("grids", "deficit", 36, 9000, 0), "no");
  EXPECT_EQ(risk("cover", "by-kilogram", 1.9, 200, 60), "no");
  EXPECT_EQ(risk("cover", "ends", 1.9, 200, 45), "refused");
  EXPECT_EQ(risk("cover", "ends", 1.9, 100, 45), "no");
}

TEST(Ranges, AreExactWhereTotalsFall) {
  Request request = Kilograms(44);
  request.parcel->weight_most = Weight::Kilograms(47);
  const Ranking ranking = Ask(BookOf("grids", "rates"), request);
  const Offer& offer = ranking.offers().at(0);
  EXPECT_EQ(offer.total.ToString(), "139.50");
  EXPECT_EQ(offer.weight.In("kg"), "45 kg");
  EXPECT_EQ(offer.range->lowest.ToString(), "110.40");
  EXPECT_EQ(offer.range->highest.ToString(), "139.50");
  request = Kilograms(1);
  request.parcel->weight_most = Weight::Kilograms(5);
  request.cover = Amount::Micros(60'000'000);
  const Ranking covered = Ask(BookOf("cover", "by-kilogram"), request);
  EXPECT_EQ(covered.offers().at(0).range->lowest.ToString(), "5.00");
  EXPECT_EQ(covered.offers().at(0).range->highest.ToString(), "7.00");
}

// ---- money collected ----

TEST(CashOnDelivery, IsInTheRankingsCurrency) {
  Request request = Kilograms(1);
  request.currency = *Currency::Parse("USD");
  request.exchange.emplace("EUR", *ExchangeRate::Parse("1.10"));
  request.cash_on_delivery = Amount::Micros(110'000'000);
  // 100.00 EUR: 6.00 and 5.50, at 1.10.
  EXPECT_EQ(TotalOf(Ask(BookOf("cover", "collects"), request)), "12.65");
  request.cash_on_delivery = Amount::Micros(110'010'000);
  EXPECT_EQ(TotalOf(Ask(BookOf("cover", "collects"), request)), "13.75");
}

TEST(CashOnDelivery, IsNotJudgedWhereItCannotBeTold) {
  Request request = Kilograms(1);
  request.currency = *Currency::Parse("USD");
  request.cash_on_delivery = Amount::Micros(3'000'000'000);
  auto reasons = [&request] {
    const Ranking ranking = Ask(BookOf("cover", "collects"), request);
    std::string out;
    for (const RefusalReason& reason : ranking.refusals().at(0).reasons) {
      out += std::string(NameOf(reason.code)) + ": " + reason.text + "\n";
    }
    return out;
  };
  EXPECT_EQ(reasons(),
            "currency_differs: the tariff is in EUR, the ranking in USD, and no rate of exchange is given\n");
  request.exchange.emplace("EUR", *ExchangeRate::Parse("0.000001"));
  EXPECT_EQ(reasons(), "no_price: the cash on delivery is more than 1000 million in EUR, which no price covers\n");
}

TEST(CashOnDelivery, IsCheckedLikeCover) {
  Request request = Kilograms(1);
  request.cash_on_delivery = Amount::Micros(-1);
  EXPECT_EQ(request.Check().message(), "amounts/cash_on_delivery: found -0.000001, expected 0 to 1000 million");
  request.cash_on_delivery = Amount::Micros(1'000'000'000'000'001);
  EXPECT_EQ(request.Check().message(), "amounts/cash_on_delivery: found 1000000000.000001, expected 0 to 1000 million");
  request.cash_on_delivery = Amount::Micros(1'000'000'000'000'000);
  EXPECT_TRUE(request.Check().ok());
  request.extras = {"cash-on-delivery"};
  EXPECT_EQ(request.Check().message(),
            "extras: found \"cash-on-delivery\", expected its amount under the request's own \"amounts\"");
}

TEST(CashOnDelivery, IsReadFromARequest) {
  const Loaded<Request> request = ReadRequest({"request", R"({"format": "tarewise-request-1",
    "parcel": {"weight": "1 kg", "sides": "20 x 20 x 20 cm"}, "from": {"country": "DE", "postal_code": "20095"},
    "to": {"country": "DE", "postal_code": "10115"}, "date": "2026-08-03", "currency": "EUR",
    "amounts": {"cash_on_delivery": "64.00"}})"});
  ASSERT_TRUE(request.ok());
  EXPECT_EQ(request.value->cash_on_delivery, Amount::Micros(64'000'000));
  const Ranking ranking = Ask(BookOf("cover", "collects"), *request.value);
  ASSERT_EQ(ranking.offers().at(0).charges.size(), 2u);
  EXPECT_EQ(ranking.offers()[0].charges[1].code, "cash-on-delivery");
  EXPECT_EQ(ranking.offers()[0].charges[1].amount.ToString(), "5.50");
}

// ---- many at once ----

// Goods a nanogram and a nanometre below, on and above each bound that some cut names, of values around theirs.
Table AroundBounds(const Repricer& repricer, std::int64_t most) {
  Table table;
  std::vector<std::int64_t> weights = {1};
  const internal::DispatchState& dispatch = internal::StateOf(*repricer.dispatch(0));
  for (const internal::ServiceState& state : dispatch.services()) {
    std::int64_t weight = 1;
    while ((weight = state.compiled->cuts.NextWeight(weight, state.service().measure.weight)) < most) {
      for (const std::int64_t near : {weight - 1, weight, weight + 1}) weights.push_back(near);
      ++weight;
    }
  }
  std::sort(weights.begin(), weights.end());
  weights.erase(std::unique(weights.begin(), weights.end()), weights.end());
  std::erase(weights, 0);
  constexpr std::int64_t kValues[] = {0, 99'999'999, 100'000'000, 100'000'001, 200'000'000, 200'010'000, 500'000'001};
  constexpr std::int64_t kLongest[] = {20, 30, 40, 60, 80};
  std::size_t n = 0;
  for (const std::int64_t weight : weights) {
    Item item;
    item.weight = Weight::Nanograms(weight);
    const std::int64_t longest = kLongest[n % 5] * kCentimetre + static_cast<std::int64_t>(n % 3) - 1;
    item.sides = {Length::Nanometres(longest), Length::Millimetres(200), Length::Millimetres(n % 2 == 0 ? 200 : 100)};
    item.value = Amount::Micros(kValues[n % std::size(kValues)]);
    item.bare_allowed = true;
    table.Add(item, 0);
    ++n;
  }
  return table;
}

void ExpectReprice(const std::string& folder, std::int64_t kilograms, std::int64_t cover, std::int64_t cash) {
  RepriceSetup setup;
  setup.book = BookOf(folder);
  setup.shipment.date = *Date::Parse("2026-08-03");
  setup.shipment.currency = *Currency::Parse("EUR");
  if (cover != 0) setup.shipment.cover = Amount::Micros(cover);
  if (cash != 0) setup.shipment.cash_on_delivery = Amount::Micros(cash);
  setup.allowance = {Weight(), Weight()};
  for (const char* to : {"DE 10115", "FR 75001", "AT 1010"}) {
    setup.lanes.push_back({*Place::Parse("DE 20095"), *Place::Parse(to)});
  }
  const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const Table table = AroundBounds(*repricer, kilograms * 1000 * kGram);
  const std::vector<Contents> classes(1);
  const GoodsColumns goods = table.Columns(classes);
  ASSERT_GT(goods.rows, 20u);
  // Often enough that the answers are worked out ahead.
  for (int i = 0; i < 30; ++i) {
    Columns columns;
    ASSERT_TRUE(repricer->Run(goods, columns.Make(goods.rows, repricer->lanes().size())).ok());
  }
  Random random(11);
  Seen seen;
  ExpectSameAsRank(*repricer, goods, 3, random, seen);
  EXPECT_GT(seen.offered, goods.rows / 2);
}

TEST(Reprice, ClassesAndRatesAroundTheirBounds) { ExpectReprice("grids", 310, 0, 0); }
TEST(Reprice, CoverIncludedByTheWeight) {
  for (const std::int64_t cover : {0, 20'010'000, 49'000'000, 60'000'000, 90'000'000, 130'010'000}) {
    ExpectReprice("cover", 22, cover, 0);
  }
}
TEST(Reprice, CashOnDelivery) {
  for (const std::int64_t cash : {10'000, 500'010'000}) ExpectReprice("cover", 22, 60'000'000, cash);
}

}  // namespace
}  // namespace tarewise::price_kinds_test
