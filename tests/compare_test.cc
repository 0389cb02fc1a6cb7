// Invented tariffs throughout. What the grids of the demonstration tables hold is read again here, apart from the
// library.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <fstream>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <random>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "csv_line.h"
#include "demo_goods.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/compare/internal/zones.h"
#include "tarewise/compare/summary.h"
#include "tarewise/compare/tariffs.h"
#include "tarewise/documents/comparison_json.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::compare_test {
namespace {

// A small tariff with one of everything that a comparison tells apart.
constexpr char kTariff[] = R"({
  "format": "tarewise-tariff-1",
  "carrier": {"code": "harbourline", "name": "Harbourline Post"},
  "title": "Winter list", "source": "invented", "currency": "USD",
  "in_force": {"from": "2026-01-01", "until": "2026-06-30"},
  "rounding": {"line": 0.01, "total": 0.01, "mode": "half_up"},
  "zones": {
    "main": [
      {"kind": "regions", "zones": {"8": ["US:980-994"], "1": ["US:050-059"]}},
      {"kind": "pairs", "from": {"US:050-069": {"2": ["US:060-069"], "1": ["US:070-079"]}}},
      {"kind": "distance", "bands": [{"zone": "1", "up_to": "160 mi"}, {"zone": "2", "up_to": "700 mi"}, {"zone": "8"}],
       "same": {"prefix": 5, "zone": "1"}}
    ],
    "europe": [{"kind": "one", "zone": "E", "countries": ["DE", "FR"]}]
  },
  "packaging": [
    {"code": "hl-box", "title": "Box", "kind": "carton", "inside": "12 x 9 x 4 in", "wall": "0.15 in", "tare": "4.1 oz", "cost": 0.00}
  ],
  "services": [
    {
      "code": "ground", "title": "Harbourline Ground", "zones": "main",
      "days": {"1": [1, 2], "*": [3, 5]}, "tracked": true, "mode": "surface",
      "packaging": {"own": true, "issued": ["hl-box"]},
      "measure": {
        "sides": {"round": "up", "to": "1 in"}, "weight": {"round": "up", "to": "1 lb"}, "irregular_factor": 0.815,
        "dimensional": [{"when": {"volume": {"over": "1500 in3"}}, "volume_per_weight": "170 in3/lb"}],
        "at_least": [{"when": {"length_plus_girth": {"over": "86 in"}}, "weight": "20 lb"}]
      },
      "refuse": [{"when": {"weight": {"over": "66 lb"}}, "reason": "heavier than 66 lb"}],
      "prices": [
        {"when": {"weight": {"over": "60 lb"}}, "amount": 90.00},
        {"table": {"by": "billable_weight", "unit": "lb", "columns": ["1", "2", "8"],
          "rows": [[1, 4.00, 5.00, 6.00], [2, 4.50, 5.50, 7.00], [3, 5.00, null, 8.00]],
          "beyond": {"step": 1, "add": [0.40, 0.45, 0.50]}}}
      ],
      "surcharges": ["bulky", "fuel"], "extras": ["cover", "signature"], "included_cover": "100"
    },
    {
      "code": "swift", "title": "Harbourline Swift", "zones": "main", "days": {"*": [1, 1]}, "tracked": true,
      "prices": [{"by_zone": {"1": 9.00, "2": 10.00, "8": 12.00}}],
      "surcharges": ["fuel"], "extras": ["signature"]
    },
    {
      "code": "euro", "title": "Harbourline Euro", "zones": "europe",
      "prices": [{"per": {"measure": "billable_weight", "step": "1 lb", "first": 12.00, "each": 3.00}}]
    }
  ],
  "surcharges": [
    {"code": "bulky", "title": "Bulky", "when": {"length": {"over": "26 in"}, "shape": {"is": ["box", "tube"]}}, "amount": 4.00},
    {"code": "fuel", "title": "Fuel", "percent": 16.75, "of": ["base"]}
  ],
  "extras": [
    {"code": "cover", "title": "Cover", "per": {"measure": "cover", "step": "100", "first": 1.65, "each": 1.10}},
    {"code": "signature", "title": "Signature", "amount": 3.50}
  ]
})";

Tariff Read(const std::string& text) {
  Loaded<Tariff> loaded = ReadTariff({"tariff.json", text});
  for (const Diagnostic& diagnostic : loaded.diagnostics) {
    if (diagnostic.severity == Diagnostic::Severity::kError) ADD_FAILURE() << diagnostic.ToString();
  }
  return loaded.value.value_or(Tariff());
}

// The tariff with one passage in the place of another, which must be there.
std::string Edited(const std::string& from, const std::string& to, std::string text = kTariff) {
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  if (at != std::string::npos) text.replace(at, from.size(), to);
  return text;
}

std::string SummaryOf(const std::string& before, const std::string& after) {
  return Summary(Compare(Read(before), Read(after)));
}

TEST(Compare, NothingWhereTheSameIsSaidOtherwise) {
  EXPECT_TRUE(Compare(Read(kTariff), Read(kTariff)).empty());
  EXPECT_EQ(SummaryOf(kTariff, kTariff), "no difference\n");
  const std::pair<const char*, const char*> same[] = {
      {R"("over": "66 lb")", R"("over": "1056 oz")"},
      {R"("to": "1 lb")", R"("to": "16 oz")"},
      {R"("to": "1 in")", R"("to": "25.4 mm")"},
      {R"("170 in3/lb")", R"("340 in3/2 lb")"},
      {R"("is": ["box", "tube"])", R"("is": ["tube", "box"])"},
      {R"("columns": ["1", "2", "8"],
          "rows": [[1, 4.00, 5.00, 6.00], [2, 4.50, 5.50, 7.00], [3, 5.00, null, 8.00]],
          "beyond": {"step": 1, "add": [0.40, 0.45, 0.50]})",
       R"("columns": ["8", "1", "2"],
          "rows": [["16 oz", 6.00, 4.00, 5.00], [2, 7.00, 4.50, 5.50], [3, 8.00, 5.00, null]],
          "beyond": {"step": "16 oz", "add": [0.50, 0.40, 0.45]})"},
      {R"(["US:980-994"])", R"(["US:980-989", "US:990-994"])"},
      {R"(["US:060-069"])", R"(["US:060-065", "US:066", "US:067-069"])"},
      {R"("US:050-069": {"2": ["US:060-069"], "1": ["US:070-079"]})",
       R"("US:050-059": {"2": ["US:060-069"], "1": ["US:070-079"]}, "US:060-069": {"1": ["US:070-079"], "2": ["US:060-069"]})"},
      {R"("up_to": "160 mi")", R"("up_to": "257.49504 km")"},
      {R"("inside": "12 x 9 x 4 in", "wall": "0.15 in")", R"("inside": "1 ft x 9 in x 101.6 mm", "wall": "3.81 mm")"},
      {R"("countries": ["DE", "FR"])", R"("countries": ["FR", "DE"])"},
      {R"("days": {"1": [1, 2], "*": [3, 5]})", R"("days": {"1": [1, 2], "2": [3, 5], "8": [3, 5]})"},
      {R"("when": {"length": {"over": "26 in"}, "shape": {"is": ["box", "tube"]}})",
       R"("when": {"all": [{"shape": {"is": ["box", "tube"]}}, {"length": {"over": "26 in"}}]})"},
      {R"("title": "Winter list")", R"("title": "Summer list")"},
      {R"("from": "2026-01-01")", R"("from": "2026-01-02")"},
  };
  for (const auto& [from, to] : same) {
    const Comparison comparison = Compare(Read(kTariff), Read(Edited(from, to)));
    EXPECT_TRUE(comparison.empty()) << to << "\n" << Summary(comparison);
  }
}

