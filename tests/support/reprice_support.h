#ifndef TAREWISE_TESTS_SUPPORT_REPRICE_SUPPORT_H_
#define TAREWISE_TESTS_SUPPORT_REPRICE_SUPPORT_H_

// Goods and result columns for the tests of repricing.

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <memory>
#include <random>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "gtest/gtest.h"
#include "support/catalogue.h"
#include "support/demo_goods.h"
#include "support/fewer.h"
#include "support/random_worlds.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/tariff/price.h"
#include "tarewise/tariff/series.h"
#include "tarewise/tariff/tariff.h"

namespace tarewise::reprice_test {

using testing::Below;
using testing::Demo;
using testing::kFewer;
using testing::LaneTo;
using testing::Random;
using Table = testing::GoodsTable;
using World = testing::Compiled;

// Every result of a run.
struct Columns {
  std::vector<std::int64_t> total;
  std::vector<std::int64_t> second;
  std::vector<std::int16_t> service;
  std::vector<std::int16_t> packaging;
  std::vector<std::int64_t> worst;
  std::vector<std::int32_t> worst_lane;
  std::vector<std::int64_t> expected;
  std::vector<std::int64_t> quantile;
  std::vector<std::uint8_t> reason;
  std::size_t lanes = 0;

  RepriceResults Make(std::size_t rows, std::size_t lane_count, bool mix = false,
                      std::span<const std::int64_t> levels = {}) {
    lanes = lane_count;
    total.assign(rows * lanes, -77);
    second.assign(rows * lanes, -77);
    service.assign(rows * lanes, -77);
    packaging.assign(rows * lanes, -77);
    worst.assign(rows, -77);
    worst_lane.assign(rows, -77);
    reason.assign(rows, 77);
    RepriceResults results;
    results.total = total.data();
    results.second_total = second.data();
    results.service = service.data();
    results.packaging = packaging.data();
    results.worst = worst.data();
    results.worst_lane = worst_lane.data();
    results.reason = reason.data();
    if (mix) {
      expected.assign(rows, -77);
      quantile.assign(rows * levels.size(), -77);
      results.expected = expected.data();
      results.quantile = quantile.data();
      results.levels = levels;
    }
    return results;
  }

  friend bool operator==(const Columns&, const Columns&) = default;
};

// Lanes of the nine zones of Harbourline in the demonstration, homes and a shop.
inline RepriceSetup DemoSetup(bool with_shelf = true) {
  RepriceSetup setup = testing::SetupOn(
      testing::LanesToHomes({"05401", "05602", "12207", "10011", "60614", "33139", "98101", "00901", "96910"}));
  setup.lanes[3].to = *Place::Make("US", "10011", false);
  if (!with_shelf) setup.shelf = nullptr;
  return setup;
}

// Goods close to whatever changes their price: insides of packagings, cuts of services, bounds of declared values.
class GoodsNearThresholds {
 public:
  GoodsNearThresholds(const Repricer& repricer, std::span<const Contents> classes, Random& random)
      : repricer_(repricer), classes_(classes), random_(random) {
    const Shelf* shelf = repricer.setup().shelf.get();
    if (shelf != nullptr) {
      for (const Shelf::Own& own : shelf->own) packagings_.push_back(&own.packaging);
    }
    for (const Dispatch::Carrier& carrier : repricer.dispatch(0)->carriers()) {
      for (const Packaging& packaging : carrier.edition->tariff->packaging) packagings_.push_back(&packaging);
    }
  }

  std::pair<Item, std::uint16_t> operator()() {
    Item item;
    const std::uint16_t number = static_cast<std::uint16_t>(Below(random_, static_cast<std::int64_t>(classes_.size())));
    item.contents = classes_[number];
    item.quantity = One(8) ? 2 + static_cast<std::int32_t>(Below(random_, 3)) : 1;
    item.shape = static_cast<Shape>(One(2) ? 0 : Below(random_, 5));
    item.this_side_up = One(6);
    item.rigid = One(3);
    item.bare_allowed = One(5);
    const Packaging* packaging =
        packagings_.empty() ? nullptr : packagings_[static_cast<std::size_t>(Below(random_, std::ssize(packagings_)))];
    Sides(packaging, item);
    Weigh(packaging, item);
    item.value = Amount::Micros(Value());
    return {item, number};
  }

