// The seller's own rules in a ranking, worked out by hand: what is not wanted, what is asked for by itself, and what
// counts in the order although nobody bills it. All prices are invented.

#include "tarewise/tariff/seller.h"

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/refusal_of.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/steps.h"
#include "tarewise/ranking/totals.h"

namespace tarewise::seller_test {
namespace {

using testing::RefusalOf;
constexpr std::string_view kHarbourline = R"({
  "format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "List",
  "currency": "USD", "in_force": {"from": "2026-01-01"}, "zones": {"main": [{"kind": "one", "zone": "N"}]},
  "services": [
    {"code": "note", "title": "Note", "zones": "main", "mode": "surface", "days": {"*": [3, 6]}, "prices": [
      {"table": {"by": "weight", "unit": "oz", "columns": ["*"], "rows": [[4, 2.00], [12, 3.10]]}}]},
    {"code": "parcel", "title": "Parcel", "zones": "main", "mode": "surface", "days": {"*": [2, 4]}, "included_cover": 50,
     "prices": [{"table": {"by": "weight", "unit": "lb", "columns": ["*"], "rows": [[1, 5.00], [2, 6.40], [5, 8.00]]}}],
     "surcharges": [{"code": "care", "title": "Care", "when": {"extras": {"has": "signature"}}, "amount": 0.40},
                    {"code": "high", "title": "High cover", "when": {"cover": {"over": "100"}}, "amount": 0.60},
                    {"code": "covered", "title": "Covered", "when": {"extras": {"has": "cover"}}, "amount": 0.05}],
     "extras": [{"code": "signature", "title": "Signature", "amount": 1.50},
                {"code": "adult", "title": "Adult", "amount": 2.50},
                {"code": "cover", "title": "Cover", "per": {"measure": "cover", "step": "100", "first": 1.10, "each": 0.90}}]}]})";
constexpr std::string_view kLarkspur = R"({
  "format": "tarewise-tariff-1", "carrier": {"code": "larkspur", "name": "Larkspur Air"}, "title": "List",
  "currency": "USD", "in_force": {"from": "2026-01-01"}, "zones": {"main": [{"kind": "one", "zone": "A"}]},
  "services": [
    {"code": "air", "title": "Air", "zones": "main", "mode": "air", "days": {"*": [1, 2]}, "tracked": true,
     "prices": [{"when": {"weight": {"up_to": "1.5 lb"}}, "amount": 6.50}, {"amount": 7.90}],
     "extras": [{"code": "signature", "title": "Signature", "amount": 1.00}]}]})";
constexpr std::string_view kShelf = R"({
  "format": "tarewise-shelf-1", "currency": "USD", "packaging": [
    {"code": "box", "title": "Box", "kind": "carton", "inside": "10 x 8 x 4 in", "wall": "0.1 in", "tare": "2 oz", "cost": 0.50},
    {"code": "bag", "title": "Bag", "kind": "mailer", "inside": "14 x 16 in", "tare": "1 oz", "cost": 0.70}]})";

std::string Rules(std::string_view parts, std::string_view currency = "USD") {
  return R"({"format": "tarewise-seller-1", "hour": "18.00", "currency": ")" + std::string(currency) + "\", " +
         std::string(parts) + "}";
}

Tables TablesWith(const std::string& rules) {
  std::vector<SourceText> sources = {{"harbourline.json", std::string(kHarbourline)},
                                     {"larkspur.json", std::string(kLarkspur)},
                                     {"shelf.json", std::string(kShelf)}};
  if (!rules.empty()) sources.push_back({"seller.json", rules});
  Loaded<Tables> tables = ReadTables(sources);
  for (const Diagnostic& finding : tables.diagnostics) ADD_FAILURE() << finding.ToString();
  return *std::move(tables.value);
}

std::shared_ptr<const Ratebook> BookWith(const std::string& rules) {
  Tables tables = TablesWith(rules);
  return *Ratebook::Create(std::move(tables.tariffs), std::move(tables.terms), std::move(tables.gazetteer),
                           std::move(tables.seller));
}

