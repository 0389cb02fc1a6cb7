// What the text of a document may hold: encodings, line ends, limits of size and depth. All data invented.

#include <gtest/gtest.h>

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "documents/sound.h"
#include "tarewise/documents/load.h"

namespace tarewise::text_test {
namespace {

using namespace documents_test;  // NOLINT(google-build-using-namespace)

// ---- encodings and limits ----

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

TEST(Limits, HalfAMillionAreas) {
  const auto areas = [](std::size_t count) {
    std::string text = "{" + std::string(kHead) + R"("zones": {"main": [{"kind": "regions", "zones": {"1": [)";
    for (std::size_t i = 0; i < count; ++i) text += (i == 0 ? "\"CN:" : ",\"CN:") + std::to_string(100'000 + i) + "\"";
    return text + R"(]}}]}, "services": [{"code": "s", "title": "S", "zones": "main", "prices": [{"amount": 5}]}]})";
  };
  EXPECT_EQ(std::get<RegionsChart>(Sound(areas(500'000)).zone_lists.at(0).charts.at(0)).zones.size(), 500'000u);
  EXPECT_NE(Lines(ReadTariff({"t.json", areas(500'001)}).diagnostics).find("error 223: found more than 500000 areas"),
            std::string::npos);
}

TEST(Limits, HalfAMillionAreasOfChartsAndTestsTogether) {
  const auto areas = [](std::size_t of_charts, std::size_t of_tests) {
    const auto list = [](std::size_t count) {
      std::string text;
      for (std::size_t i = 0; i < count; ++i)
        text += (i == 0 ? "\"CN:" : ",\"CN:") + std::to_string(100'000 + i) + "\"";
      return text;
    };
    return "{" + std::string(kHead) + R"("zones": {"main": [{"kind": "regions", "zones": {"1": [)" + list(of_charts) +
           R"(]}}]}, "services": [{"code": "s", "title": "S", "zones": "main", "prices": [)" +
           R"({"when": {"origin": {"in": [)" + list(of_tests) + R"(]}}, "amount": 4},)" +
           R"({"when": {"destination": {"in": ["DE"]}}, "amount": 5}, {"amount": 5}]}]})";
  };
  EXPECT_EQ(Sound(areas(300'000, 199'999)).services.size(), 1u);
  for (const auto& [charts, tests] : {std::pair<std::size_t, std::size_t>{300'000, 200'000}, {1, 500'000}}) {
    const std::string found = Lines(ReadTariff({"t.json", areas(charts, tests)}).diagnostics);
    EXPECT_NE(found.find("error 223: found more than 500000 areas, expected at most 500000 in a document"),
              std::string::npos)
        << found;
    EXPECT_EQ(found.find("error 223"), found.rfind("error 223"));
  }
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

}  // namespace
}  // namespace tarewise::text_test