// One edit of each thing that a tariff can say, and the words that tell of it.
TEST(Compare, EveryKindOfChangeIsTold) {
  struct Case {
    const char* from;
    const char* to;
    const char* words;
  };
  const Case cases[] = {
      {"Harbourline Post", "Harbourline Mail", "Harbourline Mail: name Harbourline Post -> Harbourline Mail\n"},
      {R"("currency": "USD")", R"("currency": "EUR")", "Harbourline Post: currency USD -> EUR\n"},
      {R"("total": 0.01)", R"("total": 0.05)",
       "Harbourline Post: rounding lines to 0.01, total to 0.01, half up -> lines to 0.01, total to 0.05, half up\n"},
      {"Harbourline Ground", "Harbourline Land", "Harbourline Land: title Harbourline Ground -> Harbourline Land\n"},
      {R"("tracked": true, "mode": "surface")", R"("tracked": false, "mode": "surface")",
       "Harbourline Ground: tracked yes -> no\n"},
      {R"("mode": "surface")", R"("mode": "air")", "Harbourline Ground: mode surface -> air\n"},
      {R"("own": true)", R"("own": false)", "Harbourline Ground: own packaging taken -> not taken\n"},
      {R"("issued": ["hl-box"])", R"("issued": [])", "Harbourline Ground: packaging of the carrier gone: hl-box\n"},
      {R"("included_cover": "100")", R"("included_cover": "50")",
       "Harbourline Ground: included cover 100.00 -> 50.00\n"},
      {R"("code": "ground",)", R"("code": "ground", "pick": "lowest",)",
       "Harbourline Ground: of several prices the first that covers the parcel -> the lowest\n"},
      {R"("surcharges": ["bulky", "fuel"])", R"("surcharges": ["fuel", "bulky"])",
       "Harbourline Ground: order of the charges bulky, fuel -> fuel, bulky\n"},
      {R"("days": {"1": [1, 2], "*": [3, 5]})", R"("days": {"1": [1, 2], "*": [4, 6]})",
       "Harbourline Ground: days in 2 zones, first zone 8 3 to 5 -> 4 to 6\n"},
      {R"("sides": {"round": "up", "to": "1 in"})", R"("sides": {"round": "nearest", "to": "1 cm"})",
       "Harbourline Ground: sides rounded up to 1 in -> to the nearest 1 cm\n"},
      {R"("weight": {"round": "up", "to": "1 lb"})", R"("weight": {"round": "up", "to": "0.5 lb"})",
       "Harbourline Ground: weight rounded up to 1 lb -> up to 8 oz\n"},
      {"0.815", "0.82", "Harbourline Ground: volume of tubes and irregular parcels, times 0.815 -> 0.82\n"},
      {"170 in3/lb", "150 in3/lb",
       "Harbourline Ground: dimensional weight 170 in3/lb (where volume over 1500 in3) -> 150 in3/lb (where volume "
       "over 1500 in3)\n"},
      {R"("over": "1500 in3")", R"("over": "1000 in3")",
       "Harbourline Ground: dimensional weight 170 in3/lb (where volume over 1500 in3) -> 170 in3/lb (where volume "
       "over 1000 in3)\n"},
      {R"("weight": "20 lb"})", R"("weight": "25 lb"})",
       "Harbourline Ground: least billable weight 20 lb (where length plus girth over 86 in) -> 25 lb (where length "
       "plus girth over "
       "86 in)\n"},
      {R"("over": "66 lb"}}, "reason": "heavier than 66 lb")", R"("over": "50 lb"}}, "reason": "heavier than 50 lb")",
       "Harbourline Ground: refuse rule gone: heavier than 66 lb (where weight over 66 lb); refuse rule new: heavier "
       "than 50 lb "
       "(where weight over 50 lb)\n"},
      {R"("over": "66 lb"}}, "reason")", R"("over": "50 lb"}}, "reason")",
       "Harbourline Ground: refuse rule heavier than 66 lb (where weight over 66 lb) -> heavier than 66 lb (where "
       "weight over 50 "
       "lb)\n"},
      {R"("over": "60 lb")", R"("over": "50 lb")", "Harbourline Ground: test weight over 60 lb -> weight over 50 lb\n"},
      {R"("amount": 90.00)", R"("amount": 95.00)",
       "Harbourline Ground: 1 of 12 cells dearer, 5.6 % at the median, most +5.00\n"},
      {R"("by": "billable_weight")", R"("by": "weight")",
       "Harbourline Ground: measured by billable weight -> weight\n"},
      {"[2, 4.50, 5.50, 7.00]", "[2, 4.60, 5.50, 6.90]",
       "Harbourline Ground: 1 of 12 cells dearer, 2.2 % at the median, most +0.10 (2 lb, zone 1); 1 of 12 cells "
       "cheaper, -1.4 % "
       "at the median, most -0.10 (2 lb, zone 8)\n"},
      {"null", "6.00", "Harbourline Ground: 1 cell added\n"},
      {"[3, 5.00, null, 8.00]", "[4, 5.00, null, 8.00]", "Harbourline Ground: 2 cells added; 2 cells removed\n"},
      {R"("step": 1, "add": [0.40)", R"("step": 2, "add": [0.40)",
       "Harbourline Ground: past the last row, for each 1 lb -> 2 lb\n"},
      {R"("add": [0.40,)", R"("add": [0.44,)",
       "Harbourline Ground: 1 of 12 cells dearer, 10 % at the median, most +0.04 (each 1 lb beyond, zone 1)\n"},
      {R"({"by_zone": {"1": 9.00, "2": 10.00, "8": 12.00}})", R"({"amount": 9.00})",
       "Harbourline Swift: 1 cell added; 3 cells removed; price an amount by zone -> one amount\n"},
      {R"("8": 12.00)", R"("8": 12.50)",
       "Harbourline Swift: 1 of 3 cells dearer, 4.2 % at the median, most +0.50 (zone 8)\n"},
      {R"("8": 12.00)", R"("*": 12.00)", ""},
      {R"("each": 3.00)", R"("each": 3.10)",
       "Harbourline Euro: 1 of 2 cells dearer, 3.3 % at the median, most +0.10 (each further 1 lb)\n"},
      {R"("step": "1 lb", "first": 12.00)", R"("step": "2 lb", "first": 12.00)",
       "Harbourline Euro: for each 1 lb -> 2 lb\n"},
      {R"("percent": 16.75)", R"("percent": 17.25)", "Harbourline Post, ground, swift: fuel 16.75 % -> 17.25 %\n"},
      {R"("of": ["base"])", R"("of": ["*"])",
       "Harbourline Post, ground, swift: fuel percentage of base -> all charges above\n"},
      {R"("of": ["base"])", R"("of": ["base", "bulky"])",
       "Harbourline Post, ground, swift: fuel percentage of new: bulky\n"},
      {R"("amount": 4.00)", R"("amount": 4.25)", "Harbourline Post, ground: bulky 4.00 -> 4.25\n"},
      {R"("title": "Bulky")", R"("title": "Large")", "Harbourline Post, ground: bulky title Bulky -> Large\n"},
      {R"("over": "26 in")", R"("over": "20 in")",
       "Harbourline Post, ground: bulky test length over 26 in; shape box or tube -> length over 20 in; shape box or "
       "tube\n"},
      {R"("title": "Bulky",)", R"("title": "Bulky", "group": "handling",)",
       "Harbourline Post, ground: bulky group none -> handling\n"},
      {R"("title": "Bulky",)", R"("title": "Bulky", "replaces": ["fuel"],)",
       "Harbourline Post, ground: bulky replaces new: fuel\n"},
      {R"("surcharges": ["bulky", "fuel"])", R"("surcharges": ["fuel"])", "Harbourline Post, ground: bulky gone\n"},
      {R"("surcharges": ["fuel"], "extras": ["signature"])",
       R"("surcharges": ["bulky", "fuel"], "extras": ["signature"])",
       "Harbourline Post, swift: bulky new where length over 26 in; shape box or tube\n"},
      {R"("extras": ["signature"])", R"("extras": ["signature", "cover"])", "Harbourline Post, swift: cover new\n"},
      {R"("first": 1.65)", R"("first": 1.75)",
       "Harbourline Post, ground: cover 1 of 2 cells dearer, 6.1 % at the median, most +0.10 (first 100)\n"},
      {R"("amount": 3.50)", R"("amount": 3.65)", "Harbourline Post, ground, swift: signature 3.50 -> 3.65\n"},
      {R"("US:980-994")", R"("US:980-989")",
       "Harbourline Post, zones: 1 area in another zone, first US:990-994 8 -> none\n"},
      {R"("1": ["US:050-059"])", R"("2": ["US:050-059"])",
       "Harbourline Post, zones: 1 area in another zone, first US:050-059 1 -> 2\n"},
      {R"("2": ["US:060-069"])", R"("8": ["US:060-061"], "2": ["US:062-069"])",
       "Harbourline Post, zones: 1 area in another zone, first from US:050-069 to US:060-061 2 -> 8\n"},
      {R"("up_to": "700 mi")", R"("up_to": "500 mi")",
       "Harbourline Post, zones: zones main, chart 3 by distance: zone 2 up to 700 mi -> up to 500 mi\n"},
      {R"("same": {"prefix": 5)", R"("same": {"prefix": 3)",
       "Harbourline Post, zones: zones main, chart 3 by distance: same first characters 5 of them, zone 1 -> 3 of "
       "them, zone 1\n"},
      {R"(["DE", "FR"])", R"(["DE", "NL"])", "Harbourline Post, zones: 2 areas in another zone, first FR E -> none\n"},
      {R"("tare": "4.1 oz")", R"("tare": "4.3 oz")", "Harbourline Post, packaging: hl-box tare 4.1 oz -> 4.3 oz\n"},
      {R"("cost": 0.00)", R"("cost": 0.35)", "Harbourline Post, packaging: hl-box cost 0.00 -> 0.35\n"},
      {R"("inside": "12 x 9 x 4 in")", R"("inside": "12 x 9 x 5 in")",
       "Harbourline Post, packaging: hl-box inside 12 in x 9 in x 4 in -> 12 in x 9 in x 5 in, outside 12.3 in x 9.3 "
       "in x 4.3 in -> "
       "12.3 in x 9.3 in x 5.3 in\n"},
  };
  for (const Case& one : cases) {
    const std::string after = Edited(one.from, one.to);
    const Comparison comparison = Compare(Read(kTariff), Read(after));
    EXPECT_EQ(Summary(comparison), std::string(one.words).empty() ? "no difference\n" : one.words) << one.to;
    // And the way back is a change too.
    EXPECT_EQ(Compare(Read(after), Read(kTariff)).empty(), comparison.empty()) << one.to;
  }
}

