// A catalogue for nine zones at once: by envelopes, by `Rank` row by row, and by a plain loop over the grids.
//
// Aims: 3 million goods a second a core for all nine zones; 1,000 times `Rank` on packaging of fixed size; an update
// that touches one service of 100,000 goods under 30 ms; 1.8 times as fast on two cores. Every pair's answers are
// compared first.
#include <benchmark/benchmark.h>
#include <malloc.h>

#include <algorithm>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "support.h"
#include "tarewise/batch/index.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/compare/kept_catalogue.h"
#include "tarewise/compare/tariffs.h"

namespace tarewise::bench {
namespace {

World Cartons() {
  World world = Demo();
  world.shelf = CartonsOf(*world.shelf);
  return world;
}

Repricer Made(const World& world) {
  auto repricer = Repricer::Create(Setup(world));
  if (!repricer.ok()) Stop(repricer.status().ToString());
  return *std::move(repricer);
}

// The same answers as `Rank` on a sample, or nothing is timed.
void CheckAgainstRank(const World& world, const Goods& goods, const Results& results) {
  const std::vector<Lane> lanes = NineZones();
  for (std::size_t row = 0; row < goods.weight.size(); row += std::max<std::size_t>(1, goods.weight.size() / 40)) {
    for (std::size_t lane = 0; lane < lanes.size(); lane += 4) {
      const auto ranking = Rank(world.book, world.shelf, RequestOf(goods, row, lanes[lane]), {.thresholds = false});
      const std::int64_t best =
          !ranking.ok() || ranking->offers().empty() ? -1 : ranking->offers().front().total.micros();
      if (best != results.total[row * lanes.size() + lane]) Stop("row " + std::to_string(row) + " differs from Rank");
    }
  }
}

void Run(benchmark::State& state, const World& world, const Goods& goods, unsigned threads) {
  const Repricer repricer = Made(world);
  Results results;
  const GoodsColumns columns = goods.Columns();
  const RepriceResults out = results.Of(columns.rows, 9);
  if (!repricer.Run(columns, out).ok()) Stop("the run failed");  // what rows share is worked out here
  CheckAgainstRank(world, goods, results);
  for (auto _ : state) {
    if (!repricer.Run(columns, out, {.threads = threads}).ok()) Stop("the run failed");
  }
  state.counters["goods/s"] =
      benchmark::Counter(static_cast<double>(columns.rows), benchmark::Counter::kIsIterationInvariantRate);
}

// Goods of 3 to 15 in a side, to 20 lb; cartons alone, whose price depends on weight and lane.
void FixedSizePackaging(benchmark::State& state) {
  Run(state, Cartons(), MakeGoods(static_cast<std::size_t>(state.range(0)), 24, 96, 3200), 1);
}
BENCHMARK(FixedSizePackaging)
    ->RangeMultiplier(10)
    ->Range(1'000, 10'000'000)
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

// The same goods with everything on the shelf: mailers, envelopes, tubes and the carriers' own too.
void WholeShelf(benchmark::State& state) {
  Run(state, Demo(), MakeGoods(static_cast<std::size_t>(state.range(0)), 24, 96, 3200), 1);
}
BENCHMARK(WholeShelf)->RangeMultiplier(10)->Range(1'000, 1'000'000)->Unit(benchmark::kMillisecond)->UseRealTime();

// Small goods, most of which go into mailers, whose sides follow the goods.
void WholeShelfSmallGoods(benchmark::State& state) {
  Run(state, Demo(), MakeGoods(static_cast<std::size_t>(state.range(0)), 4, 72, 640), 1);
}
BENCHMARK(WholeShelfSmallGoods)->Arg(100'000)->Unit(benchmark::kMillisecond)->UseRealTime();

void FixedSizePackagingOnThreads(benchmark::State& state) {
  Run(state, Cartons(), MakeGoods(1'000'000, 24, 96, 3200), static_cast<unsigned>(state.range(0)));
}
BENCHMARK(FixedSizePackagingOnThreads)->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

// From nothing: what rows share is worked out as they need it.
void FirstRun(benchmark::State& state) {
  const World world = Demo();
  const Goods goods = MakeGoods(static_cast<std::size_t>(state.range(0)), 24, 96, 3200);
  const GoodsColumns columns = goods.Columns();
  Results results;
  const RepriceResults out = results.Of(columns.rows, 9);
  for (auto _ : state) {
    const Repricer repricer = Made(world);
    if (!repricer.Run(columns, out).ok()) Stop("the run failed");
  }
}
BENCHMARK(FirstRun)->Arg(1'000)->Arg(100'000)->Unit(benchmark::kMillisecond)->UseRealTime();

// `Rank` for each good and zone, totals alone: the brute force that stays the source of truth.
void ByRank(benchmark::State& state) {
  const World world = Cartons();
  const Goods goods = MakeGoods(20, 24, 96, 3200);
  std::vector<std::shared_ptr<const Dispatch>> dispatches;
  for (const Lane& lane : NineZones()) {
    auto dispatch = Dispatch::Create(world.book, Shipment::Of(RequestOf(goods, 0, lane), world.shelf.get()));
    if (!dispatch.ok()) Stop(dispatch.status().ToString());
    dispatches.push_back(std::make_shared<const Dispatch>(*std::move(dispatch)));
  }
  for (auto _ : state) {
    for (std::size_t row = 0; row < goods.weight.size(); ++row) {
      for (const auto& dispatch : dispatches) {
        auto ranking =
            Rank(dispatch, world.shelf, RequestOf(goods, row, dispatch->shipment().lane), {.thresholds = false});
        benchmark::DoNotOptimize(ranking);
      }
    }
  }
  state.counters["goods/s"] =
      benchmark::Counter(static_cast<double>(goods.weight.size()), benchmark::Counter::kIsIterationInvariantRate);
}
BENCHMARK(ByRank)->Unit(benchmark::kMillisecond);

// The yardstick: what one would write by hand for the simplest half of the work. Every carton that fits, every service
// with a grid by weight, one binary search a service and carton, nine cells each; no dimensional weight, surcharges,
// limits, discounts, currencies or ties. It answers less than `Reprice` does, so being faster than it is a fair aim.
void PlainLoop(benchmark::State& state) {
  const World world = Cartons();
  const Goods goods = MakeGoods(static_cast<std::size_t>(state.range(0)), 24, 96, 3200);
  struct Grid {
    std::vector<std::int64_t> bounds;
    std::vector<std::int64_t> cells;  // nine a row
  };
  std::vector<Grid> grids;
  const auto dispatch =
      Dispatch::Create(world.book, Shipment::Of(RequestOf(goods, 0, NineZones()[0]), world.shelf.get()));
  for (const Dispatch::Entry& service : dispatch->services()) {
    if (!dispatch->carriers()[service.carrier].currency_ok()) continue;
    for (const PriceAlternative& price : service.service->prices) {
      const auto* table = std::get_if<TablePrice>(&price.price);
      if (table == nullptr || QuantityOf(table->by) != Quantity::kWeight) continue;
      Grid grid;
      for (std::size_t row = 0; row < table->rows(); ++row) {
        grid.bounds.push_back(static_cast<std::int64_t>(table->bounds[row]));
        for (std::size_t zone = 0; zone < 9; ++zone) {
          const std::int64_t cell = table->cell(row, std::min(zone, table->columns.size() - 1));
          grid.cells.push_back(cell == kNotOffered ? INT64_MAX / 4 : cell);
        }
      }
      grids.push_back(std::move(grid));
    }
  }
  struct Box {
    std::array<std::int64_t, 3> inside;
    std::int64_t tare;
    std::int64_t cost;
  };
  std::vector<Box> boxes;
  for (const Shelf::Own& own : world.shelf->own) {
    std::array<std::int64_t, 3> inside{};
    for (std::size_t i = 0; i < 3; ++i) inside[i] = own.packaging.inside[i].nanometres();
    std::sort(inside.begin(), inside.end());
    boxes.push_back({inside, own.packaging.tare.nanograms(), own.packaging.cost.micros()});
  }
  std::vector<std::int64_t> best(goods.weight.size() * 9);
  for (auto _ : state) {
    for (std::size_t row = 0; row < goods.weight.size(); ++row) {
      std::int64_t* out = &best[row * 9];
      std::fill_n(out, 9, INT64_MAX / 2);
      std::array<std::int64_t, 3> sides = {goods.sides[0][row], goods.sides[1][row], goods.sides[2][row]};
      std::sort(sides.begin(), sides.end());
      for (const Box& box : boxes) {
        if (sides[0] > box.inside[0] || sides[1] > box.inside[1] || sides[2] > box.inside[2]) continue;
        const std::int64_t gross = goods.weight[row] + box.tare;
        for (const Grid& grid : grids) {
          const auto at = std::lower_bound(grid.bounds.begin(), grid.bounds.end(), gross);
          if (at == grid.bounds.end()) continue;
          const std::int64_t* cells = &grid.cells[static_cast<std::size_t>(at - grid.bounds.begin()) * 9];
          for (std::size_t zone = 0; zone < 9; ++zone) out[zone] = std::min(out[zone], cells[zone] + box.cost);
        }
      }
    }
    benchmark::DoNotOptimize(best.data());
  }
  state.counters["goods/s"] =
      benchmark::Counter(static_cast<double>(goods.weight.size()), benchmark::Counter::kIsIterationInvariantRate);
}
BENCHMARK(PlainLoop)->Arg(100'000)->Unit(benchmark::kMillisecond);

// Harbourline Parcel 0.11 dearer everywhere.
std::shared_ptr<const Ratebook> OneServiceDearer(const Ratebook& book) {
  std::vector<Tariff> tariffs = book.tariffs();
  for (Tariff& tariff : tariffs) {
    for (Service& service : tariff.services) {
      if (tariff.carrier != "harbourline" || service.code != "parcel") continue;
      for (PriceAlternative& price : service.prices) {
        if (auto* table = std::get_if<TablePrice>(&price.price)) {
          for (std::int64_t& cell : table->cells) cell += cell == kNotOffered ? 0 : 110'000;
        }
      }
    }
  }
  auto dearer = Ratebook::Create(tariffs, book.terms(), book.gazetteer());
  if (!dearer.ok()) Stop(dearer.status().ToString());
  return *std::move(dearer);
}

// One service's prices change: only the rows that this can touch are priced again.
void UpdateOneService(benchmark::State& state) {
  const World world = Demo();
  const Goods goods = MakeGoods(100'000, 24, 96, 3200);
  const GoodsColumns columns = goods.Columns();
  Results results;
  const RepriceResults out = results.Of(columns.rows, 9);
  const Repricer before = Made(world);
  if (!before.Run(columns, out).ok()) Stop("the run failed");
  auto index = RepriceIndex::Create(before, columns);
  if (!index.ok()) Stop(index.status().ToString());
  // To go there and back.
  const std::shared_ptr<const Ratebook> dearer = OneServiceDearer(*world.book);
  const Repricer forth = *before.WithRates(dearer);
  auto touched = index->Update(forth, columns, out);
  Results afresh;
  if (!forth.Run(columns, afresh.Of(columns.rows, 9)).ok() || afresh.total != results.total) Stop("an update differs");
  std::size_t rows = touched->rows.size();
  bool back = true;
  for (auto _ : state) {
    state.PauseTiming();
    const Repricer next = *index->repricer().WithRates(back ? world.book : dearer);
    back = !back;
    state.ResumeTiming();
    touched = index->Update(next, columns, out);
    rows = touched->rows.size();
  }
  state.counters["rows"] = static_cast<double>(rows);
}
BENCHMARK(UpdateOneService)->Unit(benchmark::kMillisecond)->UseRealTime();

// What differs between the price lists of two days, cell by cell and rule by rule.
void CompareRatebooks(benchmark::State& state) {
  const World world = Demo();
  for (auto _ : state) {
    benchmark::DoNotOptimize(Compare(*world.book, *Date::Parse("2026-07-06"), *world.book, *Date::Parse("2026-08-03")));
  }
}
BENCHMARK(CompareRatebooks)->Unit(benchmark::kMicrosecond);

// What the rates of another day do to 100,000 goods: each row before and after, with the losers and the sums.
void CompareCatalogueOfTwoDays(benchmark::State& state) {
  const Goods goods = MakeGoods(100'000, 24, 96, 3200);
  RepriceSetup before = Setup(Demo());
  RepriceSetup after = before;
  before.shipment.date = *Date::Parse("2026-07-06");
  for (auto _ : state) {
    auto comparer = CatalogueComparer::Create(before, after);
    if (!comparer.ok()) Stop(comparer.status().ToString());
    auto change = CompareCatalogue(goods.Columns(), {}, *comparer);
    if (!change.ok()) Stop(change.status().ToString());
    benchmark::DoNotOptimize(change);
  }
}
BENCHMARK(CompareCatalogueOfTwoDays)->Unit(benchmark::kMillisecond)->UseRealTime();

// The same for a catalogue that is kept, when one service's prices change.
void ChangeKeptCatalogue(benchmark::State& state) {
  const World world = Demo();
  const Goods goods = MakeGoods(100'000, 24, 96, 3200);
  auto kept = KeptCatalogue::Create(Setup(world), goods.Columns());
  if (!kept.ok()) Stop(kept.status().ToString());
  const std::shared_ptr<const Ratebook> dearer = OneServiceDearer(*world.book);
  bool back = false;
  for (auto _ : state) {
    auto change = kept->Change(back ? world.book : dearer);
    if (!change.ok()) Stop(change.status().ToString());
    back = !back;
  }
}
BENCHMARK(ChangeKeptCatalogue)->Unit(benchmark::kMillisecond)->UseRealTime();

// What is held, as the allocator tells it: the ratebook, what a run works out for its rows, an index over 100,000.
void MemoryHeld(benchmark::State& state) {
  const Goods goods = MakeGoods(100'000, 24, 96, 3200);
  const GoodsColumns columns = goods.Columns();
  Results results;
  const RepriceResults out = results.Of(columns.rows, 9);
  for (auto _ : state) {
    const std::size_t start = mallinfo2().uordblks;
    const World world = LoadDemo();
    const std::size_t book = mallinfo2().uordblks;
    const Repricer repricer = Made(world);
    if (!repricer.Run(columns, out).ok()) Stop("the run failed");
    const std::size_t run = mallinfo2().uordblks;
    const auto index = RepriceIndex::Create(repricer, columns);
    if (!index.ok()) Stop(index.status().ToString());
    const std::size_t indexed = mallinfo2().uordblks;
    state.counters["ratebook_MB"] = static_cast<double>(book - start) / 1e6;
    state.counters["run_MB"] = static_cast<double>(run - book) / 1e6;
    state.counters["index_bytes_a_row"] = static_cast<double>(indexed - run) / static_cast<double>(columns.rows);
  }
}
BENCHMARK(MemoryHeld)->Iterations(1)->Unit(benchmark::kMillisecond);

// More services: the demonstration's carriers under other codes, so that all of them are priced.
void Services(benchmark::State& state) {
  World world = Cartons();
  std::vector<Tariff> tariffs;
  for (std::int64_t copy = 0; copy < state.range(0); ++copy) {
    for (Tariff tariff : world.book->tariffs()) {
      if (copy > 0) tariff.carrier += "-" + std::to_string(copy);
      tariffs.push_back(std::move(tariff));
    }
  }
  auto book = Ratebook::Create(std::move(tariffs), {}, world.book->gazetteer());
  if (!book.ok()) Stop(book.status().ToString());
  world.book = *book;
  Run(state, world, MakeGoods(100'000, 24, 96, 3200), 1);
  std::size_t services = 0;
  for (const std::string_view carrier : world.book->Carriers()) {
    if (const Edition* edition = world.book->InForce(carrier, *Date::Parse("2026-08-03")))
      services += edition->tariff->services.size();
  }
  state.counters["services"] = static_cast<double>(services);
}
BENCHMARK(Services)->Arg(1)->Arg(3)->Arg(7)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
}  // namespace tarewise::bench

BENCHMARK_MAIN();