Request Sealed(std::string_view parcel, std::string_view more = "") {
  const std::string text =
      R"({"format": "tarewise-request-1", "from": {"country": "US", "postal_code": "05401"},
          "to": {"country": "US", "postal_code": "98101", "residential": true}, "date": "2026-08-03", "currency": "USD",
          "parcel": {)" +
      std::string(parcel) + "}" + std::string(more) + "}";
  Loaded<Request> request = ReadRequest({"request.json", text});
  for (const Diagnostic& finding : request.diagnostics) ADD_FAILURE() << finding.ToString();
  return *std::move(request.value);
}

Ranking Ranked(const std::string& rules, Request request, bool with_shelf = false) {
  std::shared_ptr<const Shelf> shelf;
  if (with_shelf) shelf = std::make_shared<const Shelf>(*TablesWith("").shelf);
  absl::StatusOr<Ranking> ranking = Rank(BookWith(rules), shelf, std::move(request));
  EXPECT_TRUE(ranking.ok()) << ranking.status();
  return *std::move(ranking);
}

// "parcel 6.50+1.20, air 6.50", the handicaps behind a plus.
std::string Order(const Ranking& ranking) {
  std::string out;
  for (const Offer& offer : ranking.offers()) {
    out += (out.empty() ? "" : ", ") + std::string(offer.service);
    if (!ranking.request().parcel) out += "/" + std::string(offer.packaging);
    out += " " + offer.total.ToString();
    for (const OfferHandicap& one : offer.handicaps) out += "+" + one.amount.ToString();
  }
  return out;
}

constexpr std::string_view kLight = R"("weight": "10 oz", "sides": "9 x 6 x 2 in")";

// A good that the box and the bag hold, not packed yet.
Request LightGoods() {
  Request request = Sealed(kLight);
  Item item;
  item.weight = Weight::Ounces(7);
  item.sides = {Length::Inches(9), Length::Inches(6), Length::Inches(2)};
  request.goods = {item};
  request.parcel.reset();
  return request;
}

// "base 5.00, signature 1.50"
std::string Lines(const Ranking& ranking, std::string_view service) {
  std::string out;
  for (const Offer& offer : ranking.offers()) {
    if (offer.service != service) continue;
    for (const Charge& charge : offer.charges) {
      out += (out.empty() ? "" : ", ") + std::string(charge.code) + " " + charge.amount.ToString();
    }
  }
  return out;
}

// ---- avoid ----

TEST(Avoid, RefusesWhereItsTestHolds) {
  const std::string rules = Rules(
      R"("avoid": [{"services": ["harbourline/note"], "when": {"value": {"over": "50"}}, "reason": "nothing over 50 by note"}])");
  EXPECT_EQ(Order(Ranked("", Sealed(kLight))), "note 3.10, parcel 5.00, air 6.50");
  EXPECT_EQ(Order(Ranked(rules, Sealed(std::string(kLight) + R"(, "value": "50.00")"))),
            "note 3.10, parcel 5.00, air 6.50");
  const Ranking ranking = Ranked(rules, Sealed(std::string(kLight) + R"(, "value": "50.01")"));
  EXPECT_EQ(Order(ranking), "parcel 5.00, air 6.50");
  EXPECT_EQ(RefusalOf(ranking, "note"), "not_wanted: nothing over 50 by note: value is 50.01, the limit is 50.00");
}

TEST(Avoid, TakesACarrierOrEverybodyAndStandsAmongTheOtherReasons) {
  const std::string rules = Rules(R"("avoid": [
    {"services": ["harbourline"], "reason": "closed in August"},
    {"when": {"mode": {"is": "air"}}, "reason": "nothing by air"}])");
  const Ranking ranking =
      Ranked(rules, Sealed(R"("weight": "6 lb", "sides": "9 x 6 x 2 in")", R"(, "promise": {"within": 1})"));
  EXPECT_EQ(Order(ranking), "");
  EXPECT_EQ(RefusalOf(ranking, "parcel"),
            "not_wanted: closed in August; promise_not_met: takes up to 4 business days, the promise is 1; "
            "no_price: no price covers billable weight 6 lb (actual) in zone N");
  EXPECT_EQ(RefusalOf(ranking, "air"),
            "not_wanted: nothing by air: mode air; promise_not_met: takes up to 2 business days, the promise is 1");
  for (const Dispatch::Entry& entry : ranking.dispatch().services()) EXPECT_TRUE(entry.out);
}