// Every number, quantity, word and flag of a document, one at a time: what the reader takes and is no mere remark is
// told.
void Alter(const nlohmann::json& json, const nlohmann::json::json_pointer& at,
           std::vector<std::pair<nlohmann::json::json_pointer, nlohmann::json>>& out) {
  if (json.is_structured()) {
    for (const auto& [key, value] : json.items()) {
      Alter(value, json.is_array() ? at / std::stoul(key) : at / key, out);
    }
  } else if (json.is_boolean()) {
    out.emplace_back(at, !json.get<bool>());
  } else if (json.is_number_integer()) {
    out.emplace_back(at, json.get<int>() + 1);
  } else if (json.is_number()) {
    out.emplace_back(at, json.get<double>() + 0.25);
  } else if (json.is_string()) {
    const std::string text = json.get<std::string>();
    std::string altered = text;
    const std::size_t digit = text.find_last_of("0123456789");
    if (digit != std::string::npos) altered[digit] = text[digit] == '9' ? '7' : static_cast<char>(text[digit] + 1);
    if (digit != std::string::npos) out.emplace_back(at, altered);
    for (const char* word :
         {"up",     "down", "nearest", "half_even", "air",   "weight", "value",  "box", "soft", "carton",
          "mailer", "2",    "8",       "base",      "bulky", "main",   "europe", "DE",  "EUR",  "other words"}) {
      if (word != text) out.emplace_back(at, word);
    }
  }
}

