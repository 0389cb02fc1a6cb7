// A change of rates: what an index brings up to date must be, byte for byte, what a repricer made afresh gives.

#include <array>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "gtest/gtest.h"
#include "support/fewer.h"
#include "support/reprice_support.h"
#include "support/same_as_rank.h"
#include "tarewise/batch/index.h"

namespace tarewise::reprice_index_test {
namespace {

using namespace reprice_test;  // NOLINT
using testing::Cases;
using testing::kFewerWorlds;
using testing::Share;

constexpr std::int64_t kLevels[] = {0, 500'000, 900'000};

struct Change {
  std::string name;
  std::function<void(std::vector<Tariff>&, std::vector<Terms>&)> make;
  bool everything = false;    // tests or bounds change
  std::size_t most_rows = 0;  // 0: any number
  std::size_t least_rows = 0;
};

Tariff& InForce(std::vector<Tariff>& tariffs, std::string_view carrier) {
  for (Tariff& tariff : tariffs) {
    if (tariff.carrier == carrier && tariff.in_force.Has(*Date::Parse("2026-08-03"))) return tariff;
  }
  std::abort();
}

Service& ServiceIn(Tariff& tariff, std::string_view code) {
  for (Service& service : tariff.services) {
    if (service.code == code) return service;
  }
  std::abort();
}

ChargeRule& RuleIn(Tariff& tariff, std::string_view code) {
  for (ChargeRule& rule : tariff.rules) {
    if (rule.code == code) return rule;
  }
  std::abort();
}

// All amounts of a price by so many percent, to the cent.
void Scale(Price& price, std::int64_t percent) {
  auto scale = [percent](std::int64_t& micros) {
    if (micros >= 0) micros = micros * percent / 100 / 10'000 * 10'000;
  };
  auto scale_amount = [&scale](Amount& amount) {
    std::int64_t micros = amount.micros();
    scale(micros);
    amount = Amount::Micros(micros);
  };
  if (auto* flat = std::get_if<FlatPrice>(&price)) scale_amount(flat->amount);
  if (auto* zone = std::get_if<ZonePrice>(&price)) {
    for (std::int64_t& micros : zone->by_zone) scale(micros);
  }
  if (auto* table = std::get_if<TablePrice>(&price)) {
    for (std::int64_t& micros : table->cells) scale(micros);
    if (table->beyond) {
      for (std::int64_t& micros : table->beyond->add) scale(micros);
    }
  }
  if (auto* classes = std::get_if<ClassPrice>(&price)) {
    for (std::int64_t& micros : classes->cells) scale(micros);
  }
  if (auto* rates = std::get_if<RatePrice>(&price)) {
    for (std::int64_t& micros : rates->cells) scale(micros);
    for (std::int64_t& micros : rates->least) scale(micros);
  }
  if (auto* steps = std::get_if<StepPrice>(&price)) {
    scale_amount(steps->first);
    scale_amount(steps->each);
  }
}

void ScaleService(std::vector<Tariff>& tariffs, std::string_view carrier, std::string_view code, std::int64_t percent) {
  for (PriceAlternative& alternative : ServiceIn(InForce(tariffs, carrier), code).prices)
    Scale(alternative.price, percent);
}

std::vector<Change> Changes() {
  return {
      {.name = "nothing", .make = [](auto&, auto&) {}, .most_rows = 1},
      {.name = "one cell",
       .make =
           [](auto& tariffs, auto&) {
             auto& table =
                 std::get<TablePrice>(ServiceIn(InForce(tariffs, "harbourline"), "parcel").prices.back().price);
             table.cells[2 * table.columns.size() + 3] += 10'000;
           },
       .most_rows = 2'000,
       .least_rows = 1},
      {.name = "a service dearer",
       .make = [](auto& tariffs, auto&) { ScaleService(tariffs, "harbourline", "parcel", 106); },
       .least_rows = 500},
      {.name = "the same cheaper",
       .make = [](auto& tariffs, auto&) { ScaleService(tariffs, "harbourline", "parcel", 91); },
       .least_rows = 500},
      {.name = "two carriers at once",
       .make =
           [](auto& tariffs, auto&) {
             ScaleService(tariffs, "harbourline", "parcel", 103);
             ScaleService(tariffs, "fenwick-dray", "road", 98);
           }},
      {.name = "a service that seldom wins",
       .make = [](auto& tariffs, auto&) { ScaleService(tariffs, "fenwick-dray", "next-day", 104); },
       .most_rows = 500},
      {.name = "a service so cheap that it always wins",
       .make = [](auto& tariffs, auto&) { ScaleService(tariffs, "fenwick-dray", "two-day", 3); },
       .least_rows = 2'000},
      {.name = "and back again",
       .make = [](auto& tariffs, auto&) { ScaleService(tariffs, "fenwick-dray", "two-day", 3'300); },
       .least_rows = 2'000},
      {.name = "a service that is no longer offered",
       .make =
           [](auto& tariffs, auto&) {
             auto& table =
                 std::get<TablePrice>(ServiceIn(InForce(tariffs, "fenwick-dray"), "feather").prices.front().price);
             for (std::int64_t& cell : table.cells) cell = kNotOffered;
           }},
      {.name = "a metric service",
       .make = [](auto& tariffs, auto&) { ScaleService(tariffs, "larkspur", "two-day", 60); }},
      {.name = "a shared surcharge",
       .make = [](auto& tariffs, auto&) { Scale(RuleIn(InForce(tariffs, "fenwick-dray"), "residential").price, 150); }},
      {.name = "a percentage of all lines",
       .make =
           [](auto& tariffs, auto&) {
             std::get<PercentPrice>(RuleIn(InForce(tariffs, "larkspur"), "fuel").price).percent =
                 *Percent::Parse("21.5");
           }},
      {.name = "what the seller agreed",
       .make =
           [](auto&, auto& all_terms) {
             for (Terms& terms : all_terms) {
               for (Discount& discount : terms.discounts) discount.percent = *Percent::Parse("40");
             }
           }},
      {.name = "discounts that add up",
       .make =
           [](auto&, auto& all_terms) {
             for (Terms& terms : all_terms) {
               for (Discount& discount : terms.discounts) discount.adds = true;
             }
           }},
      {.name = "an amount off in the place of a percentage",
       .make =
           [](auto&, auto& all_terms) {
             for (Terms& terms : all_terms) {
               for (Discount& discount : terms.discounts) discount.less = Amount::Micros(1'250'000);
             }
           }},
      {.name = "a tax that comes on top",
       .make =
           [](auto& tariffs, auto&) {
             Tariff& tariff = InForce(tariffs, "harbourline");
             tariff.taxes.push_back({"x-tax", "Tax", *Percent::Parse("8.25"), false, false, {}});
             ServiceIn(tariff, "parcel").tax = 0;
             ServiceIn(tariff, "swift").tax = 0;
           },
       .everything = true},
      {.name = "more of it, line by line",
       .make =
           [](auto& tariffs, auto&) {
             Tax& tax = InForce(tariffs, "harbourline").taxes[0];
             tax.percent = *Percent::Parse("19");
             tax.by_line = true;
           },
       .least_rows = 100},
      {.name = "a surcharge that is a reduction",
       .make = [](auto& tariffs, auto&) { RuleIn(InForce(tariffs, "fenwick-dray"), "residential").less = true; },
       .everything = true},
      {.name = "the total's rounding",
       .make = [](auto& tariffs, auto&) { InForce(tariffs, "harbourline").rounding.total = 50'000; }},
      {.name = "a finer step of the total, which totals of all services are then told in",
       .make = [](auto& tariffs, auto&) { InForce(tariffs, "harbourline").rounding.total = 1'000; },
       .everything = true},
      {.name = "days, which settle ties",
       .make =
           [](auto& tariffs, auto&) {
             for (auto& days : ServiceIn(InForce(tariffs, "harbourline"), "parcel").days) {
               if (days) days->most += 7;
             }
           }},
      {.name = "tracking, which settles ties",
       .make = [](auto& tariffs, auto&) { ServiceIn(InForce(tariffs, "harbourline"), "swift").tracked = false; }},
      {.name = "a bound of a refusal",
       .make =
           [](auto& tariffs, auto&) {
             RefuseRule rule;
             rule.reason = "heavier than 3 lb";
             rule.when.conditions.push_back(
                 MeasureCondition::Make(Measure::kWeight, {{Bound::Op::kOver, Weight::Pounds(3).nanograms(), "lb"}}));
             ServiceIn(InForce(tariffs, "harbourline"), "swift").refuse.push_back(rule);
           },
       .everything = true},
      {.name = "a row of a table",
       .make =
           [](auto& tariffs, auto&) {
             auto& table =
                 std::get<TablePrice>(ServiceIn(InForce(tariffs, "harbourline"), "parcel").prices.back().price);
             table.bounds[1] += 1'000'000;
           },
       .everything = true},
      {.name = "a service less",
       .make =
           [](auto& tariffs, auto& all_terms) {
             all_terms.clear();
             InForce(tariffs, "fenwick-dray").services.pop_back();
           },
       .everything = true},
      {.name = "a packaging's price",
       .make = [](auto& tariffs,
                  auto&) { InForce(tariffs, "harbourline").packaging[2].cost = Amount::Micros(250'000); },
       .everything = true},
  };
}

// Updates `index` and its results by one ratebook after another, each time against a run from nothing.
void ExpectSameAsFresh(RepriceIndex& index, const GoodsColumns& goods, Columns& kept, const RepriceResults& results,
                       const Repricer& after, const std::string& name, RepriceIndex::Touched* told = nullptr) {
  const absl::StatusOr<RepriceIndex::Touched> touched = index.Update(after, goods, results);
  ASSERT_TRUE(touched.ok()) << name << ": " << touched.status();
  const absl::StatusOr<Repricer> fresh = Repricer::Create(after.setup());
  ASSERT_TRUE(fresh.ok()) << name;
  const bool mix = results.expected != nullptr;
  Columns whole;
  ASSERT_TRUE(fresh->Run(goods, whole.Make(goods.rows, after.lanes().size(), mix, results.levels)).ok());
  EXPECT_TRUE(kept == whole) << name;
  if (!(kept == whole)) {
    for (std::size_t i = 0; i < kept.total.size(); ++i) {
      if (kept.total[i] == whole.total[i] && kept.second[i] == whole.second[i] && kept.service[i] == whole.service[i] &&
          kept.packaging[i] == whole.packaging[i]) {
        continue;
      }
      auto at = [i](const Columns& one) {
        return std::to_string(one.total[i]) + " " + std::to_string(one.second[i]) + " (service " +
               std::to_string(one.service[i]) + ", packaging " + std::to_string(one.packaging[i]) + ")";
      };
      ADD_FAILURE() << name << ": row " << i / kept.lanes << ", lane " << i % kept.lanes << ": kept " << at(kept)
                    << ", afresh " << at(whole);
      // If it is this one that is not what ranking says.
      Seen seen;
      SameAsRank(*fresh, goods, whole, i / kept.lanes, i % kept.lanes, seen);
      return;
    }
  }
  // What is kept across updates answers new goods too.
  Columns again;
  ASSERT_TRUE(after.Run(goods, again.Make(goods.rows, after.lanes().size(), mix, results.levels)).ok());
  EXPECT_TRUE(again == whole) << name << ", a whole run";
  if (told != nullptr) *told = *touched;
}

// The repricer of an index after one more change of the tables.
absl::StatusOr<Repricer> After(const Change& change, const RepriceIndex& index, const RepriceSetup& setup,
                               std::vector<Tariff>& tariffs, std::vector<Terms>& terms) {
  change.make(tariffs, terms);
  absl::StatusOr<std::shared_ptr<const Ratebook>> book = Ratebook::Create(tariffs, terms, setup.book->gazetteer());
  if (!book.ok()) return book.status();
  return index.repricer().WithRates(*std::move(book));
}

TEST(RepriceIndex, FollowsEveryChange) {
  RepriceSetup setup = DemoSetup();
  setup.shares = {1, 2, 3, 4, 5, 6, 7, 8, 9};
  absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  GoodsColumns goods = DemoCatalogue().Columns();
  goods.rows /= kFewer;
  Columns kept;
  const RepriceResults results = kept.Make(goods.rows, 9, true, kLevels);
  ASSERT_TRUE(repricer->Run(goods, results).ok());
  absl::StatusOr<RepriceIndex> index = RepriceIndex::Create(*repricer, goods);
  ASSERT_TRUE(index.ok()) << index.status();
  std::vector<Tariff> tariffs = setup.book->tariffs();
  std::vector<Terms> terms = setup.book->terms();
  for (const Change& change : Changes()) {
    SCOPED_TRACE(change.name);
    const Columns before = kept;
    const absl::StatusOr<Repricer> after = After(change, *index, setup, tariffs, terms);
    ASSERT_TRUE(after.ok()) << after.status();
    RepriceIndex::Touched touched;
    ExpectSameAsFresh(*index, goods, kept, results, *after, change.name, &touched);
    if (HasFailure()) return;
    EXPECT_EQ(touched.everything, change.everything);
    EXPECT_TRUE(std::is_sorted(touched.rows.begin(), touched.rows.end()));
    if (change.everything) continue;
    EXPECT_GE(touched.rows.size(), Share(change.least_rows));
    if (change.most_rows > 0) {
      EXPECT_LE(touched.rows.size(), change.most_rows);
    }
    // Rows that were not touched are as they were.
    std::vector<bool> priced(goods.rows, false);
    for (const std::uint32_t row : touched.rows) priced[row] = true;
    for (std::size_t row = 0; row < goods.rows; ++row) {
      if (priced[row]) continue;
      for (std::size_t i = row * 9; i < row * 9 + 9; ++i) ASSERT_EQ(kept.total[i], before.total[i]);
    }
  }
}

// Two services that ask alike up to a kilogram, each in a packaging that the other does not take.
struct TiedPackagings {
  std::string own;
  std::string issued;
};

RepriceSetup TiedSetup(const TiedPackagings& packagings) {
  const std::string tariff =
      R"({"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"},
    "title": "Parcels", "source": "invented", "currency": "USD", "in_force": {"from": "2026-01-01"},
    "zones": {"all": [{"kind": "regions", "zones": {"1": ["US:606"], "2": ["US:981"]}}]},
    "packaging": [{"code": "hl-pack", "title": "Pack", "tare": "0 oz", "cost": 0, )" +
      packagings.issued + R"(}],
    "services": [
      {"code": "parcel", "title": "Parcel", "zones": "all", "mode": "surface", "days": {"1": [2, 3], "2": [2, 3]},
       "tracked": true,
       "prices": [{"when": {"weight": {"up_to": "1 kg"}}, "amount": 9}, {"amount": 12}]},
      {"code": "swift", "title": "Swift", "zones": "all", "mode": "surface", "days": {"1": [1, 4], "2": [1, 2]},
       "tracked": true,
       "packaging": {"own": false, "issued": ["hl-pack"]}, "prices": [{"amount": 9}]}]})";
  const std::string shelf = R"({"format": "tarewise-shelf-1", "currency": "USD",
    "packaging": [{"code": "own-pack", "title": "Own pack", "tare": "0 oz", "cost": 0, )" +
                            packagings.own + R"(}],
    "issued": [{"carrier": "harbourline", "code": "hl-pack"}]})";
  Loaded<Tables> tables = ReadTables({{"tariff.json", tariff}, {"shelf.json", shelf}});
  for (const Diagnostic& diagnostic : tables.diagnostics) ADD_FAILURE() << diagnostic.ToString();
  RepriceSetup setup;
  if (!tables.ok()) return setup;
  setup.shelf = std::make_shared<const Shelf>(*std::move(tables.value->shelf));
  setup.book = *Ratebook::Create(std::move(tables.value->tariffs), {}, {});
  setup.shipment.date = *Date::Parse("2026-08-03");
  setup.shipment.currency = *Currency::Parse("USD");
  setup.lanes = {LaneTo("US", "60614"), LaneTo("US", "98101")};
  return setup;
}

// What settles ties moves, and no packaging alone answers otherwise: only which of two packagings comes first.
TEST(RepriceIndex, FollowsTiesBetweenPackagings) {
  const std::string carton = R"("kind": "carton", "inside": "30 x 30 x 30 cm", "wall": "2 mm")";
  const std::string mailer = R"("kind": "mailer", "inside": "40 x 50 cm", "wall": "0.1 mm")";
  const std::string thick_mailer = R"("kind": "mailer", "inside": "40 x 50 cm", "wall": "1 mm")";
  for (const TiedPackagings& packagings :
       {TiedPackagings{carton, carton}, TiedPackagings{carton, mailer}, TiedPackagings{mailer, carton},
        TiedPackagings{mailer, thick_mailer}, TiedPackagings{mailer, mailer}}) {
    SCOPED_TRACE(packagings.own + " and " + packagings.issued);
    const RepriceSetup setup = TiedSetup(packagings);
    ASSERT_NE(setup.book, nullptr);
    const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
    ASSERT_TRUE(repricer.ok()) << repricer.status();
    constexpr std::size_t kLight = 8;
    Table table;
    for (std::size_t i = 0; i < 2 * kLight; ++i) {
      Item item;
      item.weight = Weight::Grams(i < kLight ? 500 : 3'000);
      for (Length& side : item.sides) side = Length::Millimetres(100);
      table.Add(item, 0);
    }
    const std::vector<Contents> classes(1);
    const GoodsColumns goods = table.Columns(classes);
    Columns kept;
    const RepriceResults results = kept.Make(goods.rows, 2);
    ASSERT_TRUE(repricer->Run(goods, results).ok());
    absl::StatusOr<RepriceIndex> index = RepriceIndex::Create(*repricer, goods);
    ASSERT_TRUE(index.ok()) << index.status();
    std::vector<Tariff> tariffs = setup.book->tariffs();
    std::vector<Terms> terms;
    Service& parcel = tariffs[0].services[0];
    Service& swift = tariffs[0].services[1];
    ASSERT_EQ(parcel.code, "parcel");
    using Firsts = std::array<std::int16_t, 2>;  // of light goods, by lane
    EXPECT_EQ((Firsts{kept.service[0], kept.service[1]}), (Firsts{0, 1}));
    struct Step {
      std::string name;
      std::function<void()> make;
      Firsts firsts;
      bool moves = true;
    };
    auto most = [](Service& service, std::int32_t one, std::int32_t two) {
      std::vector<std::int32_t> days = {one, two};
      std::size_t at = 0;
      for (auto& zone : service.days) {
        if (zone) zone->most = days.at(at++);
      }
      EXPECT_EQ(at, 2u);
    };
    const Step steps[] = {
        {"the first is later on one lane", [&] { most(parcel, 10, 3); }, {1, 1}},
        {"and sooner on both", [&] { most(parcel, 2, 2); }, {0, 0}},
        {"sooner still, with the same order", [&] { most(swift, 5, 5); }, {0, 0}, false},
        {"as late as the other: by code", [&] { most(parcel, 5, 5); }, {0, 0}, false},
        {"no longer tracked", [&] { parcel.tracked = false; }, {1, 1}},
        {"nor the other", [&] { swift.tracked = false; }, {0, 0}},
    };
    for (const Step& step : steps) {
      SCOPED_TRACE(step.name);
      const Change change = {.name = step.name, .make = [&step](auto&, auto&) { step.make(); }};
      const absl::StatusOr<Repricer> after = After(change, *index, setup, tariffs, terms);
      ASSERT_TRUE(after.ok()) << after.status();
      RepriceIndex::Touched touched;
      ExpectSameAsFresh(*index, goods, kept, results, *after, step.name, &touched);
      if (HasFailure()) return;
      EXPECT_EQ((Firsts{kept.service[0], kept.service[1]}), step.firsts);
      EXPECT_FALSE(touched.everything);
      // Goods of more than a kilogram tie nowhere.
      EXPECT_EQ(touched.rows.size(), step.moves ? kLight : 0);
      EXPECT_TRUE(touched.rows.empty() || touched.rows.back() < kLight);
    }
  }
}

std::vector<Tariff> TariffOfZones(const std::string& zones) {
  Loaded<Tables> tables = ReadTables({{"tariff.json", R"({"format": "tarewise-tariff-1",
    "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "Parcels", "source": "invented",
    "currency": "USD", "in_force": {"from": "2026-01-01"},
    "zones": {"all": [{"kind": "regions", "zones": )" + zones +
                                                          R"(}]},
    "services": [{"code": "parcel", "title": "Parcel", "zones": "all", "mode": "surface",
      "prices": [{"by_zone": {"1": 5, "2": 7, "3": 11}}]}]})"}});
  for (const Diagnostic& diagnostic : tables.diagnostics) ADD_FAILURE() << diagnostic.ToString();
  return tables.ok() ? std::move(tables.value->tariffs) : std::vector<Tariff>();
}

// Places change their zones; as many lanes are alike as before, and no price changes.
TEST(RepriceIndex, FollowsPlacesThatChangeTheirZones) {
  const std::vector<std::string> charts = {R"({"1": ["US:606"], "2": ["US:981"], "3": ["US:331"]})",
                                           R"({"1": ["US:981"], "2": ["US:606"], "3": ["US:331"]})",
                                           R"({"1": ["US:331"], "2": ["US:606"], "3": ["US:981"]})",
                                           R"({"1": ["US:331"], "2": ["US:606"], "3": ["US:981"]})"};
  RepriceSetup setup;
  setup.book = *Ratebook::Create(TariffOfZones(charts[0]), {}, {});
  setup.shipment.date = *Date::Parse("2026-08-03");
  setup.shipment.currency = *Currency::Parse("USD");
  setup.lanes = {LaneTo("US", "60614"), LaneTo("US", "98101")};
  const absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  Table table;
  for (std::int64_t i = 0; i < 12; ++i) {
    Item item;
    item.weight = Weight::Grams(500 + i);
    for (Length& side : item.sides) side = Length::Millimetres(100);
    table.Add(item, 0);
  }
  const std::vector<Contents> classes(1);
  const GoodsColumns goods = table.Columns(classes);
  Columns kept;
  const RepriceResults results = kept.Make(goods.rows, 2);
  ASSERT_TRUE(repricer->Run(goods, results).ok());
  absl::StatusOr<RepriceIndex> index = RepriceIndex::Create(*repricer, goods);
  ASSERT_TRUE(index.ok()) << index.status();
  for (const std::string& chart : charts) {
    const auto book = *Ratebook::Create(TariffOfZones(chart), {}, {});
    const absl::StatusOr<Repricer> after = index->repricer().WithRates(book);
    ASSERT_TRUE(after.ok()) << after.status();
    ExpectSameAsFresh(*index, goods, kept, results, *after, chart);
    if (HasFailure()) return;
  }
  EXPECT_EQ((std::array<std::int64_t, 2>{kept.total[0], kept.total[1]}),
            (std::array<std::int64_t, 2>{7'000'000, 11'000'000}));
}

TEST(RepriceIndex, FollowsEstimatesAndGoodsNearThresholds) {
  const std::vector<Contents> classes = SomeContents();
  for (const bool with_shelf : {true, false}) {
    RepriceSetup setup = DemoSetup(with_shelf);
    if (kFewer > 1) setup.lanes.resize(3);
    setup.lanes.push_back(LaneTo("DE", "10115"));
    absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
    ASSERT_TRUE(repricer.ok()) << repricer.status();
    Random random(31);
    const Table table = NearThresholds(*repricer, classes, Cases(1'000, 4'000), random);
    const GoodsColumns goods = table.Columns(classes);
    Columns kept;
    const RepriceResults results = kept.Make(goods.rows, setup.lanes.size());
    ASSERT_TRUE(repricer->Run(goods, results).ok());
    absl::StatusOr<RepriceIndex> index = RepriceIndex::Create(*repricer, goods);
    ASSERT_TRUE(index.ok()) << index.status();
    std::vector<Tariff> tariffs = setup.book->tariffs();
    std::vector<Terms> terms = setup.book->terms();
    for (const Change& change : Changes()) {
      SCOPED_TRACE(change.name);
      const absl::StatusOr<Repricer> after = After(change, *index, setup, tariffs, terms);
      ASSERT_TRUE(after.ok()) << after.status();
      ExpectSameAsFresh(*index, goods, kept, results, *after, change.name);
      if (HasFailure()) return;
    }
  }
}

// One thing of random tables changed at random: a price, a tax, a discount, a rounding, what is included, or a rule of
// the seller's own. False where the tables have none of the kind.
class RandomChange {
  template <typename List>
  auto& One(List& list) {
    return list[static_cast<std::size_t>(Below(random_, std::ssize(list)))];
  }

 public:
  RandomChange(const Ratebook& book, Random& random) : tariffs(book.tariffs()), terms(book.terms()), random_(random) {
    if (book.seller() != nullptr) seller = *book.seller();
  }

  /// The kind that was changed.
  std::string operator()() {
    static constexpr std::pair<std::string_view, bool (RandomChange::*)()> kKinds[] = {
        {"prices", &RandomChange::Prices},     {"a charge", &RandomChange::AChange},
        {"tax", &RandomChange::ATax},          {"discount", &RandomChange::ADiscount},
        {"rounding", &RandomChange::Rounding}, {"included cover", &RandomChange::IncludedCover},
        {"handicap", &RandomChange::Handicap}, {"rates", &RandomChange::Rates},
        {"days", &RandomChange::AllDays},      {"reduction", &RandomChange::AReduction}};
    for (;;) {
      const auto& [name, change] = One(kKinds);
      if ((this->*change)()) return std::string(name);
    }
  }

  /// Values of series alone, in each tariff that has some. False where none has.
  bool ValuesByDate() {
    bool any = false;
    for (Tariff& tariff : tariffs) any = ChangeValuesByDate(tariff, random_) || any;
    return any;
  }

  std::vector<Tariff> tariffs;
  std::vector<Terms> terms;
  std::optional<SellerRules> seller;

 private:
  bool Chance(std::int64_t one_in) { return Below(random_, one_in) == 0; }
  Service& AnyService() { return One(One(tariffs).services); }
  std::int64_t AnyPercent() { return 70 + Below(random_, 60); }

  bool Prices() {
    const std::int64_t percent = AnyPercent();
    for (PriceAlternative& alternative : AnyService().prices) Scale(alternative.price, percent);
    return true;
  }
  bool AChange() {
    std::vector<ChargeRule>& rules = One(tariffs).rules;
    if (rules.empty()) return false;
    Price& price = One(rules).price;
    if (auto* part = std::get_if<PercentPrice>(&price)) {
      part->percent = Percent::TenThousandths(Below(random_, 400'000));
    } else {
      Scale(price, AnyPercent());
    }
    return true;
  }
  bool ATax() {
    std::vector<Tax>& taxes = One(tariffs).taxes;
    if (taxes.empty()) return false;
    Tax& tax = One(taxes);
    const std::int64_t what = Below(random_, 3);
    if (what == 0) tax.percent = Percent::TenThousandths(Below(random_, 300'000));
    if (what == 1) tax.by_line = !tax.by_line;
    if (what == 2) tax.listed_with = !tax.listed_with;
    return true;
  }
  bool ADiscount() {
    if (terms.empty()) return false;
    Discount& discount = One(One(terms).discounts);
    const std::int64_t what = Below(random_, 4);
    if (what == 0) discount.adds = !discount.adds;
    if (what == 1) discount.less = discount.less ? std::nullopt : std::optional(Amount::Micros(1'250'000));
    if (what == 2) discount.floor = discount.floor ? std::nullopt : std::optional(Amount::Micros(4'000'000));
    if (what == 3) discount.percent = Percent::TenThousandths(Below(random_, 500'000));
    return true;
  }
  bool Rounding() {
    static constexpr std::int64_t kSteps[] = {1'000, 10'000, 50'000, 100'000};
    MoneyRounding& rounding = One(tariffs).rounding;
    (Chance(2) ? rounding.line : rounding.total) = One(kSteps);
    return true;
  }
  bool IncludedCover() {
    Service& service = AnyService();
    if (!service.cover_by_weight) {
      service.included_cover = Amount::Micros(Below(random_, 120) * 1'000'000);
    } else if (Chance(2)) {
      Scale(service.cover_by_weight->price, AnyPercent());
    } else {
      service.cover_by_weight->at_most = Amount::Micros(Below(random_, 200) * 1'000'000);
    }
    return true;
  }
  bool Handicap() {
    if (!seller || seller->handicaps.empty()) return false;
    SellerRules::Handicap& handicap = One(seller->handicaps);
    if (handicap.of_value) {
      handicap.of_value = Percent::TenThousandths(Below(random_, 100'000));
    } else {
      handicap.amount = Amount::Micros(Below(random_, 1'500) * 10'000);
    }
    return true;
  }
  bool Rates() {
    Service& service = AnyService();
    for (PriceAlternative& alternative : service.prices) {
      auto* rates = std::get_if<RatePrice>(&alternative.price);
      if (rates == nullptr) continue;
      rates->deficit = !rates->deficit;
      for (std::int64_t& least : rates->least) least = Chance(3) ? kNotOffered : Below(random_, 2'000) * 10'000;
      return true;
    }
    return false;
  }
  bool AllDays() {
    for (std::optional<Days>& days : AnyService().days) {
      if (days) days->most += static_cast<std::int32_t>(Below(random_, 2));
    }
    return true;
  }
  bool AReduction() {
    std::vector<ChargeRule>& rules = One(tariffs).rules;
    if (rules.empty()) return false;
    ChargeRule& rule = One(rules);
    if (!rule.group.empty()) return false;
    rule.less = !rule.less;
    return true;
  }

  Random& random_;
};

// Random tables changed at random, several times one after another.
using RepriceIndexInRandomWorlds = RandomWorlds;
TEST_F(RepriceIndexInRandomWorlds, FollowsRandomChanges) {
  const std::vector<Contents> classes = SomeContents();
  Random random(32);
  std::size_t updates = 0;
  std::size_t partly = 0;
  std::map<std::string, std::size_t> kinds;
  for (const std::filesystem::path& folder : testing::RandomWorldFolders()) {
    SCOPED_TRACE(folder.filename().string());
    const World world = testing::Compile(testing::LoadTables(folder.string()));
    const std::vector<Request> requests = testing::RequestsOf(folder);
    const RepriceSetup setup = SetupFor(world, requests, random);
    absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
    if (!repricer.ok()) continue;
    const Table table = NearThresholds(*repricer, classes, 600 * kFewerWorlds / kFewer, random);
    const GoodsColumns goods = table.Columns(classes);
    Columns kept;
    const RepriceResults results = kept.Make(goods.rows, setup.lanes.size());
    ASSERT_TRUE(repricer->Run(goods, results).ok());
    ASSERT_TRUE(repricer->Run(goods, results).ok());
    absl::StatusOr<RepriceIndex> index = RepriceIndex::Create(*repricer, goods);
    ASSERT_TRUE(index.ok()) << index.status();
    RandomChange change(*setup.book, random);
    std::string changes;
    for (int i = 0; i < 4; ++i) {
      const std::string kind = change();
      changes += (i == 0 ? "" : ", ") + kind;
      const auto book = Ratebook::Create(change.tariffs, change.terms, setup.book->gazetteer(), change.seller);
      ASSERT_TRUE(book.ok()) << kind << ": " << book.status();
      const absl::StatusOr<Repricer> after = index->repricer().WithRates(*book);
      ASSERT_TRUE(after.ok()) << after.status();
      RepriceIndex::Touched touched;
      ExpectSameAsFresh(*index, goods, kept, results, *after, changes, &touched);
      if (HasFailure()) return;
      ++updates;
      ++kinds[kind];
      partly += !touched.everything && touched.rows.size() < goods.rows ? 1 : 0;
    }
  }
  EXPECT_GT(updates, 50 / kFewerWorlds);
  EXPECT_GT(partly, updates / 2);
  EXPECT_EQ(kinds.size(), 10u);
}

// The same where nothing changes but values of series, which surcharges and prices follow.
TEST_F(RepriceIndexInRandomWorlds, FollowsValuesThatChangeByDate) {
  const std::vector<Contents> classes = SomeContents();
  Random random(33);
  std::size_t updates = 0;
  std::size_t touching = 0;
  std::size_t partly = 0;
  std::size_t number = 0;
  for (const std::filesystem::path& folder : testing::RandomWorldFolders()) {
    if (number++ % 3 != 0) continue;
    SCOPED_TRACE(folder.filename().string());
    const World world = testing::Compile(testing::LoadTables(folder.string()));
    RepriceSetup setup = SetupFor(world, testing::RequestsOf(folder), random);
    RandomChange change(*setup.book, random);
    absl::StatusOr<Repricer> repricer = Repricer::Create(setup);
    if (!repricer.ok()) continue;
    const Table table = NearThresholds(*repricer, classes, 300, random);
    const GoodsColumns goods = table.Columns(classes);
    Columns as_written;
    ASSERT_TRUE(repricer->Run(goods, as_written.Make(goods.rows, setup.lanes.size())).ok());
    for (Tariff& tariff : change.tariffs) FollowSeries(tariff);
    const auto dated = Ratebook::Create(change.tariffs, change.terms, setup.book->gazetteer(), change.seller);
    ASSERT_TRUE(dated.ok()) << dated.status();
    setup.book = *dated;
    repricer = Repricer::Create(setup);
    ASSERT_TRUE(repricer.ok()) << repricer.status();
    Columns kept;
    const RepriceResults results = kept.Make(goods.rows, setup.lanes.size());
    ASSERT_TRUE(repricer->Run(goods, results).ok());
    ASSERT_TRUE(kept == as_written) << "a series at the values of the list prices as the list does";
    absl::StatusOr<RepriceIndex> index = RepriceIndex::Create(*repricer, goods);
    ASSERT_TRUE(index.ok()) << index.status();
    for (int i = 0; i < 4; ++i) {
      if (!change.ValuesByDate()) break;
      const auto book = Ratebook::Create(change.tariffs, change.terms, setup.book->gazetteer(), change.seller);
      ASSERT_TRUE(book.ok()) << book.status();
      const absl::StatusOr<Repricer> after = index->repricer().WithRates(*book);
      ASSERT_TRUE(after.ok()) << after.status();
      RepriceIndex::Touched touched;
      const Columns before = kept;
      ExpectSameAsFresh(*index, goods, kept, results, *after, std::to_string(i), &touched);
      if (HasFailure()) return;
      ++updates;
      touching += kept == before ? 0 : 1;
      partly += !touched.everything && touched.rows.size() < goods.rows ? 1 : 0;
    }
  }
  EXPECT_GT(updates, kFewer > 1 ? 6u : 50u);
  EXPECT_GT(touching, updates / 10);
  EXPECT_GT(partly, updates / 2);
}

TEST(RepriceIndex, MistakesAreErrors) {
  const absl::StatusOr<Repricer> repricer = Repricer::Create(DemoSetup());
  ASSERT_TRUE(repricer.ok()) << repricer.status();
  const GoodsColumns goods = DemoCatalogue().Columns();
  GoodsColumns bad = goods;
  bad.weight.data = nullptr;
  EXPECT_EQ(RepriceIndex::Create(*repricer, bad).status().code(), absl::StatusCode::kInvalidArgument);
  absl::StatusOr<RepriceIndex> index = RepriceIndex::Create(*repricer, goods);
  ASSERT_TRUE(index.ok()) << index.status();
  Columns kept;
  const RepriceResults results = kept.Make(goods.rows, 9);
  bad = goods;
  --bad.rows;
  EXPECT_EQ(index->Update(*repricer, bad, results).status().code(), absl::StatusCode::kInvalidArgument);
  RepriceResults mixed = results;
  mixed.expected = kept.worst.data();
  EXPECT_EQ(index->Update(*repricer, goods, mixed).status().code(), absl::StatusCode::kInvalidArgument);
  EXPECT_EQ(kept.total.front(), -77);
}

}  // namespace
}  // namespace tarewise::reprice_index_test