TEST(Avoid, APackagingByItsCodeOrItsKind) {
  const Request request = LightGoods();
  EXPECT_EQ(Order(Ranked("", request, true)),
            "note/box 3.60, note/bag 3.80, parcel/box 5.50, parcel/bag 5.70, air/box 7.00, air/bag 7.20");
  const Ranking by_code = Ranked(
      Rules(
          R"("avoid": [{"services": ["harbourline/note"], "when": {"packaging": {"is": "box"}}, "reason": "no boxes"}])"),
      request, true);
  EXPECT_EQ(Order(by_code), "note/bag 3.80, parcel/box 5.50, parcel/bag 5.70, air/box 7.00, air/bag 7.20");
  EXPECT_EQ(RefusalOf(by_code, "note", "box"), "not_wanted: no boxes: packaging is box");
  EXPECT_EQ(Order(Ranked(Rules(R"("avoid": [{"when": {"packaging_kind": {"is": "mailer"}}, "reason": "out of bags"}])"),
                         request, true)),
            "note/box 3.60, parcel/box 5.50, air/box 7.00");
}

// A bound of the seller's own is a threshold like the carrier's.
TEST(Avoid, IsACut) {
  const std::string rules = Rules(
      R"("avoid": [{"services": ["harbourline/parcel"], "when": {"weight": {"over": "1.25 lb"}}, "reason": "too heavy to carry"},
                         {"services": ["larkspur"], "when": {"length": {"over": "12 in"}}, "reason": "too long to carry"}])");
  const Ranking light = Ranked(rules, Sealed(R"("weight": "1.1 lb", "sides": "9 x 6 x 2 in")"));
  ASSERT_EQ(Order(light), "parcel 6.40, air 6.50");
  EXPECT_EQ(light.offers()[0].headroom.weight->In("lb"), "0.15 lb");
  EXPECT_EQ(light.offers()[1].headroom.sides[0]->In("in"), "3 in");
  const Ranking heavy = Ranked(rules, Sealed(R"("weight": "1.4 lb", "sides": "9 x 6 x 2 in")"));
  ASSERT_EQ(Order(heavy), "air 6.50");
  ASSERT_EQ(heavy.offers()[0].savers.size(), 1u);
  EXPECT_EQ(heavy.offers()[0].savers[0].weight.In("oz"), "2.4 oz") << "to 1.25 lb";
  EXPECT_EQ(heavy.offers()[0].savers[0].total.ToString(), "6.40");
  const Ranking range = Ranked(rules, Sealed(R"("weight": "1.1..1.4 lb", "sides": "9 x 6 x 2 in")"));
  ASSERT_EQ(range.changes().size(), 1u);
  EXPECT_EQ(range.changes()[0].above_weight.In("lb"), "1.25 lb");
  EXPECT_EQ(range.changes()[0].service, "air");
  EXPECT_EQ(Order(range), "air 6.50") << "what is refused anywhere in the range is refused";
  const std::vector<WeightStep> steps = StepsByWeight(light, 1, Weight::Pounds(2));
  ASSERT_EQ(steps.size(), 3u);
  EXPECT_EQ(steps[1].until.In("lb"), "1.25 lb");
  EXPECT_FALSE(steps[2].total.has_value());
}

