// Zones and areas from files beside a tariff, and grids as they are printed, are read into the right typed values. All
// data invented.

#include <gtest/gtest.h>

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "documents/sound.h"
#include "tarewise/documents/load.h"
#include "tarewise/rules/test.h"

namespace tarewise::zone_files_test {
namespace {

using namespace documents_test;  // NOLINT(google-build-using-namespace)

constexpr std::string_view kService =
    R"("services": [{"code": "ground", "title": "Ground", "zones": "main", "mode": "surface", "prices": [{"amount": 5}]}])";

Tariff WithZones(std::string_view charts, const FileReader& files, std::string_view more = "",
                 std::string_view service = kService) {
  return Sound("{" + std::string(kHead) + std::string(more) + R"("zones": {"main": [)" + std::string(charts) + "]}," +
                   std::string(service) + "}",
               files);
}

std::string ZoneOf(const Tariff& tariff, const Place& from, const Place& to) {
  const std::optional<ZoneFinding> found = tariff.zone_lists.at(0).Find({from, to}, Gazetteer());
  return found ? tariff.zone_names.at(found->zone) : "none";
}

TEST(ZoneFile, IsReadAsItIsPrinted) {
  const FileReader files = Files({{"zones.csv",
                                   "Zones from 054; summer of the year\n"
                                   "\n"
                                   "Destination  ZIP,  ROAD ,\"Road\nAir\",\n"
                                   "005-089,2,3,\n"
                                   "090\xE2\x80\x93"
                                   "098,3,\xE2\x80\x94,\n"
                                   "\"100, 101;103 \xE2\x80\x94 105\",4,3,\n"
                                   ",,,\n"
                                   "106---109,-,3,\n"}});
  const auto chart = [](std::string_view column) {
    return R"({"kind": "pairs", "csv": "zones.csv", "origin": ["US:054-056"], "column": ")" + std::string(column) +
           "\"}";
  };
  const Tariff road = WithZones(chart("road"), files);
  const Tariff air = WithZones(chart(" road  AIR"), files);
  const Place from = At("US", "05401");
  const std::map<std::string, std::pair<std::string, std::string>> expected = {
      {"00501", {"2", "3"}},    {"08999", {"2", "3"}},       {"09001", {"3", "none"}}, {"10001", {"4", "3"}},
      {"10101", {"4", "3"}},    {"10201", {"none", "none"}}, {"10501", {"4", "3"}},    {"10601", {"none", "3"}},
      {"10901", {"none", "3"}}, {"11001", {"none", "none"}}};
  for (const auto& [code, zones] : expected) {
    EXPECT_EQ(ZoneOf(road, from, At("US", code)), zones.first) << code;
    EXPECT_EQ(ZoneOf(air, from, At("US", code)), zones.second) << code;
    EXPECT_EQ(ZoneOf(road, At("US", "98101"), At("US", code)), "none") << code;
  }
}

TEST(ZoneFile, HasCountriesOrRangesInTwoColumns) {
  const FileReader files = Files({{"abroad.csv", "Country,Zone\nFR,EU\nDE:1,E1\n\"CH, LI\",EU\n"},
                                  {"ends.csv", "from,to,zone\nPA20,PA80,9\nIV,,8\n"}});
  const Tariff abroad = WithZones(R"({"kind": "regions", "csv": "abroad.csv"})", files);
  EXPECT_EQ(ZoneOf(abroad, At("US", ""), At("FR", "")), "EU");
  EXPECT_EQ(ZoneOf(abroad, At("US", ""), At("LI", "9490")), "EU");
  EXPECT_EQ(ZoneOf(abroad, At("US", ""), At("DE", "10115")), "E1");
  EXPECT_EQ(ZoneOf(abroad, At("US", ""), At("DE", "80331")), "none");
  const Tariff ends =
      WithZones(R"({"kind": "regions", "csv": "ends.csv", "codes": ["From", "To"], "country": "GB"})", files);
  EXPECT_EQ(ZoneOf(ends, At("GB", ""), At("GB", "PA35 4AA")), "9");
  EXPECT_EQ(ZoneOf(ends, At("GB", ""), At("GB", "PA2 0AA")), "none");
  EXPECT_EQ(ZoneOf(ends, At("GB", ""), At("GB", "IV1 1AA")), "8");
}

TEST(ZoneFile, PassesOverSpacesInsideQuotationMarks) {
  const FileReader files =
      Files({{"zones.csv", "ZIP,Zone\n\" 0-4 \",\" 3\"\n5-9,3\n"}, {"far.csv", "ZIP,Tier\n96701,\" Extended \"\n"}});
  const std::string lists =
      R"("areas": {"far": {"csv": "far.csv", "country": "US", "column": "ZIP", "where": {"Tier": "Extended"}}},)";
  const Tariff tariff = WithZones(R"({"kind": "regions", "zones": {"far": ["@far"]}},
                                      {"kind": "regions", "csv": "zones.csv", "country": "US"})",
                                  files, lists);
  EXPECT_EQ(ZoneOf(tariff, At("US", ""), At("US", "96701")), "far");
  EXPECT_EQ(ZoneOf(tariff, At("US", ""), At("US", "05401")), "3");
  EXPECT_EQ(ZoneOf(tariff, At("US", ""), At("US", "60614")), "3");
}

