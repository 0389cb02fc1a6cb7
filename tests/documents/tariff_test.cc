// Sound tariffs of every feature are read into the right typed values, exactly. All data invented.

#include <gtest/gtest.h>

#include <cstdint>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "documents/sound.h"
#include "tarewise/documents/load.h"

namespace tarewise::tariff_test {
namespace {

using namespace documents_test;  // NOLINT(google-build-using-namespace)

// ---- the document ----

TEST(ReadTariff, TakesTheHead) {
  const Tariff tariff = Sound(R"({
    "format": "tarewise-tariff-1",
    "carrier": {"code": "fenwick-dray", "name": "Fenwick & Dray"},
    "title": "Rates, spring",
    "source": {"title": "Service guide", "page": 12, "published": "2026-01-02"},
    "currency": "JPY",
    "in_force": {"from": "2026-07-12"},
    "rounding": {"line": 0.001, "mode": "half_even"},
    "zones": {"all": [{"kind": "one", "zone": "N"}]},
    "services": [{"code": "ground", "title": "Ground", "zones": "all", "prices": [{"amount": 5}]}]})");
  EXPECT_EQ(tariff.carrier, "fenwick-dray");
  EXPECT_EQ(tariff.carrier_name, "Fenwick & Dray");
  EXPECT_EQ(tariff.title, "Rates, spring");
  EXPECT_EQ(tariff.source, "Service guide, page 12, published 2026-01-02");
  EXPECT_EQ(tariff.currency.code(), "JPY");
  EXPECT_EQ(tariff.in_force.from->ToString(), "2026-07-12");
  EXPECT_FALSE(tariff.in_force.until.has_value());
  EXPECT_EQ(tariff.rounding.line, 1000);
  EXPECT_EQ(tariff.rounding.total, 1'000'000) << "left out: the currency's minor unit, here a whole yen";
  EXPECT_EQ(tariff.rounding.mode, RoundMode::kHalfEven);
  EXPECT_EQ(tariff.file, "tariff.json");
}

TEST(ReadTariff, LeavesWhatIsLeftOutAtItsDefault) {
  const Tariff tariff = Sound(OneService(R"("prices": [{"amount": 5}])"));
  ASSERT_EQ(tariff.services.size(), 1u);
  const Service& service = tariff.services[0];
  EXPECT_EQ(service.code, "ground");
  EXPECT_TRUE(service.days.empty());
  EXPECT_FALSE(service.tracked);
  EXPECT_EQ(service.mode, Mode::kAny);
  EXPECT_TRUE(service.own_packaging);
  EXPECT_TRUE(service.issued.empty());
  EXPECT_EQ(service.measure.sides, StepRounding());
  EXPECT_EQ(service.measure.weight, StepRounding());
  EXPECT_EQ(service.measure.irregular_factor, 1'000'000);
  EXPECT_FALSE(service.pick_lowest);
  EXPECT_EQ(service.included_cover.micros(), 0);
  EXPECT_EQ(tariff.rounding.line, 10'000);
  EXPECT_EQ(tariff.rounding.total, 10'000);
  EXPECT_EQ(tariff.rounding.mode, RoundMode::kHalfUp);
  EXPECT_EQ(tariff.source, "");
}

TEST(ReadTariff, TakesAWholeService) {
  const Tariff tariff = Sound(OneService(
      R"("days": {"1": [2, 2], "*": [3, 5]}, "tracked": true, "mode": "surface",
         "packaging": {"own": false, "issued": ["hl-chest"]},
         "measure": {"sides": {"round": "up", "to": "1 in"}, "irregular_factor": 0.815, "weight": {"round": "nearest", "to": "0.5 kg"},
           "dimensional": [{"when": {"volume": {"over": "1500 in3"}}, "volume_per_weight": "170 in3/lb", "at_most": "60 lb"},
                           {"volume_per_weight": "5000 cm3/kg"}],
           "at_least": [{"when": {"length_plus_girth": {"over": "80 in"}, "weight": {"under": "18 lb"}}, "weight": "18 lb"}]},
         "refuse": [{"when": {"weight": {"over": "60 lb"}}, "reason": "heavier than 60 lb"},
                    {"when": {"contents": {"has": "live"}}, "reason": "no animals", "code": "contents_not_accepted"}],
         "pick": "lowest", "prices": [{"amount": "9.30"}, {"when": {}, "amount": 9}], "included_cover": "100")",
      R"("packaging": [{"code": "hl-chest", "title": "Chest", "kind": "carton", "inside": "12 x 9 x 4 in", "wall": "0.15 in",
          "tare": "4.1 oz", "cost": 0.00}],)"));
  const Service& service = tariff.services.at(0);
  ASSERT_EQ(service.days.size(), 2u);
  EXPECT_EQ(service.days[0], (Days{2, 2}));
  EXPECT_EQ(service.days[1], (Days{3, 5})) << "* stands for the rest";
  EXPECT_TRUE(service.tracked);
  EXPECT_EQ(service.mode, Mode::kSurface);
  EXPECT_FALSE(service.own_packaging);
  EXPECT_EQ(service.issued, std::vector<std::string>{"hl-chest"});
  EXPECT_EQ(service.measure.sides, (StepRounding{StepMode::kUp, 25'400'000}));
  EXPECT_EQ(service.measure.weight, (StepRounding{StepMode::kNearest, 500'000'000'000}));
  EXPECT_EQ(service.measure.irregular_factor, 815'000);
  ASSERT_EQ(service.measure.dimensional.size(), 2u);
  const VolumePerWeight& ratio = service.measure.dimensional[0].volume_per_weight;
  EXPECT_EQ(ratio.text, "170 in3/lb");
  // 170 in3 / lb exactly: volume * (nanograms of a pound) = (nm3 of 170 in3) * weight, cross-multiplied.
  EXPECT_EQ(ratio.volume * 453'592'370'000, Volume::CubicInches(170).cubic_nanometres() * ratio.weight);
  EXPECT_EQ(service.measure.dimensional[0].at_most, Weight::Pounds(60));
  EXPECT_TRUE(service.measure.dimensional[1].when.always());
  EXPECT_FALSE(service.measure.dimensional[1].at_most.has_value());
  ASSERT_EQ(service.measure.at_least.size(), 1u);
  EXPECT_EQ(service.measure.at_least[0].weight, Weight::Pounds(18));
  EXPECT_EQ(service.measure.at_least[0].when.conditions.size(), 2u);
  ASSERT_EQ(service.refuse.size(), 2u);
  EXPECT_EQ(service.refuse[0].reason, "heavier than 60 lb");
  EXPECT_EQ(service.refuse[0].code, Reason::kOverLimit);
  EXPECT_EQ(service.refuse[1].code, Reason::kContentsNotAccepted);
  EXPECT_TRUE(service.pick_lowest);
  ASSERT_EQ(service.prices.size(), 2u);
  EXPECT_EQ(std::get<FlatPrice>(service.prices[0].price).amount.micros(), 9'300'000);
  EXPECT_EQ(service.included_cover.micros(), 100'000'000);
}

// ---- prices ----

TEST(ReadTariff, KeepsNumbersExactly) {
  // A double holds none of these amounts but the last two.
  const Tariff tariff = Sound(OneService(
      R"("pick": "lowest", "prices": [{"amount": 0.485}, {"amount": "0.000001"}, {"amount": 999999999.999999}, {"amount": 5.10},
          {"amount": 0}, {"amount": 7.500000000}])"));
  const std::vector<std::int64_t> expected = {485'000, 1, 999'999'999'999'999, 5'100'000, 0, 7'500'000};
  ASSERT_EQ(tariff.services.at(0).prices.size(), expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i) {
    EXPECT_EQ(std::get<FlatPrice>(tariff.services[0].prices[i].price).amount.micros(), expected[i]) << i;
  }
}

TEST(ReadTariff, TakesTables) {
  const Tariff tariff = Sound(OneService(
      R"("prices": [{"table": {"by": "billable_weight", "unit": "lb", "columns": ["2", "*"],
           "rows": [["15.999 oz", 3.62, 3.75], [2.5, null, "3.80"], [3, 4, 4.10]], "beyond": {"step": "8 oz", "add": [0.40, null]}}}])"));
  const auto& table = std::get<TablePrice>(tariff.services.at(0).prices.at(0).price);
  EXPECT_EQ(table.by, Measure::kBillableWeight);
  EXPECT_EQ(table.unit, "lb");
  EXPECT_EQ(table.columns, (std::vector<std::string>{"2", "*"}));
  EXPECT_EQ(table.column_of_zone, (std::vector<std::uint16_t>{1, 0})) << "zone 1 has no column of its own";
  ASSERT_EQ(table.rows(), 3u);
  // 15.999 oz = 15.999 * 28,349,523,125 ng = 453,564,020,476.875 ng, half up.
  EXPECT_EQ(table.bounds[0], MeasureValue(453'564'020'477));
  EXPECT_EQ(table.bounds[1], MeasureValue(1'133'980'925'000));
  EXPECT_EQ(table.RowText(0), "15.999 oz");
  EXPECT_EQ(table.RowText(1), "2.5 lb");
  EXPECT_EQ(table.cell(0, 0), 3'620'000);
  EXPECT_EQ(table.cell(1, 0), kNotOffered);
  EXPECT_EQ(table.cell(1, 1), 3'800'000);
  EXPECT_EQ(table.cell(2, 0), 4'000'000);
  ASSERT_TRUE(table.beyond.has_value());
  EXPECT_EQ(table.beyond->step, MeasureValue(Weight::Ounces(8).nanograms()));
  EXPECT_EQ(table.beyond->add, (std::vector<std::int64_t>{400'000, kNotOffered}));
}

TEST(ReadTariff, TakesTablesByEveryKindOfQuantity) {
  const Tariff tariff = Sound(OneService(
      R"("pick": "lowest", "prices": [
          {"table": {"by": "length", "unit": "in", "columns": ["*"], "rows": [[12, 1], ["1 ft 6 in", 2]]}},
          {"table": {"by": "volume", "unit": "ft3", "columns": ["*"], "rows": [[0.1, 1], [0.25, 2]]}},
          {"table": {"by": "value", "columns": ["*"], "rows": [[100, 1], ["200.50", 2]]}}])"));
  const auto table = [&](std::size_t i) { return std::get<TablePrice>(tariff.services.at(0).prices.at(i).price); };
  EXPECT_EQ(table(0).bounds[1], MeasureValue(Length::Inches(18).nanometres()));
  // 0.1 ft3 = 172.8 in3
  EXPECT_EQ(table(1).bounds[0] * 10, Volume::CubicInches(1728).cubic_nanometres() * kVolumeScale);
  EXPECT_EQ(table(1).RowText(0), "0.1 ft3");
  EXPECT_EQ(table(2).bounds[1], MeasureValue(200'500'000));
  EXPECT_EQ(table(2).RowText(1), "200.50");
}

TEST(ReadTariff, TakesPricesByZoneStepAndPercentage) {
  const Tariff tariff = Sound(OneService(
      R"("pick": "lowest", "prices": [{"by_zone": {"1": 4.00, "*": 5.10}}, {"by_zone": {"1": null, "*": 5.20}}, {"by_zone": {"2": 6}},
           {"per": {"measure": "billable_weight", "step": "1 lb", "first": 0.37, "each": "0.23"}},
           {"per": {"measure": "value", "step": "100", "first": 1, "each": 2}}],
         "surcharges": [{"code": "fuel", "title": "Fuel", "percent": "16.75 %", "of": ["base"]},
                        {"code": "peak", "title": "Peak", "percent": 16.7501, "of": ["*"]}])"));
  const auto price = [&](std::size_t i) { return tariff.services.at(0).prices.at(i).price; };
  EXPECT_EQ(std::get<ZonePrice>(price(0)).by_zone, (std::vector<std::int64_t>{4'000'000, 5'100'000}));
  EXPECT_EQ(std::get<ZonePrice>(price(1)).by_zone, (std::vector<std::int64_t>{kNotOffered, 5'200'000}))
      << "null is its own entry: not offered, whatever * says";
  EXPECT_EQ(std::get<ZonePrice>(price(2)).by_zone, (std::vector<std::int64_t>{kNotOffered, 6'000'000}));
  const auto per = std::get<StepPrice>(price(3));
  EXPECT_EQ(per.measure, Measure::kBillableWeight);
  EXPECT_EQ(per.step, MeasureValue(Weight::Pounds(1).nanograms()));
  EXPECT_EQ(per.step_text, "1 lb");
  EXPECT_EQ(per.first.micros(), 370'000);
  EXPECT_EQ(per.each.micros(), 230'000);
  EXPECT_EQ(std::get<StepPrice>(price(4)).step, MeasureValue(100'000'000));
  ASSERT_EQ(tariff.rules.size(), 2u);
  const auto& fuel = std::get<PercentPrice>(tariff.rules[0].price);
  EXPECT_EQ(fuel.percent, Percent::TenThousandths(167'500));
  EXPECT_FALSE(fuel.of_all);
  EXPECT_EQ(fuel.of, std::vector<std::string>{"base"});
  EXPECT_TRUE(std::get<PercentPrice>(tariff.rules[1].price).of_all);
  EXPECT_EQ(std::get<PercentPrice>(tariff.rules[1].price).percent, Percent::TenThousandths(167'501));
}

TEST(ReadTariff, TakesGridsFromCsv) {
  const std::string document = OneService(
      R"("prices": [{"table": {"by": "weight", "unit": "lb", "csv": "ground.csv", "beyond": {"step": 1, "add": [0.1, 0.2]}}}])");
  // The same grid: plain, with CRLF and a byte order mark, with quotation marks, spaces and no last line end.
  for (const std::string& grid : {std::string("bound,1,2\n0.5,3.62,3.75\n12 oz,,3.80\n"),
                                  std::string("\xEF\xBB\xBF"
                                              "bound,1,2\r\n0.5,3.62,3.75\r\n12 oz,,3.80\r\n"),
                                  std::string("\"bound\",\"1\",\"2\"\n 0.5 , \"3.62\" ,3.75\n\n\"12 oz\",\"\",3.80"),
                                  std::string("lb,1,2\n.5,3.62,3.75\n12oz,,3.8\n")}) {
    const Tariff tariff = Sound(document, Files({{"ground.csv", grid}}));
    const auto& table = std::get<TablePrice>(tariff.services.at(0).prices.at(0).price);
    EXPECT_EQ(table.columns, (std::vector<std::string>{"1", "2"}));
    ASSERT_EQ(table.rows(), 2u) << grid;
    EXPECT_EQ(table.bounds[0] * 2, MeasureValue(Weight::Pounds(1).nanograms()));
    EXPECT_EQ(table.bounds[1], MeasureValue(Weight::Ounces(12).nanograms()));
    EXPECT_EQ(table.cells, (std::vector<std::int64_t>{3'620'000, 3'750'000, kNotOffered, 3'800'000}));
    EXPECT_EQ(table.RowText(1), "12 oz");
  }
}

TEST(ReadTariff, EqualNeighboursGiveNoWarning) {
  const Loaded<Tariff> loaded = ReadTariff(
      {"tariff.json", OneService(R"("prices": [{"table": {"by": "weight", "unit": "lb", "columns": ["1", "2"],
        "rows": [[1, 3.62, 3.62], [2, 3.62, 3.70], [3, null, 3.70], [4, 3.62, 3.70]]}}], "mode": "any")")});
  EXPECT_TRUE(loaded.ok());
  EXPECT_EQ(Lines(loaded.diagnostics), "");
}

TEST(ReadTariff, WarningsDoNotKeepADocumentOut) {
  const Loaded<Tariff> loaded = ReadTariff(
      {"tariff.json",
       OneService(
           R"("prices": [{"table": {"by": "weight", "unit": "lb", "columns": ["1"], "rows": [[1, 3.62], [2, 3.61]]}}], "mode": "any")")});
  EXPECT_TRUE(loaded.ok());
  ASSERT_EQ(loaded.diagnostics.size(), 1u);
  EXPECT_EQ(loaded.diagnostics[0].severity, Diagnostic::Severity::kWarning);
  EXPECT_FALSE(HasErrors(loaded.diagnostics));
}

// ---- zones ----

TEST(ReadTariff, TakesEveryKindOfChart) {
  const Tariff tariff = Sound("{" + std::string(kHead) + R"(
    "zones": {
      "main": [
        {"kind": "regions", "zones": {"I": ["US:969", "US:006-009"], "EU": ["FR", "DE"]}},
        {"kind": "pairs", "from": {"US:050-059": {"1": ["US:050-059"], "2": ["US:060-078"]}, "US:05401": {"3": ["US:05"]}}},
        {"kind": "distance", "bands": [{"zone": "4", "up_to": "60 mi"}, {"zone": "5"}], "same": {"prefix": 5, "zone": "L"}},
        {"kind": "one", "zone": "N", "countries": ["US", "CA"]}],
      "all": [{"kind": "one", "zone": "N"}]},
    "services": [{"code": "ground", "title": "Ground", "zones": "all", "prices": [{"amount": 5}]},
                 {"code": "fast", "title": "Fast", "zones": "main", "prices": [{"amount": 5}]}]})");
  EXPECT_EQ(tariff.zone_names, (std::vector<std::string>{"I", "EU", "1", "2", "3", "4", "5", "L", "N"}));
  ASSERT_EQ(tariff.zone_lists.size(), 2u);
  EXPECT_EQ(tariff.zone_lists[0].name, "main");
  EXPECT_EQ(tariff.services[0].zone_list, 1u);
  EXPECT_EQ(tariff.services[1].zone_list, 0u);
  Gazetteer gazetteer;
  gazetteer.Add("US", "606", {41.8, -87.6});
  gazetteer.Add("US", "981", {47.6, -122.3});
  ASSERT_FALSE(gazetteer.Finish().has_value());
  const auto zone = [&](const Place& from, const Place& to) -> std::string {
    const std::optional<ZoneFinding> found = tariff.zone_lists[0].Find({from, to}, gazetteer);
    return found ? tariff.zone_names[found->zone] : "none";
  };
  EXPECT_EQ(zone(At("US", "05401"), At("US", "00612")), "I");
  EXPECT_EQ(zone(At("US", "05401"), At("FR", "75001")), "EU");
  EXPECT_EQ(zone(At("US", "05105"), At("US", "05215")), "1");
  EXPECT_EQ(zone(At("US", "05105"), At("US", "06101")), "2");
  EXPECT_EQ(zone(At("US", "05401"), At("US", "05215")), "3") << "the longer origin wins";
  EXPECT_EQ(zone(At("US", "98101"), At("US", "98101")), "L");
  EXPECT_EQ(zone(At("US", "60601"), At("US", "60602")), "4");
  EXPECT_EQ(zone(At("US", "60601"), At("US", "98111")), "5");
  EXPECT_EQ(zone(At("US", "05401"), At("CA", "K1A0B1")), "N");
  EXPECT_EQ(zone(At("US", "05401"), At("MX", "06000")), "none");
}

TEST(ReadTariff, TakesAreasThatOverlapWithinOneZoneOrAtOtherLengths) {
  const Tariff tariff = Sound("{" + std::string(kHead) + R"(
    "zones": {"main": [{"kind": "regions", "zones": {"1": ["US:050-059", "US:055-070", "US:05"], "2": ["US:0551"], "3": ["US"]}}]},
    "services": [{"code": "ground", "title": "Ground", "zones": "main", "prices": [{"amount": 5}]}]})");
  const auto zone = [&](std::string_view code) {
    const std::optional<ZoneFinding> found =
        tariff.zone_lists[0].Find({At("US", "05401"), At("US", code)}, Gazetteer());
    return found ? tariff.zone_names[found->zone] : "none";
  };
  EXPECT_EQ(zone("05710"), "1");
  EXPECT_EQ(zone("07099"), "1");
  EXPECT_EQ(zone("05512"), "2");
  EXPECT_EQ(zone("08000"), "3");
}

// ---- tests and rules ----

Test WhenOf(std::string_view test, std::string_view more = "") {
  const Tariff tariff = Sound(OneService("\"prices\": [{\"when\": " + std::string(test) + ", \"amount\": 5}]", more));
  return tariff.services.empty() ? Test() : tariff.services[0].prices.at(0).when;
}

TEST(ReadTest, TakesBoundsOfMeasures) {
  for (std::size_t i = 0; i < std::size(kMeasureNames); ++i) {
    const Measure measure = static_cast<Measure>(i);
    const std::string quantity = QuantityOf(measure) == Quantity::kWeight   ? "\"3 lb\""
                                 : QuantityOf(measure) == Quantity::kLength ? "\"3 in\""
                                 : QuantityOf(measure) == Quantity::kVolume ? "\"3 in3\""
                                                                            : "3";
    const auto test = WhenOf("{\"" + std::string(kMeasureNames[i]) + "\": {\"over\": " + quantity + "}}");
    EXPECT_EQ(Only<MeasureCondition>(test).measure, measure) << kMeasureNames[i];
  }
  const auto both = Only<MeasureCondition>(WhenOf(R"({"weight": {"up_to": "20 lb", "over": "1 lb"}})"));
  EXPECT_EQ(both.low, MeasureValue(Weight::Pounds(1).nanograms() + 1));
  EXPECT_EQ(both.high, MeasureValue(Weight::Pounds(20).nanograms()));
  const auto other = Only<MeasureCondition>(WhenOf(R"({"length": {"under": "1 ft 2 in", "at_least": "30 cm"}})"));
  EXPECT_EQ(other.low, MeasureValue(300'000'000));
  EXPECT_EQ(other.high, MeasureValue(Length::Inches(14).nanometres() - 1));
  ASSERT_EQ(other.bounds.size(), 2u);
  EXPECT_EQ(other.bounds[0].op, Bound::Op::kAtLeast);
  EXPECT_EQ(other.bounds[0].unit, "cm");
  EXPECT_EQ(other.bounds[1].unit, "ft");
}

TEST(ReadTest, TakesWords) {
  const auto zones = Only<ZoneCondition>(WhenOf(R"({"zone": {"is": ["2", "1"]}})"));
  EXPECT_EQ(zones.zones, (std::vector<ZoneId>{1, 0}));
  EXPECT_EQ(zones.names, (std::vector<std::string>{"2", "1"}));
  EXPECT_EQ(Only<ShapeCondition>(WhenOf(R"({"shape": {"is": "tube"}})")).shapes, std::vector<Shape>{Shape::kTube});
  EXPECT_EQ(Only<PackagingKindCondition>(WhenOf(R"({"packaging_kind": {"is": ["bare", "mailer"]}})")).kinds,
            (std::vector<PackagingKind>{PackagingKind::kBare, PackagingKind::kMailer}));
  EXPECT_EQ(Only<ModeCondition>(WhenOf(R"({"mode": {"is": "air"}})")).modes, std::vector<Mode>{Mode::kAir});
  EXPECT_EQ(Only<PackagingCondition>(WhenOf(R"({"packaging": {"is": "hl-env"}})",
                                            R"("packaging": [{"code": "hl-env", "title": "Envelope", "kind": "envelope",
                                               "inside": "9 x 12 x 0.75 in", "tare": "1 oz", "cost": 0}],)"))
                .codes,
            std::vector<std::string>{"hl-env"});
}

TEST(ReadTest, TakesTraitsExtrasFlags) {
  const auto any = Only<ContentsCondition>(WhenOf(R"({"contents": {"has_any": ["media", "x-signed"]}})"));
  EXPECT_FALSE(any.every_item);
  EXPECT_FALSE(any.all);
  EXPECT_TRUE(any.traits.Has(Trait::kMedia));
  EXPECT_EQ(any.traits.own(), std::vector<std::string>{"x-signed"});
  const auto every = Only<ContentsCondition>(WhenOf(R"({"every_item": {"has": "media"}})"));
  EXPECT_TRUE(every.every_item);
  EXPECT_TRUE(every.all);
  const auto both = WhenOf(R"({"contents": {"has_all": ["sharp", "fragile"], "has": "liquid"}})");
  ASSERT_EQ(both.conditions.size(), 2u) << "all the keys must hold";
  const auto extras =
      Only<ExtrasCondition>(WhenOf(R"({"extras": {"has": "signature"}})",
                                   R"("extras": [{"code": "signature", "title": "Signature", "amount": 3}],)"));
  EXPECT_TRUE(extras.all);
  EXPECT_EQ(extras.codes, std::vector<std::string>{"signature"});
  const auto flag = Only<FlagCondition>(WhenOf(R"({"residential": false})"));
  EXPECT_EQ(flag.flag, FlagCondition::Flag::kResidential);
  EXPECT_FALSE(flag.value);
  EXPECT_EQ(Only<FlagCondition>(WhenOf(R"({"rigid": true})")).flag, FlagCondition::Flag::kRigid);
  EXPECT_EQ(Only<FlagCondition>(WhenOf(R"({"own_packaging": true})")).flag, FlagCondition::Flag::kOwnPackaging);
}

TEST(ReadTest, TakesPlacesDatesAndCompounds) {
  const auto origin = Only<PlaceCondition>(WhenOf(R"({"origin": {"in": ["US:967-968", "PR"]}})"));
  EXPECT_TRUE(origin.origin);
  EXPECT_TRUE(origin.areas.Has(At("US", "96712")));
  EXPECT_FALSE(origin.areas.Has(At("US", "98101")));
  EXPECT_FALSE(Only<PlaceCondition>(WhenOf(R"({"destination": {"in": ["US"]}})")).origin);
  const auto date = Only<DateCondition>(WhenOf(R"({"date": {"from": "2026-10-14", "until": "2027-01-09"}})"));
  EXPECT_TRUE(date.dates.Has(*Date::Parse("2027-01-09")));
  EXPECT_FALSE(date.dates.Has(*Date::Parse("2027-01-10")));
  EXPECT_FALSE(Only<DateCondition>(WhenOf(R"({"date": {"until": "2027-01-09"}})")).dates.from.has_value());
  const auto compound = Only<CompoundCondition>(
      WhenOf(R"({"any": [{"rigid": true}, {"all": [{"not": {"rigid": true}}, {"residential": true}]}]})"));
  EXPECT_EQ(compound.op, CompoundCondition::Op::kAny);
  ASSERT_EQ(compound.tests.size(), 2u);
  const auto all = Only<CompoundCondition>(compound.tests[1]);
  EXPECT_EQ(all.op, CompoundCondition::Op::kAll);
  EXPECT_EQ(Only<CompoundCondition>(all.tests.at(0)).op, CompoundCondition::Op::kNot);
}

TEST(ReadTariff, TakesSharedRulesAndRulesInPlace) {
  const Tariff tariff = Sound(OneService(
      R"("prices": [{"amount": 5}],
         "surcharges": ["oversize", {"code": "handling", "title": "Handling", "when": {"weight": {"over": "50 lb"}}, "group": "handling", "amount": 16},
                        "residential"],
         "extras": ["cover", {"code": "signature", "title": "Signature", "amount": 3.1}])",
      R"("surcharges": [{"code": "residential", "title": "Residential", "when": {"residential": true}, "amount": 4},
                        {"code": "oversize", "title": "Oversize", "when": {"length": {"over": "96 in"}}, "replaces": ["handling"], "amount": 100}],
         "extras": [{"code": "cover", "title": "Cover", "table": {"by": "cover", "columns": ["*"], "rows": [[100, 1.75], [200, 2.50]]}}],)"));
  const Service& service = tariff.services.at(0);
  ASSERT_EQ(service.surcharges.size(), 3u);
  const auto code = [&](std::uint32_t index) { return tariff.rules.at(index).code; };
  EXPECT_EQ(code(service.surcharges[0]), "oversize") << "the service's order, not the document's";
  EXPECT_EQ(code(service.surcharges[1]), "handling");
  EXPECT_EQ(code(service.surcharges[2]), "residential");
  EXPECT_EQ(tariff.rules[service.surcharges[0]].replaces, std::vector<std::string>{"handling"});
  EXPECT_EQ(tariff.rules[service.surcharges[1]].group, "handling");
  ASSERT_EQ(service.extras.size(), 2u);
  EXPECT_EQ(code(service.extras[0]), "cover");
  EXPECT_EQ(std::get<TablePrice>(tariff.rules[service.extras[0]].price).by, Measure::kCover);
  EXPECT_EQ(code(service.extras[1]), "signature");
}

TEST(ReadTariff, OneCodeMayBePricedOtherwiseInEachService) {
  const Tariff tariff = Sound("{" + std::string(kHead) + std::string(kZones) + R"(
    "services": [
      {"code": "a", "title": "A", "zones": "main", "prices": [{"amount": 5}], "surcharges": [{"code": "fuel", "title": "Fuel", "percent": 5, "of": ["base"]}]},
      {"code": "b", "title": "B", "zones": "main", "prices": [{"amount": 5}], "surcharges": [{"code": "fuel", "title": "Fuel", "percent": 6, "of": ["base"]}]}]})");
  ASSERT_EQ(tariff.rules.size(), 2u);
  EXPECT_EQ(std::get<PercentPrice>(tariff.rules[tariff.services[1].surcharges[0]].price).percent,
            Percent::TenThousandths(60'000));
}

TEST(ReadTariff, TakesExamples) {
  const Tariff tariff = Sound("{" + std::string(kHead) + std::string(kZones) + R"(
    "packaging": [{"code": "hl-chest", "title": "Chest", "kind": "carton", "inside": "12 x 9 x 4 in", "outside": "12.3 x 9.3 x 4.3 in", "tare": "4 oz", "cost": 0}],
    "extras": [{"code": "signature", "title": "Signature", "amount": 3}],
    "services": [{"code": "ground", "title": "Ground", "zones": "main", "packaging": {"issued": ["hl-chest"]}, "prices": [{"amount": 5}], "extras": ["signature"]}],
    "examples": [
      {"service": "ground", "parcel": {"weight": "4.02 lb", "sides": "9 x 12 x 6 in", "shape": "irregular", "packaging": "hl-chest", "contents": ["media"],
         "value": 20, "rigid": true}, "zone": "2", "residential": true, "date": "2026-08-01", "extras": ["signature"], "cover": "80.00", "total": "7.35",
       "billable_weight": "5 lb", "why": "page 12"},
      {"service": "ground", "parcel": {"weight": "61 lb", "sides": "9 x 12 x 6 in"}, "from": {"country": "US", "postal_code": "05401"},
       "to": {"country": "US", "postal_code": "98101-1234", "residential": true}, "refused": "over_limit"}]})");
  ASSERT_EQ(tariff.examples.size(), 2u);
  const Example& first = tariff.examples[0];
  EXPECT_EQ(first.service, "ground");
  EXPECT_EQ(first.parcel.sides.length(), Length::Inches(12)) << "sides of a parcel are sorted";
  EXPECT_EQ(first.parcel.shape, Shape::kIrregular);
  EXPECT_EQ(first.parcel.packaging, "hl-chest");
  EXPECT_TRUE(first.parcel.contents.Has(Trait::kMedia));
  EXPECT_EQ(first.parcel.value.micros(), 20'000'000);
  EXPECT_TRUE(first.parcel.rigid);
  EXPECT_EQ(first.zone, ZoneId{1});
  EXPECT_TRUE(first.residential);
  EXPECT_EQ(first.date->ToString(), "2026-08-01");
  EXPECT_EQ(first.extras, std::vector<std::string>{"signature"});
  EXPECT_EQ(first.cover->micros(), 80'000'000);
  EXPECT_EQ(first.total->micros(), 7'350'000);
  EXPECT_FALSE(first.refused.has_value());
  EXPECT_EQ(first.billable_weight, Weight::Pounds(5));
  EXPECT_EQ(first.why, "page 12");
  EXPECT_EQ(first.pointer, "/examples/0");
  EXPECT_EQ(first.line, 7);
  const Example& second = tariff.examples[1];
  EXPECT_FALSE(second.zone.has_value());
  EXPECT_EQ(second.lane->to.postal_code(), "981011234");
  EXPECT_TRUE(second.residential) << "of the address";
  EXPECT_EQ(second.refused, Reason::kOverLimit);
  EXPECT_FALSE(second.total.has_value());
}

}  // namespace
}  // namespace tarewise::tariff_test