TEST(Avoid, AtRiskWithinATolerance) {
  const std::string rules = Rules(
      R"("avoid": [{"services": ["harbourline/parcel"], "when": {"weight": {"over": "1.25 lb"}}, "reason": "too heavy"}])");
  const Ranking ranking = Ranked(rules, Sealed(R"("weight": "1.2 lb", "sides": "9 x 6 x 2 in")",
                                               R"(, "tolerance": {"weight": "1 oz"}, "objective": "cautious")"));
  ASSERT_EQ(Order(ranking), "air 6.50, parcel 6.40") << "those that may be refused last";
  EXPECT_TRUE(ranking.offers()[1].at_risk);
  EXPECT_FALSE(ranking.offers()[1].total_at_risk.has_value());
}

// ---- ask ----

TEST(Ask, StandsBehindTheRequestsOwnEachOnce) {
  const std::string rules = Rules(R"("ask": [
    {"when": {"value": {"at_least": "250"}}, "extras": ["signature"], "cover": "value"},
    {"when": {"residential": true}, "extras": ["adult", "signature"]}])");
  const auto valued = [&](std::string_view value, std::string_view more = "") {
    return Ranked(rules, Sealed(std::string(kLight) + R"(, "value": ")" + std::string(value) + "\"", more));
  };
  EXPECT_EQ(Lines(valued("20"), "parcel"), "base 5.00, care 0.40, adult 2.50, signature 1.50");
  EXPECT_EQ(Lines(valued("250"), "parcel"),
            "base 5.00, care 0.40, high 0.60, covered 0.05, signature 1.50, adult 2.50, cover 2.90");
  EXPECT_EQ(Lines(valued("250", R"(, "extras": ["adult"])"), "parcel"),
            "base 5.00, care 0.40, high 0.60, covered 0.05, adult 2.50, signature 1.50, cover 2.90");
  const Ranking ranking = valued("20");
  EXPECT_EQ(Order(ranking), "parcel 9.40") << "the others offer no adult";
  EXPECT_EQ(RefusalOf(ranking, "note"), "extra_not_offered: \"adult\" is not offered for this parcel");
  EXPECT_EQ(ranking.Why(ranking.offers()[0], ranking.offers()[0].charges[1]), "one price; asked for: signature");
}

TEST(Ask, CoverIsTheGreatestOfAll) {
  const std::string rules = Rules(R"("ask": [
    {"when": {"value": {"over": "60"}}, "cover": "120"}, {"when": {"contents": {"has": "fragile"}}, "cover": "value"}])");
  const auto lines = [&](std::string_view parcel, std::string_view more = "") {
    return Lines(Ranked(rules, Sealed(std::string(kLight) + std::string(parcel), more)), "parcel");
  };
  EXPECT_EQ(lines(R"(, "value": "60")"), "base 5.00");
  EXPECT_EQ(lines(R"(, "value": "60.01")"), "base 5.00, high 0.60, covered 0.05, cover 2.00");
  EXPECT_EQ(lines(R"(, "value": "60.01")", R"(, "cover": "210")"), "base 5.00, high 0.60, covered 0.05, cover 2.90");
  EXPECT_EQ(lines(R"(, "value": "60", "contents": ["fragile"])"), "base 5.00, covered 0.05, cover 1.10");
  EXPECT_EQ(lines(R"(, "value": "50", "contents": ["fragile"])"), "base 5.00, covered 0.05") << "included";
  EXPECT_EQ(lines(R"(, "value": "320", "contents": ["fragile"])"), "base 5.00, high 0.60, covered 0.05, cover 3.80");
  EXPECT_EQ(lines(R"(, "contents": ["fragile"])"), "base 5.00") << "worth nothing";
}

// What is settled before the goods are known is settled: by places and the day.
TEST(Ask, ByPlacesAndTheDay) {
  const std::string rules = Rules(R"("ask": [
    {"when": {"destination": {"in": ["US:98"]}, "date": {"from": "2026-08-03"}}, "extras": ["signature"], "cover": "101"},
    {"when": {"origin": {"in": ["CA"]}}, "extras": ["adult"]}])");
  Request request = Sealed(kLight);
  EXPECT_EQ(Lines(Ranked(rules, request), "parcel"),
            "base 5.00, care 0.40, high 0.60, covered 0.05, signature 1.50, cover 2.00");
  request.date = *Date::Parse("2026-08-02");
  EXPECT_EQ(Lines(Ranked(rules, request), "parcel"), "base 5.00");
}