TEST(AreaLists, StandWhereverAnAreaMay) {
  const FileReader files = Files({{"far.csv", "ZIP,Tier\n96701,Extended\n967-968,Remote\n99501,Extended\n-,Extended\n"},
                                  {"z.csv", "ZIP,Zone\n0-9,7\n"}});
  const std::string lists =
      R"("areas": {"far": {"csv": "far.csv", "country": "US", "column": "ZIP", "where": {"Tier": ["Extended", "x"]}},
                   "isles": ["US:967-968", "PR"], "home": ["US:054", "US:056"]},)";
  const std::string service = R"("services": [{"code": "ground", "title": "Ground", "zones": "main", "mode": "surface",
      "prices": [{"amount": 5}], "surcharges": [
        {"code": "far", "title": "Far", "when": {"destination": {"in": ["@far", "US:995"]}}, "amount": 3},
        {"code": "isles", "title": "Isles", "when": {"destination": {"in": ["@far"]}}, "amount": 3}]}])";
  const Tariff tariff = WithZones(
      R"({"kind": "pairs", "from": {"@home": {"9": ["@isles"], "far": ["US:99501"]}}},
         {"kind": "pairs", "csv": "z.csv", "origin": ["@home", "US:058"]})",
      files, lists, service);
  ASSERT_EQ(tariff.area_lists.size(), 3u);
  EXPECT_EQ(tariff.area_lists[0].size(), 2u);
  for (const char* from : {"05401", "05601"}) {
    EXPECT_EQ(ZoneOf(tariff, At("US", from), At("US", "96701")), "9");
    EXPECT_EQ(ZoneOf(tariff, At("US", from), At("PR", "00901")), "9");
    EXPECT_EQ(ZoneOf(tariff, At("US", from), At("US", "99501")), "far");
    EXPECT_EQ(ZoneOf(tariff, At("US", from), At("US", "60614")), "7");
  }
  EXPECT_EQ(ZoneOf(tariff, At("US", "05801"), At("US", "60614")), "7");
  EXPECT_EQ(ZoneOf(tariff, At("US", "05501"), At("US", "60614")), "none");
  const PlaceCondition& far = Only<PlaceCondition>(tariff.rules.at(0).when);
  const PlaceCondition& isles = Only<PlaceCondition>(tariff.rules.at(1).when);
  EXPECT_TRUE(far.Has(At("US", "96701")));
  EXPECT_TRUE(far.Has(At("US", "99590")));
  EXPECT_FALSE(far.Has(At("US", "96801")));
  EXPECT_FALSE(isles.Has(At("US", "99590")));
  EXPECT_EQ(&far.lists.at(0).digest(), &isles.lists.at(0).digest()) << "one list, however many name it";
  EXPECT_EQ(internal::TestWords(tariff.rules.at(0).when), "to @far, US:995");
}

TEST(AreaList, GoesByItsAreas) {
  const auto areas = [](const std::vector<const char*>& texts) {
    std::vector<Area> out;
    for (const char* text : texts) out.push_back(Area::Parse(text).value());
    return out;
  };
  const AreaList one("far", areas({"US:967", "US:99", "US:960-969"}));
  const AreaList same("far", areas({"US:99", "US:960-969"}));
  const AreaList other("far", areas({"US:99", "US:960-968"}));
  const AreaList renamed("near", areas({"US:99", "US:960-969"}));
  EXPECT_EQ(one, same);
  EXPECT_EQ(one.digest(), same.digest());
  EXPECT_NE(one, other);
  EXPECT_NE(one.digest(), other.digest());
  EXPECT_NE(one, renamed);
  EXPECT_EQ(one.digest(), renamed.digest());
  EXPECT_EQ(one.size(), 2u);
  EXPECT_TRUE(one.Has(At("US", "96999")));
  EXPECT_FALSE(one.Has(At("US", "97001")));
}

Tariff WithTable(std::string_view table, const std::string& csv) {
  return Sound(OneService(R"("mode": "surface", "prices": [{"table": )" + std::string(table) + "}]"),
               Files({{"g.csv", csv}}));
}

template <typename T>
const T& TableOf(const Tariff& tariff) {
  return std::get<T>(tariff.services.at(0).prices.at(0).price);
}