 private:
  bool One(std::int64_t in) { return Below(random_, in) == 0; }
  std::int64_t Nudge() { return Below(random_, 3) - 1; }
  std::int64_t Clamp(std::int64_t side) { return std::clamp<std::int64_t>(side, 1, Length::kMostSideNanometres); }

  void Sides(const Packaging* packaging, Item& item) {
    std::array<std::int64_t, 3> sides;
    if (packaging == nullptr || One(3)) {
      // From a tenth of an inch to some three feet, most of them small, in eighths of an inch or any nanometre.
      for (std::int64_t& side : sides) {
        const double inches = std::exp(std::uniform_real_distribution<double>(-2.3, 3.6)(random_));
        side = static_cast<std::int64_t>(inches * 25'400'000);
        if (One(2)) side = std::max<std::int64_t>(side / 3'175'000, 1) * 3'175'000;
      }
      if (One(2)) sides[2] = std::max<std::int64_t>(sides[2] / 8, 1);
    } else {
      const std::int64_t padding = item.contents.Has(Trait::kFragile) && !repricer_.setup().padding
                                       ? Length::Inches(1).nanometres()
                                       : repricer_.setup().padding.value_or(Length()).nanometres();
      for (std::size_t i = 0; i < 3; ++i) sides[i] = packaging->inside[i].nanometres();
      if (packaging->kind == PackagingKind::kMailer) {
        const std::int64_t thick = Below(random_, sides[0] / 2 + 1);
        sides = {sides[1] - thick, sides[0] - thick, thick};
      } else if (packaging->kind == PackagingKind::kTube) {
        const double angle = std::uniform_real_distribution<double>(0, 1.5)(random_);
        const double across = static_cast<double>(sides[0]);
        sides = {sides[1], static_cast<std::int64_t>(across * std::cos(angle)),
                 static_cast<std::int64_t>(across * std::sin(angle))};
      } else if (packaging->kind == PackagingKind::kCarton) {
        for (std::int64_t& side : sides) side -= 2 * padding;
      }
      for (std::int64_t& side : sides) {
        if (One(3)) side -= Below(random_, 100'000'000);
        side += Nudge();
      }
      if (!item.this_side_up) std::shuffle(sides.begin(), sides.end(), random_);
      if (item.quantity > 1) sides[2] /= item.quantity;
    }
    for (std::size_t i = 0; i < 3; ++i) item.sides[i] = Length::Nanometres(Clamp(sides[i]));
  }

  void Weigh(const Packaging* packaging, Item& item) {
    const std::vector<internal::ServiceState>& services = internal::StateOf(*repricer_.dispatch(0)).services();
    const internal::ServiceState& state = services[static_cast<std::size_t>(Below(random_, std::ssize(services)))];
    std::int64_t weight = static_cast<std::int64_t>(std::exp(std::uniform_real_distribution<double>(23, 31)(random_)));
    if (!One(3)) {
      const std::int64_t cut = state.compiled->cuts.NextWeight(weight, state.service().measure.weight);
      if (cut < Weight::kMostNanograms) weight = cut;
      if (packaging != nullptr) {
        weight -= packaging->tare.nanograms() + repricer_.setup().fill_weight.nanograms();
      }
      weight += Nudge();
      if (item.quantity > 1) weight /= item.quantity;
    }
    item.weight = Weight::Nanograms(std::clamp<std::int64_t>(weight, 1, Weight::kMostNanograms / 10));
  }