TEST(Ask, CutsOfWhatMayBeAskedForCount) {
  Tables tables = TablesWith(Rules(R"("ask": [{"when": {"value": {"over": "90"}}, "extras": ["signature"]}])"));
  // Here a signature goes by the weight.
  for (ChargeRule& rule : tables.tariffs[0].rules) {
    if (rule.code != "signature") continue;
    StepPrice price;
    price.measure = Measure::kWeight;
    price.step = Weight::Ounces(11).nanograms();
    price.first = Amount::Micros(1'000'000);
    price.each = Amount::Micros(250'000);
    rule.price = price;
  }
  const auto book = *Ratebook::Create(tables.tariffs, {}, {}, tables.seller);
  const absl::StatusOr<Ranking> asked = Rank(book, nullptr, Sealed(std::string(kLight) + R"(, "value": "91")"));
  ASSERT_TRUE(asked.ok());
  ASSERT_EQ(asked->offers()[0].service, "parcel");
  EXPECT_EQ(asked->offers()[0].headroom.weight->In("oz"), "1 oz");
  const absl::StatusOr<Ranking> plain = Rank(book, nullptr, Sealed(std::string(kLight) + R"(, "value": "90")"));
  ASSERT_TRUE(plain.ok());
  EXPECT_EQ(plain->offers()[1].headroom.weight->In("oz"), "6 oz");
}

// ---- handicaps ----

TEST(Handicaps, CountInTheOrderAndInNoTotal) {
  const std::string rules = Rules(R"("handicaps": [
    {"code": "counter", "title": "Trip to the counter", "services": ["harbourline"], "amount": 1.6},
    {"code": "packing", "title": "Packing", "services": ["harbourline/parcel"], "minutes": 7.25},
    {"code": "loss", "title": "Lost or broken", "services": ["harbourline/note"], "percent_of_value": 1.2}])");
  const Ranking ranking = Ranked(rules, Sealed(std::string(kLight) + R"(, "value": "24.95")"));
  EXPECT_EQ(Order(ranking), "note 3.10+1.60+0.30, air 6.50, parcel 5.00+1.60+2.18");
  EXPECT_EQ(ranking.offers()[0].handicap.ToString(), "1.90");
  EXPECT_EQ(ranking.offers()[0].handicaps[1].code, "loss");
  EXPECT_EQ(ranking.offers()[0].handicaps[1].title, "Lost or broken");
  const std::string json = ToJson(ranking, -1);
  EXPECT_NE(json.find(R"("handicaps":[{"code":"counter","title":"Trip to the counter","amount":"1.60"},)"
                      R"({"code":"loss","title":"Lost or broken","amount":"0.30"}],"handicap":"1.90")"),
            std::string::npos)
      << json;
  EXPECT_EQ(ToJson(Ranked("", Sealed(kLight))).find("handicap"), std::string::npos);
  TotalsResult totals;
  RankTotals(ranking.dispatch(), ranking.candidates()[0].facts, Amount::Micros(24'950'000), {}, totals);
  ASSERT_EQ(totals.offers.size(), 3u);
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(totals.offers[i].total, ranking.offers()[i].total);
    EXPECT_EQ(totals.offers[i].handicap, ranking.offers()[i].handicap);
    EXPECT_EQ(totals.offers[i].service, ranking.offers()[i].service_index);
  }
}

TEST(Handicaps, GoByThePackaging) {
  const std::string rules = Rules(
      R"("handicaps": [{"code": "packing", "title": "Packing", "when": {"packaging_kind": {"is": "carton"}}, "minutes": 4}])");
  const Request request = LightGoods();
  EXPECT_EQ(
      Order(Ranked(rules, request, true)),
      "note/bag 3.80, note/box 3.60+1.20, parcel/bag 5.70, parcel/box 5.50+1.20, air/bag 7.20, air/box 7.00+1.20");
}