TEST(Grid, HasColumnsOfSeveralZones) {
  constexpr std::string_view kTable =
      R"({"by": "weight", "unit": "lb", "csv": "g.csv", "beyond": {"step": 1, "add": [0.5]}})";
  for (const char* header : {"bound,1 & 2", "bound,\"1, 2\"", "bound,2&1"}) {
    const Tariff tariff = WithTable(kTable, std::string(header) + "\n1,3.62\n2,3.80\n");
    const auto& price = TableOf<TablePrice>(tariff);
    EXPECT_EQ(price.columns.size(), 1u);
    EXPECT_EQ(price.column_of_zone, (std::vector<std::uint16_t>{0, 0}));
  }
}

TEST(Grid, MayBeTurnedRound) {
  constexpr std::string_view kTable = R"({"by": "weight", "unit": "lb", "csv": "g.csv"})";
  const Tariff upright = WithTable(kTable, "lb,1,2\n1,3.62,3.75\n2,3.80,\n40 oz,4,5\n");
  const Tariff turned = WithTable(kTable, "zone,1,2,40 oz\n1,3.62,3.80,4\n2,3.75,,5\n");
  const auto& a = TableOf<TablePrice>(upright);
  const auto& b = TableOf<TablePrice>(turned);
  EXPECT_EQ(a.bounds, b.bounds);
  EXPECT_EQ(a.row_units, b.row_units);
  EXPECT_EQ(a.columns, b.columns);
  EXPECT_EQ(a.column_of_zone, b.column_of_zone);
  EXPECT_EQ(a.cells, b.cells);
  constexpr std::string_view kRates = R"({"by": "weight", "unit": "kg", "rate": "1 kg", "csv": "g.csv"})";
  const Tariff rates = WithTable(kRates, "zone,45,100,least\n1,3.1,2.4,28\n2,4,3,\n");
  EXPECT_EQ(TableOf<RatePrice>(rates).least, (std::vector<std::int64_t>{28'000'000, kNotOffered}));
  EXPECT_EQ(TableOf<RatePrice>(rates).cells, (std::vector<std::int64_t>{3'100'000, 4'000'000, 2'400'000, 3'000'000}));
}

TEST(Grid, UprightBelowAWordWithZone) {
  constexpr std::string_view kTable = R"({"by": "weight", "unit": "lb", "csv": "g.csv"})";
  EXPECT_EQ(TableOf<TablePrice>(WithTable(kTable, "Zone,1,2\n0.5,3.62,3.75\n1,3.80,4\n")).columns.size(), 2u);
  // Bounds with their unit say that zones stand down.
  EXPECT_EQ(TableOf<TablePrice>(WithTable(kTable, "zone,1 lb,2 lb,3 lb\n1,3,4,5\n2,3,4,5\n")).columns.size(), 2u);
}

TEST(AreaLists, LinesThatNoWhereTakesMayHoldAnything) {
  const Tariff lists =
      WithZones(R"({"kind": "regions", "zones": {"far": ["@far"]}})",
                Files({{"far.csv", "ZIP,Tier\n100,Far\nsee page 3; 4!,\n,\n"}}),
                R"("areas": {"far": {"csv": "far.csv", "country": "US", "where": {"Tier": "Far"}}},)", kService);
  EXPECT_EQ(ZoneOf(lists, At("US", ""), At("US", "10001")), "far");
}

// A small document that names one large file often would keep all of its cells as often.
TEST(Series, CountsTheCellsOfItsFiles) {
  const auto said = [](const std::string& series, const std::string& csv) {
    const std::string document = "{" + std::string(kHead) + R"("zones": {"main": [{"kind": "one", "zone": "1"}]},)" +
                                 R"("series": {)" + series + "}," + std::string(kService) + "}";
    return Lines(ReadTariff({"tariff.json", document}, Files({{"s.csv", csv}})).diagnostics);
  };
  std::string often = R"("s": {"csv": "s.csv"})";
  for (int i = 0; i < 40; ++i) often += ", \"s" + std::to_string(i) + R"(": {"csv": "s.csv"})";
  std::string large = "day" + std::string(999, ',') + "\n";
  for (int row = 0; row < 99; ++row) large += std::string(999, ',') + "\n";
  EXPECT_NE(said(often, large).find("found files of series and steps with more than 4000000 cells"), std::string::npos);
}

TEST(ReadTables, FindsZoneFilesInMemory) {
  const std::string document = "{" + std::string(kHead) +
                               R"("zones": {"main": [{"kind": "regions", "csv": "z.csv", "country": "US"}]},)" +
                               std::string(kService) + "}";
  const Loaded<Tables> loaded = ReadTables({{"a/tariff.json", document}, {"a/z.csv", "ZIP,Zone\n0-9,7\n"}});
  ASSERT_TRUE(loaded.ok()) << Lines(loaded.diagnostics);
  EXPECT_EQ(ZoneOf(loaded.value->tariffs.at(0), At("US", ""), At("US", "60614")), "7");
}

}  // namespace
}  // namespace tarewise::zone_files_test
