// Ratebooks on two dates, of invented tariffs and of the demonstration, whose grids are read again here, apart from
// the library.
#include <gtest/gtest.h>

#include <cstdint>
#include <fstream>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "compare/read.h"
#include "support/csv_line.h"
#include "support/demo_goods.h"
#include "tarewise/compare/summary.h"
#include "tarewise/compare/tariffs.h"

namespace tarewise::ratebooks_test {
namespace {

using compare_test::Day;
using compare_test::Read;

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

// ---- the demonstration tables ----

using testing::DemoTables;

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
  std::ifstream in(testing::DemoFolder() + "/" + file);
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

}  // namespace
}  // namespace tarewise::ratebooks_test