// Equal sums go by days, as equal totals do, whichever of them is handicap.
TEST(Handicaps, EqualSumsGoByTheOrder) {
  const std::string rules =
      Rules(R"("handicaps": [{"code": "c", "title": "C", "services": ["harbourline/parcel"], "amount": 1.5}])");
  EXPECT_EQ(Order(Ranked(rules, Sealed(R"("weight": "1 lb", "sides": "9 x 6 x 2 in")"))), "air 6.50, parcel 5.00+1.50");
}

TEST(Handicaps, ThoseOfNothingAreTold) {
  const std::string rules = Rules(
      R"("handicaps": [{"code": "loss", "title": "Lost", "services": ["larkspur/air"], "percent_of_value": 1.2}])");
  EXPECT_EQ(Order(Ranked(rules, Sealed(kLight))), "note 3.10, parcel 5.00, air 6.50+0.00");
}

TEST(Handicaps, SaversGoByThemAndTellTotals) {
  // At 1.6 lb air is 7.90 and parcel 6.40 with 3.00: air is best. Up to 1 lb parcel is 5.00 with 3.00, up to 1.5 lb air
  // is 6.50.
  const std::string rules =
      Rules(R"("handicaps": [{"code": "c", "title": "C", "services": ["harbourline"], "amount": 3}])");
  const Ranking ranking = Ranked(rules, Sealed(R"("weight": "1.6 lb", "sides": "9 x 6 x 2 in")"));
  ASSERT_EQ(Order(ranking), "air 7.90, parcel 6.40+3.00");
  ASSERT_EQ(ranking.offers()[0].savers.size(), 1u);
  EXPECT_EQ(ranking.offers()[0].savers[0].weight.In("oz"), "1.6 oz");
  EXPECT_EQ(ranking.offers()[0].savers[0].total.ToString(), "6.50");
  EXPECT_EQ(ranking.offers()[0].savers[0].saves.ToString(), "1.40");
  EXPECT_EQ(ranking.offers()[1].savers[0].saves.ToString(), "-0.10") << "it is the handicap that falls";
  EXPECT_EQ(ranking.offers()[0].headroom.weight,
            Ranked("", Sealed(R"("weight": "1.6 lb", "sides": "9 x 6 x 2 in")")).offers()[1].headroom.weight);
}

TEST(Handicaps, ChangesGoByThem) {
  const std::string rules =
      Rules(R"("handicaps": [{"code": "c", "title": "C", "services": ["harbourline/parcel"], "amount": 0.2}])");
  const Request request = Sealed(R"("weight": "0.9..2.5 lb", "sides": "9 x 6 x 2 in")");
  const auto told = [](const Ranking& ranking) {
    std::string out;
    for (const WinnerChange& change : ranking.changes()) {
      out += change.above_weight.In("lb") + " " + std::string(change.service) + " " + change.total.ToString() + "; ";
    }
    return out;
  };
  EXPECT_EQ(told(Ranked("", request)), "2 lb air 7.90; ");
  EXPECT_EQ(told(Ranked(rules, request)), "1 lb air 6.50; 1.5 lb parcel 6.40; 2 lb air 7.90; ");
}

TEST(Handicaps, CautiousAddsThemToTheTotalAtRisk) {
  const std::string rules =
      Rules(R"("handicaps": [{"code": "c", "title": "C", "services": ["larkspur"], "amount": 0.1}])");
  const Request request = Sealed(R"("weight": "1 lb", "sides": "9 x 6 x 2 in")",
                                 R"(, "tolerance": {"weight": "1 oz"}, "objective": "cautious")");
  EXPECT_EQ(Order(Ranked("", request)), "parcel 5.00, air 6.50") << "6.40 at risk";
  EXPECT_EQ(Order(Ranked(rules, request)), "parcel 5.00, air 6.50+0.10");
  const std::string more =
      Rules(R"("handicaps": [{"code": "c", "title": "C", "services": ["harbourline"], "amount": 0.11}])");
  EXPECT_EQ(Order(Ranked(more, request)), "air 6.50, parcel 5.00+0.11") << "6.51";
}