TEST(Compare, NoFactOfADocumentIsPassedOver) {
  // Floating point here only to alter: the documents are read from text.
  const nlohmann::json document = nlohmann::json::parse(kTariff);
  const Tariff before = Read(kTariff);
  std::vector<std::pair<nlohmann::json::json_pointer, nlohmann::json>> changes;
  Alter(document, nlohmann::json::json_pointer(), changes);
  std::size_t told = 0;
  for (const auto& [at, value] : changes) {
    const std::string path = at.to_string();
    if (path == "/title" || path == "/source" || path.starts_with("/in_force")) continue;
    nlohmann::json altered = document;
    altered[at] = value;
    if (altered == document) continue;
    const Loaded<Tariff> after = ReadTariff({"altered.json", altered.dump()});
    if (!after.ok()) continue;
    ++told;
    EXPECT_FALSE(Compare(before, *after.value).empty()) << path << " -> " << value;
  }
  EXPECT_GT(told, 250u);
}

TEST(Compare, WholeServicesComeAndGo) {
  std::string without = kTariff;
  const std::size_t from = without.find("    {\n      \"code\": \"swift\"");
  without.erase(from, without.find("    {\n      \"code\": \"euro\"") - from);
  EXPECT_EQ(SummaryOf(kTariff, without), "Harbourline Swift: service no longer offered\n");
  EXPECT_EQ(SummaryOf(without, kTariff), "Harbourline Swift: new service\n");
  const Comparison comparison = Compare(Read(without), Read(kTariff));
  ASSERT_EQ(comparison.carriers.size(), 1u);
  const ServiceComparison& service = comparison.carriers[0].services.at(0);
  EXPECT_EQ(service.kind, ChangeKind::kAdded);
  ASSERT_EQ(service.prices.at(0).cells.size(), 3u);
  for (const CellChange& cell : service.prices[0].cells) {
    EXPECT_EQ(cell.kind(), ChangeKind::kAdded);
    if (cell.column == "8") {
      EXPECT_EQ(cell.after, Amount::Micros(12'000'000));
    }
  }
  // Its charges are told as charges that it now has.
  ASSERT_EQ(comparison.carriers[0].charges.size(), 2u);
  EXPECT_EQ(comparison.carriers[0].charges[0].code, "fuel");
  EXPECT_EQ(comparison.carriers[0].charges[0].services, std::vector<std::string>{"swift"});
}

TEST(Compare, StarAgainstZonesByName) {
  const std::string star = Edited(R"("columns": ["1", "2", "8"],
          "rows": [[1, 4.00, 5.00, 6.00], [2, 4.50, 5.50, 7.00], [3, 5.00, null, 8.00]],
          "beyond": {"step": 1, "add": [0.40, 0.45, 0.50]})",
                                  R"("columns": ["*"], "rows": [[1, 4.00], [2, 5.00], [3, 5.00]])");
  const Comparison comparison = Compare(Read(kTariff), Read(star));
  const PriceComparison& price = comparison.carriers.at(0).services.at(0).prices.at(0);
  std::map<std::pair<std::string, std::string>, std::pair<std::string, std::string>> cells;
  for (const CellChange& cell : price.cells) {
    cells[{cell.row, cell.column}] = {cell.before ? cell.before->ToString() : "",
                                      cell.after ? cell.after->ToString() : ""};
  }
  const std::map<std::pair<std::string, std::string>, std::pair<std::string, std::string>> expected = {
      {{"1 lb", "2"}, {"5.00", "4.00"}},         {{"1 lb", "8"}, {"6.00", "4.00"}},
      {{"2 lb", "1"}, {"4.50", "5.00"}},         {{"2 lb", "2"}, {"5.50", "5.00"}},
      {{"2 lb", "8"}, {"7.00", "5.00"}},         {{"3 lb", "2"}, {"", "5.00"}},
      {{"3 lb", "8"}, {"8.00", "5.00"}},         {{"each 1 lb beyond", "1"}, {"0.40", ""}},
      {{"each 1 lb beyond", "2"}, {"0.45", ""}}, {{"each 1 lb beyond", "8"}, {"0.50", ""}},
  };
  EXPECT_EQ(cells, expected);
}

