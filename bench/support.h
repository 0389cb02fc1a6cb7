#ifndef TAREWISE_BENCH_SUPPORT_H_
#define TAREWISE_BENCH_SUPPORT_H_

// What the benchmarks share: the demonstration's nine zones, and seeded goods. All of it is invented; see
// tables/README.md.

#include <cstdint>
#include <memory>
#include <utility>
#include <vector>

#include "support/demo_goods.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/documents/load.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::bench {

using testing::Demo;
using testing::RequestOn;
using testing::Stop;
using World = testing::Compiled;

// Read and made ready anew, for what measures that.
inline World LoadDemo() { return testing::Compile(testing::LoadTables(testing::DemoFolder())); }

// Harbourline's nine zones from 05401, near to far; a home each.
inline std::vector<Lane> NineZones() {
  return testing::LanesToHomes({"05401", "05602", "12207", "10011", "60614", "33139", "80202", "98101", "96910"});
}

// Seeded goods: sides and weights as a seller's are, on the steps of a tape and a scale.
using Goods = testing::GoodsTable;

// `least` and `spread` in eighths of an inch; weights in tenths of an ounce up to `most_tenths`.
inline Goods MakeGoods(std::size_t rows, int least, int spread, int most_tenths, std::uint64_t seed = 20260803) {
  testing::Random random(seed);
  Goods goods;
  goods.weight.reserve(rows);
  for (std::size_t row = 0; row < rows; ++row) {
    // The product of two draws: many light, few heavy.
    const std::int64_t a = testing::Pick(random, 1, 1000);
    const std::int64_t b = testing::Pick(random, 1, 1000);
    const std::int64_t tenths = 1 + a * b * most_tenths / 1'000'000;
    goods.weight.push_back((tenths * 28'349'523'125 + 5) / 10);
    for (std::vector<std::int64_t>& side : goods.sides) {
      side.push_back((least + testing::Below(random, spread)) * 3'175'000);
    }
  }
  return goods;
}

/// What a run writes, for so many lanes.
struct Results {
  std::vector<std::int64_t> total;
  std::vector<std::int16_t> service;
  std::vector<std::int16_t> packaging;
  std::vector<std::uint8_t> reason;

  RepriceResults Of(std::size_t rows, std::size_t lanes) {
    total.resize(rows * lanes);
    service.resize(rows * lanes);
    packaging.resize(rows * lanes);
    reason.resize(rows);
    RepriceResults results;
    results.total = total.data();
    results.service = service.data();
    results.packaging = packaging.data();
    results.reason = reason.data();
    return results;
  }
};

inline RepriceSetup Setup(const World& world, std::vector<Lane> lanes = NineZones()) {
  return testing::SetupOn(std::move(lanes), world);
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
  Request request = RequestOn(lane);
  request.goods = {table.At(row)};
  return request;
}

}  // namespace tarewise::bench

#endif  // TAREWISE_BENCH_SUPPORT_H_