// ---- currencies ----

TEST(SellersCurrency, NeedsARateWhereItIsAnother) {
  const std::string rules = Rules(R"("avoid": [{"services": ["larkspur"], "reason": "never"}])", "EUR");
  const auto book = *Ratebook::Create(TablesWith("").tariffs, {}, {}, ReadSeller({"seller.json", rules}).value);
  const absl::StatusOr<Ranking> without = Rank(book, nullptr, Sealed(kLight));
  EXPECT_EQ(without.status().message(),
            "exchange/EUR: found none, expected a rate: the seller's own rules are in EUR, the ranking is in USD");
  const absl::StatusOr<Ranking> with = Rank(book, nullptr, Sealed(kLight, R"(, "exchange": {"EUR": "1.25"})"));
  ASSERT_TRUE(with.ok()) << with.status();
  EXPECT_EQ(Order(*with), "note 3.10, parcel 5.00");
}

TEST(SellersCurrency, ValuesGoIntoItAndAmountsOutOfIt) {
  const std::string rules =
      Rules(R"("avoid": [{"services": ["harbourline/note"], "when": {"value": {"over": "40"}}, "reason": "too dear"}],
    "ask": [{"when": {"value": {"at_least": "80"}}, "cover": "81"}],
    "handicaps": [{"code": "a", "title": "A", "services": ["harbourline"], "amount": 0.115},
                  {"code": "b", "title": "B", "services": ["harbourline"], "minutes": 1},
                  {"code": "c", "title": "C", "services": ["harbourline"], "percent_of_value": 1}])",
            "EUR");
  const auto book = *Ratebook::Create(TablesWith("").tariffs, {}, {}, ReadSeller({"seller.json", rules}).value);
  const auto ranked = [&](std::string_view value) {
    absl::StatusOr<Ranking> ranking = Rank(book, nullptr,
                                           Sealed(std::string(kLight) + R"(, "value": ")" + std::string(value) + "\"",
                                                  R"(, "exchange": {"EUR": "1.25"})"));
    EXPECT_TRUE(ranking.ok()) << ranking.status();
    return *std::move(ranking);
  };
  // 50 USD are 40 EUR; 50.01 are 40.008, told as 40.01. 0.12 EUR are 0.15 USD, 0.30 are 0.375 and so 0.38.
  EXPECT_EQ(Order(ranked("50")), "note 3.10+0.15+0.38+0.50, parcel 5.00+0.15+0.38+0.50, air 6.50");
  EXPECT_EQ(RefusalOf(ranked("50.01"), "note"), "not_wanted: too dear: value is 40.01, the limit is 40.00");
  EXPECT_EQ(RefusalOf(ranked("50"), "note"), "");
  // 81 EUR are 101.25 USD.
  EXPECT_EQ(Lines(ranked("99.99"), "parcel"), "base 5.00") << "79.992 EUR, 79.99";
  EXPECT_EQ(Lines(ranked("100"), "parcel"), "base 5.00, high 0.60, covered 0.05, cover 2.00") << "80 EUR";
}

TEST(SellersCurrency, MoneyToBeCollectedGoesIntoIt) {
  const std::string rules = Rules(
      R"("avoid": [{"when": {"cash_on_delivery": {"over": "40"}}, "reason": "too much at the door"}],
         "handicaps": [{"code": "a", "title": "A", "when": {"cash_on_delivery": {"at_least": "40"}}, "amount": 1}])",
      "EUR");
  const auto book = *Ratebook::Create(TablesWith("").tariffs, {}, {}, ReadSeller({"seller.json", rules}).value);
  const auto told = [&](std::string_view cash) {
    const absl::StatusOr<Ranking> ranking =
        Rank(book, nullptr,
             Sealed(kLight,
                    R"(, "exchange": {"EUR": "1.25"}, "amounts": {"cash_on_delivery": ")" + std::string(cash) + "\"}"));
    EXPECT_TRUE(ranking.ok()) << ranking.status();
    return RefusalOf(*ranking, "parcel");
  };
  EXPECT_EQ(told("50"), "extra_not_offered: \"cash-on-delivery\" is not offered for this parcel");
  EXPECT_EQ(told("50.01"),
            "not_wanted: too much at the door: cash on delivery is 40.01, the limit is 40.00; "
            "extra_not_offered: \"cash-on-delivery\" is not offered for this parcel");
}

