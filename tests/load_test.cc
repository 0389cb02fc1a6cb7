// Sound documents of every feature are read into the right typed values, exactly; limits; encodings. All data invented.

#include "tarewise/documents/load.h"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace tarewise::load_test {
namespace {

std::string Lines(const std::vector<Diagnostic>& diagnostics) {
  std::string out;
  for (const Diagnostic& diagnostic : diagnostics) out += diagnostic.ToString() + "\n";
  return out;
}

FileReader Files(std::map<std::string, std::string> files) {
  return [files = std::move(files)](std::string_view name) -> std::optional<std::string> {
    const auto at = files.find(std::string(name));
    if (at == files.end()) return std::nullopt;
    return at->second;
  };
}

constexpr std::string_view kHead =
    R"("format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "List",
       "currency": "USD", "in_force": {"from": "2026-07-12", "until": "2027-01-10"},)";
constexpr std::string_view kZones =
    R"("zones": {"main": [{"kind": "regions", "zones": {"1": ["US:4"], "2": ["US"]}}]},)";

// A tariff of one service, "ground", with these members.
std::string OneService(std::string_view members, std::string_view more = "") {
  return "{" + std::string(kHead) + std::string(kZones) + std::string(more) +
         R"("services": [{"code": "ground", "title": "Ground", "zones": "main", )" + std::string(members) + "}]}";
}

Tariff Sound(const std::string& text, const FileReader& beside = {}) {
  Loaded<Tariff> loaded = ReadTariff({"tariff.json", text}, beside);
  EXPECT_TRUE(loaded.ok()) << Lines(loaded.diagnostics);
  return loaded.value.value_or(Tariff());
}

template <typename T>
const T& Only(const Test& test) {
  EXPECT_EQ(test.conditions.size(), 1u);
  return std::get<T>(test.conditions.at(0));
}

// ---------------------------------------------------------------------------------------------------------------------
// The document

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

// ---------------------------------------------------------------------------------------------------------------------
// Prices

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

// ---------------------------------------------------------------------------------------------------------------------
// Zones

Place At(std::string_view country, std::string_view code) { return *Place::Make(country, code); }

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

// ---------------------------------------------------------------------------------------------------------------------
// Tests and rules

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

// ---------------------------------------------------------------------------------------------------------------------
// Packaging and shelves

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

// ---------------------------------------------------------------------------------------------------------------------
// Terms, gazetteers

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

// ---------------------------------------------------------------------------------------------------------------------
// Requests

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

// ---------------------------------------------------------------------------------------------------------------------
// Encodings and limits

TEST(Json, KeepsEveryCharacterOfStrings) {
  const Tariff tariff = Sound(
      R"({"format": "tarewise-tariff-1", "carrier": {"c\u006fde": "harbourline", "name": "H\u00e4fen \"\\\/\ud83d\udce6 é"},
    "title": "Café 📦", "currency": "USD", "in_force": {"from": "2026-07-12"}, "zones": {"Süd": [{"kind": "one", "zone": "Zône"}]},
    "services": [{"code": "ground", "title": "Ground", "zones": "S\u00fcd", "prices": [{"by_zone": {"Z\u00f4ne": 5}}]}]})");
  EXPECT_EQ(tariff.carrier, "harbourline") << "a key with an escape is the key";
  EXPECT_EQ(tariff.carrier_name, "Häfen \"\\/📦 é");
  EXPECT_EQ(tariff.title, "Café 📦");
  EXPECT_EQ(tariff.zone_names, std::vector<std::string>{"Zône"});
}

TEST(Json, ColumnsAreBytesAndLinesMayEndWithCrLf) {
  const Loaded<Tariff> loaded = ReadTariff({"tariff.json", "{\r\n\"format\": \"tarewise-tariff-1\",\r\n  \"é\": 1 }"});
  ASSERT_FALSE(loaded.ok());
  std::size_t found = 0;
  for (const Diagnostic& diagnostic : loaded.diagnostics) {
    if (diagnostic.code != 201) continue;
    ++found;
    EXPECT_EQ(diagnostic.line, 3);
    EXPECT_EQ(diagnostic.column, 3);
    EXPECT_EQ(diagnostic.pointer, "/é");
  }
  EXPECT_EQ(found, 1u);
  const Loaded<Tariff> after = ReadTariff({"tariff.json", "{\"é\": x}"});
  ASSERT_EQ(after.diagnostics.size(), 1u);
  EXPECT_EQ(after.diagnostics[0].column, 8) << "é is two bytes";
}

