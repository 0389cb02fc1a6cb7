#ifndef TAREWISE_BENCH_SUPPORT_H_
#define TAREWISE_BENCH_SUPPORT_H_

// What the benchmarks share: the demonstration's tables, and seeded goods. All of it is invented; see tables/README.md.

#include <array>
#include <cstdint>
#include <cstdlib>
#include <iostream>
#include <memory>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/batch/reprice.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/rank.h"

#ifndef TW_BENCH_ROOT
#define TW_BENCH_ROOT "."
#endif

namespace tarewise::bench {

[[noreturn]] inline void Stop(const std::string& why) {
  std::cerr << why << "\n";
  std::exit(1);
}

inline std::string DemoFolder() { return std::string(TW_BENCH_ROOT) + "/tables/demo"; }

inline Tables LoadDemo() {
  Loaded<Tables> loaded = ReadFolder(DemoFolder());
  if (!loaded.ok()) Stop("the demonstration's tables cannot be read");
  return *std::move(loaded.value);
}

struct World {
  std::shared_ptr<const Ratebook> book;
  std::shared_ptr<const Shelf> shelf;
};

inline World Demo() {
  Tables tables = LoadDemo();
  World world;
  world.shelf = std::make_shared<const Shelf>(tables.shelf.value_or(Shelf{}));
  auto book = Ratebook::Create(std::move(tables.tariffs), std::move(tables.terms), std::move(tables.gazetteer));
  if (!book.ok()) Stop(book.status().ToString());
  world.book = *std::move(book);
  return world;
}

// Harbourline's nine zones from 05401, near to far; a home each.
inline std::vector<Lane> NineZones() {
  std::vector<Lane> lanes;
  for (const char* code : {"05401", "05602", "12207", "10011", "60614", "33139", "80202", "98101", "96910"}) {
    lanes.push_back({*Place::Make("US", "05401"), *Place::Make("US", code, true)});
  }
  return lanes;
}

// Seeded goods: sides and weights as a seller's are, on the steps of a tape and a scale.
struct Goods {
  std::vector<std::int64_t> weight;
  std::array<std::vector<std::int64_t>, 3> sides;

  GoodsColumns Columns() const {
    GoodsColumns goods;
    goods.rows = weight.size();
    goods.weight = Column::Of(weight);
    for (std::size_t i = 0; i < 3; ++i) goods.sides[i] = Column::Of(sides[i]);
    return goods;
  }
};

// `least` and `spread` in eighths of an inch; weights in tenths of an ounce up to `most_tenths`.
inline Goods MakeGoods(std::size_t rows, int least, int spread, int most_tenths, std::uint64_t seed = 20260803) {
  std::mt19937_64 random(seed);
  Goods goods;
  goods.weight.reserve(rows);
  for (std::size_t row = 0; row < rows; ++row) {
    // The product of two draws: many light, few heavy.
    const std::int64_t a = static_cast<std::int64_t>(random() % 1000) + 1;
    const std::int64_t b = static_cast<std::int64_t>(random() % 1000) + 1;
    const std::int64_t tenths = 1 + a * b * most_tenths / 1'000'000;
    goods.weight.push_back((tenths * 28'349'523'125 + 5) / 10);
    for (std::vector<std::int64_t>& side : goods.sides) {
      const std::int64_t eighths = least + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(spread));
      side.push_back(eighths * 3'175'000);
    }
  }
  return goods;
}

inline RepriceSetup Setup(const World& world, std::vector<Lane> lanes = NineZones()) {
  RepriceSetup setup;
  setup.book = world.book;
  setup.shelf = world.shelf;
  setup.shipment.date = *Date::Parse("2026-08-03");
  setup.shipment.currency = *Currency::Parse("USD");
  setup.lanes = std::move(lanes);
  return setup;
}

// The shelf's cartons alone: packaging whose outside sides do not depend on the goods.
inline std::shared_ptr<const Shelf> CartonsOf(const Shelf& shelf) {
  auto out = std::make_shared<Shelf>();
  out->currency = shelf.currency;
  for (const Shelf::Own& own : shelf.own) {
    if (own.packaging.kind == PackagingKind::kCarton) out->own.push_back(own);
  }
  return out;
}

inline Request RequestOf(const Goods& table, std::size_t row, const Lane& lane) {
  Item item;
  item.weight = Weight::Nanograms(table.weight[row]);
  for (std::size_t i = 0; i < 3; ++i) item.sides[i] = Length::Nanometres(table.sides[i][row]);
  Request request;
  request.goods = {item};
  request.lane = lane;
  request.date = *Date::Parse("2026-08-03");
  request.currency = *Currency::Parse("USD");
  return request;
}

}  // namespace tarewise::bench

#endif  // TAREWISE_BENCH_SUPPORT_H_
