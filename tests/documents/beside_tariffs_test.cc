// Shelves, terms, gazetteers and requests are read into the right typed values, exactly. All data invented.

#include <gtest/gtest.h>

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "documents/sound.h"
#include "tarewise/documents/load.h"

namespace tarewise::beside_tariffs_test {
namespace {

using namespace documents_test;  // NOLINT(google-build-using-namespace)

// ---- packaging and shelves ----

TEST(ReadShelf, TakesEveryKind) {
  const Loaded<Shelf> loaded = ReadShelf({"shelf.json", R"({
    "format": "tarewise-shelf-1", "currency": "USD",
    "packaging": [
      {"code": "carton-14x9", "title": "Carton 14 x 9", "kind": "carton", "inside": "9 x 14 x 5 in", "wall": "0.15 in", "tare": "8.3 oz", "cost": "0.78", "on_hand": 18},
      {"code": "carton-14x9-thick", "title": "Carton 14 x 9, thick", "kind": "carton", "inside": "14 x 9 x 5 in", "outside": "14.4 x 9.4 x 5.5 in", "tare": "8.3 oz", "cost": 0.78},
      {"code": "mailer-9", "title": "Mailer 9", "kind": "mailer", "inside": "9 x 12 in", "wall": "2 mm", "tare": "1 oz", "cost": 0.3, "on_hand": 0},
      {"code": "env-a", "title": "Stiff A", "kind": "envelope", "inside": "9 x 11 x 0.5 in", "tare": "2 oz", "cost": 0.5},
      {"code": "env-b", "title": "Stiff B", "kind": "envelope", "inside": "9 x 11 in", "thickness": "0.75 in", "outside": "9.25 x 11.25 in", "tare": "2 oz", "cost": 0.5},
      {"code": "tube-3", "title": "Tube 3", "kind": "tube", "inside": "3 x 24 in", "wall": "0.1 in", "tare": "6 oz", "cost": 1.1},
      {"code": "none", "title": "As it is", "kind": "bare", "tare": "0 oz", "cost": 0}],
    "issued": [{"carrier": "harbourline", "code": "hl-chest", "on_hand": 3}, {"carrier": "harbourline", "code": "hl-trunk"}]})"});
  ASSERT_TRUE(loaded.ok()) << Lines(loaded.diagnostics);
  const Shelf& shelf = *loaded.value;
  EXPECT_EQ(shelf.currency->code(), "USD");
  ASSERT_EQ(shelf.own.size(), 7u);
  const auto inches = [](std::int64_t hundredths) { return Length::Nanometres(hundredths * 254'000); };
  const auto packaging = [&](std::size_t i) { return shelf.own[i].packaging; };
  EXPECT_EQ(packaging(0).inside, (std::array{inches(900), inches(1400), inches(500)})) << "in the order written";
  EXPECT_EQ(packaging(0).outside, (std::array{inches(930), inches(1430), inches(530)})) << "inside and two walls";
  EXPECT_EQ(packaging(0).wall, inches(15));
  EXPECT_EQ(packaging(0).tare.nanograms(), 235'301'041'938) << "8.3 oz, half up";
  EXPECT_EQ(packaging(0).cost.micros(), 780'000);
  EXPECT_EQ(shelf.own[0].on_hand, 18);
  EXPECT_EQ(packaging(1).outside, (std::array{inches(1440), inches(940), inches(550)}));
  EXPECT_EQ(packaging(1).wall, Length());
  EXPECT_FALSE(shelf.own[1].on_hand.has_value()) << "plenty";
  EXPECT_EQ(packaging(2).kind, PackagingKind::kMailer);
  EXPECT_EQ(packaging(2).inside, (std::array{inches(900), inches(1200), Length()}));
  EXPECT_EQ(packaging(2).wall, Length::Millimetres(2));
  EXPECT_EQ(shelf.own[2].on_hand, 0);
  EXPECT_EQ(packaging(3).inside, (std::array{inches(900), inches(1100), inches(50)}));
  EXPECT_EQ(packaging(3).outside, packaging(3).inside);
  EXPECT_EQ(packaging(4).inside[2], inches(75));
  EXPECT_EQ(packaging(4).outside, (std::array{inches(925), inches(1125), inches(75)}));
  EXPECT_EQ(packaging(5).inside, (std::array{inches(300), inches(2400), Length()})) << "diameter first";
  EXPECT_EQ(packaging(5).outside, (std::array{inches(320), inches(2420), Length()}));
  EXPECT_EQ(packaging(6).kind, PackagingKind::kBare);
  ASSERT_EQ(shelf.issued.size(), 2u);
  EXPECT_EQ(shelf.issued[0].carrier, "harbourline");
  EXPECT_EQ(shelf.issued[0].code, "hl-chest");
  EXPECT_EQ(shelf.issued[0].on_hand, 3);
  EXPECT_FALSE(shelf.issued[1].on_hand.has_value());
}

TEST(ReadShelf, TakesCsv) {
  const Loaded<Shelf> loaded =
      ReadShelf({"tables/shelf-own.csv",
                 "code,title,kind,inside,outside,wall,thickness,tare,cost,currency,on_hand,carrier\r\n"
                 "carton-14x9,\"Carton 14 x 9, double wall\",carton,14 x 9 x 5 in,,0.15 in,,8.3 oz,0.78,USD,18,\r\n"
                 "env-b,Stiff \xC3\xA9,envelope,9 x 11 in,,,0.75 in,2 oz,0,,,\r\n"
                 "hl-chest,,,,,,,,,,3,harbourline\r\n"});
  ASSERT_TRUE(loaded.ok()) << Lines(loaded.diagnostics);
  const Shelf& shelf = *loaded.value;
  ASSERT_EQ(shelf.own.size(), 2u);
  EXPECT_EQ(shelf.own[0].packaging.title, "Carton 14 x 9, double wall");
  EXPECT_EQ(shelf.own[0].on_hand, 18);
  EXPECT_EQ(shelf.own[1].packaging.title, "Stiff \xC3\xA9");
  EXPECT_EQ(shelf.own[1].packaging.inside[2], Length::Nanometres(19'050'000));
  ASSERT_EQ(shelf.issued.size(), 1u);
  EXPECT_EQ(shelf.issued[0].on_hand, 3);
  EXPECT_EQ(shelf.currency->code(), "USD");
}

TEST(ReadShelf, NeedsNoCurrencyWhereNothingCostsAnything) {
  const Loaded<Shelf> loaded = ReadShelf({"shelf.json", R"({"format": "tarewise-shelf-1", "packaging": [
    {"code": "bag", "title": "Bag", "kind": "mailer", "inside": "9 x 12 in", "tare": "1 oz", "cost": 0}]})"});
  ASSERT_TRUE(loaded.ok()) << Lines(loaded.diagnostics);
  EXPECT_FALSE(loaded.value->currency.has_value());
}

// ---- terms, gazetteers ----

TEST(ReadTerms, TakesDiscounts) {
  const Loaded<Terms> loaded = ReadTerms({"terms.json", R"({
    "format": "tarewise-terms-1", "carrier": "fenwick-dray", "in_force": {"from": "2026-07-12", "until": "2027-01-02"},
    "discounts": [
      {"services": ["ground", "economy"], "when": {"billable_weight": {"up_to": "20 lb"}, "zone": {"is": "I"}}, "percent": 12.5, "of": ["base"], "floor": 7.90},
      {"percent": "5 %", "of": ["*"]}]})"});
  ASSERT_TRUE(loaded.ok()) << Lines(loaded.diagnostics);
  const Terms& terms = *loaded.value;
  EXPECT_EQ(terms.carrier, "fenwick-dray");
  EXPECT_EQ(terms.in_force.until->ToString(), "2027-01-02");
  ASSERT_EQ(terms.discounts.size(), 2u);
  EXPECT_FALSE(terms.discounts[0].all_services);
  EXPECT_EQ(terms.discounts[0].services, (std::vector<std::string>{"ground", "economy"}));
  ASSERT_EQ(terms.discounts[0].when.conditions.size(), 2u);
  EXPECT_EQ(std::get<ZoneCondition>(terms.discounts[0].when.conditions[1]).names, std::vector<std::string>{"I"});
  EXPECT_EQ(terms.discounts[0].percent, Percent::TenThousandths(125'000));
  EXPECT_EQ(terms.discounts[0].floor->micros(), 7'900'000);
  EXPECT_TRUE(terms.discounts[1].all_services);
  EXPECT_TRUE(terms.discounts[1].of_all);
  EXPECT_FALSE(terms.discounts[1].floor.has_value());
}

TEST(ReadSeller, TakesEveryPart) {
  const Loaded<SellerRules> loaded = ReadSeller({"seller.json", R"({
    "format": "tarewise-seller-1", "currency": "USD", "hour": "18.00",
    "avoid": [{"services": ["harbourline/flat-mail", "larkspur"], "when": {"value": {"over": "50"}}, "reason": "nothing over 50"},
              {"when": {"packaging_kind": {"is": "tube"}, "billable_weight": {"over": "5 lb"}}, "reason": "tubes bend"}],
    "ask": [{"when": {"value": {"at_least": "250"}, "residential": true}, "extras": ["signature"], "cover": "value"},
            {"extras": ["adult", "signature"]}, {"cover": 12.5}],
    "handicaps": [{"code": "packing", "title": "Packing a carton", "when": {"packaging_kind": {"is": "carton"}}, "minutes": 4},
                  {"code": "half", "title": "Half", "minutes": "0.55"},
                  {"code": "counter", "title": "Trip to the counter", "services": ["larkspur"], "amount": 0.755},
                  {"code": "loss", "title": "Lost or broken", "when": {"value": {"over": 5}}, "percent_of_value": "1.2 %"}]})"});
  ASSERT_TRUE(loaded.ok()) << Lines(loaded.diagnostics);
  const SellerRules& rules = *loaded.value;
  EXPECT_EQ(rules.currency.code(), "USD");
  EXPECT_EQ(rules.file, "seller.json");
  ASSERT_EQ(rules.avoid.size(), 2u);
  ASSERT_EQ(rules.avoid[0].services.size(), 2u);
  EXPECT_EQ(rules.avoid[0].services[0].carrier, "harbourline");
  EXPECT_EQ(rules.avoid[0].services[0].service, "flat-mail");
  EXPECT_EQ(rules.avoid[0].services[1].carrier, "larkspur");
  EXPECT_EQ(rules.avoid[0].services[1].service, "");
  EXPECT_EQ(rules.avoid[0].rule.code, Reason::kNotWanted);
  EXPECT_EQ(rules.avoid[0].rule.reason, "nothing over 50");
  EXPECT_TRUE(rules.avoid[1].services.empty());
  EXPECT_EQ(rules.avoid[1].rule.when.conditions.size(), 2u);
  ASSERT_EQ(rules.ask.size(), 3u);
  EXPECT_TRUE(rules.ask[0].cover_value);
  EXPECT_FALSE(rules.ask[0].cover.has_value());
  EXPECT_TRUE(rules.ask[1].when.always());
  EXPECT_EQ(rules.ask[1].extras, (std::vector<std::string>{"adult", "signature"}));
  EXPECT_EQ(rules.ask[2].cover->micros(), 12'500'000);
  ASSERT_EQ(rules.handicaps.size(), 4u);
  EXPECT_EQ(rules.handicaps[0].amount.micros(), 1'200'000) << "4 minutes of 18.00 an hour";
  EXPECT_EQ(rules.handicaps[1].amount.micros(), 170'000) << "0.165, half up";
  EXPECT_EQ(rules.handicaps[2].amount.micros(), 755'000);
  EXPECT_EQ(rules.handicaps[2].title, "Trip to the counter");
  EXPECT_EQ(*rules.handicaps[3].of_value, Percent::TenThousandths(12'000));
  EXPECT_TRUE(SellerRules::IsFor(rules.avoid[0].services, "larkspur", "air"));
  EXPECT_FALSE(SellerRules::IsFor(rules.avoid[0].services, "harbourline", "parcel"));
  EXPECT_TRUE(SellerRules::IsFor({}, "harbourline", "parcel"));
}

TEST(ReadGazetteer, TakesPoints) {
  Gazetteer gazetteer;
  const std::vector<Diagnostic> said =
      ReadGazetteer({"gazetteer.csv",
                     "\xEF\xBB\xBF"
                     "country,prefix,latitude,longitude,name\r\nUS,054,44.123456789,-73.25,\"north, invented\"\r\n"
                     "US,05401,44.0,-73.5,\r\nGB,SW1A 1,51.5,-0.125,London\r\nIS,,64.9,-18.6,the whole country\r\n"},
                    gazetteer);
  EXPECT_EQ(Lines(said), "");
  ASSERT_FALSE(gazetteer.Finish().has_value());
  EXPECT_EQ(gazetteer.size(), 4u);
  EXPECT_EQ(gazetteer.Find(At("US", "05412")), (GeoPoint{44.123456789, -73.25}));
  EXPECT_EQ(gazetteer.Find(At("US", "05401")), (GeoPoint{44.0, -73.5})) << "the longest prefix wins";
  EXPECT_EQ(gazetteer.Find(At("GB", "sw1a 1aa")), (GeoPoint{51.5, -0.125}));
  EXPECT_EQ(gazetteer.Find(At("IS", "101")), (GeoPoint{64.9, -18.6}));
  EXPECT_FALSE(gazetteer.Find(At("US", "98101")).has_value());
}

TEST(ReadGazetteer, TakesNothingFromABrokenOne) {
  Gazetteer gazetteer;
  const std::vector<Diagnostic> said =
      ReadGazetteer({"gazetteer.csv", "country,prefix,latitude,longitude\nUS,054,44,-73\nUS,051,400,-73\n"}, gazetteer);
  EXPECT_TRUE(HasErrors(said));
  EXPECT_EQ(gazetteer.size(), 0u);
}

// ---- requests ----

constexpr std::string_view kLane = R"("format": "tarewise-request-1", "from": {"country": "US", "postal_code": "05401"},
  "to": {"country": "US", "postal_code": "98101", "residential": true}, "date": "2026-08-03",)";

Request SoundRequest(const std::string& members) {
  const Loaded<Request> loaded = ReadRequest({"request.json", "{" + std::string(kLane) + members + "}"});
  EXPECT_TRUE(loaded.ok()) << Lines(loaded.diagnostics);
  return loaded.value.value_or(Request());
}

TEST(ReadRequest, TakesEverything) {
  const Request request = SoundRequest(R"(
    "goods": [{"weight": "11.3 oz", "sides": "14 x 5 x 9 in", "quantity": 9999, "contents": ["media", "x-signed"], "value": 24.5, "shape": "soft",
               "this_side_up": true, "rigid": true, "bare": true, "title": "Atlas", "code": "QM-1"},
              {"weight": "1 lb 3 oz", "sides": "14in X 5in \u00d7 9in"}],
    "promise": {"within": 3}, "extras": ["signature"], "cover": "80.00", "tolerance": {"weight": "0.1 oz", "sides": "0.25 in"},
    "objective": "cautious", "currency": "USD", "exchange": {"EUR": "1.0842", "GBP": 1.27}, "padding": "2 cm", "fill_weight": "3 oz",
    "allowance": {"least": "4 oz", "most": "6 oz"}, "steps": {"weight": "0.2 oz", "sides": "1/4 in"})");
  ASSERT_EQ(request.goods.size(), 2u);
  const Item& item = request.goods[0];
  EXPECT_EQ(item.weight.nanograms(), 320'349'611'313) << "11.3 oz, half up";
  EXPECT_EQ(item.sides, (std::array{Length::Inches(14), Length::Inches(5), Length::Inches(9)})) << "as written";
  EXPECT_EQ(item.quantity, 9999);
  EXPECT_EQ(item.contents.Words(), (std::vector<std::string>{"media", "x-signed"}));
  EXPECT_EQ(item.value.micros(), 24'500'000);
  EXPECT_EQ(item.shape, Shape::kSoft);
  EXPECT_TRUE(item.this_side_up);
  EXPECT_TRUE(item.rigid);
  EXPECT_TRUE(item.bare_allowed);
  EXPECT_FALSE(item.weight_most.has_value());
  EXPECT_TRUE(item.side_ranges.empty());
  EXPECT_EQ(request.goods[1].weight, Weight::Ounces(19));
  EXPECT_EQ(request.goods[1].sides, item.sides);
  EXPECT_EQ(request.goods[1].quantity, 1);
  EXPECT_EQ(request.goods[1].shape, Shape::kBox);
  EXPECT_EQ(request.lane.from.postal_code(), "05401");
  EXPECT_FALSE(request.lane.from.residential());
  EXPECT_TRUE(request.lane.to.residential());
  EXPECT_EQ(request.date.ToString(), "2026-08-03");
  EXPECT_EQ(std::get<WithinDays>(request.promise).days, 3);
  EXPECT_EQ(request.extras, std::vector<std::string>{"signature"});
  EXPECT_EQ(request.cover->micros(), 80'000'000);
  EXPECT_EQ(request.tolerance.weight.nanograms(), 2'834'952'313);
  EXPECT_EQ(request.tolerance.sides.nanometres(), 6'350'000);
  EXPECT_EQ(request.objective, Objective::kCautious);
  EXPECT_EQ(request.currency->code(), "USD");
  ASSERT_EQ(request.exchange.size(), 2u);
  EXPECT_EQ(request.exchange.at("EUR").micros(), 1'084'200);
  EXPECT_EQ(request.exchange.at("GBP").micros(), 1'270'000);
  EXPECT_EQ(request.padding, Length::Millimetres(20));
  EXPECT_EQ(request.fill_weight, Weight::Ounces(3));
  EXPECT_EQ(request.allowance.least, Weight::Ounces(4));
  EXPECT_EQ(request.allowance.most, Weight::Ounces(6));
  EXPECT_EQ(request.steps.weight.Times(10), Weight::Ounces(2));
  EXPECT_EQ(request.steps.sides.Times(4), Length::Inches(1));
}

TEST(ReadRequest, LeavesWhatIsLeftOutAtItsDefault) {
  const Request request = SoundRequest(R"("goods": [{"weight": "11.4 oz", "sides": "14 x 9 x 5 in"}])");
  EXPECT_TRUE(std::holds_alternative<std::monostate>(request.promise));
  EXPECT_TRUE(request.extras.empty());
  EXPECT_FALSE(request.cover.has_value());
  EXPECT_EQ(request.tolerance.weight, Weight());
  EXPECT_EQ(request.objective, Objective::kCheapest);
  EXPECT_FALSE(request.currency.has_value());
  EXPECT_FALSE(request.padding.has_value());
  EXPECT_EQ(request.fill_weight, Weight());
  EXPECT_EQ(request.allowance.least, Weight::Ounces(8));
  EXPECT_EQ(request.allowance.most, Weight::Ounces(12));
  EXPECT_FALSE(request.parcel.has_value());
}

TEST(ReadRequest, StepsFollowTheUnitsOfTheFirstGoods) {
  const Request imperial = SoundRequest(
      R"("goods": [{"weight": "1 lb", "sides": "14 x 9 x 5 in"}, {"weight": "1 kg", "sides": "30 x 20 x 10 cm"}])");
  EXPECT_EQ(imperial.steps.weight, ScaleStep<Weight>::Of(Weight::Ounces(1), 10));
  EXPECT_EQ(imperial.steps.sides, ScaleStep<Length>::Of(Length::Inches(1), 8));
  EXPECT_EQ(imperial.weight_units, UnitSystem::kImperial);
  const Request metric = SoundRequest(
      R"("goods": [{"weight": "1 kg", "sides": "30 x 20 x 10 cm"}, {"weight": "1 lb", "sides": "14 x 9 x 5 in"}])");
  EXPECT_EQ(metric.steps.weight, ScaleStep<Weight>::Of(Weight::Grams(1)));
  EXPECT_EQ(metric.steps.sides, ScaleStep<Length>::Of(Length::Millimetres(1)));
  EXPECT_EQ(metric.weight_units, UnitSystem::kMetric);
  EXPECT_EQ(metric.side_units, UnitSystem::kMetric);
  const Request mixed =
      SoundRequest(R"("parcel": {"weight": "900 g", "sides": "14 x 9 x 5 in"}, "steps": {"sides": "1 mm"})");
  EXPECT_EQ(mixed.steps.weight, ScaleStep<Weight>::Of(Weight::Grams(1)));
  EXPECT_EQ(mixed.steps.sides, ScaleStep<Length>::Of(Length::Millimetres(1))) << "asked for";
  EXPECT_EQ(mixed.side_units, UnitSystem::kImperial);
}

TEST(ReadRequest, TakesRanges) {
  const Request request = SoundRequest(
      R"("goods": [{"weight": "14..18 oz", "sides": "10..12 x 9 x 6 in"}, {"weight": "15 oz..1 lb 3 oz", "sides": "9 in x 25..30 cm x 12-3/8..13 in"},
                   {"weight": "2..2 lb", "sides": "9..9 x 6 x 6 in"}])");
  EXPECT_EQ(request.goods.at(0).weight, Weight::Ounces(14));
  EXPECT_EQ(request.goods[0].weight_most, Weight::Ounces(18));
  EXPECT_EQ(request.goods[0].sides[0], Length::Inches(10));
  ASSERT_EQ(request.goods[0].side_ranges.size(), 1u);
  EXPECT_EQ(request.goods[0].side_ranges[0].index, 0u);
  EXPECT_EQ(request.goods[0].side_ranges[0].most, Length::Inches(12));
  EXPECT_EQ(request.goods[1].weight, Weight::Ounces(15));
  EXPECT_EQ(request.goods[1].weight_most, Weight::Ounces(19));
  EXPECT_EQ(request.goods[1].sides[0], Length::Inches(9));
  ASSERT_EQ(request.goods[1].side_ranges.size(), 2u);
  EXPECT_EQ(request.goods[1].sides[1], Length::Centimetres(25));
  EXPECT_EQ(request.goods[1].side_ranges[0].most, Length::Centimetres(30));
  EXPECT_EQ(request.goods[1].sides[2].nanometres(), 314'325'000);
  EXPECT_EQ(request.goods[1].side_ranges[1].index, 2u);
  EXPECT_FALSE(request.goods[2].weight_most.has_value()) << "a range of one value is a value";
  EXPECT_TRUE(request.goods[2].side_ranges.empty());
}

TEST(ReadRequest, TakesASealedParcel) {
  const Request request = SoundRequest(
      R"("parcel": {"weight": "31..33 oz", "sides": "5 x 14..15 x 9 in", "shape": "tube", "packaging": "carton-14x9", "contents": ["fragile"],
                    "value": "24.00", "rigid": true}, "promise": {"paid_for": "harbourline/swift"})");
  ASSERT_TRUE(request.parcel.has_value());
  EXPECT_TRUE(request.goods.empty());
  EXPECT_EQ(request.parcel->sides, Dimensions(Length::Inches(14), Length::Inches(9), Length::Inches(5)));
  ASSERT_EQ(request.parcel->side_ranges.size(), 1u);
  EXPECT_EQ(request.parcel->side_ranges[0].index, 0u) << "of the sorted sides";
  EXPECT_EQ(request.parcel->side_ranges[0].most, Length::Inches(15));
  EXPECT_EQ(request.parcel->weight_most, Weight::Ounces(33));
  EXPECT_EQ(request.parcel->shape, Shape::kTube);
  EXPECT_EQ(request.parcel->packaging, "carton-14x9");
  EXPECT_TRUE(request.parcel->rigid);
  EXPECT_EQ(std::get<PaidFor>(request.promise).carrier, "harbourline");
  EXPECT_EQ(std::get<PaidFor>(request.promise).service, "swift");
  const Request bare_code =
      SoundRequest(R"("parcel": {"weight": "1 lb", "sides": "6 x 6 x 6 in"}, "promise": {"paid_for": "swift"})");
  EXPECT_EQ(std::get<PaidFor>(bare_code.promise).carrier, "");
  EXPECT_EQ(std::get<PaidFor>(bare_code.promise).service, "swift");
}

}  // namespace
}  // namespace tarewise::beside_tariffs_test