TEST(Json, PointersAreEscaped) {
  const Loaded<Tariff> loaded = ReadTariff({"tariff.json", R"({"format": "tarewise-tariff-1", "a/b~c": 1})"});
  ASSERT_FALSE(loaded.ok());
  EXPECT_NE(Lines(loaded.diagnostics).find("(at /a~1b~0c)"), std::string::npos);
}

std::string Nested(std::size_t depth) {
  return R"({"format": "tarewise-tariff-1", "x": )" + std::string(depth - 1, '[') + std::string(depth - 1, ']') + "}";
}

TEST(Limits, NestingOf64) {
  const Loaded<Tariff> deepest = ReadTariff({"t.json", Nested(64)});
  EXPECT_EQ(Lines(deepest.diagnostics).find("error 106"), std::string::npos);
  const Loaded<Tariff> deeper = ReadTariff({"t.json", Nested(65)});
  EXPECT_NE(Lines(deeper.diagnostics).find("t.json:1:101: error 106"), std::string::npos) << Lines(deeper.diagnostics);
  const Loaded<Tariff> abyss = ReadTariff({"t.json", std::string(1'000'000, '[')});
  EXPECT_NE(Lines(abyss.diagnostics).find("t.json:1:65: error 106"), std::string::npos);
}

TEST(Limits, SixteenMebibytes) {
  std::string text = R"({"format": "tarewise-tariff-2"})";
  text.resize(std::size_t{16} << 20, ' ');
  EXPECT_NE(Lines(ReadTariff({"t.json", text}).diagnostics).find("error 200"), std::string::npos) << "read to the end";
  text += ' ';
  const Loaded<Tariff> over = ReadTariff({"t.json", text});
  EXPECT_EQ(Lines(over.diagnostics),
            "t.json:1:1: error 503: found 16777217 bytes, expected at most 16 MiB (16777216 bytes)\n");
  Gazetteer gazetteer;
  EXPECT_TRUE(HasErrors(ReadGazetteer({"gazetteer.csv", text}, gazetteer)));
}

std::string TableOfRows(std::size_t rows) {
  std::string text = R"("prices": [{"table": {"by": "weight", "unit": "g", "columns": ["*"], "rows": [)";
  for (std::size_t i = 1; i <= rows; ++i)
    text += (i == 1 ? "[" : ",[") + std::to_string(i) + "," + std::to_string(i) + "]";
  return OneService(text + "]}}]");
}

