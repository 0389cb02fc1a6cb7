// Named lists of areas, and columns for several zones, compared. All invented.
#include <gtest/gtest.h>

#include <string>
#include <string_view>
#include <vector>

#include "compare/read.h"
#include "tarewise/compare/tariffs.h"

namespace tarewise::area_lists_test {
namespace {

using compare_test::Read;

Tariff With(std::string_view list, std::string_view table) {
  return Read(R"({"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"},
    "title": "List", "currency": "USD", "in_force": {"from": "2026-07-12"}, "areas": {"far": )" +
              std::string(list) + R"(},
    "zones": {"main": [{"kind": "regions", "zones": {"1": ["US:4"], "2": ["US"]}}]},
    "surcharges": [{"code": "far", "title": "Far", "when": {"destination": {"in": ["@far"]}}, "amount": 3}],
    "services": [{"code": "ground", "title": "Ground", "zones": "main", "mode": "surface", "surcharges": ["far"],
      "prices": [{"table": {"by": "weight", "unit": "lb", )" +
              std::string(table) + "}}]}]}");
}

constexpr std::string_view kOne = R"("columns": ["1 & 2"], "rows": [[1, 3], [2, 4]])";
constexpr std::string_view kTwo = R"("columns": ["1", "2"], "rows": [[1, 3, 3], [2, 4, 4.5]])";

TEST(Compare, AListOfAreasIsToldOnce) {
  const Tariff before = With(R"(["US:967-968", "PR"])", kOne);
  EXPECT_TRUE(Compare(before, With(R"(["PR", "US:968", "US:967"])", kOne)).empty()) << "the same areas otherwise";
  const Comparison changed = Compare(before, With(R"(["US:967-969", "GU"])", kOne));
  ASSERT_EQ(changed.carriers.size(), 1u);
  const TariffComparison& tariff = changed.carriers[0];
  EXPECT_TRUE(tariff.charges.empty()) << "what names the list says what it said";
  ASSERT_EQ(tariff.charts.size(), 1u);
  EXPECT_EQ(tariff.charts[0].what, "areas @far");
  EXPECT_EQ(tariff.charts[0].before, "2 areas");
  EXPECT_EQ(tariff.charts[0].after, "2 areas, with GU, US:969, without PR");
}

TEST(Compare, AColumnForSeveralZonesIsComparedZoneByZone) {
  const Comparison changed = Compare(With(R"(["PR"])", kOne), With(R"(["PR"])", kTwo));
  ASSERT_EQ(changed.carriers.size(), 1u);
  ASSERT_EQ(changed.carriers[0].services.size(), 1u);
  const std::vector<PriceComparison>& prices = changed.carriers[0].services[0].prices;
  ASSERT_EQ(prices.size(), 1u);
  ASSERT_EQ(prices[0].cells.size(), 1u);
  EXPECT_EQ(prices[0].cells[0].column, "2");
  EXPECT_EQ(prices[0].cells[0].row, "2 lb");
  EXPECT_EQ(prices[0].cells_common, 4u);
}

}  // namespace
}  // namespace tarewise::area_lists_test
