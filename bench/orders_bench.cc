// Catalogues of orders and of several units a row, on the demonstration's 41 packagings for nine zones at once.
//
// Aims, on one core: 100,000 mixed orders of 2 to 6 goods within 20 s, their shapes all new; 1 million rows of several
// units a second once their shapes are known. A sample of every answer is compared with `Rank` first.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <memory>
#include <utility>
#include <vector>

#include "support.h"
#include "tarewise/batch/reprice.h"

namespace tarewise::bench {
namespace {

Repricer Made() {
  auto repricer = Repricer::Create(Setup(Demo()));
  if (!repricer.ok()) Stop(repricer.status().ToString());
  return *std::move(repricer);
}

// The same answers as `Rank`, or nothing is timed.
void CheckAgainstRank(const Repricer& repricer, const GoodsColumns& goods, const Results& results) {
  std::size_t priced = 0;
  for (std::size_t row = 0; row < goods.rows; row += std::max<std::size_t>(1, goods.rows / 60)) {
    if (static_cast<RowReason>(results.reason[row]) == RowReason::kInOrder) continue;
    const auto request = repricer.RequestFor(goods, row, 4);
    if (!request.ok()) Stop(request.status().ToString());
    const auto ranking = Rank(repricer.dispatch(4), repricer.setup().shelf, *request, {.thresholds = false});
    const std::int64_t best =
        !ranking.ok() || ranking->offers().empty() ? kNoTotal : ranking->offers().front().total.micros();
    if (best != results.total[row * 9 + 4]) Stop("row " + std::to_string(row) + " differs from Rank");
    priced += best == kNoTotal ? 0 : 1;
  }
  if (priced < 10) Stop("too few rows are priced");
}

// 100,000 orders, each row of goods of its own. What nobody has seen has to be packed.
void MixedOrders(benchmark::State& state) {
  constexpr std::int64_t kOrders = 100'000;
  testing::Random random(20260803);
  std::vector<std::int64_t> order;
  for (std::int64_t number = 1; number <= kOrders; ++number) {
    order.insert(order.end(), static_cast<std::size_t>(testing::Pick(random, 2, 6)), number);
  }
  const Goods goods = MakeGoods(order.size(), 8, 64, 480);
  GoodsColumns columns = goods.Columns();
  columns.order = Column::Of(order);
  Results results;
  const RepriceResults out = results.Of(columns.rows, 9);
  for (auto _ : state) {
    const Repricer repricer = Made();
    if (!repricer.Run(columns, out).ok()) Stop("the run failed");
    state.PauseTiming();
    CheckAgainstRank(repricer, columns, results);
    state.ResumeTiming();
  }
  std::size_t priced = 0;
  for (std::size_t row = 0; row < columns.rows; ++row) priced += results.reason[row] == 0 ? 1 : 0;
  state.counters["priced"] = static_cast<double>(priced);
  state.counters["orders/s"] = benchmark::Counter(kOrders, benchmark::Counter::kIsIterationInvariantRate);
}
BENCHMARK(MixedOrders)->Iterations(1)->Unit(benchmark::kMillisecond);

// A million rows of 2 to 6 units of so many shapes, at any weight, all of which were seen before.
void KnownQuantities(benchmark::State& state) {
  const auto shapes = static_cast<std::size_t>(state.range(0));
  constexpr std::size_t kRows = 1'000'000;
  testing::Random random(20260804);
  const Goods made = MakeGoods(shapes, 8, 64, 480);
  Goods goods;
  for (std::size_t row = 0; row < kRows; ++row) {
    const std::size_t shape = static_cast<std::size_t>(testing::Below(random, static_cast<std::int64_t>(shapes)));
    goods.weight.push_back(testing::Pick(random, 1, 300) * 2'834'952'313);
    for (std::size_t i = 0; i < 3; ++i) goods.sides[i].push_back(made.sides[i][shape]);
    goods.quantity.push_back(static_cast<std::int32_t>(2 + shape % 5));
  }
  const Repricer repricer = Made();
  const GoodsColumns columns = goods.Columns();
  Results results;
  const RepriceResults out = results.Of(kRows, 9);
  if (!repricer.Run(columns, out).ok()) Stop("the run failed");
  CheckAgainstRank(repricer, columns, results);
  for (auto _ : state) {
    if (!repricer.Run(columns, out).ok()) Stop("the run failed");
  }
  state.counters["rows/s"] = benchmark::Counter(kRows, benchmark::Counter::kIsIterationInvariantRate);
}
// Orders of so many goods that all differ, one by one, ranked and explained as far as thresholds; those of a ranking
// with totals alone beside it. Times of one order, in ms.
void OneOrder(benchmark::State& state) {
  const auto goods = static_cast<std::size_t>(state.range(0));
  constexpr std::size_t kOrders = 200;
  const Goods made = MakeGoods(goods * kOrders, 8, 64, 480);
  const Lane lane = NineZones()[4];
  std::vector<Request> requests;
  for (std::size_t number = 0; number < kOrders; ++number) {
    Request request = RequestOf(made, number * goods, lane);
    for (std::size_t i = 1; i < goods; ++i) request.goods.push_back(made.At(number * goods + i));
    requests.push_back(std::move(request));
  }
  auto made_ready = Dispatch::Create(Demo().book, Shipment::Of(requests.front(), Demo().shelf.get()));
  if (!made_ready.ok()) Stop(made_ready.status().ToString());
  const auto dispatch = std::make_shared<const Dispatch>(*std::move(made_ready));
  std::vector<double> ms;
  for (auto _ : state) {
    for (const Request& request : requests) {
      const auto began = std::chrono::steady_clock::now();
      const auto ranking = Rank(dispatch, Demo().shelf, request, {.thresholds = state.range(1) != 0});
      ms.push_back(std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - began).count());
      if (!ranking.ok()) Stop(ranking.status().ToString());
    }
  }
  std::sort(ms.begin(), ms.end());
  state.counters["median_ms"] = ms[ms.size() / 2];
  state.counters["p99_ms"] = ms[ms.size() * 99 / 100];
}
BENCHMARK(OneOrder)
    ->ArgNames({"goods", "thresholds"})
    ->ArgsProduct({{2, 4, 8}, {0, 1}})
    ->Iterations(3)
    ->Unit(benchmark::kMillisecond);

BENCHMARK(KnownQuantities)->Arg(100)->Arg(2'000)->Arg(20'000)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace tarewise::bench

BENCHMARK_MAIN();
