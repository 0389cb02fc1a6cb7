// A catalogue kept through changes of rates against one compared anew: the demonstration tables (invented), changed
// further here.
#include "tarewise/compare/kept_catalogue.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "support/demo_goods.h"
#include "support/fewer.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/compare/summary.h"
#include "tarewise/documents/load.h"

namespace tarewise::kept_catalogue_test {
namespace {

std::shared_ptr<const Ratebook> Book(const std::function<void(std::vector<Tariff>&)>& edit = {}) {
  Tables tables = testing::DemoTables();
  if (edit) edit(tables.tariffs);
  return testing::Compile(std::move(tables)).book;
}

// The tariff of a carrier in force on the day of these tests.
Tariff& InForce(std::vector<Tariff>& tariffs, const char* carrier) {
  for (Tariff& tariff : tariffs) {
    if (tariff.carrier == carrier && tariff.in_force.Has(testing::DemoDay())) return tariff;
  }
  ADD_FAILURE() << carrier;
  return tariffs.front();
}

Service& ServiceOf(Tariff& tariff, const char* code) {
  for (Service& service : tariff.services) {
    if (service.code == code) return service;
  }
  ADD_FAILURE() << code;
  return tariff.services.front();
}

TablePrice& TableOf(Service& service) {
  for (PriceAlternative& alternative : service.prices) {
    if (auto* table = std::get_if<TablePrice>(&alternative.price)) return *table;
  }
  ADD_FAILURE() << service.code;
  static TablePrice none;
  return none;
}

using Goods = testing::MonthlyGoods<std::int64_t>;

Goods RandomGoods(std::size_t rows) {
  return testing::SeededGoods<std::int64_t>(
      4242, rows, {.most_weight = 4000, .most_side = 220, .most_value = 2000, .light_every = 50});
}

RepriceSetup SetupOf(std::shared_ptr<const Ratebook> book) {
  RepriceSetup setup = testing::SetupOn(testing::LanesToHomes({"05201", "60601", "98101", "99501", "33101", "96801"}),
                                        {std::move(book), testing::Demo().shelf});
  setup.shares = {3, 20, 40, 1, 25, 0};
  return setup;
}

void ExpectSame(const CatalogueChange& kept, const CatalogueChange& full, const std::vector<Lane>& lanes) {
  EXPECT_EQ(Summary(kept, lanes), Summary(full, lanes));
  EXPECT_EQ(kept.rows, full.rows);
  EXPECT_EQ(kept.comparable, full.comparable);
  EXPECT_EQ(kept.changed, full.changed);
  EXPECT_EQ(kept.dearer, full.dearer);
  EXPECT_EQ(kept.cheaper, full.cheaper);
  EXPECT_EQ(kept.lost, full.lost);
  EXPECT_EQ(kept.gained, full.gained);
  EXPECT_EQ(kept.month_before, full.month_before);
  EXPECT_EQ(kept.month_after, full.month_after);
  EXPECT_EQ(kept.month_parcels, full.month_parcels);
  ASSERT_EQ(kept.losers.size(), full.losers.size());
  for (std::size_t i = 0; i < kept.losers.size(); ++i) EXPECT_EQ(kept.losers[i].row, full.losers[i].row);
}

TEST(KeptCatalogue, SaysOfEachChangeWhatAComparisonAnewSays) {
  struct Step {
    const char* name;
    std::function<void(std::vector<Tariff>&)> edit;
    bool part;  // Only some rows can be touched.
  };
  const Step steps[] = {
      {"a service dearer from 10 lb on",
       [](std::vector<Tariff>& tariffs) {
         TablePrice& table = TableOf(ServiceOf(InForce(tariffs, "harbourline"), "parcel"));
         for (std::size_t i = 0; i < table.cells.size(); ++i) {
           if (table.bounds[i / table.columns.size()] >= Weight::Pounds(10).nanograms() &&
               table.cells[i] != kNotOffered) {
             table.cells[i] += 400'000;
           }
         }
       },
       true},
      {"nothing", [](std::vector<Tariff>&) {}, true},
      {"one cell cheaper",
       [](std::vector<Tariff>& tariffs) {
         TablePrice& table = TableOf(ServiceOf(InForce(tariffs, "harbourline"), "parcel"));
         for (std::size_t column = 0; column < table.columns.size(); ++column)
           table.cells[2 * table.columns.size() + column] -= 300'000;
       },
       true},
      {"fuel dearer by two points",
       [](std::vector<Tariff>& tariffs) {
         for (Series& series : InForce(tariffs, "fenwick-dray").series) {
           for (std::int64_t& value : series.values) value += 2'000'000;
         }
       },
       true},
      {"a limit lower",
       [](std::vector<Tariff>& tariffs) {
         for (Service& service : InForce(tariffs, "harbourline").services) {
           RefuseRule rule;
           rule.reason = "heavier than 5 lb";
           rule.when.conditions.push_back(
               MeasureCondition::Make(Measure::kWeight, {{Bound::Op::kOver, Weight::Pounds(5).nanograms(), "lb"}}));
           service.refuse.push_back(rule);
         }
       },
       false},
      {"a service gone",
       [](std::vector<Tariff>& tariffs) {
         Tariff& tariff = InForce(tariffs, "fenwick-dray");
         tariff.services.erase(tariff.services.begin());
       },
       false},
      {"rows between rows",
       [](std::vector<Tariff>& tariffs) {
         TablePrice& table = TableOf(ServiceOf(InForce(tariffs, "harbourline"), "swift"));
         for (MeasureValue& bound : table.bounds) bound -= Weight::Ounces(1).nanograms();
       },
       false},
      {"a carrier gone",
       [](std::vector<Tariff>& tariffs) {
         std::erase_if(tariffs, [](const Tariff& tariff) { return tariff.carrier == "harbourline"; });
       },
       false},
  };
  const Goods goods = RandomGoods(testing::kFewer > 1 ? 1000 : 1500);
  const Column monthly = Column::Of(goods.monthly, 1);
  std::shared_ptr<const Ratebook> now = Book();
  absl::StatusOr<KeptCatalogue> kept = KeptCatalogue::Create(SetupOf(now), goods.Columns(), monthly);
  ASSERT_TRUE(kept.ok()) << kept.status();
  bool lost = false;
  for (const Step& step : steps) {
    SCOPED_TRACE(step.name);
    // There, and back.
    for (const std::shared_ptr<const Ratebook>& next : {Book(step.edit), Book()}) {
      absl::StatusOr<CatalogueComparer> comparer = CatalogueComparer::Create(SetupOf(now), SetupOf(next));
      ASSERT_TRUE(comparer.ok()) << comparer.status();
      const CatalogueChange full = *CompareCatalogue(goods.Columns(), monthly, *comparer);
      const absl::StatusOr<CatalogueChange> change = kept->Change(next);
      ASSERT_TRUE(change.ok()) << change.status();
      ExpectSame(*change, full, SetupOf(now).lanes);
      EXPECT_EQ(change->changed + change->lost + change->gained > 0, std::string_view(step.name) != "nothing");
      if (step.part) {
        EXPECT_LT(change->repriced, goods.weight.size() * 3 / 4);
      }
      lost = lost || change->lost > 0;
      now = next;
      // The offers kept are those of pricing all of it.
      const Repricer repricer = *Repricer::Create(SetupOf(now));
      std::vector<std::int64_t> totals(kept->totals().size());
      RepriceResults results;
      results.total = totals.data();
      ASSERT_TRUE(repricer.Run(goods.Columns(), results).ok());
      EXPECT_TRUE(std::equal(totals.begin(), totals.end(), kept->totals().begin()));
    }
  }
  EXPECT_TRUE(lost);
}

TEST(KeptCatalogue, SaysWhatIsWrong) {
  Goods goods = RandomGoods(10);
  goods.monthly[7] = -5;
  const absl::StatusOr<KeptCatalogue> kept =
      KeptCatalogue::Create(SetupOf(Book()), goods.Columns(), Column::Of(goods.monthly, 1));
  EXPECT_EQ(kept.status().code(), absl::StatusCode::kInvalidArgument);
  EXPECT_NE(std::string(kept.status().message()).find("row 7: found a volume"), std::string::npos);
  goods.monthly[7] = 5;
  absl::StatusOr<KeptCatalogue> good =
      KeptCatalogue::Create(SetupOf(Book()), goods.Columns(), Column::Of(goods.monthly, 1));
  ASSERT_TRUE(good.ok());
  EXPECT_EQ(good->Change(nullptr).status().code(), absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(good->Change(Book())->changed, 0u);
}

}  // namespace
}  // namespace tarewise::kept_catalogue_test