TEST(Compare, PercentIsHalfUpToTheTenThousandth) {
  auto change = [](const char* before, const char* after) {
    return PercentChange(*Amount::Parse(before), *Amount::Parse(after));
  };
  EXPECT_EQ(change("6.45", "6.52"), 10'853);  // 1.08527131...
  EXPECT_EQ(change("8.00", "7.99"), -1'250);  // exactly 0.125 %
  EXPECT_EQ(change("3", "4"), 333'333);
  EXPECT_EQ(change("3", "5"), 666'667);
  EXPECT_EQ(change("3", "1"), -666'667);
  EXPECT_EQ(change("2000000", "2000001"), 1);  // 0.00005 %: half goes up
  EXPECT_EQ(change("2000001", "2000000"), 0);
  EXPECT_EQ(change("0", "1"), std::nullopt);
}

TEST(Compare, MedianOfAnEvenNumberLiesBetween) {
  auto cell = [](std::int64_t before, std::int64_t after) {
    CellChange change;
    change.before = Amount::Micros(before);
    change.after = Amount::Micros(after);
    return change;
  };
  std::vector<PriceComparison> prices(1);
  PriceComparison& price = prices[0];
  price.cells = {cell(100, 104), cell(100, 101), cell(100, 103), cell(100, 110), cell(200, 199), cell(100, 99)};
  const CellCounts counts = CellCounts::Of(prices);
  EXPECT_EQ(counts.dearer, 4u);
  EXPECT_EQ(counts.cheaper, 2u);
  EXPECT_EQ(counts.median_dearer, 35'000);
  EXPECT_EQ(counts.median_cheaper, -7'500);
  EXPECT_EQ(counts.most_dearer, &price.cells[3]);
  // Equals: the first.
  EXPECT_EQ(counts.most_cheaper, &price.cells[4]);
}

// ---- zones by sweeping, against a look at every code ----

class RandomAreas : public ::testing::TestWithParam<int> {};

TEST_P(RandomAreas, SweepSaysWhatLookingUpEveryCodeSays) {
  std::mt19937_64 random(static_cast<std::uint64_t>(GetParam()) + 5);
  auto pick = [&random](int low, int high) {
    return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
  };
  auto code = [](int n) {
    const std::string text = std::to_string(n);
    return std::string(3 - text.size(), '0') + text;
  };
  auto make = [&] {
    // Areas of three digits that do not overlap; some left out.
    AreaMap<ZoneId> map;
    for (int at = pick(0, 20); at < 1000;) {
      const int last = std::min(999, at + pick(0, 90));
      if (pick(0, 4) > 0) map.Add(Area{"US", code(at), code(last)}, static_cast<ZoneId>(pick(0, 2)));
      at = last + 1;
    }
    EXPECT_FALSE(map.Finish().has_value());
    return map;
  };
  const AreaMap<ZoneId> before = make();
  const AreaMap<ZoneId> after = make();
  auto zone = [](const AreaMap<ZoneId>& map, const Place& place) -> std::optional<ZoneId> {
    const ZoneId* found = map.Find(place);
    return found == nullptr ? std::nullopt : std::optional<ZoneId>(*found);
  };
  const std::vector<internal::AreaSweep<ZoneId>::Segment> segments = internal::AreaSweep<ZoneId>::Run(&before, &after);
  for (int n = 0; n < 1000; ++n) {
    const Place place = *Place::MakeArea("US", code(n));
    int covering = 0;
    for (const auto& segment : segments) {
      if (!segment.area.Has(place)) continue;
      ++covering;
      EXPECT_EQ(segment.before, zone(before, place)) << code(n);
      EXPECT_EQ(segment.after, zone(after, place)) << code(n);
    }
    const bool known = zone(before, place) || zone(after, place);
    EXPECT_EQ(covering, known ? 1 : 0) << code(n);
  }
  for (std::size_t i = 1; i < segments.size(); ++i) {
    // Neighbours that say the same are one.
    const bool same = segments[i].before == segments[i - 1].before && segments[i].after == segments[i - 1].after;
    EXPECT_FALSE(same && std::stoi(segments[i].area.first) == std::stoi(segments[i - 1].area.last) + 1);
  }
}

INSTANTIATE_TEST_SUITE_P(Seeds, RandomAreas, ::testing::Range(0, 20));

TEST(Compare, AreasOfLetters) {
  AreaMap<ZoneId> before;
  before.Add(*Area::Parse("HK:AB1-AB9"), 1);
  ASSERT_FALSE(before.Finish());
  AreaMap<ZoneId> after;
  after.Add(*Area::Parse("HK:AB1-AB4"), 1);
  after.Add(*Area::Parse("HK:AB5"), 2);
  after.Add(*Area::Parse("HK:AB6-ABC"), 1);
  ASSERT_FALSE(after.Finish());
  std::vector<std::string> told;
  for (const auto& segment : internal::AreaSweep<ZoneId>::Run(&before, &after)) {
    if (segment.before == segment.after) continue;
    told.push_back(segment.area.ToString() + " " + std::to_string(segment.before.value_or(99)) + ">" +
                   std::to_string(segment.after.value_or(99)));
  }
  EXPECT_EQ(told, (std::vector<std::string>{"HK:AB5 1>2", "HK:ABA-ABC 99>1"}));
}

// ---- ratebooks on two dates ----

constexpr char kWeekly[] = R"({
  "format": "tarewise-tariff-1", "carrier": {"code": "fenwick-dray", "name": "Fenwick & Dray"}, "title": "Guide",
  "source": "invented", "currency": "USD", "in_force": {"from": "2026-01-01", "until": "2026-06-30"},
  "zones": {"main": [{"kind": "one", "zone": "1"}]},
  "services": [
    {"code": "ground", "title": "Fenwick & Dray Ground", "zones": "main", "prices": [{"amount": 8.00}],
     "surcharges": ["fuel-2026-01-05", "fuel-2026-01-12", "fuel-2026-01-19", "peak"]},
    {"code": "economy", "title": "Fenwick & Dray Economy", "zones": "main", "prices": [{"amount": 6.00}],
     "surcharges": ["fuel-2026-01-05", "fuel-2026-01-12", "fuel-2026-01-19"]}],
  "surcharges": [
    {"code": "fuel-2026-01-05", "title": "Fuel", "when": {"date": {"from": "2026-01-05", "until": "2026-01-11"}}, "percent": 16.75, "of": ["base"]},
    {"code": "fuel-2026-01-12", "title": "Fuel", "when": {"date": {"from": "2026-01-12", "until": "2026-01-18"}}, "percent": 17.25, "of": ["base"]},
    {"code": "fuel-2026-01-19", "title": "Fuel", "when": {"date": {"from": "2026-01-19"}}, "percent": 17.25, "of": ["base"]},
    {"code": "peak", "title": "Peak", "when": {"all": [{"date": {"from": "2026-01-20"}}, {"weight": {"over": "1 lb"}}]}, "amount": 2.00}]
})";

Date Day(const char* text) { return *Date::Parse(text); }

TEST(CompareRatebooks, ByTheDateInForce) {
  Tariff old_tariff = Read(kWeekly);
  Tariff new_tariff = old_tariff;
  new_tariff.in_force = {Day("2026-07-01"), std::nullopt};
  std::get<FlatPrice>(new_tariff.services[0].prices[0].price).amount = *Amount::Parse("8.40");
  Terms terms;
  terms.carrier = "fenwick-dray";
  terms.in_force = {Day("2026-01-15"), std::nullopt};
  Discount discount;
  discount.services = {"ground"};
  discount.of = {"base"};
  discount.percent = *Percent::Parse("12.5");
  discount.floor = *Amount::Parse("5");
  terms.discounts.push_back(discount);
  const auto book = *Ratebook::Create({old_tariff, new_tariff}, {terms});
  auto summary = [&](const char* before, const char* after) {
    return Summary(Compare(*book, Day(before), *book, Day(after)));
  };
  EXPECT_EQ(summary("2026-01-06", "2026-01-07"), "no difference\n");
  EXPECT_EQ(summary("2026-01-06", "2026-01-12"), "Fenwick & Dray, every service: fuel 16.75 % -> 17.25 %\n");
  // The same percentage under another week's code is no change; the seller's terms begin.
  EXPECT_EQ(summary("2026-01-12", "2026-01-19"),
            "Fenwick & Dray, terms: discount: ground, off base new: 12.5 %, not below 5.00\n");
  EXPECT_EQ(summary("2026-01-19", "2026-01-20"),
            "Fenwick & Dray, ground: peak new where (from 2026-01-20) and (weight over 1 lb)\n");
  EXPECT_EQ(summary("2026-06-30", "2026-07-01"), "Fenwick & Dray Ground: 8.00 -> 8.40\n");
  EXPECT_EQ(summary("2025-12-31", "2026-01-01"), "Fenwick & Dray: new: 2 services\n");
  EXPECT_EQ(summary("2026-01-01", "2025-12-31"), "Fenwick & Dray: no longer in hand: 2 services\n");
  EXPECT_EQ(summary("2025-12-30", "2025-12-31"), "no difference\n");
  // Without dates every week counts.
  Tariff fewer = old_tariff;
  for (Service& service : fewer.services) service.surcharges.erase(service.surcharges.begin());
  EXPECT_EQ(Summary(Compare(old_tariff, fewer)), "Fenwick & Dray: fuel by dates: 1 gone\n");
}

TEST(Compare, IsTheSameEachTimeAndInTheOrderOfTheDocument) {
  const std::string after =
      Edited(R"("8": 12.00)", R"("8": 12.50)", Edited("[1, 4.00, 5.00, 6.00]", "[1, 4.10, 5.20, 6.30]"));
  const std::string once = ToJson(Compare(Read(kTariff), Read(after)));
  EXPECT_EQ(once, ToJson(Compare(Read(kTariff), Read(after))));
  const nlohmann::json json = nlohmann::json::parse(once);
  EXPECT_EQ(json["format"], "tarewise-comparison-1");
  EXPECT_EQ(json["summary"].size(), 2u);
  const nlohmann::json& carrier = json["carriers"][0];
  EXPECT_EQ(carrier["carrier"], "harbourline");
  EXPECT_EQ(carrier["before"]["in_force"]["until"], "2026-06-30");
  ASSERT_EQ(carrier["services"].size(), 2u);
  EXPECT_EQ(carrier["services"][0]["code"], "ground");
  EXPECT_EQ(carrier["services"][0]["cells"]["common"], 12);
  EXPECT_EQ(carrier["services"][0]["cells"]["dearer"], 3);
  const nlohmann::json& cells = carrier["services"][0]["prices"][0]["cells"];
  ASSERT_EQ(cells.size(), 3u);
  EXPECT_EQ(cells[1], (nlohmann::json{
                          {"row", "1 lb"}, {"column", "2"}, {"before", "5.00"}, {"after", "5.20"}, {"percent", "4"}}));
  EXPECT_EQ(carrier["services"][1]["code"], "swift");
}

// ---- the demonstration tables ----

const std::string kDemo = std::string(TW_TEST_ROOT) + "/tables/demo";

using testing::DemoTables;

std::shared_ptr<const Ratebook> DemoBook() {
  static const std::shared_ptr<const Ratebook> book =
      *Ratebook::Create(DemoTables().tariffs, DemoTables().terms, DemoTables().gazetteer);
  return book;
}

const Tariff& DemoTariff(const char* carrier, const char* from) {
  for (const Tariff& tariff : DemoTables().tariffs) {
    if (tariff.carrier == carrier && tariff.in_force.from == Day(from)) return tariff;
  }
  ADD_FAILURE() << carrier << " " << from;
  return DemoTables().tariffs.front();
}

// A published grid by bound and zone, in cents, read from its file.
std::map<std::pair<std::string, std::string>, std::int64_t> Grid(const std::string& file) {
  std::map<std::pair<std::string, std::string>, std::int64_t> cells;
  std::ifstream in(kDemo + "/" + file);
  EXPECT_TRUE(in.good()) << file;
  std::string line;
  std::getline(in, line);
  const std::vector<std::string> zones = testing::CsvFields(line);
  while (std::getline(in, line)) {
    const std::vector<std::string> fields = testing::CsvFields(line);
    for (std::size_t i = 1; i < fields.size(); ++i) {
      if (fields[i].empty()) continue;
      const std::size_t point = fields[i].find('.');
      std::string digits = fields[i].substr(0, point);
      std::string cents = point == std::string::npos ? "" : fields[i].substr(point + 1);
      cents.resize(2, '0');
      cells[{fields[0], zones[i]}] = std::stoll(digits + cents);
    }
  }
  return cells;
}

TEST(CompareDemo, GridCellsAgreeWithTheFiles) {
  const auto before = Grid("harbourline-2026-01-swift.csv");
  const auto after = Grid("harbourline-2026-07-swift.csv");
  ASSERT_GT(before.size(), 600u);
  const Comparison comparison =
      Compare(DemoTariff("harbourline", "2026-01-18"), DemoTariff("harbourline", "2026-07-12"));
  const ServiceComparison* swift = nullptr;
  for (const ServiceComparison& service : comparison.carriers.at(0).services) {
    if (service.code == "swift") swift = &service;
  }
  ASSERT_NE(swift, nullptr);
  const PriceComparison* grid = nullptr;
  for (const PriceComparison& price : swift->prices) {
    if (price.cells.size() > 100) grid = &price;
  }
  ASSERT_NE(grid, nullptr);
  std::size_t differ = 0;
  std::map<std::pair<std::string, std::string>, std::pair<std::int64_t, std::int64_t>> told;
  for (const CellChange& cell : grid->cells) {
    told[{cell.row, cell.column}] = {cell.before->micros() / 10'000, cell.after->micros() / 10'000};
  }
  for (const auto& [key, cents] : before) {
    const auto other = after.find(key);
    ASSERT_NE(other, after.end());
    if (other->second == cents) continue;
    ++differ;
    // Bounds of this grid are pounds, or quantities with a unit of their own.
    const std::string row = key.first.find(' ') == std::string::npos ? key.first + " lb" : key.first;
    const auto found = told.find({row, key.second});
    ASSERT_NE(found, told.end()) << row << " " << key.second;
    EXPECT_EQ(found->second, std::make_pair(cents, other->second));
  }
  EXPECT_EQ(told.size(), differ);
  EXPECT_EQ(grid->cells_common, before.size());
}

// ---- a catalogue, against ranking row by row ----

using Goods = testing::MonthlyGoods<double>;

Goods RandomGoods(std::uint64_t seed, std::size_t rows) {
  std::mt19937_64 random(seed);
  auto pick = [&random](std::int64_t low, std::int64_t high) {
    return low + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(high - low + 1));
  };
  Goods goods;
  for (std::size_t i = 0; i < rows; ++i) {
    goods.weight.push_back(pick(5, pick(0, 1) == 0 ? 3000 : 200) * 2'834'952'313);
    for (auto& side : goods.sides) side.push_back(pick(4, pick(0, 5) == 0 ? 200 : 70) * 6'350'000);
    goods.value.push_back(pick(0, 300) * 500'000);
    const std::int64_t kind = pick(0, 9);
    goods.contents.push_back(kind == 0 ? 1u : kind == 1 ? 1u << 2 : kind == 2 ? 1u << 6 : 0u);
    goods.monthly.push_back(static_cast<double>(pick(0, 4000)) / 100);
  }
  // Rows that nothing can be said of: no weight, and what fits nothing.
  goods.weight[1] = 0;
  for (auto& side : goods.sides) side[2] = 4'000'000'000;
  return goods;
}

RepriceSetup DemoSetup(const char* date, std::vector<std::pair<const char*, std::int64_t>> places) {
  RepriceSetup setup;
  setup.book = DemoBook();
  setup.shelf = std::make_shared<const Shelf>(*DemoTables().shelf);
  setup.shipment.date = Day(date);
  setup.shipment.currency = *Currency::Parse("USD");
  for (const auto& [code, share] : places) {
    setup.lanes.push_back({*Place::Make("US", "05401"), *Place::Make("US", code, true)});
    setup.shares.push_back(share);
  }
  return setup;
}

// What ranking says of one row on one lane.
struct Best {
  std::int64_t total = kNoTotal;
  std::string service;
  std::string packaging;
};

Best Ranked(const Goods& goods, std::size_t row, const RepriceSetup& setup, std::size_t lane) {
  Request request;
  Item item;
  item.weight = Weight::Nanograms(goods.weight[row]);
  for (std::size_t i = 0; i < 3; ++i) item.sides[i] = Length::Nanometres(goods.sides[i][row]);
  item.value = Amount::Micros(goods.value[row]);
  for (unsigned bit = 0; bit < std::size(kTraitNames); ++bit) {
    if ((goods.contents[row] >> bit) & 1u) item.contents.Add(static_cast<Trait>(bit));
  }
  request.goods.push_back(std::move(item));
  request.lane = setup.lanes[lane];
  request.date = setup.shipment.date;
  request.currency = setup.shipment.currency;
  RankOptions options;
  options.thresholds = false;
  const absl::StatusOr<Ranking> ranking = Rank(setup.book, setup.shelf, request, options);
  if (!ranking.ok() || ranking->offers().empty()) return {};
  const Offer& offer = ranking->offers().front();
  return {offer.total.micros(), std::string(offer.carrier) + "/" + std::string(offer.service),
          std::string(offer.packaging)};
}

TEST(CompareCatalogue, AgreesWithRankingRowByRow) {
  const std::vector<std::pair<const char*, std::int64_t>> places = {
      {"05201", 10}, {"60601", 25}, {"98101", 40}, {"99501", 0}, {"33101", 25}};
  const RepriceSetup before = DemoSetup("2026-07-01", places);
  const RepriceSetup after = DemoSetup("2026-12-01", places);
  const Goods goods = RandomGoods(7, 60);
  absl::StatusOr<CatalogueComparer> comparer = CatalogueComparer::Create(before, after, 5);
  ASSERT_TRUE(comparer.ok()) << comparer.status();
  std::vector<std::int64_t> mean_before(60), mean_after(60), month(60);
  std::vector<std::uint8_t> change(60);
  CatalogueColumns out;
  out.before = mean_before.data();
  out.after = mean_after.data();
  out.month = month.data();
  out.change = change.data();
  ASSERT_TRUE(comparer->Add(goods.Columns(), Column::Of(goods.monthly, kMillionthsPerParcel), out).ok());
  const CatalogueChange result = comparer->Result();

  CatalogueChange expected;
  double month_before = 0;
  double month_after = 0;
  std::vector<std::pair<double, std::size_t>> losses;
  for (std::size_t row = 0; row < 60; ++row) {
    unsigned bits = 0;
    bool all_before = true;
    bool all_after = true;
    std::int64_t sum_before = 0;
    std::int64_t sum_after = 0;
    for (std::size_t lane = 0; lane < places.size(); ++lane) {
      if (places[lane].second == 0) continue;
      const bool bad = goods.weight[row] == 0;
      const Best a = bad ? Best() : Ranked(goods, row, before, lane);
      const Best b = bad ? Best() : Ranked(goods, row, after, lane);
      all_before = all_before && a.total != kNoTotal;
      all_after = all_after && b.total != kNoTotal;
      sum_before += a.total * places[lane].second;
      sum_after += b.total * places[lane].second;
      if ((a.total == kNoTotal) != (b.total == kNoTotal)) bits |= kOfferedChanges;
      if (a.total == kNoTotal || b.total == kNoTotal) continue;
      if (a.total != b.total) bits |= kTotalChanges;
      if (a.service != b.service) bits |= kServiceChanges;
      if (a.packaging != b.packaging) bits |= kPackagingChanges;
    }
    EXPECT_EQ(change[row], bits) << row;
    expected.changed += bits != 0;
    expected.total_changed += (bits & kTotalChanges) != 0;
    expected.service_changed += (bits & kServiceChanges) != 0;
    expected.packaging_changed += (bits & kPackagingChanges) != 0;
    expected.lost += all_before && !all_after;
    expected.gained += !all_before && all_after;
    EXPECT_EQ(mean_before[row] != kNoTotal, all_before) << row;
    if (!all_before || !all_after) continue;
    ++expected.comparable;
    // Shares add up to 100: half up to the cent.
    EXPECT_EQ(mean_before[row], (sum_before + 500'000) / 1'000'000 * 10'000) << row;
    EXPECT_EQ(mean_after[row], (sum_after + 500'000) / 1'000'000 * 10'000) << row;
    month_before += static_cast<double>(sum_before) / 100 * goods.monthly[row];
    month_after += static_cast<double>(sum_after) / 100 * goods.monthly[row];
    const double rise = static_cast<double>(sum_after - sum_before) / 100 * goods.monthly[row];
    EXPECT_NEAR(static_cast<double>(month[row]), rise, 5'001) << row;
    if (rise > 0) losses.emplace_back(-rise, row);
  }
  EXPECT_EQ(result.rows, 60u);
  EXPECT_EQ(result.comparable, expected.comparable);
  EXPECT_EQ(result.changed, expected.changed);
  EXPECT_EQ(result.total_changed, expected.total_changed);
  EXPECT_EQ(result.service_changed, expected.service_changed);
  EXPECT_EQ(result.packaging_changed, expected.packaging_changed);
  EXPECT_EQ(result.lost, expected.lost);
  EXPECT_EQ(result.gained, expected.gained);
  EXPECT_GT(result.service_changed, 0u);
  EXPECT_LT(result.comparable, 60u);
  EXPECT_NEAR(static_cast<double>(result.month_before.micros()), month_before, 5'001);
  EXPECT_NEAR(static_cast<double>(result.month_after.micros()), month_after, 5'001);
  std::sort(losses.begin(), losses.end());
  ASSERT_EQ(result.losers.size(), std::min<std::size_t>(5, losses.size()));
  for (std::size_t i = 0; i < result.losers.size(); ++i) {
    const RowLoss& loss = result.losers[i];
    EXPECT_EQ(loss.row, losses[i].second);
    EXPECT_EQ(loss.month.micros(), month[loss.row]);
    const Best a = Ranked(goods, loss.row, before, loss.lane);
    const Best b = Ranked(goods, loss.row, after, loss.lane);
    EXPECT_EQ(loss.lane_before.total, a.total);
    EXPECT_EQ(loss.lane_after.total, b.total);
    EXPECT_EQ(std::string(loss.lane_after.carrier) + "/" + std::string(loss.lane_after.service), b.service);
  }

  // In blocks, on other threads, in another order of calls: the same.
  absl::StatusOr<CatalogueComparer> again = CatalogueComparer::Create(before, after, 5);
  ASSERT_TRUE(again.ok());
  RepriceOptions options;
  options.threads = 3;
  for (std::size_t first = 0; first < 60; first += 20) {
    Goods part;
    auto cut = [first](const auto& column) {
      using C = std::decay_t<decltype(column)>;
      const auto begin = column.begin() + static_cast<std::ptrdiff_t>(first);
      return C(begin, begin + 20);
    };
    part.weight = cut(goods.weight);
    for (int i = 0; i < 3; ++i) part.sides[i] = cut(goods.sides[i]);
    part.value = cut(goods.value);
    part.contents = cut(goods.contents);
    part.monthly = cut(goods.monthly);
    ASSERT_TRUE(again->Add(part.Columns(), Column::Of(part.monthly, kMillionthsPerParcel), {}, options).ok());
  }
  const std::vector<Lane>& lanes = before.lanes;
  EXPECT_EQ(Summary(again->Result(), lanes), Summary(result, lanes));
  EXPECT_EQ(ToJson(Comparison(), again->Result(), lanes), ToJson(Comparison(), result, lanes));
  const nlohmann::json json = nlohmann::json::parse(
      ToJson(Comparison(), result, lanes, [](std::uint64_t row) { return "SKU-" + std::to_string(row); }));
  EXPECT_EQ(json["catalogue"]["rows"], 60);
  EXPECT_EQ(json["catalogue"]["lose_most"][0]["name"], "SKU-" + std::to_string(result.losers[0].row));
  EXPECT_EQ(json["catalogue"]["month"]["before"], result.month_before.ToString());
}

TEST(CompareCatalogue, NothingChangesBetweenTwoDaysOfOneEdition) {
  const std::vector<std::pair<const char*, std::int64_t>> places = {{"05201", 1}, {"98101", 1}};
  const Goods goods = RandomGoods(11, 200);
  absl::StatusOr<CatalogueComparer> comparer =
      CatalogueComparer::Create(DemoSetup("2026-08-03", places), DemoSetup("2026-08-04", places));
  ASSERT_TRUE(comparer.ok()) << comparer.status();
  const absl::StatusOr<CatalogueChange> change = CompareCatalogue(goods.Columns(), {}, *comparer);
  ASSERT_TRUE(change.ok());
  EXPECT_EQ(change->changed, 0u);
  EXPECT_EQ(change->rows, 200u);
  EXPECT_EQ(change->month_before, change->month_after);
  EXPECT_GT(change->month_before, Amount());
  EXPECT_TRUE(change->losers.empty());
  // One parcel each without volumes.
  EXPECT_EQ(change->month_parcels, static_cast<std::int64_t>(change->comparable) * kMillionthsPerParcel);
}

TEST(CompareCatalogue, SaysWhatIsWrong) {
  const RepriceSetup setup = DemoSetup("2026-08-03", {{"05201", 1}, {"98101", 1}});
  auto says = [](const absl::Status& status, const std::string& words) {
    EXPECT_EQ(status.code(), absl::StatusCode::kInvalidArgument);
    EXPECT_NE(std::string(status.message()).find(words), std::string::npos) << status;
  };
  RepriceSetup other = setup;
  other.shares = {1, 2};
  says(CatalogueComparer::Create(setup, other).status(), "shares: found different ones");
  other = setup;
  std::swap(other.lanes[0], other.lanes[1]);
  says(CatalogueComparer::Create(setup, other).status(), "lanes: found different ones");
  other = setup;
  other.book = nullptr;
  says(CatalogueComparer::Create(setup, other).status(), "found no ratebook");
  absl::StatusOr<CatalogueComparer> comparer = CatalogueComparer::Create(setup, setup);
  ASSERT_TRUE(comparer.ok());
  Goods goods = RandomGoods(3, 10);
  goods.monthly[4] = -1;
  says(comparer->Add(goods.Columns(), Column::Of(goods.monthly, kMillionthsPerParcel)), "row 4: found a volume");
  goods.monthly[4] = 2e9;
  absl::StatusOr<CatalogueComparer> fresh = CatalogueComparer::Create(setup, setup);
  says(fresh->Add(goods.Columns(), Column::Of(goods.monthly, kMillionthsPerParcel)), "row 4: found a volume");
}

}  // namespace
}  // namespace tarewise::compare_test