  std::int64_t Value() {
    static constexpr std::int64_t kBounds[] = {0, 20, 50, 100, 250, 500, 1000, 1500, 2000, 25'000, 70'000, 100'000};
    const std::int64_t bound = kBounds[Below(random_, std::size(kBounds))];
    if (One(2)) return Below(random_, 400) * 500'000;
    return std::max<std::int64_t>(bound * 1'000'000 + Nudge() * (One(2) ? 1 : 10'000), 0);
  }

  const Repricer& repricer_;
  std::span<const Contents> classes_;
  Random& random_;
  std::vector<const Packaging*> packagings_;
};

inline std::vector<Contents> SomeContents() {
  std::vector<Contents> classes(1);
  for (const std::initializer_list<std::string_view> words : {std::initializer_list<std::string_view>{"media"},
                                                              {"documents"},
                                                              {"fragile"},
                                                              {"media", "fragile"},
                                                              {"lithium_in_equipment"},
                                                              {"lithium_alone"},
                                                              {"flammable_liquid", "liquid"},
                                                              {"aerosol"},
                                                              {"sharp"},
                                                              {"live"},
                                                              {"perishable"},
                                                              {"fragile", "liquid"},
                                                              {"x-antique"},
                                                              {"x-clock", "fragile"},
                                                              {"x-vinyl", "media"}}) {
    Contents contents;
    for (const std::string_view word : words) EXPECT_TRUE(contents.Add(word).ok());
    classes.push_back(contents);
  }
  return classes;
}

// So many rows of what `next` makes: an item, and the number of its contents.
template <typename Next>
Table TableOf(std::size_t rows, Next next) {
  Table table;
  for (std::size_t i = 0; i < rows; ++i) {
    const auto [item, number] = next();
    table.Add(item, number);
  }
  return table;
}

inline Table NearThresholds(const Repricer& repricer, std::span<const Contents> classes, std::size_t rows,
                            Random& random) {
  return TableOf(rows, GoodsNearThresholds(repricer, classes, random));
}

// Lets the prices and surcharges of a tariff that are one amount or one percentage take it from a series, at the values
// that they have: nothing costs another price by that.
inline void FollowSeries(Tariff& tariff) {
  Series series;
  series.code = "made";
  for (const char* from : {"2020-01-01", "2026-07-20", "2026-08-10"}) series.rows.push_back({*Date::Parse(from), {}});
  std::vector<std::int64_t> values;
  const auto follow = [&](std::int64_t micros) {
    ValueByDate by;
    by.series = static_cast<std::uint32_t>(tariff.series.size());
    by.column = static_cast<std::uint32_t>(values.size());
    values.push_back(micros);
    series.columns.push_back("column-" + std::to_string(by.column));
    tariff.by_date.push_back(by);
    return static_cast<std::uint32_t>(tariff.by_date.size() - 1);
  };
  const auto flat = [&](Price& price) {
    if (const auto* one = std::get_if<FlatPrice>(&price)) price = DatedPrice{follow(one->amount.micros())};
  };
  for (ChargeRule& rule : tariff.rules) {
    flat(rule.price);
    auto* part = std::get_if<PercentPrice>(&rule.price);
    if (part != nullptr && !part->by_date) part->by_date = follow(part->percent.ten_thousandths() * 100);
  }
  for (Service& service : tariff.services) {
    for (PriceAlternative& alternative : service.prices) flat(alternative.price);
  }
  if (values.empty()) return;
  for (std::size_t row = 0; row < series.rows.size(); ++row) {
    series.values.insert(series.values.end(), values.begin(), values.end());
  }
  tariff.series.push_back(std::move(series));
}

// Changes what series of a tariff have on one day or on all of them, in columns that prices take: to another value, to
// 0, or to none. False where no price of the tariff changes by date.
inline bool ChangeValuesByDate(Tariff& tariff, Random& random) {
  if (tariff.by_date.empty()) return false;
  const auto below = [&random](std::size_t size) {
    return static_cast<std::size_t>(Below(random, static_cast<std::int64_t>(size)));
  };
  for (int i = 0; i < 4; ++i) {
    const ValueByDate& by = tariff.by_date[below(tariff.by_date.size())];
    Series& series = tariff.series[by.series];
    const std::size_t only = below(4 * series.rows.size());
    const std::int64_t percent = 50 + Below(random, 100);
    const std::int64_t what = Below(random, 8);
    for (std::size_t row = 0; row < series.rows.size(); ++row) {
      if (only < series.rows.size() && row != only) continue;
      std::int64_t& value = series.values[row * series.columns.size() + by.column];
      if (what == 0) {
        value = Series::kNoValue;
      } else if (what == 1) {
        value = 0;
      } else {
        value = (value == Series::kNoValue ? 5'000'000 : value) * percent / 100 / 10'000 * 10'000;
        value = std::min(value, kMostMicros);
      }
    }
  }
  return true;
}

// The demonstration catalogue, as numbers in ounces, inches and dollars.
struct Catalogue {
  std::vector<double> ounces;
  std::array<std::vector<double>, 3> inches;
  std::vector<std::int32_t> quantity;
  std::vector<double> dollars;
  std::vector<std::uint32_t> contents;
  std::vector<Contents> classes;
  std::vector<std::int8_t> shape;
  std::vector<std::uint8_t> up;
  std::vector<std::uint8_t> rigid;
  std::vector<std::uint8_t> bare;

  GoodsColumns Columns() const {
    GoodsColumns goods;
    goods.rows = ounces.size();
    goods.weight = Column::Of(ounces, kNanogramsPerOunce);
    for (std::size_t i = 0; i < 3; ++i) goods.sides[i] = Column::Of(inches[i], kNanometresPerInch);
    goods.quantity = Column::Of(quantity);
    goods.value = Column::Of(dollars, kMicrosPerUnit);
    goods.contents = Column::Of(contents);
    goods.contents_classes = classes;
    goods.shape = Column::Of(shape);
    goods.this_side_up = Column::Of(up);
    goods.rigid = Column::Of(rigid);
    goods.bare = Column::Of(bare);
    return goods;
  }
};

inline const Catalogue& DemoCatalogue() {
  static const Catalogue* const catalogue = [] {
    auto* out = new Catalogue;
    for (const testing::CatalogueRow& row : testing::Catalogue()) {
      out->ounces.push_back(std::stod(row.weight));
      for (std::size_t i = 0; i < 3; ++i) out->inches[i].push_back(std::stod(row.sides[i]));
      out->quantity.push_back(row.quantity);
      out->dollars.push_back(std::stod(row.value));
      const Item item = testing::ItemOf(row);
      const auto known = std::find(out->classes.begin(), out->classes.end(), item.contents);
      out->contents.push_back(static_cast<std::uint32_t>(known - out->classes.begin()));
      if (known == out->classes.end()) out->classes.push_back(item.contents);
      out->shape.push_back(static_cast<std::int8_t>(item.shape));
      out->up.push_back(row.this_side_up ? 1 : 0);
      out->rigid.push_back(row.rigid ? 1 : 0);
      out->bare.push_back(row.bare ? 1 : 0);
    }
    return out;
  }();
  return *catalogue;
}

class RandomWorlds : public ::testing::Test {
 protected:
  // What one of a world's requests asks for, with the lanes of several of them together.
  static RepriceSetup SetupFor(const World& world, const std::vector<Request>& requests, Random& random) {
    const Request& like = requests[static_cast<std::size_t>(Below(random, std::ssize(requests)))];
    RepriceSetup setup;
    setup.book = world.book;
    setup.shelf = world.shelf;
    setup.shipment = Shipment::Of(like, world.shelf.get());
    setup.padding = like.padding;
    setup.fill_weight = like.fill_weight;
    setup.allowance = like.allowance;
    for (int i = 0; i < 6; ++i) {
      setup.lanes.push_back(requests[static_cast<std::size_t>(Below(random, std::ssize(requests)))].lane);
    }
    return setup;
  }
};

}  // namespace tarewise::reprice_test

#endif  // TAREWISE_TESTS_SUPPORT_REPRICE_SUPPORT_H_
