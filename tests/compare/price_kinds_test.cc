// Tables of classes, rates and cover included by the weight, cell by cell. All invented.
#include <gtest/gtest.h>

#include <optional>
#include <string>
#include <vector>

#include "compare/read.h"
#include "tarewise/compare/tariffs.h"

namespace tarewise::compare_price_kinds_test {
namespace {

using compare_test::Read;

std::string TariffOf(const std::string& members) {
  return R"({"format": "tarewise-tariff-1", "carrier": {"code": "larkspur", "name": "Larkspur Air"}, "title": "List",
    "currency": "EUR", "in_force": {"from": "2026-01-01"},
    "zones": {"all": [{"kind": "regions", "zones": {"1": ["DE"], "2": ["FR"]}}]},
    "services": [{"code": "air", "title": "Air", "zones": "all", "mode": "air", )" +
         members + "}]}";
}
std::string Table(const std::string& table) { return TariffOf(R"("prices": [{"table": )" + table + "}]"); }

// Every difference and every cell of the one service, a line each.
std::string Changes(const std::string& before, const std::string& after) {
  const Comparison comparison = Compare(Read(before), Read(after));
  std::string out;
  auto tell = [&out](const std::vector<Difference>& differences) {
    for (const Difference& one : differences) out += one.what + ": " + one.before + " -> " + one.after + "\n";
  };
  auto money = [](const std::optional<Amount>& amount) { return amount ? amount->ToString() : std::string(); };
  for (const TariffComparison& tariff : comparison.carriers) {
    for (const ServiceComparison& service : tariff.services) {
      tell(service.differences);
      for (const PriceComparison& price : service.prices) {
        tell(price.differences);
        for (const CellChange& cell : price.cells) {
          out += cell.row + " / " + cell.column + ": " + money(cell.before) + " -> " + money(cell.after) + "\n";
        }
      }
    }
  }
  return out;
}

TEST(ComparePriceKinds, Classes) {
  const std::string before = Table(R"({"by": ["sum_of_sides", "weight"], "unit": ["cm", "kg"], "columns": ["1", "2"],
    "rows": [[60, 2, 7.40, 8.20], [80, 5, 9.10, 10], [100, 10, 12, null]]})");
  EXPECT_EQ(Changes(before, before), "");
  // The same bounds in other units are the same rows.
  EXPECT_EQ(Changes(before, Table(R"({"by": ["sum_of_sides", "weight"], "unit": ["mm", "g"], "columns": ["1", "2"],
    "rows": [[600, 2000, 7.60, 8.20], [800, 5000, 9.10, 10], [900, 9000, 11, 12], [1000, 10000, 12, null]]})")),
            "600 mm, 2000 g / 1: 7.40 -> 7.60\n"
            "900 mm, 9000 g / 1:  -> 11.00\n"
            "900 mm, 9000 g / 2:  -> 12.00\n");
  // Of two rows that both hold the first counts.
  const std::string one = Table(R"({"by": ["length", "weight"], "unit": ["cm", "kg"], "columns": ["*"],
    "rows": [[60, 2, 3], [40, 5, 4]]})");
  const std::string other = Table(R"({"by": ["length", "weight"], "unit": ["cm", "kg"], "columns": ["*"],
    "rows": [[40, 5, 4], [60, 2, 3]]})");
  EXPECT_EQ(Changes(one, other), "order of the rows: as listed before -> another\n");
  EXPECT_EQ(Changes(one, Table(R"({"by": ["width", "weight"], "unit": ["cm", "kg"], "columns": ["*"],
    "rows": [[60, 2, 3], [40, 5, 4]]})")),
            "measured by: length and weight -> width and weight\n");
  // Other measures are another table.
  EXPECT_EQ(Changes(one, Table(R"({"by": ["weight", "value"], "unit": ["kg", null], "columns": ["*"],
    "rows": [[2, 60, 3]]})")),
            "price: a table by length and weight of 2 rows -> a table by weight and value of 1 rows\n"
            "60 cm, 2 kg / *: 3.00 -> \n"
            "40 cm, 5 kg / *: 4.00 -> \n"
            "2 kg, 60.00 / *:  -> 3.00\n");
}

TEST(ComparePriceKinds, Rates) {
  const std::string before = Table(R"({"by": "billable_weight", "unit": "kg", "rate": "1 kg", "least": [28, null],
    "deficit": true, "columns": ["1", "2"], "rows": [[45, 3.10, 4], [100, 2.40, 3]]})");
  EXPECT_EQ(Changes(before, before), "");
  EXPECT_EQ(Changes(before, Table(R"({"by": "weight", "unit": "kg", "rate": "500 g", "least": 30,
    "columns": ["1", "2"], "rows": [[45, 3.10, 4], [100, 2.50, null]]})")),
            "measured by: billable weight -> weight\n"
            "for each: 1 kg -> 500 g\n"
            "a heavier row's price: taken where it is lower -> not taken\n"
            "100 kg / 1: 2.40 -> 2.50\n"
            "100 kg / 2: 3.00 -> \n"
            "least / 1: 28.00 -> 30.00\n"
            "least / 2:  -> 30.00\n");
  // A rate is no table of amounts, whatever its cells.
  EXPECT_EQ(Changes(Table(R"({"by": "weight", "unit": "kg", "columns": ["*"], "rows": [[45, 3.10]]})"),
                    Table(R"({"by": "weight", "unit": "kg", "rate": "1 kg", "columns": ["*"], "rows": [[45, 3.10]]})")),
            "price: a table by weight of 1 rows -> a table of rates for each 1 kg of weight of 1 rows\n"
            "45 kg / *: 3.10 -> \n"
            "45 kg / *:  -> 3.10\n");
}

TEST(ComparePriceKinds, CoverIncludedByTheWeight) {
  auto with = [](const std::string& cover) {
    return TariffOf(R"("prices": [{"amount": 5}], "included_cover": )" + cover);
  };
  const std::string steps =
      with(R"({"per": {"measure": "weight", "step": "1 kg", "first": 20, "each": 20}, "at_most": 500})");
  EXPECT_EQ(Changes(steps, steps), "");
  EXPECT_EQ(Changes(with("75"), steps), "included cover: 75.00 -> an amount for each 1 kg of weight, at most 500.00\n");
  EXPECT_EQ(Changes(steps, with(R"({"per": {"measure": "weight", "step": "1 kg", "first": 25, "each": 20}})")),
            "included cover: an amount for each 1 kg of weight, at most 500.00 -> an amount for each 1 kg of weight\n"
            "included cover, first 1 kg: 20.00 -> 25.00\n");
  EXPECT_EQ(
      Changes(with(R"({"table": {"by": "weight", "unit": "kg", "columns": ["*"], "rows": [[2, 50], [5, 100]]}})"),
              with(R"({"table": {"by": "weight", "unit": "kg", "columns": ["*"], "rows": [[2, 50], [5, 120]]}})")),
      "included cover, 5 kg: 100.00 -> 120.00\n");
}

}  // namespace
}  // namespace tarewise::compare_price_kinds_test