TEST(Limits, TenThousandRows) {
  EXPECT_EQ(std::get<TablePrice>(Sound(TableOfRows(10'000)).services.at(0).prices.at(0).price).rows(), 10'000u);
  const Loaded<Tariff> over = ReadTariff({"t.json", TableOfRows(10'001)});
  EXPECT_NE(Lines(over.diagnostics).find("error 223: found 10001 rows, expected at most 10000"), std::string::npos);
  std::string grid = "bound,*\n";
  for (int i = 1; i <= 10'001; ++i) grid += std::to_string(i) + "," + std::to_string(i) + "\n";
  const Loaded<Tariff> csv =
      ReadTariff({"t.json", OneService(R"("prices": [{"table": {"by": "weight", "unit": "g", "csv": "g.csv"}}])")},
                 Files({{"g.csv", grid}}));
  EXPECT_NE(Lines(csv.diagnostics).find("g.csv:1:1: error 223"), std::string::npos) << Lines(csv.diagnostics);
}

TEST(Limits, AThousandServices) {
  const auto services = [](std::size_t count) {
    std::string text = "{" + std::string(kHead) + std::string(kZones) + "\"services\": [";
    for (std::size_t i = 0; i < count; ++i) {
      text += (i == 0 ? "" : ",") + std::string(R"({"code": "s)") + std::to_string(i) +
              R"(", "title": "S", "zones": "main", "prices": [{"amount": 5}]})";
    }
    return text + "]}";
  };
  EXPECT_EQ(Sound(services(1'000)).services.size(), 1'000u);
  EXPECT_NE(Lines(ReadTariff({"t.json", services(1'001)}).diagnostics).find("error 223: found 1001 services"),
            std::string::npos);
}

TEST(Limits, AHundredThousandAreas) {
  const auto areas = [](std::size_t count) {
    std::string text = "{" + std::string(kHead) + R"("zones": {"main": [{"kind": "regions", "zones": {"1": [)";
    for (std::size_t i = 0; i < count; ++i) text += (i == 0 ? "\"CN:" : ",\"CN:") + std::to_string(100'000 + i) + "\"";
    return text + R"(]}}]}, "services": [{"code": "s", "title": "S", "zones": "main", "prices": [{"amount": 5}]}]})";
  };
  EXPECT_EQ(std::get<RegionsChart>(Sound(areas(100'000)).zone_lists.at(0).charts.at(0)).zones.size(), 100'000u);
  EXPECT_NE(Lines(ReadTariff({"t.json", areas(100'001)}).diagnostics).find("error 223: found more than 100000 areas"),
            std::string::npos);
}

TEST(Limits, ManyZonesTimesManyPricesDoNotFillTheMemory) {
  std::string text = "{" + std::string(kHead) + R"("zones": {"main": [{"kind": "regions", "zones": {"0": ["US"])";
  for (int i = 1; i < 10'000; ++i) text += ",\"" + std::to_string(i) + "\":[\"DE:" + std::to_string(i) + "\"]";
  text +=
      R"(}}]}, "services": [{"code": "s", "title": "S", "zones": "main", "pick": "lowest", "prices": [{"amount": 1})";
  for (int i = 0; i < 1'001; ++i) text += R"(,{"by_zone": {"*": 1}})";
  const Loaded<Tariff> loaded = ReadTariff({"t.json", text + "]}]}"});
  ASSERT_EQ(loaded.diagnostics.size(), 1u) << Lines(loaded.diagnostics);
  EXPECT_EQ(loaded.diagnostics[0].code, 223);
  EXPECT_EQ(loaded.diagnostics[0].pointer, "/services/0/prices/1001/by_zone");
}

TEST(Limits, FiftyFindingsAndALineThatSaysHowManyMore) {
  std::string text = "{\n";
  for (int i = 0; i < 60; ++i) text += "\"unknown-key-" + std::to_string(i) + "\": 1,\n";
  text +=
      R"("format": "tarewise-terms-1", "carrier": "a", "in_force": {"from": "2026-01-01"}, "discounts": [{"percent": 5, "of": ["base"]}]})";
  const Loaded<Terms> loaded = ReadTerms({"t.json", text});
  ASSERT_EQ(loaded.diagnostics.size(), kMostDiagnostics + 1);
  for (std::size_t i = 0; i < kMostDiagnostics; ++i) {
    EXPECT_EQ(loaded.diagnostics[i].line, static_cast<std::int32_t>(i + 2)) << "in the order of the text";
  }
  EXPECT_EQ(loaded.diagnostics.back().ToString(), "t.json: error 599: 10 more errors not shown");
}

TEST(Limits, AnErrorIsShownWhateverTheWarnings) {
  std::string rows;
  for (int i = 1; i <= 200; ++i)
    rows += (i == 1 ? "[" : ",[") + std::to_string(i) + "," + std::to_string(1000 - i) + "]";
  const Loaded<Tariff> loaded = ReadTariff(
      {"t.json", OneService(R"("prices": [{"table": {"by": "weight", "unit": "g", "columns": ["*"], "rows": [)" + rows +
                            R"(]}}], "mode": "road")")});
  EXPECT_FALSE(loaded.ok());
  ASSERT_EQ(loaded.diagnostics.size(), kMostDiagnostics + 1);
  EXPECT_EQ(loaded.diagnostics[kMostDiagnostics - 1].code, 214);
  EXPECT_EQ(loaded.diagnostics.back().ToString(), "t.json: warning 599: 150 more warnings not shown");
}

// ---------------------------------------------------------------------------------------------------------------------
// Folders

class Folder : public ::testing::Test {
 protected:
  void SetUp() override {
    path_ = std::filesystem::path(::testing::TempDir()) /
            ("tarewise-load-" + std::string(::testing::UnitTest::GetInstance()->current_test_info()->name()));
    std::filesystem::remove_all(path_);
    std::filesystem::create_directories(path_);
  }
  void TearDown() override { std::filesystem::remove_all(path_); }
  void Write(const std::string& name, const std::string& text) {
    std::ofstream(path_ / name, std::ios::binary) << text;
  }
  std::filesystem::path path_;
};

TEST_F(Folder, IsReadWhole) {
  Write("a.json",
        OneService(R"("prices": [{"table": {"by": "weight", "unit": "lb", "csv": "ground.csv"}}], "mode": "surface")"));
  Write("ground.csv", "bound,1,2\n1,3.62,3.75\n");
  Write("terms.json", R"({"format": "tarewise-terms-1", "carrier": "harbourline", "in_force": {"from": "2026-07-12"},
    "discounts": [{"services": ["ground"], "percent": 5, "of": ["base"]}]})");
  Write("gazetteer-us.csv", "country,prefix,latitude,longitude\nUS,054,44,-73\n");
  Write("gazetteer-eu.csv", "country,prefix,latitude,longitude\nFR,75,48.8,2.3\n");
  Write("shelf.csv", "code,title,kind,inside,tare,cost,currency\nbag,Bag,mailer,9 x 12 in,1 oz,0.30,USD\n");
  Write("shelf-more.json", R"({"format": "tarewise-shelf-1", "packaging": [
    {"code": "bag-2", "title": "Bag", "kind": "mailer", "inside": "9 x 12 in", "tare": "1 oz", "cost": 0}]})");
  Write("notes.txt", "not a table");
  Write("orders.csv", "not a table either");
  const Loaded<Tables> loaded = ReadFolder(path_.string());
  ASSERT_TRUE(loaded.ok()) << Lines(loaded.diagnostics);
  EXPECT_EQ(Lines(loaded.diagnostics), "");
  EXPECT_EQ(loaded.value->tariffs.size(), 1u);
  EXPECT_EQ(loaded.value->tariffs[0].file, (path_ / "a.json").string());
  EXPECT_EQ(loaded.value->terms.size(), 1u);
  EXPECT_EQ(loaded.value->gazetteer.size(), 2u);
  EXPECT_TRUE(loaded.value->gazetteer.Find(At("FR", "75001")).has_value()) << "ready for look-ups";
  ASSERT_TRUE(loaded.value->shelf.has_value());
  EXPECT_EQ(loaded.value->shelf->own.size(), 2u) << "several shelves are one";
  EXPECT_EQ(Lines(CheckTables(*loaded.value)), "");
}

TEST_F(Folder, WithoutAShelfHasNone) {
  Write("a.json", OneService(R"("prices": [{"amount": 5}])"));
  const Loaded<Tables> loaded = ReadFolder(path_.string());
  ASSERT_TRUE(loaded.ok());
  EXPECT_FALSE(loaded.value->shelf.has_value());
}

TEST_F(Folder, GivesNothingWhereOneDocumentIsBroken) {
  Write("a.json", OneService(R"("prices": [{"amount": 5}], "mode": "surface")"));
  Write("b.json", "{");
  const Loaded<Tables> loaded = ReadFolder(path_.string() + "/");
  EXPECT_FALSE(loaded.ok());
  EXPECT_EQ(Lines(loaded.diagnostics),
            path_.string() +
                "/b.json:1:2: error 103: found the end of the document, expected a key in quotation marks or \"}\"\n");
}

TEST_F(Folder, ThatIsNotThereOrEmpty) {
  EXPECT_EQ(Lines(ReadFolder(path_.string()).diagnostics),
            path_.string() + ": error 504: found no tables, expected *.json, gazetteer*.csv or shelf*.csv\n");
  EXPECT_EQ(Lines(ReadFolder((path_ / "nowhere").string()).diagnostics),
            (path_ / "nowhere").string() + ": error 501: found no such folder, expected a folder of tables\n");
}

TEST_F(Folder, NamesWhatIsNoFileAndWaitsForNothing) {
  Write("a.json", OneService(R"("prices": [{"table": {"by": "weight", "unit": "lb", "csv": "ground.csv"}}])"));
  ASSERT_EQ(mkfifo((path_ / "b.json").c_str(), 0600), 0);
  std::filesystem::create_directories(path_ / "c.json");
  std::filesystem::create_symlink("d.json", path_ / "d.json");
  std::filesystem::create_symlink("none.json", path_ / "e.json");
  std::filesystem::create_symlink("/dev/zero", path_ / "gazetteer.csv");
  ASSERT_EQ(mkfifo((path_ / "ground.csv").c_str(), 0600), 0);
  std::filesystem::create_directories(path_ / "old");
  const Loaded<Tables> loaded = ReadFolder(path_.string());
  EXPECT_FALSE(loaded.ok());
  const std::string at = path_.string() + "/";
  EXPECT_EQ(Lines(loaded.diagnostics).substr(Lines(loaded.diagnostics).find('\n') + 1),
            at + "b.json: error 502: found a pipe, expected a file\n" + at +
                "c.json: error 502: found a folder, expected a file\n" + at +
                "d.json: error 502: found a link in a circle, expected a file\n" + at +
                "e.json: error 501: found a link to a file that is not there, expected one that is there\n" + at +
                "gazetteer.csv: error 502: found a device, expected a file\n" + at +
                "ground.csv: error 502: found a pipe, expected a file\n");
  EXPECT_NE(Lines(loaded.diagnostics).find("found \"ground.csv\", expected a file that can be read"),
            std::string::npos);
  EXPECT_EQ(Lines(ReadFolder(at + "a.json").diagnostics),
            at + "a.json: error 502: found a file, expected a folder of tables\n");
}

TEST_F(Folder, FilesThatCannotBeRead) {
  EXPECT_EQ(Lines(ReadFile((path_ / "none.json").string()).diagnostics),
            (path_ / "none.json").string() + ": error 501: found no such file, expected one that is there\n");
  EXPECT_EQ(Lines(ReadFile(path_.string()).diagnostics),
            path_.string() + ": error 502: found a folder, expected a file\n");
  Write("large.json", std::string((std::size_t{16} << 20) + 1, ' '));
  EXPECT_EQ(Lines(ReadFile((path_ / "large.json").string()).diagnostics),
            (path_ / "large.json").string() + ": error 503: found more than 16 MiB, expected at most 16 MiB\n");
  Write("small.json", std::string("a\0b\r\n", 5));
  const Loaded<SourceText> small = ReadFile((path_ / "small.json").string());
  ASSERT_TRUE(small.ok());
  EXPECT_EQ(small.value->text, std::string("a\0b\r\n", 5));
}

TEST(CheckTables, WorksWithoutPlaces) {
  Tables tables;
  tables.tariffs.push_back(Sound(OneService(R"("prices": [{"amount": 5}])")));
  tables.tariffs.push_back(tables.tariffs[0]);
  tables.tariffs[1].file = "again.json";
  const std::vector<Diagnostic> said = CheckTables(tables);
  ASSERT_EQ(said.size(), 1u);
  EXPECT_EQ(said[0].code, 401);
  EXPECT_EQ(said[0].line, 0);
  EXPECT_EQ(said[0].file, "again.json");
  EXPECT_EQ(said[0].pointer, "/in_force/from");
}

// ---------------------------------------------------------------------------------------------------------------------
// The tables of this project

TEST(Tables, OfThisProjectAreRead) {
  const std::filesystem::path root(TW_TEST_ROOT);
  std::vector<std::filesystem::path> folders = {root / "tables" / "demo", root / "tests" / "cases" / "tables"};
  for (const auto& entry : std::filesystem::directory_iterator(root / "tests" / "published")) {
    if (entry.is_directory()) folders.push_back(entry.path());
  }
  EXPECT_GE(folders.size(), 10u);
  for (const std::filesystem::path& folder : folders) {
    const Loaded<Tables> loaded = ReadFolder(folder.string());
    EXPECT_TRUE(loaded.ok()) << folder << "\n" << Lines(loaded.diagnostics);
  }
}

}  // namespace
}  // namespace tarewise::load_test
