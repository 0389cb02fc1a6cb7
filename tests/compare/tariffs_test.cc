// Two tariffs, cell by cell and rule by rule. All invented.
#include "tarewise/compare/tariffs.h"

#include <gtest/gtest.h>

#include <cstdint>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "compare/read.h"
#include "tarewise/compare/summary.h"
#include "tarewise/documents/comparison_json.h"
#include "tarewise/documents/load.h"

namespace tarewise::tariffs_test {
namespace {

using compare_test::Read;

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

TEST(Compare, CalendarsPartByPart) {
  const std::string before = Edited(
      R"("rounding": {)",
      R"("calendar": {"working": ["mon", "tue"], "holidays": ["2026-05-01", "2026-12-25"], "cut_off": "16:00"}, "rounding": {)");
  const std::string after = Edited(
      R"("rounding": {)",
      R"("calendar": {"working": ["tue", "mon", "wed"], "delivering": ["mon", "tue"], "holidays": ["2026-12-26", "2026-12-25"]}, "rounding": {)");
  EXPECT_EQ(
      SummaryOf(before, after),
      "Harbourline Post: working days mon, tue -> mon, tue, wed; cut-off 16:00 -> none; holiday gone: 2026-05-01; "
      "holiday new: 2026-12-26\n");
  // A service of its own calendar, the same as the document's then and now.
  const std::string own = R"("code": "ground", "calendar": {"working": ["mon", "tue"], "holidays": ["2026-12-25",
                             "2026-05-01"], "cut_off": "16:00"},)";
  EXPECT_EQ(SummaryOf(before, Edited(R"("code": "ground",)", own, before)), "no difference\n");
  EXPECT_EQ(SummaryOf(before, Edited(R"("code": "ground",)", R"("code": "ground", "calendar": null,)", before)),
            "Harbourline Ground: calendar works mon, tue; delivers mon, tue; cut-off 16:00; holidays: 2 -> none\n");
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
      {R"("rounding": {)",
       R"("calendar": {"working": ["mon", "tue"], "holidays": ["2026-05-01"], "cut_off": "16:00"}, "rounding": {)",
       "Harbourline Post: calendar none -> works mon, tue; delivers mon, tue; cut-off 16:00; holidays: 1\n"},
      {R"("code": "ground",)", R"("code": "ground", "calendar": {"working": ["sat"], "delivering": ["sun"]},)",
       "Harbourline Ground: calendar none -> works sat; delivers sun\n"},
      {R"("code": "ground",)", R"("code": "ground", "delivers": "point",)",
       "Harbourline Ground: delivers to door -> point\n"},
      {R"("code": "ground",)", R"("code": "ground", "requires": ["signature"],)",
       "Harbourline Ground: requires new: signature\n"},
      {R"("days": {"*": [1, 1]})", R"("days_by": "europe", "days": {"*": [1, 1]})",
       "Harbourline Swift: days by its zones -> europe\n"},
      {R"("title": "Signature", "amount": 3.50)", R"("title": "Signature", "amount": 3.50, "requires": ["cover"])",
       "Harbourline Post, ground, swift: signature requires new: cover\n"},
      {R"("title": "Signature", "amount": 3.50)", R"("title": "Signature", "amount": 3.50, "excludes": ["cover"])",
       "Harbourline Post, ground, swift: signature excludes new: cover\n"},
      {R"("length": {"over": "26 in"}, "shape")",
       R"("length": {"over": "26 in"}, "date": {"days": ["fri", "mon"]}, "shape")",
       "Harbourline Post, ground: bulky test length over 26 in; shape box or tube -> length over 26 in; on mon or fri; "
       "shape box or tube\n"},
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
      {R"("currency": "USD",)",
       R"("currency": "USD", "tax": {"code": "vat", "title": "VAT", "percent": 19, "listed": "with"},)",
       "Harbourline Post: tax none -> VAT (vat) 19 %, in the prices\n"},
      {R"("code": "euro",)",
       R"("code": "euro", "tax": {"code": "vat", "title": "VAT", "percent": 8.5, "listed": "without", "rounded": "line", "when": {"value": {"up_to": 100}}},)",
       "Harbourline Euro: tax as the list's -> VAT (vat) 8.5 %, on top, line by line (where value up to 100.00)\n"},
      {R"("of": ["base"])", R"("of": ["base", "extras"])",
       "Harbourline Post, ground, swift: fuel percentage of new: all extras\n"},
      {R"("of": ["base"])", R"("of": ["*", "extras"])",
       "Harbourline Post, ground, swift: fuel percentage of base -> all charges above, extras too\n"},
      {R"("amount": 4.00)", R"("less": 4.00)", "Harbourline Post, ground: bulky what it comes to added -> taken off\n"},
      {R"("8": 12.00}}])", R"("8": 12.00}, "once": true}])",
       "Harbourline Swift: due with each parcel -> once a consignment\n"},
      {R"("when": {"length": {"over": "26 in"}, "shape": {"is": ["box", "tube"]}}, "amount": 4.00)",
       R"("when": {"pieces": {"over": 2}, "consignment_weight": {"up_to": "50 lb"}}, "once": true, "amount": 4.00)",
       "Harbourline Post, ground: bulky test length over 26 in; shape box or tube -> pieces over 2; consignment weight "
       "up to 50 lb, due with each parcel -> once a consignment\n"},
      {R"("measure": "billable_weight", "step": "1 lb", "first": 12.00)",
       R"("measure": "consignment_weight", "step": "1 lb", "first": 12.00)",
       "Harbourline Euro: measured by billable weight -> consignment weight\n"},
      {R"("measure": "billable_weight", "step": "1 lb", "first": 12.00)",
       R"("measure": "pieces", "step": 2, "first": 12.00)",
       "Harbourline Euro: measured by billable weight -> pieces; for each 1 lb -> 2\n"},
      {R"("over": "26 in")", R"("over": "26 in"}, "week": {"parcels": {"at_least": 5})",
       "Harbourline Post, ground: bulky test length over 26 in; shape box or tube -> length over 26 in; parcels a week "
       "at "
       "least 5; shape box or tube\n"},
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

}  // namespace
}  // namespace tarewise::tariffs_test