// ---- as a program makes them ----

TEST(SellerRules, WorthOfMinutesIsRoundedAndBounded) {
  const Currency usd = *Currency::Parse("USD");
  EXPECT_EQ(SellerRules::WorthOf(725, Amount::Micros(18'000'000), usd).ToString(), "2.18") << "2.175";
  EXPECT_EQ(SellerRules::WorthOf(100, Amount::Micros(100'000), usd).ToString(), "0.00");
  EXPECT_EQ(SellerRules::WorthOf(100, Amount::Micros(18'000'000), *Currency::Parse("JPY")).ToString(0), "0");
  EXPECT_EQ(SellerRules::WorthOf(99'999'999'999, Amount::Micros(kMostMicros), usd), Amount::Micros(kMostMicros));
}

TEST(SellerRules, AreCheckedByTheRatebook) {
  SellerRules rules;
  rules.currency = *Currency::Parse("USD");
  rules.handicaps.push_back({});
  rules.handicaps[0].code = "far";
  rules.handicaps[0].services = {{"fenwick-dray", ""}};
  EXPECT_EQ(Ratebook::Create(TablesWith("").tariffs, {}, {}, rules).status().message(),
            "seller: found carrier \"fenwick-dray\", expected one with a tariff");
  rules.handicaps[0].services.clear();
  rules.handicaps[0].amount = Amount::Micros(-1);
  EXPECT_EQ(Ratebook::Create(TablesWith("").tariffs, {}, {}, rules).status().message(),
            "seller: found the handicap \"far\", expected an amount of 0 to 1000 million");
  rules.handicaps[0].amount = Amount();
  MeasureCondition heavy = MeasureCondition::Make(Measure::kWeight, {{Bound::Op::kOver, 5, "lb"}});
  rules.handicaps[0].when.conditions.emplace_back(heavy);
  const std::string looks =
      "seller: found a test of what these rules do not look at, or cover among extras, expected none (FORMAT.md A8)";
  EXPECT_EQ(Ratebook::Create(TablesWith("").tariffs, {}, {}, rules).status().message(), looks);
  rules.handicaps.clear();
  rules.avoid.push_back({});
  rules.avoid[0].rule.when.conditions.emplace_back(heavy);
  EXPECT_TRUE(Ratebook::Create(TablesWith("").tariffs, {}, {}, rules).ok());
  rules.avoid[0].rule.when.conditions.emplace_back(ExtrasCondition{false, {"signature"}});
  EXPECT_EQ(Ratebook::Create(TablesWith("").tariffs, {}, {}, rules).status().message(), looks);
  rules.avoid.clear();
  rules.ask.push_back({});
  rules.ask[0].extras = {"cover"};
  EXPECT_EQ(Ratebook::Create(TablesWith("").tariffs, {}, {}, rules).status().message(), looks);
  rules.ask[0].extras.clear();
  rules.ask[0].when.conditions.emplace_back(ModeCondition{{Mode::kAir}});
  EXPECT_EQ(Ratebook::Create(TablesWith("").tariffs, {}, {}, rules).status().message(), looks);
  rules.ask[0].when.conditions.clear();
  rules.ask[0].cover = Amount::Micros(kMostMicros + 1);
  EXPECT_EQ(Ratebook::Create(TablesWith("").tariffs, {}, {}, rules).status().message(),
            "seller: found a cover of 1000000000.000001, expected 0 to 1000 million");
}

}  // namespace
}  // namespace tarewise::seller_test
